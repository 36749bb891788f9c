"""Laws that hold for any values: round trips, compositions, directions of change."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from filmcheck.figures.calculated import function_of
from filmcheck.figures.catalogue import CATALOGUE
from filmcheck.formulas import (
    air_film,
    core_tube,
    layout,
    roll_geometry,
    stretch,
    taper,
    web_drag,
)

few = settings(max_examples=40, deadline=None, derandomize=True)


def floats(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_subnormal=False)


calipers = floats(20e-6, 300e-6)
cores = floats(0.03, 0.2)
tensions = floats(1.0, 500.0)
shares = floats(0.0, 1.0)
builds = floats(0.001, 0.5)
frictions = floats(0.0, 1.0)
angles = floats(0.0, math.pi)


@few
@given(cores, builds, calipers)
def test_diameter_to_length_and_back(core: float, build: float, caliper: float) -> None:
    length = roll_geometry.roll_length(core + build, core, caliper)
    full_diameter = function_of(CATALOGUE["rewind.full_diameter"].routes[0])
    assert full_diameter(length, core, caliper) == pytest.approx(core + build, rel=1e-12)


@few
@given(cores, builds, builds, calipers)
def test_length_of_a_roll_is_the_sum_of_its_rings(core: float, one: float, two: float, caliper: float) -> None:
    inner = roll_geometry.roll_length(core + one, core, caliper)
    outer = roll_geometry.roll_length(core + one + two, core + one, caliper)
    whole = roll_geometry.roll_length(core + one + two, core, caliper)
    assert whole == pytest.approx(inner + outer, rel=1e-12)


@few
@given(frictions, angles, angles)
def test_capstan_composes(friction: float, first: float, second: float) -> None:
    product = web_drag.capstan_ratio(friction, first) * web_drag.capstan_ratio(friction, second)
    assert web_drag.capstan_ratio(friction, first + second) == pytest.approx(product, rel=1e-12)


@few
@given(tensions, st.lists(floats(0.0, 5.0), max_size=6))
def test_idlers_add_in_any_order(entering: float, drags: list[float]) -> None:
    forth = web_drag.tension_after_idlers(entering, drags)
    assert forth == web_drag.tension_after_idlers(entering, drags[::-1])
    assert forth >= entering


@few
@given(tensions, shares, cores, builds, shares, shares)
def test_taper_never_raises_tension(
    start: float, share: float, core: float, build: float, one: float, other: float
) -> None:
    near, far = (core + build * part for part in sorted((one, other)))
    full = core + build
    near, far = min(near, full), min(far, full)
    slack = 1e-12 * start
    linear = [taper.linear_taper_tension(start, share, r, core, full) for r in (near, far)]
    hyperbolic = [taper.hyperbolic_taper_tension(start, share, r, core) for r in (near, far)]
    assert start + slack >= linear[0] >= linear[1] - slack >= -2 * slack
    assert start + slack >= hyperbolic[0] >= hyperbolic[1] - slack
    assert hyperbolic[1] >= taper.linear_end_tension(start, share) - slack


@few
@given(tensions, shares, cores, builds)
def test_end_tensions_are_the_laws_at_the_full_roll(start: float, share: float, core: float, build: float) -> None:
    full = core + build
    linear = taper.linear_taper_tension(start, share, full, core, full)
    assert taper.linear_end_tension(start, share) == pytest.approx(linear, abs=1e-12 * start)
    hyperbolic = taper.hyperbolic_taper_tension(start, share, full, core)
    assert hyperbolic >= taper.linear_end_tension(start, share) - 1e-12 * start


@few
@given(tensions, cores, builds)
def test_full_hyperbolic_taper_is_constant_torque(start: float, core: float, build: float) -> None:
    at_full = taper.hyperbolic_taper_tension(start, 1.0, core + build, core)
    assert at_full == pytest.approx(start * core / (core + build), rel=1e-9)  # F r stays


@few
@given(tensions, tensions, floats(1e4, 1e6))
def test_more_tension_never_means_less_stretch(one: float, other: float, stiffness: float) -> None:
    low, high = sorted((one, other))
    assert stretch.tension_strain(low, stiffness) <= stretch.tension_strain(high, stiffness)


@few
@given(st.integers(1, 100_000), floats(0.01, 1.0))
def test_labels_to_length_and_back(labels: int, label_repeat: float) -> None:
    assert layout.labels_per_lane(labels * label_repeat, label_repeat) == labels


@few
@given(floats(0.02, 0.5), floats(0.1, 5.0), tensions)
def test_a_harder_pull_drags_in_less_air(radius: float, speed: float, pull: float) -> None:
    roll = air_film.air_film_in_roll(radius, 1.81e-5, speed, pull)
    assert air_film.air_film_in_roll(radius, 1.81e-5, speed, 2 * pull) < roll


@few
@given(floats(0.02, 0.2), floats(0.001, 0.05), floats(0.0, 0.5))
def test_a_thicker_core_is_stiffer_up_to_the_solid_one(inside: float, wall: float, poisson: float) -> None:
    thin = core_tube.core_stiffness(1.0, inside, inside + wall, poisson)
    thick = core_tube.core_stiffness(1.0, inside, inside + 2 * wall, poisson)
    solid = core_tube.core_stiffness(1.0, 0.0, inside + wall, poisson)
    assert thin < thick < solid == pytest.approx(1 / (1 - poisson), rel=1e-12)
