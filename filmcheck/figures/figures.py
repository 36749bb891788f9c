"""The figures of one job, worked out when asked for and each only once."""

from __future__ import annotations

from datetime import date
from itertools import product
from typing import Any

from filmcheck.figures.catalogue import CATALOGUE, find_scoped
from filmcheck.figures.figure import Default, Figure, Route
from filmcheck.figures.gathered import COUNTED, GATHERED
from filmcheck.figures.given import ROOTS
from filmcheck.figures.scopes import LISTED, SINGLE
from filmcheck.figures.walked import states
from filmcheck.plant.job import Item, Job, why_unusable
from filmcheck.plant.record import Datum, Record, Unusable, deepest, find
from filmcheck.units import Quantity
from filmcheck.value import Figured, Missing, Need, Source, Value, exact, lacking
from filmcheck.webpath import State

ITS = "its."
THAT = "that."


class Figures:
    """Asks a job for figures by name. ``its.`` names a field of the thing at hand, ``that.`` of the one outside."""

    def __init__(self, job: Job, today: date) -> None:
        """Start with nothing worked out."""
        self.job = job
        self._today = today
        self.asked_today = False
        self._known: dict[tuple[str, Item | None], Figured] = {}
        self._routes: dict[tuple[str, Item | None], Route] = {}
        self._gathered: dict[str, tuple[Item, ...]] = {}
        self._states: dict[Item, State] | None = None

    @property
    def today(self) -> date:
        """The day on which filmcheck runs; that it was asked for is kept, for the verdict then ages."""
        self.asked_today = True
        return self._today

    def __call__(self, name: str, item: Item | None = None) -> Figured:
        """Give a figure of the job, or of the thing at hand where the name starts with ``its.``."""
        key = self.owned(name, item)
        known = self._known.get(key)
        if known is None:
            known = self._known[key] = self._find(*key)
        return known

    def owned(self, name: str, item: Item | None) -> tuple[str, Item | None]:
        """Give the name and the thing that a figure is kept under: unwind.tension is a field of the unwind."""
        if name.startswith(ITS):
            return name, item
        head, _, rest = name.partition(".")
        kind = head.replace("_", " ")
        if kind in SINGLE and rest:
            things = self.things(kind)
            return (ITS + rest, things[0]) if things else (name, None)
        return name, None

    def route(self, name: str, item: Item | None = None) -> Route | None:
        """Give the route by which a figure was worked out; None for one that was given."""
        self(name, item)
        return self._routes.get(self.owned(name, item))

    def states(self) -> dict[Item, State]:
        """Give the state of the web behind each station, walked once."""
        if self._states is None:
            self._states = states(self)
        return self._states

    def things(self, kind: str) -> tuple[Item, ...]:
        """Give the things of a kind: stations of the path, listed checks, zones of the walk."""
        if kind not in self._gathered:
            self._gathered[kind] = self._gather(kind)
        return self._gathered[kind]

    def lack(self, kind: str) -> Missing | None:
        """Say why things of a kind cannot be told, such as stations of a sheet without a path."""
        if kind in LISTED:
            return None
        if kind in COUNTED:
            count = self(COUNTED[kind])
            return count if isinstance(count, Missing) else None
        if self.job.stations:
            return None
        return Missing((Need("path", "path", self.job.sheet.key_place),))

    def _gather(self, kind: str) -> tuple[Item, ...]:
        if kind in self.job.items:
            return self.job.items[kind]
        gather = GATHERED.get(kind)
        if gather is not None:
            return gather(self)
        return tuple(station for station in self.job.stations if station.kind == kind)

    def _find(self, name: str, item: Item | None) -> Figured:
        base, _, dimension = name.partition(":")
        if base.startswith(ITS):
            return self._of_thing(name, base[len(ITS) :], dimension, item)
        figure = CATALOGUE.get(base)
        head, _, rest = base.partition(".")
        if head.replace("_", " ") in SINGLE and rest:
            kind = head.replace("_", " ")
            return Missing((Need(kind, f"the path has no {kind}", deepest(self.job.sheet, ("path",))),))
        if figure is not None:
            return self._work(figure, name, None)
        return self._given(base, head, rest, dimension)

    def _of_thing(self, name: str, field: str, dimension: str, item: Item | None) -> Figured:
        if item is None:
            raise KeyError(f"{name} is asked for outside of any thing")
        figure = find_scoped(item.kind, field)
        if figure is not None:
            return self._work(figure, name, item)
        path = tuple(field.split("."))
        return self._read_thing(item, path, field, dimension)

    def _read_thing(self, item: Item, path: tuple[str, ...], field: str, dimension: str) -> Figured:
        if path[0] in item.documents and len(path) > 1:
            document = item.documents[path[0]]
            if document.record is None:
                return Missing((document.lack,) if document.lack else ())
            return _read(document.record, path[1:], f"{item.label}: {field}", dimension)
        for record in item.records:
            if find(record, path) is not None:
                return _read(record, path, f"{item.label}: {field}", dimension)
        return Missing((Need(f"{item.label}: {field}", f"{item.label}: {field}", item.place),))

    def _given(self, base: str, head: str, rest: str, dimension: str) -> Figured:
        document_name, inner = ROOTS[head]
        document = self.job.documents[document_name]
        if document.record is None:
            return Missing((document.lack,) if document.lack else ())
        return _read(document.record, (*inner, *rest.split(".")), base, dimension)

    def _work(self, figure: Figure, name: str, item: Item | None) -> Figured:
        lacks: list[Missing] = []
        for route in figure.routes:
            if route.asks is not None:
                told = route.asks(self, item)
                if isinstance(told, Value):
                    self._routes[(name, item)] = route
                    return told
                lacks.append(told)
                continue
            values = [self._need(need, item) for need in route.needs]
            needs = lacking(*values)
            if needs:
                lacks.append(Missing(needs))
                continue
            self._routes[(name, item)] = route
            return _worked(route, [value for value in values if isinstance(value, Value)], figure.name)
        # The route that lacks least is the one that the sheet most likely meant.
        return min(lacks, key=lambda lack: len(lack.needs))

    def _need(self, need: str | Default, item: Item | None) -> Figured:
        if isinstance(need, str):
            return self(need, item)
        value = self(need.name, item)
        return exact(need.value, need.assumes) if isinstance(value, Missing) else value


def _read(record: Record, path: tuple[str, ...], name: str, dimension: str) -> Figured:
    field = find(record, path)
    if isinstance(field, Unusable):
        return Missing((why_unusable(field, name),))
    if not isinstance(field, Datum):
        return Missing((Need(name, name, deepest(record, path)),))
    content = field.content
    source = Source(name, field.text, field.place)
    if isinstance(content, Quantity):
        if dimension and content.dimension != dimension:
            return Missing((Need(name, f"{name} as a {dimension}", field.place),))
        return Value(content.low, content.high, source)
    return Value(content, content, source)


def _worked(route: Route, values: list[Value], name: str) -> Figured:
    assumes = tuple(dict.fromkeys(text for value in values for text in value.assumes))
    try:
        if all(value.low == value.high for value in values):
            result = route.work(*[value.low for value in values])
            return Value(result, result, None, assumes)
        ends: list[Any] = [
            route.work(*corner)
            for corner in product(*[{value.low, value.high} for value in values])  # an exact need has one end
        ]
    except (ValueError, ZeroDivisionError, OverflowError) as fault:
        return Missing((Need(name, f"{name} cannot be worked out: {fault}"),))
    return Value(min(ends), max(ends), None, assumes)
