"""The unit in which people wrote what a number rests on, so that nobody who works in inches reads millimetres."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import log10
from typing import NamedTuple

from filmcheck.figures.figures import Figures
from filmcheck.figures.wording import sources
from filmcheck.plant.job import Item
from filmcheck.plant.record import Datum
from filmcheck.records.value import Figured, Source, Value, number
from filmcheck.units.quantity import DIMENSIONS, Quantity, factor

LIKE = 100
"""How many times larger or smaller a size may be than what is written and still be told in its unit."""

_OF_GEARS = (".pitch", ".module")
"""Data of gears, which go by the inch in metric plants too."""


class Cited(NamedTuple):
    """A quantity as it is written: of which dimension, its size in SI, and its unit."""

    dimension: str
    size: float
    unit: str


def cited(value: Figured) -> Iterator[Cited]:
    """Give what is written of a figure that was given; nothing of one that was worked out."""
    if isinstance(value, Value) and value.source is not None:
        yield from _written(value.source)


def beneath(found: Iterable[Source]) -> Iterator[Cited]:
    """Give what is written of the data that figures rest on, each once, those of gears left out."""
    for source in {source.place: source for source in found}.values():
        if not source.name.endswith(_OF_GEARS):
            yield from _written(source)


def near(value: Value, dimension: str, written: Iterable[Cited]) -> list[str]:
    """Give the units of what is written that is of like size, the nearest first."""
    apart = [(_apart(one.size, number(value.high)), one.unit) for one in written if one.dimension == dimension]
    return [unit for far, unit in sorted(apart) if far < LIKE]


def by_tens(one: str, other: str, dimension: str) -> bool:
    """Whether two units differ by a power of ten."""
    tens = log10(factor(one, dimension) / factor(other, dimension))
    return abs(tens - round(tens)) < 1e-9


def unit_of(value: Value, dimension: str, written: Sequence[Cited], usual: str) -> str:
    """Give the unit of what is nearest in size, unless some of it is written in the usual one or in tens of it."""
    found = near(value, dimension, written)
    return usual if not found or any(by_tens(unit, usual, dimension) for unit in found) else found[0]


def own_unit(figures: Figures, name: str, item: Item | None, dimension: str) -> str:
    """Give the unit in which a figure is best told to those who wrote its data; empty for the usual one."""
    value = figures(name, item)
    if not isinstance(value, Value) or dimension not in DIMENSIONS or dimension in ("line tension", "ratio", "count"):
        return ""
    usual = DIMENSIONS[dimension].unit
    unit = unit_of(value, dimension, tuple(beneath(sources(figures, name, item))), usual)
    return "" if unit == usual else unit


def _written(source: Source) -> Iterator[Cited]:
    content = source.written.content if isinstance(source.written, Datum) else None
    if isinstance(content, Quantity):
        yield Cited(content.dimension, content.high, content.unit)


def _apart(one: float, other: float) -> float:
    """How many times larger one size is than another; without end where a sign or a nought stands between."""
    return max(one / other, other / one) if one * other > 0 else float("inf")
