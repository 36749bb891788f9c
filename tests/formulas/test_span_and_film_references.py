"""Spans, turn bars, leaking air, oozing adhesive, peeling and dew against scipy and sympy on another road."""

from __future__ import annotations

import math

import numpy as np
import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, optimize

from filmcheck.figures.calculated import function_of
from filmcheck.figures.catalogue import CATALOGUE
from filmcheck.formulas import air_film, buckling, dew, laminate, ooze, peeling, roll_geometry, span_strain, web_drag

few = settings(max_examples=40, deadline=None, derandomize=True)


def floats(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_subnormal=False)


# --- spans


@few
@given(floats(20, 400), floats(5e4, 5e5), floats(5e4, 5e5), floats(-1e-4, 5e-3), floats(-1e-4, 1e-3))
def test_mass_is_conserved_between_nips(before: float, soft: float, stiff: float, speed: float, warmth: float) -> None:
    # The exact law: mass per length is m / [(1 + elastic strain) (1 + thermal strain)], and v × that is the same
    # in both spans. Nip k runs faster by d than nip k - 1, and the span before it takes that strain.
    elastic = (1 + before / soft) * (1 + speed) / (1 + warmth) - 1
    if elastic <= 0:
        return
    found = span_strain.line_tension_in_span(before, soft, stiff, speed, warmth)
    assert found == pytest.approx(stiff * elastic, abs=stiff * 5e-5)


# --- turn bar


@pytest.mark.parametrize("slant", [0.0, 0.4, math.pi / 4, 1.2])
def test_turn_bar_against_the_geodesic_on_its_cylinder(slant: float) -> None:
    """Sum the friction along a helix in small steps: dF = μ F κ ds with the curvature of the curve itself."""
    friction, wrap, radius = 0.25, math.pi, 0.03
    phi = np.linspace(0.0, wrap, 20001)
    line = np.stack([radius * np.cos(phi), radius * np.sin(phi), radius * phi * math.tan(slant)])
    step = np.gradient(line, phi, axis=1, edge_order=2)
    bend = np.gradient(step, phi, axis=1, edge_order=2)
    length = np.linalg.norm(step, axis=0)
    curvature = np.linalg.norm(np.cross(step, bend, axis=0), axis=0) / length**3
    grown = math.exp(friction * integrate.trapezoid(curvature * length, phi))
    assert web_drag.capstan_ratio(friction, wrap, slant) == pytest.approx(grown, rel=1e-5)


# --- air and adhesive between films


def mean_squeeze_pressure(viscosity: float, width: float, gap: float, closing: float) -> float:
    """Solve Reynolds' equation p″ = −12 η v / h³ across a strip, p = 0 at its edges; give the mean pressure."""
    x = np.linspace(-width / 2, width / 2, 2001)
    rise = 12 * viscosity * closing / gap**3
    pressure = integrate.cumulative_trapezoid(-rise * x, x, initial=0.0)
    return float(integrate.trapezoid(pressure, x) / width)


def test_air_leaks_out_as_reynolds_says() -> None:
    viscosity, width, line, radius, start, end = 1.81e-5, 0.05, 86.0, 0.125, 23.66e-6, 3e-6
    unit = mean_squeeze_pressure(viscosity, width, 1.0, 1.0)  # mean pressure is this × v / h³
    flow = integrate.quad(lambda h: unit / (line / radius) / h**3, end, start)[0]
    assert air_film.air_leak_time(viscosity, width, line, radius, start, end) == pytest.approx(flow, rel=1e-5)


def test_little_air_needs_no_time_to_leak() -> None:
    assert air_film.air_leak_time(1.81e-5, 0.05, 86.0, 0.125, 2e-6, 3e-6) == 0.0


def test_adhesive_thins_as_reynolds_says() -> None:
    viscosity, width, pressure, start, time = 1e4, 0.02, 60e3, 18e-6, 7 * 86400.0
    unit = mean_squeeze_pressure(viscosity, width, 1.0, 1.0)
    run = integrate.solve_ivp(lambda _, h: -pressure / unit * h**3, (0.0, time), [start], rtol=1e-10, atol=1e-18)
    rim = width * (start - run.y[0, -1]) / (2 * start)  # what is lost in thickness stands out at both edges
    assert ooze.ooze_rim(start, pressure, time, viscosity, width) == pytest.approx(rim, rel=1e-6)


