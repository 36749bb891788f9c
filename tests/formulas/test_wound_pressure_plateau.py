"""Plateau pressure, its bounds and the ceiling: against scipy and a table of the similarity solution.

The stack data are SYNTHETIC: chosen, not measured.
"""

from __future__ import annotations

import math
import random

import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from filmcheck.formulas.wound_pressure import (
    plateau_bounds,
    plateau_pressure,
    pressure_ceiling,
    wound_pressure,
)

PLATEAUS = [  # Et, K1, K2, stress, plateau in kPa (similarity solution, checked by wrap-by-wrap rolls)
    (4.5e9, 5e3, 120.0, 3e6, 147.52),
    (4.5e9, 5e3, 120.0, 6e6, 586.35),
    (4.5e9, 50e3, 120.0, 6e6, 724.06),
    (4e9, 10e3, 30.0, 4e6, 84.795),
]


def stock(modulus, k1, k2, stress) -> dict:
    return {"hoop_modulus": modulus, "stack_k1": k1, "stack_k2": k2, "start_stress": stress}


@pytest.mark.parametrize(("modulus", "k1", "k2", "stress", "expected"), PLATEAUS)
def test_plateau_table(modulus, k1, k2, stress, expected):
    assert plateau_pressure(**stock(modulus, k1, k2, stress)) / 1e3 == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize(("modulus", "k1", "k2", "stress", "expected"), PLATEAUS)
def test_plateau_is_reached_in_a_thick_roll(modulus, k1, k2, stress, expected):
    data = stock(modulus, k1, k2, stress)
    roll = wound_pressure(core_radius=0.05, roll_radius=0.8, core_stiffness=10e9, **data)
    assert roll.pressure_at(0.8 * 0.27) / 1e3 == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize("seed", range(8))
def test_plateau_bounds_hold_the_plateau(seed):
    rng = random.Random(seed)  # noqa: S311 - seeded on purpose
    data = stock(rng.uniform(3e9, 6e9), rng.uniform(2e3, 5e4), rng.uniform(20, 200), rng.uniform(0.5e6, 8e6))
    low, high = plateau_bounds(**data)
    per_strain, k1 = data["hoop_modulus"] / data["stack_k2"], data["stack_k1"]

    def stress_at_surface(plateau):  # the same equation, solved by scipy in P rather than ln(1 + P/K1)
        def slope(p, q):
            return 2 + (per_strain * math.log((k1 + p) / (k1 + plateau)) - p + plateau) / q

        decay = math.sqrt(per_strain / (k1 + plateau)) - 1
        start = plateau * (1 - 1e-5)
        path = solve_ivp(slope, (start, 0), [decay * (plateau - start)], method="LSODA", rtol=1e-8, atol=1e-3)
        return path.y[0, -1]

    expected = brentq(lambda plateau: stress_at_surface(plateau) - data["start_stress"], low, high, rtol=1e-6)
    assert low < expected < high
    assert plateau_pressure(**data) == pytest.approx(expected, rel=5e-4)
    assert low > data["stack_k2"] * data["start_stress"] ** 2 / (2 * data["hoop_modulus"])  # K1 << P estimate


def test_ceiling_is_the_integral_of_the_wound_stress():
    for law, stress in (
        ("linear", lambda r: 1 - 0.4 * (r - 1) / 2),
        ("hyperbolic", lambda r: 1 - 0.4 * (1 - 1 / r)),
    ):
        found = pressure_ceiling(1.5, core_radius=1.0, roll_radius=3.0, start_stress=1.0, taper=0.4, taper_law=law)
        assert found == pytest.approx(quad(stress, 1.5, 3.0)[0] / 1.5, rel=1e-10)


def test_ceiling_of_an_unyielding_roll():
    # 100 laps of 0.001 in at 1000 psi on 2 in radius: 50 psi if no tension is lost
    # (T. J. Walker, Web Lines, trade press, 2001).
    psi, inch = 6894.757, 0.0254
    most = pressure_ceiling(2 * inch, core_radius=2 * inch, roll_radius=2.1 * inch, start_stress=1000 * psi)
    assert most / psi == pytest.approx(50, rel=1e-9)


def test_plateau_without_a_softer_stack():
    with pytest.raises(ValueError, match="start stress is 6e\\+06 Pa; it must be low enough"):
        plateau_pressure(**stock(4.5e9, 5e3, 5e4, 6e6))
