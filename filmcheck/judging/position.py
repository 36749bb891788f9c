"""Where along the path a station must stand: before, after, between or next to others, within so many stations."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from operator import attrgetter
from typing import NamedTuple

from filmcheck.figures.plain_names import kind_words
from filmcheck.figures.scopes import kinds_in
from filmcheck.judging.context import Context
from filmcheck.judging.phrases import joined
from filmcheck.plant.job import Item

_NUMBER = attrgetter("number")


class Anchor(NamedTuple):
    """A station that others are placed against.

    ``which`` is this (the one at hand), first or last of a kind, next or previous (of a kind, seen from the one at
    hand), or unit (of a kind).
    """

    which: str
    kind: str = ""
    unit: int = 0

    def find(self, context: Context) -> Item | None:
        """Give the station, or None where the path has none."""
        if self.which == "this":
            return context.item
        several = [things for kind in kinds_in(self.kind) if (things := context.figures.things(kind))]
        if self.which == "unit":
            found = [thing for things in several for thing in things if thing.label == f"{thing.kind} {self.unit}"]
        elif self.which in ("next", "previous"):
            found = [thing for things in several for thing in self._beyond(things, context.item)]
        else:
            found = [things[0 if self.which == "first" else -1] for things in several]
        pick = max if self.which in ("last", "previous") else min
        return pick(found, key=_NUMBER) if found else None

    def _beyond(self, things: tuple[Item, ...], here: Item | None) -> tuple[Item, ...]:
        if here is None:
            return ()
        if self.which == "next":
            return _from_to(things, here.number + 1, None)[:1]
        return _from_to(things, 0, here.number - 1)[-1:]

    @property
    def words(self) -> str:
        """Name the anchor."""
        return self._named(self.kind)

    def describe(self) -> str:
        """Name the anchor in plain words."""
        return self._named(kind_words(self.kind) if self.kind else "")

    def _named(self, kind: str) -> str:
        if self.which == "this":
            return "it"
        return f"{kind} {self.unit}" if self.which == "unit" else f"the {self.which} {kind}"


class Position(NamedTuple):
    """Where along the path a station must stand."""

    relation: str
    anchors: tuple[Anchor, ...]
    within: int | None = None

    def found(self, context: Context) -> list[int] | None:
        """Give the numbers of the stations that others are placed against; None where the path lacks one."""
        items = [anchor.find(context) for anchor in self.anchors]
        at = [item.number for item in items if item is not None]
        return at if len(at) == len(items) else None

    def among(self, things: tuple[Item, ...], at: list[int]) -> tuple[Item, ...]:
        """Give those of some stations, which stand in the order of the path, that stand so."""
        first = at[0]
        if self.relation == "next_to":
            return tuple(thing for number in (first - 1, first + 1) for thing in _from_to(things, number, number))
        if self.relation == "between":
            return _from_to(things, min(at) + 1, max(at) - 1)
        if self.relation == "before":
            return _from_to(things, first - self.within if self.within else 0, first - 1)
        return _from_to(things, first + 1, first + self.within if self.within else None)

    def describe(self) -> str:
        """Write the place in plain words."""
        anchors = joined([anchor.describe() for anchor in self.anchors], "and")
        relation = self.relation.replace("_", " ")
        if self.within is None:
            return f"{relation} {anchors}"
        return f"no more than {self.within} {'station' if self.within == 1 else 'stations'} {relation} {anchors}"

    def reason(self, context: Context) -> str:
        """Write the place on a job, with the lines of the stations."""
        near = f" within {self.within} station{'' if self.within == 1 else 's'}" if self.within else ""
        return f"{self.relation.replace('_', ' ')} {' and '.join(self._anchored(context))}{near}"

    def _anchored(self, context: Context) -> Iterator[str]:
        for anchor in self.anchors:
            item = anchor.find(context)
            yield f"{item.label} (line {item.place.span.line})" if item is not None else anchor.words


def _from_to(things: tuple[Item, ...], least: int, most: int | None) -> tuple[Item, ...]:
    start = bisect_left(things, least, key=_NUMBER)
    return things[start : bisect_right(things, most, key=_NUMBER) if most is not None else None]
