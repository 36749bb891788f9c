"""What a figure can be: a value (exact or a range), or missing with what it lacks."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from itertools import product
from typing import Any, NamedTuple, Protocol

from filmcheck.records.place import Place

Plain = float | int | str | bool | date
"""A number is in SI units; words, dates and truth values are themselves."""


class Written(Protocol):
    """Something that is written somewhere."""

    @property
    def text(self) -> str:
        """How it is written."""

    @property
    def place(self) -> Place:
        """Where it stands."""


class Source(NamedTuple):
    """One datum that a value rests on: its name, and what is written. Few are asked where that stands."""

    name: str
    written: Written

    @property
    def text(self) -> str:
        """How the sheet writes it."""
        return self.written.text

    @property
    def place(self) -> Place:
        """Where it stands."""
        return self.written.place


GENERIC = " is generic, not of this plant"
"""What is said behind the name of a figure that a generic entry gave: findings that rest on it bear the whole text."""


class Value(NamedTuple):
    """A known figure. ``low`` and ``high`` are equal when it is exact; ``source`` is set when it was given."""

    low: Plain
    high: Plain
    source: Source | None = None
    assumes: tuple[str, ...] = ()

    @property
    def exact(self) -> bool:
        """Whether the figure is one value and not a range."""
        return self.low == self.high


class Need(NamedTuple):
    """A datum that is lacking, why or what it is, and the place where it should be written.

    One that is ``astray`` is written in another dimension than was asked for, or belongs to an entry that need not be
    named, so another route takes it; one that is ``spoiled`` is written, but what is written is at fault. What is to
    be written at the place stands ``within`` these keys.
    """

    name: str
    says: str
    place: Place | None = None
    astray: bool = False
    spoiled: bool = False
    within: tuple[str, ...] = ()

    @property
    def absent(self) -> bool:
        """Whether the datum simply is not written, and nothing else stands in the way."""
        return self.says == self.name


class Missing(NamedTuple):
    """A figure that cannot be told, with all that it lacks."""

    needs: tuple[Need, ...]

    @property
    def is_absent(self) -> bool:
        """Whether its data simply are not written, and nothing else stands in the way."""
        return not [need for need in self.needs if need[0] != need[1]]

    @property
    def is_spoiled(self) -> bool:
        """Whether some of its data are written, but at fault: then nothing may be taken in their place."""
        return any(need.spoiled for need in self.needs)


Figured = Value | Missing


def number(value: Plain) -> float:
    """Give a plain value as a number to compare by; a date counts its days."""
    if value.__class__ is float or value.__class__ is int:
        return float(value)
    if isinstance(value, date):
        return float(value.toordinal())
    if isinstance(value, str):
        raise TypeError(f"{value!r} is a word and no number")
    return float(value)


def exact(value: Plain, *assumes: str) -> Value:
    """Make a value that has no range."""
    return Value(value, value, None, assumes)


def size_of(value: Value) -> Value:
    """Give the size of a signed number; the size of a range across zero begins at zero."""
    low, high = number(value.low), number(value.high)
    least = 0.0 if low <= 0.0 <= high else min(abs(low), abs(high))
    return value._replace(low=least, high=max(abs(low), abs(high)))


def lacking(*figures: Figured) -> tuple[Need, ...]:
    """Collect what several figures lack, each need once, in the order in which they come."""
    seen = {need.name: need for figure in figures if isinstance(figure, Missing) for need in figure.needs}
    return tuple(seen.values())


def assumed(values: Iterable[Value]) -> tuple[str, ...]:
    """Collect what several values assume, each text once, in the order in which they come."""
    texts = [text for value in values if value.assumes for text in value.assumes]
    return tuple(dict.fromkeys(texts)) if texts else ()


def ends_over(work: Callable[..., Any], values: Iterable[Value]) -> tuple[Any, Any]:
    """Give the least and the greatest that work comes to over every end of the values. An exact one has one end."""
    found = [work(*corner) for corner in product(*[{value.low, value.high} for value in values])]
    return min(found), max(found)
