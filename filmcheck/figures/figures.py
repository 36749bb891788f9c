"""The figures of one job, worked out when asked for and each only once."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import lru_cache
from itertools import product
from typing import Any, NamedTuple, TypeVar, cast

from filmcheck.figures.catalogue import CATALOGUE, find_scoped
from filmcheck.figures.figure import Default, Figure, Route
from filmcheck.figures.gathered import COUNTED, GATHERED
from filmcheck.figures.given import ROOTS
from filmcheck.figures.scopes import LISTED, SINGLE
from filmcheck.figures.tracks import KEYS, PRESS, SHAPE, TODAY, Content, Track, Tracks, content_of
from filmcheck.figures.walked import states, temperatures
from filmcheck.plant.job import Item, Job, why_unusable
from filmcheck.plant.record import Datum, Record, Unusable, deepest, find
from filmcheck.units import Quantity
from filmcheck.value import Figured, Missing, Need, Source, Value, exact, lacking, size_of
from filmcheck.webpath import State

T = TypeVar("T")
ITS = "its."
THAT = "that."


class Figures:
    """Asks a job for figures by name. ``its.`` names a field of the thing at hand, ``that.`` of the one outside."""

    def __init__(self, job: Job, today: date, tracks: Tracks | None = None) -> None:
        """Start with nothing worked out. ``tracks`` are shared by all jobs of a plant."""
        self._job = job
        self.tracks = tracks or Tracks()
        self.mask = 0
        """The tracks of all that was looked at since somebody last set it to 0."""
        self._masks: dict[object, int] = {}
        self._contents: dict[int, int] = {}
        self._contents_of: dict[int, tuple[int, ...]] = {}
        self._today = today
        self.asked_today = False
        self._known: dict[tuple[str, Item | None], Figured] = {}
        self._routes: dict[tuple[str, Item | None], Route] = {}
        self._once: dict[str, object] = {}

    @property
    def today(self) -> date:
        """The day on which filmcheck runs; that it was asked for is kept, for the verdict then ages."""
        self.asked_today = True
        self.mask |= self.tracks.bit(TODAY)
        return self._today

    @property
    def job(self) -> Job:
        """The job itself. Who takes it may look at the path as a whole, at the press, and at which parts there are."""
        self.mask |= self._from_press | self.tracks.bit(KEYS)
        return self._job

    @property
    def _from_press(self) -> int:
        """The tracks of what a station takes from the press: which one it is there, and the press's entry."""
        return self.tracks.bit(SHAPE) | self.tracks.bit(PRESS)

    def records(self, item: Item) -> tuple[Record, ...]:
        """Give the records of a thing, the sheet's own first, for what cannot be asked by name."""
        self.mask |= self._from_press | self.tracks.bit(Track("thing", item.kind, "", item.number))
        return item.records

    def contents(self, mask: int) -> tuple[int, ...]:
        """Give what the parts of a mask read on this job, each content by its number."""
        found = self._contents_of.get(mask)
        if found is None:
            known = self._contents
            parts = self.tracks.parts(mask)
            found = tuple([known[part] if part in known else self._content(part) for part in parts])
            self._contents_of[mask] = found
        return found

    def _content(self, place: int) -> int:
        part = self.tracks.track(place)
        if part == TODAY:
            self.asked_today = True
            content: Content = self._today
        else:
            mask = self.mask
            things = {part.name: self.things(part.name)} if part.sort == "thing" and part.name in GATHERED else {}
            content = content_of(part, self._job, things)
            self.mask = mask  # to compare is not to look
        number = self._contents[place] = self.tracks.number(content)
        return number

    def __call__(self, name: str, item: Item | None = None) -> Figured:
        """Give a figure of the job, or of the thing at hand where the name starts with ``its.``."""
        # A name that starts with its. is looked up as it is; the others are kept without a thing once they are known.
        key = (name, item if name[:4] == ITS else None)
        known = self._known.get(key)
        if known is None:
            return self._tracked(key, item)
        self.mask |= self._masks[key]
        return known

    def _tracked(self, asked: tuple[str, Item | None], item: Item | None) -> Figured:
        """Work a figure out, and keep which parts of the job it hangs on."""
        before, self.mask = self.mask, 0
        key = self.owned(asked[0], item)
        known = self._known.get(key)
        if known is None:
            known = self._known[key] = self._find(*key)
            self._masks[key] = self.mask
        else:
            self.mask |= self._masks[key]
        self._known[asked], self._masks[asked] = known, self.mask
        self.mask |= before
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
        return self.once("states", lambda: states(self))

    def temperatures(self) -> dict[Item, Figured]:
        """Give the temperature of the web behind each station, walked once."""
        return self.once("temperatures", lambda: temperatures(self))

    def once(self, name: str, work: Callable[[], T]) -> T:
        """Give what the work comes to on this job, and do it only once."""
        before, self.mask = self.mask, 0
        if name not in self._once:
            self._once[name] = work()
            self._masks[name] = self.mask
        self.mask = before | self._masks[name]
        return cast(T, self._once[name])

    def things(self, kind: str) -> tuple[Item, ...]:
        """Give the things of a kind: stations of the path, listed checks, zones of the walk."""
        return self.once(kind, lambda: self._gather(kind))

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
            shape = SHAPE if kind == "station" else Track("sheet", f"{kind}s")
            self.mask |= self.tracks.bit(shape)
            return self._job.items[kind]
        gather = GATHERED.get(kind)
        if gather is not None:
            return gather(self)
        return tuple(station for station in self.things("station") if station.kind == kind)

    def _find(self, name: str, item: Item | None) -> Figured:
        plan = _plan(name, item.kind if item is not None else "")
        if plan.figure is not None:
            return self._work(plan.figure, name, item)
        if plan.field:
            if item is None:
                raise KeyError(f"{name} is asked for outside of any thing")
            return self._read_thing(item, plan.path, plan.field, plan.dimension)
        if plan.single:
            says = f"the path has no {plan.single}"
            return Missing((Need(plan.single, says, deepest(self._job.sheet, ("path",))),))
        return self._given(plan)

    def _read_thing(self, item: Item, path: tuple[str, ...], field: str, dimension: str) -> Figured:
        self.mask |= self.tracks.bit(Track("thing", item.kind, path[0], item.number))
        if path[0] in item.documents and len(path) > 1:
            document = item.documents[path[0]]
            if document.record is None:
                return Missing((document.lack,) if document.lack else ())
            return _read(document.record, path[1:], f"{item.label}: {field}", dimension)
        for number, record in enumerate(item.records):
            self.mask |= self._from_press if number else 0
            if find(record, path) is not None:
                return _read(record, path, f"{item.label}: {field}", dimension)
        return Missing((Need(f"{item.label}: {field}", f"{item.label}: {field}", item.place),))

    def _given(self, plan: _Plan) -> Figured:
        document = self._job.documents[plan.document]
        self.mask |= self.tracks.bit(plan.track)
        if document.record is None:
            return Missing((document.lack,) if document.lack else ())
        if plan.document == "sheet":
            return _read(document.record, plan.path, plan.name, plan.dimension)
        known = document.known.get(plan)
        if known is None:
            known = document.known[plan] = _read(document.record, plan.path, plan.name, plan.dimension)
        return cast(Figured, known)

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
            values: list[Any] = [
                self(need, item) if need.__class__ is str else self._need(need, item) for need in route.needs
            ]
            if any(value.__class__ is Missing for value in values):
                lacks.append(Missing(lacking(*values)))
                continue
            self._routes[(name, item)] = route
            return _worked(route, values, figure.name)
        # The route that lacks least is the one that the sheet most likely meant.
        return min(lacks, key=lambda lack: len(lack.needs))

    def _need(self, need: str | Default, item: Item | None) -> Figured:
        if isinstance(need, str):
            return self(need, item)
        value = self(need.name, item)
        return exact(need.value, need.assumes) if isinstance(value, Missing) else value


