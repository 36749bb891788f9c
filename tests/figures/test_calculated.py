"""Routes of plain arithmetic: what a text comes to. The dimensions of all texts are checked with the catalogue."""

from __future__ import annotations

import math

import pytest

from filmcheck.figures.calculated import calculated, formula_of, function_of
from filmcheck.figures.catalogue import CATALOGUE
from filmcheck.figures.figure import Default


@pytest.mark.parametrize(
    ("text", "numbers", "result"),
    [
        ("web.length / web.speed", (12.0, 4.0), 3.0),
        ("its.tension:line tension × web.width", (150.0, 0.5), 75.0),
        ("web.length − web.width", (5.0, 2.0), 3.0),
        ("web.length + 2 × web.width", (5.0, 2.0), 9.0),
        ("web.length − web.width − 1", (5.0, 2.0), 2.0),
        ("2 × (web.length + web.width) / web.length", (4.0, 2.0), 3.0),
        ("web.length × web.length / web.width", (4.0, 2.0), 8.0),  # a name that comes twice is one need
        ("|web.length − web.width|", (2.0, 5.0), -3.0),  # the size is taken behind it, so that a range may cross zero
        ("√(web.length³ / web.width²)", (4.0, 2.0), 4.0),
        ("⌈web.length / web.width⌉", (5.0, 2.0), 3),
        ("web.length / (2 × π)", (4.0,), 2.0 / math.pi),
        ("the greater of 0 and web.length − web.width", (2.0, 5.0), 0),
        ("the less of web.length and web.width", (2.0, 5.0), 2.0),
        ("web.length + [60 µm]", (1e-3,), 1.06e-3),
        ("[11.5e-6 1/K] × web.length", (2.0,), 23e-6),
    ],
)
def test_a_text_comes_to_what_it_says(text: str, numbers: tuple[float, ...], result: float) -> None:
    assert function_of(calculated(text))(*numbers) == pytest.approx(result, rel=1e-15)


def test_a_route_is_made_of_its_text() -> None:
    gap = Default("layout.gap.across", 0.0, "no gap")
    route = calculated("|layout.label.across + layout.gap.across − [60 µm]|", gap)
    assert route.needs == ("layout.label.across", gap)
    assert route.arithmetic == "|{layout.label.across} + {layout.gap.across} − 60 µm|"
    assert route.size
    assert not calculated("web.length").size


def test_the_need_that_a_finding_points_at_may_stand_behind_another() -> None:
    route = calculated("web.length / web.speed", first="web.speed")
    assert route.needs == ("web.speed", "web.length")
    assert function_of(route)(4.0, 12.0) == 3.0


def test_a_quantity_that_is_none_is_a_fault_of_the_catalogue() -> None:
    with pytest.raises(ValueError, match=r"\[60 mü\] is no quantity"):
        function_of(calculated("web.length + [60 mü]"))


@pytest.mark.parametrize(
    ("name", "formula"),
    [
        ("layout.label_repeat", "label around + gap around"),
        ("layout.repeat_error", "|repeat of the die − number of labels around × repeat of the label|"),
        ("unwind.supply", "roll length × rolls"),
        ("unwind.line_tension", "T′ = F / w"),  # stated
        ("station.number", "order of the sheet"),  # no text to tell
    ],
)
def test_a_figure_without_a_formula_is_told_by_its_arithmetic(name: str, formula: str) -> None:
    assert formula_of(CATALOGUE[name]) == formula
