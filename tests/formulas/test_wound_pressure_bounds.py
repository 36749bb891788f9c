"""Bounds of the wound-roll pressure against the pressure itself, against closed and known solutions, and their range.

`wound_pressure`, with which they are compared, is held against other solvers in `test_wound_pressure`.
"""

from __future__ import annotations

import math
from itertools import product

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.special import lambertw

from filmcheck.formulas.wound_pressure import wound_pressure
from filmcheck.formulas.wound_pressure_bounds import SOLVER_ERROR, PressureBounds, _plateau

CORE, MODULUS = 0.04, 4e9
OUTER = 0.9  # share of the build within which the lower bounds are tried
LABEL = {"core_radius": 0.0461, "roll_radius": 0.125, "start_stress": 1.3e6, "hoop_modulus": 2.4e9}
LABEL |= {"core_stiffness": 0.45e9, "stack_k1": 20e3, "stack_k2": 60.0}


def between(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers of every size between two."""
    return st.floats(math.log(low), math.log(high)).map(math.exp)


ROLLS = st.fixed_dictionaries(
    {
        "core_radius": st.just(CORE),
        "roll_radius": between(1.001, 20.0).map(lambda ratio: ratio * CORE),
        "start_stress": between(1e-6, 0.05).map(lambda strain: strain * MODULUS),
        "taper": st.just(0.0) | st.floats(0.0, 0.6),
        "taper_law": st.sampled_from(["linear", "hyperbolic"]),
        "hoop_modulus": st.just(MODULUS),
        "core_stiffness": between(1e-3, 1e4).map(lambda share: share * MODULUS) | st.just(math.inf),
        "stack_k1": between(10.0, 1e9),
        "stack_k2": between(0.01, 2000.0),
        "poisson": st.sampled_from([0.0, 0.01, 0.5]),
    }
)


def hold(data: dict) -> None:
    """See that a roll's bounds hold at every node, with half of what they leave for the solver to spare."""
    bounds, roll = PressureBounds(**data), wound_pressure(**data)
    outermost = CORE + OUTER * (data["roll_radius"] - CORE)
    assert roll.greatest_pressure <= bounds.most / (1 + SOLVER_ERROR / 2)
    for radius, pressure in zip(roll.radii, roll.pressure, strict=True):
        assert radius > outermost or pressure >= bounds.least_at(radius) / (1 - SOLVER_ERROR / 2) >= 0.0


@pytest.mark.slow
@given(ROLLS)
@settings(max_examples=500, deadline=None)
def test_every_roll_lies_within_its_bounds(data: dict) -> None:
    try:
        PressureBounds(**data)
    except ValueError:
        assume(False)
    hold(data)  # and the solver settles, or this raises


CORNERS = list(product((1.001, 2.0, 20.0), (1e-6, 3e-4, 0.05), (0.0, 0.6), (1e-3, 0.1, 1e4), (10.0, 1e4, 1e9)))


@pytest.mark.sample(4)
@pytest.mark.parametrize("law", ["linear", "hyperbolic"])
@pytest.mark.parametrize("k2", [0.01, 1.0, 60.0, 2000.0])
def test_the_corners_of_the_range(law: str, k2: float) -> None:
    tried = 0
    for ratio, strain, taper, core, k1 in CORNERS:
        data = {"core_radius": CORE, "roll_radius": ratio * CORE, "start_stress": strain * MODULUS, "taper": taper}
        data |= {"taper_law": law, "hoop_modulus": MODULUS, "core_stiffness": core * MODULUS}
        data |= {"stack_k1": k1, "stack_k2": k2}
        try:
            PressureBounds(**data)
        except ValueError:
            continue
        hold(data)
        tried += 1
    assert tried > 10


@pytest.mark.parametrize("taper", [0.0, 0.3, 0.45])
@pytest.mark.parametrize("core_stiffness", [0.15e9, 0.45e9, 3e9])
def test_bounds_of_a_label_roll_are_close_enough_to_be_of_use(taper: float, core_stiffness: float) -> None:
    data = LABEL | {"taper": taper, "core_stiffness": core_stiffness}
    bounds, roll = PressureBounds(**data), wound_pressure(**data)
    assert bounds.most < 3 * roll.greatest_pressure
    for share in (0.0, 0.25, 0.5):
        radius = data["core_radius"] * (1 - share) + data["roll_radius"] * share
        assert bounds.least_at(radius) > 0.5 * roll.pressure_at(radius)


PLATEAUS = [  # Et, K1, K2, stress, plateau in kPa: as in test_wound_pressure
    (4.5e9, 5e3, 120.0, 3e6, 147.52),
    (4.5e9, 5e3, 120.0, 6e6, 586.35),
    (4.5e9, 50e3, 120.0, 6e6, 724.06),
    (4e9, 10e3, 30.0, 4e6, 84.795),
]


@pytest.mark.parametrize(("modulus", "k1", "k2", "stress", "plateau"), PLATEAUS)
def test_known_plateaus_lie_between(modulus: float, k1: float, k2: float, stress: float, plateau: float) -> None:
    stack = {"hoop_modulus": modulus, "stack_k1": k1, "stack_k2": k2, "start_stress": stress}
    bounds = PressureBounds(core_radius=0.05, roll_radius=0.8, core_stiffness=10e9, **stack)
    assert 0.8 * plateau < bounds.least_at(0.216) / 1e3 < plateau < bounds.most / 1e3


# Closed solution where the stack does not stiffen, in units of the start stress (form: Altmann 1968, from memory).


def closed_pressure(rho: float, s: float, g: float, core: float, taper: float) -> float:
    b = (g - core) / (g + core)

    def load(x: float) -> float:
        return (1 - taper * (x - 1) / (s - 1)) / (x**g + b * x**-g)

    return (rho ** (g - 1) + b * rho ** (-g - 1)) * quad(load, rho, s, epsabs=0, epsrel=1e-10)[0]


@pytest.mark.parametrize("taper", [0.0, 0.5])
@pytest.mark.parametrize("core", [0.05, 4.0, 10.0, 40.0])
@pytest.mark.parametrize(("g", "s"), [(4.0, 1.3), (10.0, 3.0), (30.0, 8.0)])
def test_closed_solutions_lie_within_the_bare_bounds(g: float, s: float, core: float, taper: float) -> None:
    # K1 far above every pressure: the stack's modulus stays Et / g². Here the bounds need no room for a solver's error.
    k1, stress = 1e9, 1e3
    bounds = PressureBounds(
        core_radius=1.0,
        roll_radius=s,
        start_stress=stress,
        taper=taper,
        hoop_modulus=1e12,
        core_stiffness=1e12 / core,
        stack_k1=k1,
        stack_k2=1e12 / g**2 / k1,
        poisson=0.0,
    )
    for share in (0.0, 0.02, 0.1, 0.3, 0.6, 0.9):
        rho = 1 + share * (s - 1)
        pressure = closed_pressure(rho, s, g, core, taper) * stress
        assert bounds.least_at(rho) / (1 - SOLVER_ERROR) <= pressure * (1 + 1e-6)
        assert pressure <= bounds.most / (1 + SOLVER_ERROR)


# The plane wave, which the floor rests on.


@given(between(1e-9, 1e6))
def test_the_plateau_is_a_branch_of_lamberts_function(m: float) -> None:
    # y − ln(1 + y) = m is −(1 + y) exp(−(1 + y)) = −exp(−1 − m) (Corless and others, Adv. Comput. Math. 5 (1996) 329).
    y = _plateau(m)
    assert y == pytest.approx(math.sqrt(2 * m) + 2 * m / 3, rel=1e-3 if m < 1e-3 else 0.5)
    if 1e-3 < m < 600:  # elsewhere the exponential has no digits left
        assert y == pytest.approx(float((-1 - lambertw(-math.exp(-1 - m), -1)).real), rel=2e-6)


@pytest.mark.parametrize(("c", "s"), [(1000.0, 30.0), (2000.0, 200.0), (7500.0, 1200.0)])
def test_the_plane_wave_rises_at_least_as_the_floor_does(c: float, s: float) -> None:
    y = _plateau(s * s / (2 * c))
    g = math.sqrt(c / (1 + y))

    def bend(_: float, state: list[float]) -> tuple[float, float]:
        psi, slope = state
        return slope, c * math.log1p(psi) - c * math.log1p(y)

    depths = [share / g for share in (0.05, 0.2, 0.5, 1.0, 2.0, 3.0)]
    wave = solve_ivp(bend, (0.0, depths[-1]), (0.0, s), t_eval=depths, rtol=1e-11, atol=1e-11)
    for depth, psi, slope in zip(depths, *wave.y, strict=True):
        assert y * -math.expm1(-g * depth) < psi < y
        assert slope >= g * (y - psi) * (1 - 1e-6)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"taper": 0.61}, "taper is 0.61; it must be from 0 to 0.6"),
        ({"roll_radius": 1.0}, "it must be from 0.0461 to 0.922 m"),
        ({"core_radius": 0.0}, "it must be above 0 m"),
        ({"start_stress": 4e8}, "start stress is 4e\\+08 Pa"),
        ({"stack_k1": 0.0}, "stack k1 is 0 Pa"),
        ({"stack_k2": 0.0}, "stack k2 is 0"),
        ({"start_stress": 7.2e7, "stack_k1": 7.2e4, "stack_k2": 15.0, "core_stiffness": math.inf}, "at most the web's"),
        ({"start_stress": 1.1e8, "stack_k2": 3000.0, "stack_k1": 10.0}, "as stiff as the web"),
    ],
)
def test_no_bounds_out_of_range(change: dict, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        PressureBounds(**(LABEL | change))
