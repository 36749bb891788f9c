"""Formulas of web, lamp and layout against scipy, sympy and exact decimals on another road."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal
from typing import Any, NamedTuple

import pytest
import sympy
from scipy import integrate

from filmcheck.formulas import heating, layout, stretch, web_drag


class Reference(NamedTuple):
    function: Callable[..., Any]
    solution: Callable[..., Any]
    tolerance: float
    source: str
    inputs: dict[str, float]


def belt_equation(friction: float, wrap: float) -> float:
    answer = integrate.solve_ivp(lambda _, f: friction * f, (0.0, wrap), [1.0], rtol=1e-10, atol=1e-12)
    return float(answer.y[0, -1])


def warmed_by_passing(
    power_per_width: float, setting: float, absorbed: float, speed: float, areal_heat_capacity: float
) -> float:
    """A bell-shaped beam of the same total power, integrated over the time of passing."""
    spread = 0.02

    def rate(time: float) -> float:
        x = speed * time
        density = math.exp(-((x / spread) ** 2) / 2) / (spread * math.sqrt(2 * math.pi))
        return absorbed * setting * power_per_width * density / areal_heat_capacity

    edge = 10 * spread / speed
    return integrate.quad(rate, -edge, edge, epsrel=1e-10)[0]


def strain_by_energy(line_tension: float, stiffness: float) -> float:
    """The strain at which stored energy less the work of the tension is least."""
    strain = sympy.Symbol("e")
    energy = stiffness * strain**2 / 2 - line_tension * strain
    return float(sympy.solve(sympy.diff(energy, strain), strain)[0])


def labels_by_counting(length: float, label_repeat: float) -> int:
    left, repeat, labels = Decimal(str(length)), Decimal(str(label_repeat)), 0
    while left >= repeat:
        left, labels = left - repeat, labels + 1
    return labels


WRAPS = [(0.2, math.pi), (0.3, math.pi), (0.25, math.pi / 2), (0.15, math.pi), (0.25, 2 * math.pi)]
LAMPS = [(10_000.0, 0.6, 0.3, 0.75, 150.0), (20_000.0, 1.0, 0.5, 1.5, 110.0)]


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

    add(web_drag.capstan_ratio, belt_equation, 1e-7, "scipy solve_ivp: dF/dθ = μF", "friction wrap", *WRAPS)
    add(
        stretch.tension_strain,
        strain_by_energy,
        1e-12,
        "sympy: least potential energy",
        "line_tension stiffness",
        (175.127, 105_156.0),
    )
    add(
        heating.lamp_temperature_rise,
        warmed_by_passing,
        1e-8,
        "scipy quad: bell-shaped beam",
        "power_per_width setting absorbed speed areal_heat_capacity",
        *LAMPS,
    )
    add(
        layout.labels_per_lane,
        labels_by_counting,
        0.0,
        "exact decimals, counted",
        "length label_repeat",
        (254.0, 0.1016),
        (253.9999, 0.1016),
        (299.3, 0.1),
        (0.05, 0.1),
    )
    return rows


@pytest.mark.parametrize(
    "row", references(), ids=lambda row: f"{row.function.__name__}-{'-'.join(map(str, row.inputs.values()))}"
)
def test_agrees_with_reference(row: Reference) -> None:
    expected = row.solution(**row.inputs)
    assert abs(row.function(**row.inputs) - expected) <= row.tolerance * abs(expected), row.source
