"""Formulas of web, lamp, charge and layout against scipy, sympy and exact decimals on another road."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal
from typing import Any, NamedTuple

import numpy as np
import pytest
import sympy
from scipy import integrate, linalg, optimize

from filmcheck.formulas import charge, draw, heating, laminate, layout, stretch, web_drag


class Reference(NamedTuple):
    function: Callable[..., Any]
    solution: Callable[..., Any]
    tolerance: float
    source: str
    inputs: dict[str, float]


def belt_equation(friction: float, wrap: float) -> float:
    answer = integrate.solve_ivp(lambda _, f: friction * f, (0.0, wrap), [1.0], rtol=1e-10, atol=1e-12)
    return float(answer.y[0, -1])


def strain_by_mass(strain_in: float, speed_in: float, speed_out: float) -> float:
    """Unstretched length passing each nip in a second is the same."""
    strain = sympy.Symbol("e")
    return float(sympy.solve(speed_in / (1 + strain_in) - speed_out / (1 + strain), strain)[0])


def tension_by_mass(line_tension_in: float, stiffness: float, speed_in: float, speed_out: float) -> float:
    return stiffness * strain_by_mass(line_tension_in / stiffness, speed_in, speed_out)


def stress_by_equilibrium(line_tension: float, layer_modulus: float, stiffness: float) -> float:
    """Two layers and one strain, solved as a linear system: s₁, s₂ and the strain."""
    thickness, rest_thickness = 20e-6, 50e-6
    rest_modulus = (stiffness - layer_modulus * thickness) / rest_thickness
    scale = layer_modulus
    system = [[1, 0, -layer_modulus / scale], [0, 1, -rest_modulus / scale], [thickness, rest_thickness, 0]]
    return float(linalg.solve(np.array(system), np.array([0, 0, line_tension / scale]))[0]) * scale


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


def setting_by_search(temperature_rise: float, **lamp: float) -> float:
    return optimize.brentq(lambda s: warmed_by_passing(setting=s, **lamp) - temperature_rise, 0.0, 5.0)


def energy_by_charging(capacitance: float, voltage: float) -> float:
    return integrate.quad(lambda charge_so_far: charge_so_far / capacitance, 0, capacitance * voltage)[0]


def voltage_by_search(energy: float, capacitance: float) -> float:
    return optimize.brentq(lambda v: energy_by_charging(capacitance, v) - energy, 0.0, 1e6)


def strain_by_energy(line_tension: float, stiffness: float) -> float:
    """The strain at which stored energy less the work of the tension is least."""
    strain = sympy.Symbol("e")
    energy = stiffness * strain**2 / 2 - line_tension * strain
    return float(sympy.solve(sympy.diff(energy, strain), strain)[0])


def labels_by_counting(length: float, label_repeat: float, waste_length: float) -> int:
    left, repeat, labels = Decimal(str(length)) - Decimal(str(waste_length)), Decimal(str(label_repeat)), 0
    while left >= repeat:
        left, labels = left - repeat, labels + 1
    return labels


def lanes_by_counting(width: float, label_across: float, gap_across: float, edge_trim: float) -> int:
    b, g = Decimal(str(label_across)), Decimal(str(gap_across))
    room, used, lanes = Decimal(str(width)) - 2 * Decimal(str(edge_trim)), b, 0
    while used <= room:
        used, lanes = used + g + b, lanes + 1
    return lanes


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
        draw.strain_after_draw,
        strain_by_mass,
        1e-9,
        "sympy solve: mass through each nip",
        "strain_in speed_in speed_out",
        (0.005, 1.0, 1.01),
        (0.001, 0.75, 0.7495),
    )
    add(
        draw.tension_after_draw,
        tension_by_mass,
        2e-3,
        "sympy solve: mass through each nip, large strains",
        "line_tension_in stiffness speed_in speed_out",
        (100.0, 103_500.0, 1.0, 1.001),
        (150.0, 203_500.0, 0.75, 0.7505),
    )
    add(
        laminate.layer_stress,
        stress_by_equilibrium,
        1e-9,
        "scipy linalg: two layers, one strain",
        "line_tension layer_modulus stiffness",
        (203.5, 4.5e9, 203_500.0),
        (90.0, 2e9, 150_000.0),
    )
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
        heating.lamp_setting_for_rise,
        setting_by_search,
        1e-8,
        "scipy quad and brentq: bell-shaped beam",
        "temperature_rise power_per_width absorbed speed areal_heat_capacity",
        (16.0, 10_000.0, 0.3, 0.75, 150.0),
    )
    add(
        charge.stored_energy,
        energy_by_charging,
        1e-9,
        "scipy quad: ∫ V dq",
        "capacitance voltage",
        (100e-12, 10e3),
        (150e-12, 10e3),
    )
    add(
        charge.voltage_for_energy,
        voltage_by_search,
        1e-9,
        "scipy quad and brentq: ∫ V dq",
        "energy capacitance",
        (0.46e-3, 100e-12),
        (0.24e-3, 100e-12),
    )
    add(
        layout.labels_per_lane,
        labels_by_counting,
        0.0,
        "exact decimals, counted",
        "length label_repeat waste_length",
        (254.0, 0.1016, 0.0),
        (253.9999, 0.1016, 0.0),
        (300.0, 0.1, 0.7),
        (0.05, 0.1, 0.0),
    )
    add(
        layout.lanes_that_fit,
        lanes_by_counting,
        0.0,
        "exact decimals, counted",
        "width label_across gap_across edge_trim",
        (0.322, 0.06, 0.003, 0.005),
        (0.3219, 0.06, 0.003, 0.005),
        (0.33, 0.1, 0.0, 0.0),
    )
    return rows


@pytest.mark.parametrize(
    "row", references(), ids=lambda row: f"{row.function.__name__}-{'-'.join(map(str, row.inputs.values()))}"
)
def test_agrees_with_reference(row: Reference) -> None:
    expected = row.solution(**row.inputs)
    assert abs(row.function(**row.inputs) - expected) <= row.tolerance * abs(expected), row.source