@few
@given(floats(1e3, 1e6), floats(0, 1e7), floats(1e3, 1e8), floats(0.005, 0.3))
def test_a_rim_grows_with_pressure_and_stays_below_half_the_label(
    pressure: float, time: float, viscosity: float, width: float
) -> None:
    rim = ooze.ooze_rim(18e-6, pressure, time, viscosity, width)
    assert 0.0 <= rim <= width / 2
    assert ooze.ooze_rim(18e-6, 2 * pressure, time, viscosity, width) >= rim


# --- peeling, wrinkling


def test_peeling_work_and_force_undo_each_other() -> None:
    for angle in (0.5, 1.5, 3.0):
        work = 4.0 * (1 - math.cos(angle))  # of a release test at this angle, P/b (1 − cos θ)
        assert peeling.stripping_force(work, 0.33, angle) == pytest.approx(4.0 * 0.33)
    (release,) = CATALOGUE["adhesive.release_work"].routes  # a test at 180°
    assert peeling.stripping_force(function_of(release)(4.0), 0.33, math.pi) == pytest.approx(4.0 * 0.33)


def test_peel_plate_radius_is_where_bending_energy_meets_release() -> None:
    stiffness, t, work, r, y = sympy.symbols("E t G r y", positive=True)
    bending = sympy.integrate(stiffness * (y / r) ** 2 / 2, (y, -t / 2, t / 2))  # energy per area of a strip bent to r
    (radius,) = sympy.solve(sympy.Eq(bending, work), r)
    exact = float(radius.subs({stiffness: 2e9, t: 50e-6, work: 8.0}))
    (route,) = CATALOGUE["label.peel_radius"].routes
    assert function_of(route)(laminate.bending_stiffness([2e9], [50e-6]), 8.0) == pytest.approx(exact)


def test_layers_bend_as_the_integral_over_their_thickness_says() -> None:
    z = np.linspace(0.0, 80e-6, 160001)
    modulus = np.where(z < 50e-6, 2e9, 0.8e9)
    neutral = integrate.trapezoid(modulus * z, z) / integrate.trapezoid(modulus, z)
    whole = integrate.trapezoid(modulus * (z - neutral) ** 2, z)
    assert laminate.bending_stiffness([2e9, 0.8e9], [50e-6, 30e-6]) == pytest.approx(whole, rel=1e-5)


def test_wrinkling_is_the_least_load_over_all_wavelengths() -> None:
    """A sheet on one soft half space: bending E (kh)²/12 and ground E_r/(2 kh), least over the wave number k."""
    hoop, radial = 3.4e9, 1e6
    found = optimize.minimize_scalar(
        lambda kh: hoop * kh**2 / 12 + radial / (2 * kh), bounds=(1e-3, 1), method="bounded"
    )
    assert buckling.wrinkling_stress(hoop, radial) == pytest.approx(found.fun, rel=1e-3)


# --- dew


@pytest.mark.parametrize(("celsius", "pascal"), [(0.0, 611.2), (10.0, 1227.3), (20.0, 2336.9), (30.0, 4242.9)])
def test_dew_point_against_the_pressure_of_steam(celsius: float, pascal: float) -> None:
    """Air of 40 °C that holds as much vapour as is saturated at this temperature; IAPWS values (from memory)."""
    humidity = pascal / 7375.4  # saturation at 40 °C
    assert dew.dew_point(313.15, humidity) - 273.15 == pytest.approx(celsius, abs=0.1)


def test_dew_point_against_the_slope_of_clausius_and_clapeyron() -> None:
    """d ln e / dT = L / (R_v T²), L of water at 17 to 24 °C 2.45 MJ/kg, R_v 461.5 J/(kg K)."""
    exact = integrate.quad(lambda t: 2.45e6 / 461.5 / t**2, dew.dew_point(297.15, 0.65), 297.15)[0]
    assert math.exp(-exact) == pytest.approx(0.65, abs=0.003)


# --- the roll that runs down


@few
@given(floats(0.2, 1.2), floats(20e-6, 300e-6), floats(0.0, 1.0))
def test_what_is_taken_off_a_roll_is_no_longer_on_it(full: float, caliper: float, part: float) -> None:
    core = 0.0922
    whole = roll_geometry.roll_length(full, core, caliper)
    end = roll_geometry.diameter_left(full, core, part * whole, caliper)
    assert roll_geometry.roll_length(end, core, caliper) == pytest.approx((1 - part) * whole, abs=1e-6 * whole)
