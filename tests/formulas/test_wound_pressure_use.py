"""How `wound_pressure` is used: what its result offers, what it refuses and in which words."""

from __future__ import annotations

import math

import numpy as np
import pytest

from filmcheck.formulas.slip import torque_capacity
from filmcheck.formulas.wound_pressure import wound_pressure

N1 = {
    "core_radius": 0.0461,
    "roll_radius": 0.125,
    "start_stress": 6e6,
    "hoop_modulus": 4.5e9,
    "core_stiffness": 0.5e9,
    "stack_k1": 5e3,
    "stack_k2": 120.0,
}


def test_no_taper_is_one_law_under_both_names():
    assert wound_pressure(**N1, taper_law="hyperbolic") == wound_pressure(**N1, taper_law="linear")


def test_torque_capacity_at_the_core():
    # M = 2 pi r^2 W mu P
    roll = wound_pressure(**N1)
    found = torque_capacity(roll.pressure_at(0.0461), 0.3, 0.1, 0.0461)
    assert found == pytest.approx(2 * math.pi * 0.0461**2 * 0.1 * 0.3 * 603.02e3, rel=2e-3)


@pytest.mark.parametrize("taper", [0.0, 0.4])
def test_least_hoop_is_that_of_a_fine_scan(taper):
    roll = wound_pressure(**N1, taper=taper)
    radii = np.linspace(roll.radii[0], roll.radii[-1], 20001)
    hoop = np.array([roll.hoop_at(radius) for radius in radii])
    least, where = roll.least_hoop()
    assert roll.hoop_at(where) == pytest.approx(least, rel=1e-9)
    assert least == pytest.approx(hoop.min(), rel=2e-3)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"core_radius": 0.0}, "core radius is 0 m; it must be above 0 m"),
        ({"roll_radius": 0.04}, "roll radius is 0.04 m; it must be above the core radius, 0.0461 m"),
        ({"roll_radius": 4.0}, "at most 50 times as large"),
        ({"start_stress": -1.0}, "start stress is -1 Pa; it must be above 0 Pa"),
        ({"start_stress": 4e8}, "start stress is 4e+08 Pa; it must be from 0 to 2.25e+08 Pa"),
        ({"taper": 0.95}, "taper is 0.95; it must be from 0 to 0.9"),
        ({"taper": math.nan}, "taper is nan; it must be from 0 to 0.9"),
        ({"taper_law": "soft"}, 'taper law is "soft"; it must be "linear" or "hyperbolic"'),
        ({"core_stiffness": math.nan}, "core stiffness is nan Pa; it must be above 0 Pa"),
        ({"stack_k1": 0.0}, "stack k1 is 0 Pa; it must be above 0 Pa"),
        ({"stack_k2": math.inf}, "stack k2 is inf; it must be above 0"),
        ({"poisson": 0.6}, "poisson is 0.6; it must be from 0 to 0.5"),
        ({"stack_k2": 2e4}, "it must be at most the web's modulus, 4.5e+09 Pa"),
    ],
)
def test_out_of_range(change, message):
    with pytest.raises(ValueError, match="must be") as caught:
        wound_pressure(**(N1 | change))
    assert message in str(caught.value)


@pytest.mark.parametrize("radius", [0.04, 0.13, math.nan])
def test_radius_outside_the_roll(radius):
    with pytest.raises(ValueError, match="radius is"):
        wound_pressure(**N1).pressure_at(radius)