class _Plan(NamedTuple):
    """How a name is looked up, the same for every job."""

    name: str
    figure: Figure | None = None
    field: str = ""
    single: str = ""
    document: str = ""
    path: tuple[str, ...] = ()
    dimension: str = ""
    track: Track = SHAPE


@lru_cache(maxsize=8192)
def _plan(name: str, kind: str) -> _Plan:
    base, _, dimension = name.partition(":")
    if base.startswith(ITS):
        field = base[len(ITS) :]
        return _Plan(base, find_scoped(kind, field), field, path=tuple(field.split(".")), dimension=dimension)
    head, _, rest = base.partition(".")
    single = head.replace("_", " ")
    if single in SINGLE and rest:
        return _Plan(base, single=single)
    if base in CATALOGUE:
        return _Plan(base, CATALOGUE[base])
    document, inner = ROOTS[head]
    path = (*inner, *rest.split("."))
    on_sheet = document == "sheet"
    track = Track("sheet", path[0], path[1] if len(path) > 1 else "") if on_sheet else Track("entry", document)
    return _Plan(base, document=document, path=path, dimension=dimension, track=track)


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
            return Missing((Need(name, f"{name} is not given as a {dimension}", field.place),))
        return Value(content.low, content.high, source)
    return Value(content, content, source)


def _worked(route: Route, values: list[Value], name: str) -> Figured:
    assumes: tuple[str, ...] = ()
    exact_values = True
    for value in values:
        if value[3]:
            assumes = tuple(dict.fromkeys((*assumes, *value[3])))
        if value[0] != value[1]:
            exact_values = False
    try:
        if exact_values:
            result = route.work(*[value[0] for value in values])
            result = abs(result) if route.size else result
            return Value(result, result, None, assumes)
        ends: list[Any] = [
            route.work(*corner)
            for corner in product(*[{value.low, value.high} for value in values])  # an exact need has one end
        ]
    except (ValueError, ZeroDivisionError, OverflowError) as fault:
        return Missing((Need(name, f"{name} cannot be worked out: {fault}"),))
    found = Value(min(ends), max(ends), None, assumes)
    return size_of(found) if route.size else found
