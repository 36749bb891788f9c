"""The arithmetic that is printed under a figure comes to the figure: every line is worked out again, with units."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from typing import Any

import pint
import pytest

IN_WORDS = frozenset(
    {
        "laminate.heat_capacity",  # a sum of nine data
        "print.repeat_error",  # the nearest whole multiple
        "result.pressure_drift",
        "unwind.climb",  # nothing to reckon under a closed loop
        "unwind.end_diameter",  # the greater of two
        "die_cut.creep_back",  # a size within the line
        "air.dew_point",
        "label.narrower_side",
        "cut.growth",
        "turn_bar.capstan",  # a cosine
        "rewound_roll.air_leak_time",
        "zone.rise",
        *(
            f"wound_roll.{name}"
            for name in (
                "core_stiffness",
                "core_pressure",
                "greatest_pressure",
                "body_pressure",
                "compression",
                "wrinkling_share",
                "big_core_pressure",
                "core_grip_share",
                "start_for_big_core",
                "slip_radius",
                "torque_carried",
                "torque_asked",
            )
        ),
    }
)
"""Figures whose arithmetic is told in words on one of the two jobs, for the formula is longer than a line."""

UNITS = (
    "J/\\(m² K\\)|lbf/in|g/cm\\^3|g/m²|m/min|ft/min|m/s²|W/cm|N/m|Pa s|N m|1/K|kPa|MPa|GPa|degC|°C|deg|lbf|kg|kN|min|µm"
    "|mm|ft|in|N|K|m|s|h|%"
)
QUANTITY = re.compile(rf"(?<![\w.])(\d+(?:/\d+)?(?:\.\d+)?(?:e-?\d+)?) ?({UNITS})?(?![\w/.²])")
SIGNS = {
    "×": "*",
    "−": "-",
    "√(": "sqrt(",
    "[": "(",
    "]": ")",
    "^(": "**(",
    "e**(": "exp(",
    "⌈": "ceil(",
    "⌉": ")",
    ")²": ")**2",
}
REGISTRY = pint.UnitRegistry()
ROUNDING = 0.015
"""What is printed has three digits or four."""


def _told(sheet: Any) -> Iterator[tuple[str, str, str]]:
    for line in sheet.figures:
        if line.arithmetic:
            text, _, results = line.arithmetic.partition(" = ")
            yield (f"{line.name} of {line.of}" if line.of else line.name), text, results


def _amount(found: re.Match[str]) -> str:
    return f"q({found[1]!r}, {found[2] or ''!r})"


def _expression(text: str) -> str:
    text = re.sub(r"^\|(.*)\|$", r"abs(\1)", text)
    text = re.sub("^the greater of 0 and (.*)$", r"positive(\1)", text)
    for sign, code in SIGNS.items():
        text = text.replace(sign, code)
    return QUANTITY.sub(_amount, text)


class Reckoner:
    """Works out a line with pint, and keeps the largest amount that it met."""

    def __init__(self) -> None:
        self.largest = 0.0

    def amount(self, number: str, unit: str) -> Any:
        above, _, below = number.partition("/")
        value = float(above) / float(below or 1)
        if not unit:
            return value  # a plain number; nothing can be added to a length that is not one, save 0
        word = {"%": "percent", "°C": "degC"}.get(unit, unit.replace("²", "**2"))
        if word == "degC":
            found = REGISTRY.Quantity(value + 273.15, "K")
        else:
            found = REGISTRY.Quantity(value, word).to_base_units()
        self.largest = max(self.largest, abs(found.magnitude))
        return found

    def work(self, text: str) -> tuple[float, str]:
        names = {"q": self.amount, "sqrt": lambda x: x**0.5, "exp": lambda x: math.exp(x), "π": math.pi, "abs": abs}
        names |= {"positive": lambda x: max(x, 0 * x), "ceil": lambda x: math.ceil(x.to("").magnitude)}
        found = eval(_expression(text), {"__builtins__": {}}, names)  # noqa: S307  # our own report's line
        quantity = REGISTRY.Quantity(found).to_base_units()
        return float(quantity.magnitude), str(quantity.dimensionality)


@pytest.mark.parametrize("job", ["sound", "second"])
def test_a_printed_line_comes_to_the_figure_it_stands_under(job: str, request: pytest.FixtureRequest) -> None:
    _, sheet = request.getfixturevalue(job)
    wrong, checked = [], 0
    for name, text, results in _told(sheet):
        if name in IN_WORDS or name.partition(" of ")[0] in IN_WORDS:
            continue
        checked += 1
        for result in results.split(" = "):
            left, right = Reckoner(), Reckoner()
            (got, dimension), (said, meant) = left.work(text), right.work(result)
            slack = ROUNDING * abs(said) + 5e-4 * left.largest * (abs(said) < 0.1 * left.largest)
            if dimension != meant or abs(got - said) > slack:
                wrong.append(f"{name}: {text} is {got:g} and not {result}")
    assert wrong == []
    assert checked > 50


def test_words_stand_only_where_they_must(sound: Any, second: Any) -> None:
    names = {name for _, sheet in (sound, second) for name, _, _ in _told(sheet)}
    known = names | {name.partition(" of ")[0] for name in names}
    assert IN_WORDS - known == frozenset()


@pytest.mark.parametrize("job", ["sound", "second"])
def test_no_line_leaves_a_number_out(job: str, request: pytest.FixtureRequest) -> None:
    _, sheet = request.getfixturevalue(job)
    assert [line.name for line in sheet.figures if "not known" in line.arithmetic or "{" in line.arithmetic] == []
