"""Formulas of the roll and its core against scipy and sympy solving the same problem by another road."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from typing import Any, NamedTuple

import numpy as np
import pytest
import sympy
from scipy import integrate, optimize

from filmcheck.figures.calculated import function_of
from filmcheck.figures.catalogue import CATALOGUE
from filmcheck.formulas import air_film, core_tube, roll_geometry, slip, taper


class Reference(NamedTuple):
    function: Callable[..., Any]
    solution: Callable[..., Any]
    tolerance: float
    source: str
    inputs: dict[str, float]


def spiral_length(outside_diameter: float, core_outside_diameter: float, thickness: float) -> float:
    """Arc length of the Archimedes spiral whose radius grows by one caliper a turn."""
    pitch = thickness / (2 * math.pi)
    arc, _ = integrate.quad(
        lambda r: math.hypot(r, pitch) / pitch, core_outside_diameter / 2, outside_diameter / 2, epsrel=1e-11
    )
    return arc


def full_diameter(length: float, core_outside_diameter: float, thickness: float) -> float:
    """The figure of the rewind, which is one line of arithmetic."""
    route = CATALOGUE["rewind.full_diameter"].routes[0]
    return function_of(route)(length, core_outside_diameter, thickness)  # type: ignore[no-any-return]


def spiral_diameter(length: float, core_outside_diameter: float, thickness: float) -> float:
    return optimize.brentq(
        lambda outside: spiral_length(outside, core_outside_diameter, thickness) - length,
        core_outside_diameter,
        2.0,
        xtol=1e-13,
    )


def spiral_gain(thickness_before: float, thickness_after: float) -> float:
    return spiral_length(0.3, 0.0922, thickness_after) / spiral_length(0.3, 0.0922, thickness_before)


def lame_by_boundary_value(modulus: float, inside_radius: float, outside_radius: float, poisson_ratio: float) -> float:
    """Displacement u of a tube under unit outside pressure: u″ + u′/r − u/r² = 0, plane stress."""

    def slope(r: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack([y[1], y[0] / r**2 - y[1] / r])

    # Solved for u·modulus/pressure in metres, so that the numbers are of the size of the radii.
    def scaled_ends(inner: np.ndarray, outer: np.ndarray) -> np.ndarray:
        inside = inner[1] + poisson_ratio * inner[0] / inside_radius
        outside = outer[1] + poisson_ratio * outer[0] / outside_radius
        return np.array([inside, outside + (1 - poisson_ratio**2)])

    r = np.linspace(inside_radius, outside_radius, 50)
    answer = integrate.solve_bvp(slope, scaled_ends, r, np.zeros((2, r.size)), tol=1e-9)
    assert answer.success
    return modulus * outside_radius / -float(answer.y[0, -1])


@cache
def foil_bearing_constant() -> float:
    """Solve H‴ = (1 − H)/H³ from the flat film back to the inlet, where the curvature H″ settles.

    Reynolds' equation under a tight web: h³ p′ = 6 η U (h − h₀) with p = T (1/R − h″) gives it with
    h = h₀ H, x = h₀ ξ / (6 η U / T)^(1/3); then h₀ = H″(inlet) R (6 η U / T)^(2/3), U the sum of speeds.
    """
    start = 1e-6
    answer = integrate.solve_ivp(
        lambda _, h: [h[1], h[2], (1 - h[0]) / h[0] ** 3],
        (0.0, -300.0),
        [1 + start, -start, start],
        rtol=1e-10,
        atol=1e-13,
    )
    return float(answer.y[2, -1])


def film_by_reynolds(sum_of_speeds: float) -> Callable[..., float]:
    def solution(radius: float, viscosity: float, speed: float, line_tension: float) -> float:
        bearing = 6 * viscosity * sum_of_speeds * speed / line_tension
        return foil_bearing_constant() * radius * math.exp(2 / 3 * math.log(bearing))

    return solution


def friction_over_surface(arm: int) -> Callable[..., float]:
    def solution(pressure: float, friction: float, width: float, radius: float) -> float:
        return integrate.dblquad(lambda _x, _angle: friction * pressure * radius**arm, 0, 2 * math.pi, 0, width)[0]

    return solution


def straight_line_taper(
    start_tension: float, taper: float, radius: float, core_radius: float, full_radius: float
) -> float:
    ends = [start_tension, (1 - taper) * start_tension]
    return float(np.interp(radius, [core_radius, full_radius], ends))


def mixed_taper(start_tension: float, taper: float, radius: float, core_radius: float) -> float:
    """A share of constant torque (tension as 1/r, solved from torque) on a rest of constant tension."""
    f = sympy.Symbol("f")
    torque_part = sympy.solve(f * radius - taper * start_tension * core_radius, f)[0]
    return float(torque_part) + (1 - taper) * start_tension


ROLL = [(0.25, 0.0922, 23e-6), (0.3, 0.0889, 150e-6), (0.9, 0.1684, 91e-6)]
LENGTHS = [(1000.0, 0.0889, 150e-6), (1843.95, 0.0922, 23e-6)]
TUBES = [
    (207e9, 0.0381, 0.04445, 0.3),
    (70e9, 0.0381, 0.04445, 0.33),
    (3e9, 0.0381, 0.0461, 0.3),
    (1.0, 0.5, 1.0, 0.0),
    (1.0, 0.99, 1.0, 0.3),
]
SPIRAL = "scipy quad: arc length of the Archimedes spiral"


def references() -> list[Reference]:
    rows: list[Reference] = []

    def add(
        function: Callable[..., Any],
        solution: Callable[..., Any],
        tolerance: float,
        source: str,
        names: str,
        *values: tuple[float, ...],
    ) -> None:
        for row in values:
            inputs = dict(zip(names.split(), row, strict=True))
            rows.append(Reference(function, solution, tolerance, source, inputs))

    roll = "outside_diameter core_outside_diameter thickness"
    length = "length core_outside_diameter thickness"
    film = (
        "radius viscosity speed line_tension",
        (0.05, 1.81e-5, 100 / 60, 150.0),
        (0.2, 1.81e-5, 0.75, 90.0),
    )
    three_digits = 0.0005 / 0.643
    reynolds = "scipy solve_ivp: foil-bearing equation"
    surface = ("pressure friction width radius", (60e3, 0.3, 0.1, 0.0461), (5e3, 0.25, 0.33, 0.2))
    build = "start_tension taper radius core_radius"
    add(roll_geometry.roll_length, spiral_length, 1e-6, SPIRAL, roll, *ROLL)
    add(full_diameter, spiral_diameter, 1e-7, f"{SPIRAL}, brentq", length, *LENGTHS)
    add(
        core_tube.core_stiffness,
        lame_by_boundary_value,
        1e-6,
        "scipy solve_bvp: tube in plane stress",
        "modulus inside_radius outside_radius poisson_ratio",
        *TUBES,
    )
    add(air_film.air_film_in_roll, film_by_reynolds(2.0), three_digits, reynolds, *film)
    add(slip.torque_capacity, friction_over_surface(2), 1e-9, "scipy dblquad over the cylinder", *surface)
    add(
        taper.linear_taper_tension,
        straight_line_taper,
        1e-12,
        "numpy interp",
        f"{build} full_radius",
        (140.0, 0.3, 0.08, 0.0461, 0.125),
        (140.0, 0.0, 0.08, 0.0461, 0.125),
    )
    add(
        taper.hyperbolic_taper_tension,
        mixed_taper,
        1e-12,
        "sympy solve: share of constant torque",
        build,
        (140.0, 0.3, 0.08, 0.0461),
        (140.0, 1.0, 0.125, 0.0461),
    )
    return rows


@pytest.mark.parametrize(
    "row", references(), ids=lambda row: f"{row.function.__name__}-{'-'.join(map(str, row.inputs.values()))}"
)
def test_agrees_with_reference(row: Reference) -> None:
    expected = row.solution(**row.inputs)
    assert abs(row.function(**row.inputs) - expected) <= row.tolerance * abs(expected), row.source


@pytest.mark.parametrize("radius", [0.0842, 0.2, 0.4499])
@pytest.mark.parametrize("areal_mass", [0.0, 0.110])
def test_torque_asked_is_the_pull_and_the_turning_up_of_all_rings_outside(radius: float, areal_mass: float) -> None:
    tension, acceleration, width, thickness, outside = 52.0, 0.5, 0.330, 91e-6, 0.900
    r = sympy.symbols("r", positive=True)
    inertia = sympy.integrate(r**2 * areal_mass / thickness * width * 2 * sympy.pi * r, (r, radius, outside / 2))
    expected = tension * outside / 2 + float(inertia) * acceleration / (outside / 2)
    constant, by_fourth = slip.torque_asked_terms(tension, acceleration, areal_mass, width, thickness, outside)
    assert constant - by_fourth * radius**4 == pytest.approx(expected, rel=1e-12)


def test_a_thinner_liner_gains_the_length_that_the_spiral_gains() -> None:
    (route,) = CATALOGUE["laminate.gain_of_liner"].routes  # against a liner of 60 µm: 128 µm in all
    assert function_of(route)(91e-6, 23e-6) == pytest.approx(spiral_gain(128e-6, 91e-6), rel=1e-6)


def test_foil_bearing_constant_is_the_printed_one() -> None:
    assert round(foil_bearing_constant(), 3) == air_film.FOIL_BEARING_FACTOR
