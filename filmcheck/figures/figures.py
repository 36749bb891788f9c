"""The figures of one job, worked out when asked for and each only once."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import NamedTuple, TypeVar, cast

from filmcheck.figures.asking import Ask
from filmcheck.figures.figure import Route
from filmcheck.figures.gathered import COUNTED, GATHERED
from filmcheck.figures.lookups import ITS, Kept, Key, figure_of, key_of, lookup, single_of
from filmcheck.figures.scopes import LISTED
from filmcheck.figures.tracks import (
    ENTRIES,
    FROM_PRESS,
    KEYS,
    READERS,
    SHAPE,
    TODAY,
    Parts,
    Track,
    bit_of,
    number_of,
    track_of,
)
from filmcheck.figures.walked import states, temperatures
from filmcheck.plant.job import Item, Job
from filmcheck.plant.record import Record
from filmcheck.records.value import Figured, Missing, Need, Value
from filmcheck.web.walk import State

__all__ = ["ITS", "Figures"]

T = TypeVar("T")

_TODAY, _SHAPE, _WHOLE = bit_of(TODAY), bit_of(SHAPE), FROM_PRESS | bit_of(KEYS)
_TODAY_AT = _TODAY.bit_length() - 1
_homes: dict[str, str] = {}
"""Figures found to hang on one register entry and nothing else, by name, with that entry's document."""


class _Held(NamedTuple):
    """A figure kept with the register entry that it hangs on."""

    kept: Kept
    route: Route | None


class Figures:
    """Asks a job for figures by name. ``its.`` names a field of the thing at hand, ``that.`` of the one outside."""

    def __init__(self, job: Job, today: date) -> None:
        """Start with nothing worked out."""
        self._job = job
        self.sheet = job.sheet
        self.documents = job.documents
        self.mask = 0
        """The tracks of all that was looked at since somebody last set it to 0."""
        self.known: dict[Key, Kept] = {}
        self.routes: dict[Key, Route] = {}
        """The route taken, where a figure has several."""
        self._once: dict[str, tuple[object, int]] = {}
        self._contents: dict[int, int] = {}
        self._contents_of: dict[int, tuple[int, ...]] = {}
        self._today = today
        self.asked_today = False

    @property
    def today(self) -> date:
        """The day on which filmcheck runs; that it was asked for is kept, for the verdict then ages."""
        self.asked_today = True
        self.mask |= _TODAY
        return self._today

    @property
    def job(self) -> Job:
        """The job itself. Who takes it may look at the path as a whole, at the press, and at which parts there are."""
        self.mask |= _WHOLE
        return self._job

    def records(self, item: Item) -> tuple[Record, ...]:
        """Give the records of a thing, the sheet's own first, for what cannot be asked by name."""
        self.mask |= FROM_PRESS | bit_of(track_of(item.kind, "", item.number))
        return item.records

    def contents(self, parts: Parts) -> tuple[int, ...]:
        """Give what parts of this job read, each content by its number."""
        number, places = parts
        found = self._contents_of.get(number)
        if found is None:
            known = self._contents
            found = tuple([known[place] if place in known else self._content(place) for place in places])
            self._contents_of[number] = found
        return found

    def _content(self, place: int) -> int:
        mask = self.mask
        content = self.today if place == _TODAY_AT else READERS[place](self._job, self)
        number = self._contents[place] = number_of(content)
        self.mask = mask  # to compare is not to look
        return number

    def __call__(self, name: str, item: Item | None = None) -> Figured:
        """Give a figure of the job, or of the thing at hand where the name starts with ``its.``."""
        key = (name, item) if name[:4] == ITS else name
        kept = self.known.get(key)
        if kept is None:
            kept = self.keep(name, item, key)
        self.mask |= kept[1]
        return kept[0]

    def keep(self, name: str, item: Item | None, key: Key) -> Kept:
        """Look a figure up that is not known yet, and keep it. The mask stays as it was."""
        if key is name and name in _homes:
            held: _Held | None = self.documents[_homes[name]].known.get(name)
            if held is not None:
                self.known[key] = held.kept
                if held.route is not None:
                    self.routes[key] = held.route
                return held.kept
        before, self.mask = self.mask, 0
        kept = self.known[key] = (lookup(name, item.kind if item is not None else "")(self, item), self.mask)
        if key is name and self.mask in ENTRIES:
            # It looked at nothing but this entry, so it is the same for all jobs that name the entry.
            home = _homes[name] = ENTRIES[self.mask]
            self.documents[home].known[name] = _Held(kept, self.routes.get(key))
        self.mask = before
        return kept

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
        kept = self._once.get(name)
        if kept is None:
            before, self.mask = self.mask, 0
            kept = self._once[name] = (work(self), self.mask)
            self.mask = before
        self.mask |= kept[1]
        return cast(T, kept[0])

    def things(self, kind: str) -> tuple[Item, ...]:
        """Give the things of a kind: stations of the path, listed checks, zones of the walk."""
        kept = self._once.get(kind)
        if kept is None:
            return self.once(kind, lambda _: self._gather(kind))
        self.mask |= kept[1]
        return cast("tuple[Item, ...]", kept[0])

    def lack(self, kind: str) -> Missing | None:
        """Say why things of a kind cannot be told, such as stations of a sheet without a path."""
        if kind in LISTED:
            return None
        if kind in COUNTED:
            count = self(COUNTED[kind])
            return count if isinstance(count, Missing) else None
        job = self.job
        return None if job.stations else Missing((Need("path", "path", job.sheet.key_place),))

    def _gather(self, kind: str) -> tuple[Item, ...]:
        if kind in self._job.items:
            self.mask |= _SHAPE if kind == "station" else bit_of(Track("sheet", f"{kind}s"))
            return self._job.items[kind]
        gather = GATHERED.get(kind)
        if gather is not None:
            return gather(self)
        return tuple([station for station in self.things("station") if station.kind == kind])
