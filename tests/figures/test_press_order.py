"""A path against the order of the press: the press orders stand in the proving plant, the verdicts follow by hand."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from filmcheck.figures.figures import Figures
from filmcheck.records.value import Missing, Value

CLEANER = (
    "  - web cleaner: {kind: contact}\n  - static control: {kind: active bar}\n  - nip: {name: infeed, tension: 46 N}"
)
CONTROL = "  - static control: {kind: active bar}\n  - web cleaner: {kind: contact}"


def turned_back(figures: Figures) -> list[str]:
    """Give the labels of the stations that the web cannot meet where the sheet has them."""
    found = [(item.label, figures("its.in_press_order", item)) for item in figures.job.stations]
    assert all(isinstance(value, Value) for _, value in found)
    return [label for label, value in found if isinstance(value, Value) and value.low is False]


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        pytest.param("title: Clear", "title: Clear", [], id="as on the press"),
        pytest.param(
            CLEANER,
            "  - static control: {kind: active bar}\n  - nip: {name: infeed, tension: 46 N}\n"
            "  - web cleaner: {kind: contact}",
            ["web cleaner"],
            id="cleaner behind the infeed nip",
        ),
        pytest.param(
            CONTROL,
            "  - web cleaner: {kind: contact}",
            [],
            id="the second static control used without the first",
        ),
        pytest.param(
            "  - print: {unit: 2, ink: uv flexo}",
            "  - print: {unit: 9, ink: uv flexo}",
            [],
            id="a unit that the press has not is no matter of order",
        ),
        pytest.param(
            "  - print: {unit: 1, ink: uv flexo}",
            "  - print: {unit: 2, ink: uv screen}",
            # Unit 2 is there twice now. Without the first of them the path follows the press.
            ["print 2"],
            id="second unit before the first lamp",
        ),
    ],
)
def test_what_the_press_has_behind_the_web(
    changed: Callable[..., Figures], old: str, new: str, expected: list[str]
) -> None:
    assert turned_back(changed((old, new))) == expected


def test_without_a_press_nothing_can_be_told(changed: Callable[..., Figures]) -> None:
    figures = changed(("press: straight-8\nstock:", "stock:"))
    value = figures("its.in_press_order", figures.job.stations[0])
    assert isinstance(value, Missing)
    assert [need.name for need in value.needs] == ["press"]
