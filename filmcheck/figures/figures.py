"""The figures of one job, worked out when asked for and each only once."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any, TypeVar

from filmcheck.figures.figure import Ask, Route
from filmcheck.figures.lookups import ITS, Key, enclosing, figure_of, key_of, lookup, single_of
from filmcheck.figures.path_steps import states
from filmcheck.figures.scopes import LISTED
from filmcheck.figures.walked import temperatures
from filmcheck.figures.wound_rolls import finished_roll, press_roll, supplied_roll
from filmcheck.figures.zones import zones
from filmcheck.plant.job import Item, Job
from filmcheck.records.value import Figured, Missing, Need, Value
from filmcheck.web.spans import State

__all__ = ["ITS", "Figures"]

T = TypeVar("T")

MOST = 1000
"""Rolls or lanes beyond this number are a slip of the pen; the implausible count is a finding of its own."""


def _counted(kind: str, figure: str) -> Callable[[Ask], tuple[Item, ...]]:
    def gather(ask: Ask) -> tuple[Item, ...]:
        count = ask(figure)
        if isinstance(count, Missing) or not isinstance(count.low, int):
            return ()
        place = count.source.place if count.source else ask.job.sheet.place
        return tuple(Item(kind, f"{kind} {number}", number, (), place) for number in range(1, min(count.low, MOST) + 1))

    return gather


COUNTED = {"roll": "rewind.rolls", "lane": "layout.lanes"}
"""Things that the sheet only counts, and the figure that counts them."""

GATHERED: dict[str, Callable[[Ask], tuple[Item, ...]]] = {
    "zone": zones,
    "supplied roll": supplied_roll,
    "press roll": press_roll,
    "finished roll": finished_roll,
    **{kind: _counted(kind, figure) for kind, figure in COUNTED.items()},
}


class Figures:
    """Asks a job for figures by name. ``its.`` names a field of the thing at hand, ``that.`` of the one outside."""

    def __init__(self, job: Job, today: date) -> None:
        self.job = job
        self.sheet = job.sheet
        self.documents = job.documents
        self.known: dict[Key, Figured] = {}
        self.routes: dict[Key, Route] = {}
        """The route taken, where a figure has several."""
        self._once: dict[str, Any] = {}
        self._today = today
        self.asked_today = False

    @property
    def today(self) -> date:
        """The day on which filmcheck runs; that it was asked for is kept, for the verdict then ages."""
        self.asked_today = True
        return self._today

    def __call__(self, name: str, item: Item | None = None) -> Figured:
        """Give a figure of the job, or of the thing at hand where the name starts with ``its.``."""
        key = (name, item) if name[:4] == ITS else name
        found = self.known.get(key)
        return self.work_out(key, name, item) if found is None else found

    def work_out(self, key: Key, name: str, item: Item | None) -> Figured:
        """Work out a figure that is not known yet, and keep it under its key."""
        found = self.known[key] = lookup(name, item.kind if item is not None else "")(self, item)
        return found

    def bounds(self, name: str, item: Item | None = None) -> Value | None:
        """Give two ends between which a figure lies, without working it out; None where none are known for it.

        They only serve to decide a comparison: for words and numbers ask for the figure.
        """
        name, item = self.owned(name, item)
        look = enclosing(name, item.kind if item is not None else "")
        return look(self, item) if look is not None else None

    def take_over(self, other: Figures) -> None:
        """Take over what other figures have worked out, where it is the same on this job."""
        self.known.update(other.known)
        self.routes.update(other.routes)
        self._once.update(other._once)

    def owned(self, name: str, item: Item | None) -> tuple[str, Item | None]:
        """Give the name and the thing that a figure is told by: unwind.tension is a field of the unwind."""
        if name.startswith(ITS):
            return name, item
        kind, rest = single_of(name)
        things = self.things(kind) if kind else ()
        return (ITS + rest, things[0]) if things else (name, None)

    def route(self, name: str, item: Item | None = None) -> Route | None:
        """Give the route by which a figure was worked out; None for one that was given."""
        if not isinstance(self(name, item), Value):
            return None
        name, item = self.owned(name, item)
        figure = figure_of(name, item.kind if item is not None else "")
        if figure is None:
            return None
        return figure.routes[0] if len(figure.routes) == 1 else self.routes.get(key_of(name, item))

    def states(self) -> dict[Item, State]:
        """Give the state of the web behind each station, walked once."""
        return self.once("states", states)

    def temperatures(self) -> dict[Item, Figured]:
        """Give the temperature of the web behind each station, walked once."""
        return self.once("temperatures", temperatures)

    def once(self, name: str, work: Callable[[Ask], T]) -> T:
        """Give what the work comes to on this job, and do it only once."""
        found: T | None = self._once.get(name)
        if found is None:
            found = self._once[name] = work(self)
        return found

    def things(self, kind: str) -> tuple[Item, ...]:
        """Give the things of a kind: stations of the path, listed checks, zones of the walk."""
        found: tuple[Item, ...] | None = self._once.get(kind)
        if found is None:
            found = self._once[kind] = self._gather(kind)
        return found

    def lack(self, kind: str) -> Missing | None:
        """Say why things of a kind cannot be told, such as stations of a sheet without a path."""
        if kind in LISTED:
            return None
        if kind in COUNTED:
            count = self(COUNTED[kind])
            return count if isinstance(count, Missing) else None
        return None if self.job.stations else Missing((Need("path", "path", self.job.sheet.key_place),))

    def _gather(self, kind: str) -> tuple[Item, ...]:
        if kind in self.job.items:
            return self.job.items[kind]
        gather = GATHERED.get(kind)
        if gather is not None:
            return gather(self)
        return tuple([station for station in self.job.stations if station.kind == kind])
