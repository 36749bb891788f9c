"""Laws that hold for any values: round trips, compositions, directions of change."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from filmcheck.formulas import (
    air_film,
    core_tube,
    die,
    draw,
    layout,
    repeat,
    roll_geometry,
    roll_mass,
    slip,
    stretch,
    taper,
    tension,
    unwind_brake,
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
    assert roll_geometry.roll_outside_diameter(length, core, caliper) == pytest.approx(core + build, rel=1e-12)


@few
@given(cores, builds, builds, calipers)
def test_length_of_a_roll_is_the_sum_of_its_rings(core: float, one: float, two: float, caliper: float) -> None:
    inner = roll_geometry.roll_length(core + one, core, caliper)
    outer = roll_geometry.roll_length(core + one + two, core + one, caliper)
    whole = roll_geometry.roll_length(core + one + two, core, caliper)
    assert whole == pytest.approx(inner + outer, rel=1e-12)


@few
@given(cores, builds, calipers)
def test_length_is_wraps_times_mean_circumference(core: float, build: float, caliper: float) -> None:
    wraps = roll_geometry.roll_wraps(core + build, core, caliper)
    mean = math.pi * (core + build / 2)
    assert roll_geometry.roll_length(core + build, core, caliper) == pytest.approx(wraps * mean, rel=1e-9)


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
    hyperbolic = taper.hyperbolic_end_tension(start, share, core, full)
    assert hyperbolic >= taper.linear_end_tension(start, share) - 1e-12 * start


@few
@given(tensions, cores, builds)
def test_full_hyperbolic_taper_is_constant_torque(start: float, core: float, build: float) -> None:
    at_full = taper.hyperbolic_taper_tension(start, 1.0, core + build, core)
    assert at_full == pytest.approx(unwind_brake.brake_tension(start, 2 * core, 2 * (core + build)), rel=1e-9)


@few
@given(tensions, floats(0.3, 1.2), tensions)
def test_brake_pulls_the_limit_at_the_crossing(start: float, diameter: float, limit: float) -> None:
    crossing = unwind_brake.brake_crossing_diameter(start, diameter, limit)
    assert unwind_brake.brake_tension(start, diameter, crossing) == pytest.approx(limit, rel=1e-12)
    assert unwind_brake.brake_tension(start, diameter, 0.9 * crossing) > limit


@few
@given(tensions, tensions, floats(1e4, 1e6))
def test_more_tension_never_means_less_stretch(one: float, other: float, stiffness: float) -> None:
    low, high = sorted((one, other))
    assert stretch.tension_strain(low, stiffness) <= stretch.tension_strain(high, stiffness)


@few
@given(tensions, floats(0.05, 1.0), calipers)
def test_tension_round_trips(total: float, width: float, caliper: float) -> None:
    line = tension.line_tension(total, width)
    assert tension.total_tension(line, width) == pytest.approx(total, rel=1e-12)
    stress = tension.web_stress(line, caliper)
    assert tension.line_tension_from_stress(stress, caliper) == pytest.approx(line, rel=1e-12)
    torque = tension.torque_from_total_tension(total, width)
    assert tension.total_tension_from_torque(torque, width) == pytest.approx(total, rel=1e-12)


@few
@given(floats(0.0, 0.02), floats(0.5, 2.0), floats(0.98, 1.02), floats(0.98, 1.02))
def test_draws_compose(strain: float, speed: float, first: float, second: float) -> None:
    step = draw.strain_after_draw(strain, speed, speed * first)
    step = draw.strain_after_draw(step, speed * first, speed * first * second)
    whole = draw.strain_after_draw(strain, speed, speed * first * second)
    assert step == pytest.approx(whole, abs=1e-12)


@few
@given(floats(-100.0, 100.0), floats(0.1, 1.0), floats(0.0, 30e-6))
def test_growth_of_radius_and_of_repeat_agree(change: float, repeat_length: float, expansion: float) -> None:
    radius = repeat_length / (2 * math.pi)
    grown = 2 * math.pi * die.growth_by_heat(radius, expansion, change)
    assert grown == pytest.approx(die.growth_by_heat(repeat_length, expansion, change), rel=1e-9, abs=1e-18)


@few
@given(calipers, calipers, floats(-3e-5, 3e-5), floats(0.0, 1e-5), floats(0.0, 1e-5))
def test_the_cut_lies_in_its_range(liner: float, built: float, growth: float, run_out: float, wear: float) -> None:
    shallow, deep = die.cut_depth_range(liner, built, growth, run_out, wear)
    assert deep - shallow == pytest.approx(2 * run_out, abs=1e-15)
    for turned in (-run_out, 0.0, run_out):
        error = die.cut_clearance_error(liner, built, growth, turned, -wear)
        assert shallow - 1e-15 <= error <= deep + 1e-15


@few
@given(st.integers(1, 100_000), floats(0.01, 1.0), floats(0.0, 50.0))
def test_labels_to_length_and_back(labels: int, label_repeat: float, waste: float) -> None:
    length = layout.length_for_labels(labels, label_repeat, waste)
    assert layout.labels_per_lane(length, label_repeat, waste) == labels


@few
@given(st.integers(1, 400), floats(5e-4, 5e-3))
def test_one_gear_in_two_pitches_has_one_repeat(teeth: int, module: float) -> None:
    by_module = repeat.repeat_by_module(teeth, module)
    by_circular = repeat.repeat_by_circular_pitch(teeth, math.pi * module)
    assert repeat.repeats_agree(by_module, by_circular, 1e-9)


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


@few
@given(tensions, floats(0.0, 10.0), floats(0.01, 0.5), floats(20e-6, 300e-6), floats(0.02, 0.2), builds)
def test_torque_asked_in_one_polynomial_is_that_of_the_formulas_it_is_made_of(
    pull: float, change: float, areal_mass: float, thickness: float, core: float, build: float
) -> None:
    width, outside, inside = 0.33, 2 * (core + build), 2 * core
    mass = roll_mass.roll_mass(areal_mass, roll_geometry.roll_length(outside, inside, thickness), width)
    inertia = roll_mass.roll_inertia(mass, outside, inside)
    expected = slip.torque_asked(pull, outside, inertia, slip.angular_acceleration(change, outside))
    constant, by_fourth = slip.torque_asked_terms(pull, change, areal_mass, width, thickness, outside)
    assert constant - by_fourth * core**4 == pytest.approx(expected, rel=1e-9)


@few
@given(floats(0.1, 200.0), floats(0.02, 0.2), builds, builds)
def test_inertia_of_a_roll_is_the_sum_of_its_rings(density: float, core: float, one: float, two: float) -> None:
    bounds = [core, core + one, core + one + two]

    def inertia(inside: float, outside: float) -> float:
        mass = density * (outside**2 - inside**2)
        return roll_mass.roll_inertia(mass, outside, inside)

    parts = inertia(bounds[0], bounds[1]) + inertia(bounds[1], bounds[2])
    assert inertia(bounds[0], bounds[2]) == pytest.approx(parts, rel=1e-9)
