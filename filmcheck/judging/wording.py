"""Puts what a rule asked for into words: the arithmetic behind it, its places, what an expression comes to."""

from __future__ import annotations

from collections.abc import Iterable

from filmcheck.figures.wording import (
    Units,
    add_lines,
    as_given_or_shown,
    both_units,
    bounded,
    called,
    dimension_of,
    shown,
    sources,
)
from filmcheck.judging.expression import Expression, LimitName, Name
from filmcheck.judging.scene import ITS, THAT, Scene
from filmcheck.plant.job import Item
from filmcheck.records.finding import Related
from filmcheck.records.value import Missing, Value

__all__ = [
    "Units",
    "arithmetic",
    "as_given_or_shown",
    "both_units",
    "called",
    "dimension_of",
    "expression_text",
    "place_in",
    "related",
    "shown",
    "sources",
]


def place_in(scene: Scene, name: str) -> tuple[str, Item | None]:
    """Give the name and thing under which the figures keep what a rule calls by this name."""
    if name.startswith(THAT):
        return ITS + name[len(THAT) :], scene.outer
    return scene.figures.owned(name, scene.item)


def arithmetic(scene: Scene, names: Iterable[str], units: Units) -> tuple[str, ...]:
    """Give the arithmetic lines of the figures that a rule asked for, the innermost first, each once."""
    lines: dict[str, None] = {}
    for name in names:
        add_lines(scene.figures, *place_in(scene, name), units, lines, 0)
    return tuple(lines)


def related(scene: Scene, names: Iterable[str]) -> tuple[Related, ...]:
    """Give the places of all data behind some figures."""
    found: dict[object, Related] = {}
    for name in names:
        for source in sources(scene.figures, *place_in(scene, name)):
            found.setdefault(source.place, Related(source.place, f"{source.name}: {source.text}"))
    return tuple(found.values())


BOUNDS = ("at most", "at least")
"""Words behind a unit that say which way to round."""


def expression_text(expression: Expression, scene: Scene, units: Units, unit: str = "", bound: str = "") -> str:
    """Write what an expression comes to on this job. A bound rounds towards its safe side."""
    value = expression.work(scene)
    if bound and isinstance(value, Value):
        return bounded(value, expression.sort.name, unit, bound)
    if unit or isinstance(value, Missing):
        return shown(value, expression.sort.name, units, unit)
    if value.source is not None and isinstance(expression, Name):
        return value.source.text
    if isinstance(expression, LimitName) and value.source is not None:
        return value.source.text
    if expression.sort.name == "line tension":
        first, second = both_units(value, "line tension", units).split(" = ")
        return f"{first} ({second})"
    return shown(value, expression.sort.name, units)
