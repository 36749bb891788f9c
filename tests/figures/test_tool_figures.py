"""Figures of cutting tools: repeats, growth, the micron sum, life. Expected values by hand, beside each case."""

from __future__ import annotations

import math

import pytest

from filmcheck.records.value import Missing, Value

DIE_GEAR = "    teeth: 96\n    pitch: 1/8 in\n    for_face: pp\n"
RADIUS = "    radius: 48.5 mm\n"


def amount(value) -> float:
    assert isinstance(value, Value), value
    assert value.low == value.high
    return float(value.low)


@pytest.mark.parametrize(
    ("gear", "millimetres", "tolerance"),
    [
        ("teeth: 96\n    pitch: 1/8 in", 304.8, 1e-12),  # 12 in exactly
        ("teeth: 120\n    pitch: 1/8 in", 381.0, 1e-12),  # 15 in exactly
        ("teeth: 96\n    module: 1 mm", 301.5929, 2e-7),  # 96 π
        ("teeth: 120\n    pitch: 0.3141593 in", 957.5574, 2e-7),  # 10 DP: π/10 in a tooth
    ],
)
def test_repeat_of_a_geared_die(changed, gear, millimetres, tolerance) -> None:
    figures = changed((DIE_GEAR, f"    {gear}\n    for_face: pp\n"))
    assert amount(figures("die.circumference")) == pytest.approx(millimetres * 1e-3, rel=tolerance)


def test_snap_sample_is_two_die_repeats(changed) -> None:
    figures = changed((DIE_GEAR, "    teeth: 120\n    pitch: 1/8 in\n    for_face: pp\n"))
    assert amount(figures("snap.needed_sample")) == pytest.approx(0.762, rel=1e-12)


def test_growth_from_the_repeat(changed) -> None:
    # 381 mm of steel, 10 K warmer at 11.5e-6 1/K: 0.0438 mm more repeat, so 0.0438 / 2π more radius.
    figures = changed(
        (DIE_GEAR, "    teeth: 120\n    pitch: 1/8 in\n    for_face: pp\n"),
        (RADIUS, ""),
        ("warm_up: 8 K", "warm_up: 10 K"),
    )
    assert amount(figures("die.growth")) * 2 * math.pi == pytest.approx(0.0438e-3, rel=1e-3)


def test_growth_from_the_radius(changed) -> None:
    # A radius of 50 mm warmed 20 K grows by about 12 µm (the trade's figure; 11.5 at 11.5e-6 1/K).
    figures = changed((RADIUS, "    radius: 50 mm\n"), ("warm_up: 8 K", "warm_up: 20 K"))
    assert amount(figures("die.growth")) == pytest.approx(11.5e-6, rel=1e-12)


@pytest.mark.parametrize(
    ("built_for", "warm_up", "deepest", "shallowest"),
    [
        # Growth 11.5e-6 × 48.5 mm per kelvin = 0.55775 µm/K; run-outs 1 + 1 + 1 + 1 = 4 µm; wear 1 µm.
        # The warm die stands deepest; shallowest it stands at the start of the run, when it has not grown.
        ("23 µm", "8 K", 4.462 + 4 - 1, 4 + 1),
        ("23 µm", "20 K", 11.155 + 4 - 1, 4 + 1),
        ("36 µm", "8 K", 0.0, 13 + 4 + 1),
        ("20 µm", "0 K", 3 + 4 - 1, -3 + 4 + 1),
    ],
)
def test_micron_sum(changed, built_for, warm_up, deepest, shallowest) -> None:
    figures = changed(
        ("for_liner_caliper: 23 µm", f"for_liner_caliper: {built_for}"), ("warm_up: 8 K", f"warm_up: {warm_up}")
    )
    assert amount(figures("cut.deepest")) * 1e6 == pytest.approx(deepest, abs=1e-9)
    assert amount(figures("cut.shallowest")) * 1e6 == pytest.approx(shallowest, abs=1e-9)


def test_micron_sum_with_a_range(changed) -> None:
    # A liner of 22 to 24 µm under a die for 23 µm shifts both ends by 1 µm.
    figures = changed(("    material: film\n    caliper: 23 µm\n", "    material: film\n    caliper: 22 to 24 µm\n"))
    deepest = figures("cut.deepest")
    assert isinstance(deepest, Value)
    assert deepest.low * 1e6 == pytest.approx(6.462, abs=1e-9)
    assert deepest.high * 1e6 == pytest.approx(8.462, abs=1e-9)


def test_unknown_warm_up_is_named(changed) -> None:
    figures = changed(("gauge: fitted, warm_up: 8 K", "gauge: fitted"))
    assert isinstance(figures("die.growth"), Missing)
    deepest = figures("cut.deepest")
    assert isinstance(deepest, Value)
    assert deepest.assumes == ("the growth of the die is not known and left out",)


def test_life(changed) -> None:
    # 4200 m / 0.3048 m = 13779.5 turns; (120000 + 13779.5) / 1000000.
    figures = changed()
    assert amount(figures("die.planned_revolutions")) == pytest.approx(13779.53, rel=1e-6)
    assert amount(figures("die.life_share")) == pytest.approx(0.13377953, rel=1e-6)


def test_ages(changed) -> None:
    # From 20 October and 15 September to 24 November: 35 and 70 days.
    figures = changed()
    assert amount(figures("die.inspection_age")) == 35 * 86400
    assert amount(figures("anvil.inspection_age")) == 70 * 86400


@pytest.mark.parametrize(
    ("gap", "error"),
    [("3.2 mm", 0.0), ("4 mm", 2.4e-3), ("3 mm", 0.6e-3)],  # |304.8 − 3 (98.4 + gap)|
)
def test_labels_against_the_die(changed, gap, error) -> None:
    figures = changed(("gap: {around: 3.2 mm", f"gap: {{around: {gap}"))
    assert amount(figures("layout.repeat_error")) == pytest.approx(error, abs=1e-12)


def test_knives_by_the_sheet_before_the_register(changed) -> None:
    sheet = "  knives: {kind: shear, condition: sharp clean free, changed: 2026-11-02}\nchecks:"
    assert changed((sheet, "  knives: {condition: dull}\nchecks:"))("slitter.condition").low == "dull"


def test_knives_by_the_register_alone(changed) -> None:
    sheet = "  knives: {kind: shear, condition: sharp clean free, changed: 2026-11-02}\nchecks:"
    assert changed((sheet, "checks:"))("slitter.condition").low == "sharp clean free"
