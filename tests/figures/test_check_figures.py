"""Figures of checks and results against values worked out by hand."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from filmcheck.figures.figures import Figures
from filmcheck.records.value import Missing, Value

LAST = "outcome: passed, die_pressure: 2.45 kN"


def drifts(figures: Figures) -> list[float | None]:
    """Give the pressure drift of each result, None where it cannot be told."""
    values = [figures("its.pressure_drift", item) for item in figures.things("result")]
    return [float(value.low) if isinstance(value, Value) else None for value in values]  # type: ignore[arg-type]


def test_drift_counts_from_the_first_reading(changed: Callable[..., Figures]) -> None:
    # 2.40, 2.42 and 2.45 kN: 0, 0.02 / 2.40 and 0.05 / 2.40; a snap test has no reading.
    found = drifts(changed())
    assert found == [0.0, None, pytest.approx(1 / 120), None, pytest.approx(5 / 240), None]


def test_drift_downwards_is_negative(changed: Callable[..., Figures]) -> None:
    assert drifts(changed((LAST, LAST.replace("2.45", "1.80"))))[4] == pytest.approx(-0.25)


@pytest.mark.parametrize("reading", ["240 kPa", "80 %"])
def test_readings_of_another_sort_are_not_compared(changed: Callable[..., Figures], reading: str) -> None:
    figures = changed((LAST, LAST.replace("2.45 kN", reading)))
    value = figures("its.pressure_drift", figures.things("result")[4])
    assert isinstance(value, Missing)
    assert value.needs[0].says.endswith(f"{reading} cannot be compared with the first reading 2.40 kN")


@pytest.mark.parametrize(
    ("moments", "at_set_up", "on_every_roll", "at_end"),
    [
        ("at: [set-up, every roll]", True, True, False),
        ("at: [set-up]", True, False, False),
        ("at: [every roll, end of job]", False, True, True),
        ("at: []", False, False, False),
    ],
)
def test_moments_of_a_check(
    changed: Callable[..., Figures], moments: str, at_set_up: bool, on_every_roll: bool, at_end: bool
) -> None:
    figures = changed(("{check: snap, at: [set-up, every roll]", f"{{check: snap, {moments}"))
    snap = figures.things("check")[1]
    expected_of = {"made_at_set_up": at_set_up, "made_on_every_roll": on_every_roll, "made_at_end": at_end}
    for name, expected in expected_of.items():
        value = figures(f"its.{name}", snap)
        assert isinstance(value, Value)
        assert value.low is expected


def test_a_check_without_moments_cannot_be_told(changed: Callable[..., Figures]) -> None:
    figures = changed(("{check: snap, at: [set-up, every roll], ", "{check: snap, "))
    value = figures("its.made_at_set_up", figures.things("check")[1])
    assert isinstance(value, Missing)
    assert value.needs[0].absent
