"""How each figure is found: one function for a name and a kind of thing, made once and used for every job.

A sheet asks for some two hundred figures. What a name means is the same on all of them, so it is settled here and
not at each asking.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any, Protocol, TypeAlias, cast

from filmcheck.figures.calculated import function_of
from filmcheck.figures.catalogue import CATALOGUE, find_scoped
from filmcheck.figures.figure import Ask, Default, Figure, Route
from filmcheck.figures.given import where_given
from filmcheck.figures.plain_names import plain_name
from filmcheck.figures.scopes import SINGLE, parsed, station_shapes
from filmcheck.figures.wound_bounds import BOUNDS, Ends
from filmcheck.plant.generic import GENERIC_FILES
from filmcheck.plant.job import Document, Item, where_set, why_unusable
from filmcheck.plant.record import Datum, Field, Record, Unusable, deepest, find, groups_lacking
from filmcheck.records.value import GENERIC, Figured, Missing, Need, Source, Value, ends_over, exact, lacking, size_of
from filmcheck.units.quantity import Quantity

ITS = "its."
_ENCLOSED = {parsed(name).field for name in BOUNDS}

Key: TypeAlias = "str | tuple[str, Item | None]"
"""What a figure is kept under: its name, with the thing it is of where the name starts with ``its.``."""


class Desk(Ask, Protocol):
    """The figures of one job, as those work at it that look figures up."""

    known: dict[Key, Figured]
    routes: dict[Key, Route]
    documents: Mapping[str, Document]
    sheet: Record

    def work_out(self, key: Key, name: str, item: Item | None) -> Figured:
        """Work out a figure that is not known yet, and keep it under its key."""


Lookup: TypeAlias = Callable[[Desk, Item | None], Figured]


def key_of(name: str, item: Item | None) -> Key:
    """Give what a figure is kept under."""
    return (name, item) if name[:4] == ITS else name


def single_of(name: str) -> tuple[str, str]:
    """Split a name that begins with a kind of which a job has one; the kind is empty where it does not."""
    parts = parsed(name)
    return (parts.kind, name[len(parts.head) + 1 :]) if parts.kind in SINGLE and parts.field else ("", name)


@lru_cache(maxsize=8192)
def figure_of(name: str, kind: str) -> Figure | None:
    """Give the figure of the catalogue that a name stands for; None for what is given, or for nothing at all."""
    head, field, _ = parts = parsed(name)
    if head == "its":
        return find_scoped(kind, field)
    return None if parts.kind in SINGLE else CATALOGUE.get(parts.base)


@lru_cache(maxsize=8192)
def lookup(name: str, kind: str) -> Lookup:
    """Give how a figure is found, of the job or of a thing of this kind. Raises KeyError for a name without meaning."""
    figure = figure_of(name, kind)
    if figure is not None:
        return _worked(figure, name)
    head, field, dimension = parts = parsed(name)
    if head == "its":
        return _of_thing(kind, field, dimension)
    if parts.kind in SINGLE and field:
        return _of_single(*single_of(name))
    document, path = where_given(name)
    if not document:
        raise KeyError(name)
    if document == "sheet":
        return _of_sheet(path, parts.base, dimension)
    return _of_entry(document, path, parts.base, dimension)


def is_enclosed(name: str) -> bool:
    """Whether a figure of this name has bounds, of some thing."""
    return parsed(name).field in _ENCLOSED


@lru_cache(maxsize=64)
def enclosing(name: str, kind: str) -> Callable[[Desk, Item | None], Value | None] | None:
    """Give how the bounds of a figure are found, at a small part of its cost; None for one that has none."""
    figure = figure_of(name, kind)
    bounds = BOUNDS.get(figure.name) if figure is not None else None
    if bounds is None:
        return None
    attempt = _reckoning(Route(bounds.needs, bounds.work), name)

    def look(desk: Desk, item: Item | None) -> Value | None:
        found = attempt(desk, item, [])
        return Value(*cast(Ends, found.low)) if isinstance(found, Value) and found.exact else None

    return look


# --- what is given


def _told(field: Field | None, record: Record, path: tuple[str, ...], name: str, dimension: str) -> Figured:
    """Give what a field says; a tension may be asked for in one dimension and stand there in another."""
    if field.__class__ is Datum:
        content = field.content
        source = tuple.__new__(Source, (name, field))
        assumes = (f"{name}{GENERIC}",) if field.file in GENERIC_FILES else ()
        if content.__class__ is not Quantity:
            return tuple.__new__(Value, (content, content, source, assumes))
        if dimension and content.dimension != dimension:
            return Missing((Need(name, f"{name} is not given as a {dimension}", field.place, astray=True),))
        return tuple.__new__(Value, (content.low, content.high, source, assumes))
    if isinstance(field, Unusable):
        return Missing((why_unusable(field, name),))
    return Missing((Need(name, name, deepest(record, path), within=groups_lacking(record, path)),))


def _of_sheet(path: tuple[str, ...], name: str, dimension: str) -> Lookup:
    def look(desk: Desk, item: Item | None) -> Figured:
        return _told(find(desk.sheet, path), desk.sheet, path, name, dimension)

    return look


def _of_entry(document: str, path: tuple[str, ...], name: str, dimension: str) -> Lookup:
    def look(desk: Desk, item: Item | None) -> Figured:
        entry = desk.documents[document]
        if entry.record is None:
            return Missing((entry.lack,) if entry.lack else ())
        return _told(find(entry.record, path), entry.record, path, name, dimension)

    return look


def _of_single(kind: str, field: str) -> Lookup:
    """Look a field up of the one thing of its kind: unwind.tension is a field of the unwind."""
    name = ITS + field
    says = f"the path has no {kind}"

    def look(desk: Desk, item: Item | None) -> Figured:
        things = desk.things(kind)
        return desk(name, things[0]) if things else Missing((Need(kind, says, deepest(desk.sheet, ("path",))),))

    return look


def _of_thing(kind: str, field: str, dimension: str) -> Lookup:
    """Read a field of a thing: from the sheet, else from the station of the press, else from an entry that it names."""
    path = tuple(field.split("."))
    first, inner = path[0], path[1:]
    shapes = station_shapes()[kind].fields if kind in station_shapes() else None
    on_sheet = shapes is None or first in shapes
    beside = shapes[first].beside if shapes and first in shapes else ""
    names_entry = bool(shapes and first in shapes and shapes[first].register)

    def look(desk: Desk, item: Item | None) -> Figured:
        if item is None:
            raise KeyError(f"{ITS}{field} is asked for outside of any thing")
        if inner and first in item.documents:
            entry = item.documents[first]
            if entry.record is None:
                return Missing((entry.lack,) if entry.lack else ())
            name = f"{item.label}: {field}"
            return _told(find(entry.record, inner), entry.record, inner, name, dimension)
        for record in item.records:
            found = record.fields.get(first) if not inner else find(record, path)
            if found is not None:
                return _told(found, record, path, f"{item.label}: {field}", dimension)
        name = f"{item.label}: {field}"
        if inner and names_entry:  # it names no entry of its own, so the one of the job counts
            return Missing((Need(name, name, item.place, astray=True),))
        if not on_sheet and len(item.records) > 1:  # what the sheet does not take belongs to the station of the press
            return Missing((Need(name, name, item.records[-1].key_place),))
        written = item.records[0].fields.get(beside) if beside else None
        if written is not None and written.file != desk.sheet.file:  # told once of a set-up, not of each lamp and job
            name = f"{item.kind}: {field}"
            return Missing((Need(name, name, written.key_place),))
        place, within = where_set(desk.sheet, item) if item.kind in station_shapes() else (item.place, ())
        # What is taken over has no line on the sheet: all groups around the field are to be written with it.
        groups = path[:-1] if within else groups_lacking(item.records[0], path) if item.records else ()
        return Missing((Need(name, name, place, within=(*within, *groups)),))

    return look


# --- what is worked out

_Try: TypeAlias = Callable[[Desk, "Item | None", list[list[Any]]], "Figured | None"]
"""Goes a route. Where the route lacks needs, they are added to the list, and nothing is given."""


def _worked(figure: Figure, name: str) -> Lookup:
    if len(figure.routes) == 1:
        return _by_one(figure.routes[0], figure.name)
    tries = [(route, _asking(route.asks) if route.asks else _reckoning(route, figure.name)) for route in figure.routes]

    def look(desk: Desk, item: Item | None) -> Figured:
        lacks: list[list[Any]] = []
        for route, attempt in tries:
            told = attempt(desk, item, lacks)
            if told is not None:
                desk.routes[key_of(name, item)] = route
                return told
        return Missing(min((lacking(*values) for values in lacks), key=_unlikely))

    return look


def _unlikely(needs: tuple[Need, ...]) -> tuple[int, bool, int]:
    """Rank what a route lacks: most likely meant is one whose data are written, at fault or not, and that lacks little.

    One that stands there in another way is told last.
    """
    return sum(need.astray for need in needs), not any(need.spoiled for need in needs), len(needs)


def _by_one(route: Route, name: str) -> Lookup:
    if route.asks is not None:
        return route.asks
    attempt = _reckoning(route, name)

    def look(desk: Desk, item: Item | None) -> Figured:
        lacks: list[list[Any]] = []
        told = attempt(desk, item, lacks)
        return Missing(lacking(*lacks[0])) if told is None else told

    return look


def _asking(asks: Callable[[Ask, Item | None], Figured]) -> _Try:
    def attempt(desk: Desk, item: Item | None, lacks: list[list[Any]]) -> Figured | None:
        told = asks(desk, item)
        if told.__class__ is Value:
            return told
        lacks.append([told])
        return None

    return attempt


def _reckoning(route: Route, name: str) -> _Try:
    """Make the way of a route with fixed needs. The hottest part of all: each need is taken in one step."""
    needs = [_need(need) for need in route.needs]
    work, size, new = function_of(route), route.size, tuple.__new__

    def attempt(desk: Desk, item: Item | None, lacks: list[list[Any]]) -> Figured | None:
        known = desk.known
        values: list[Any] = []
        lows: list[Any] = []
        assumes: tuple[str, ...] = ()
        is_exact, is_known = True, True
        for need, own, otherwise in needs:
            key = (need, item) if own else need
            value: Any = known.get(key)
            if value is None:
                value = desk.work_out(key, need, item)
            if value.__class__ is Missing:
                if otherwise is None or value.is_spoiled:
                    is_known = False
                    values.append(value)
                    continue
                value = otherwise
            low, high, _, assumed = value
            if low != high:
                is_exact = False
            if assumed:
                assumes = tuple(dict.fromkeys((*assumes, *assumed)))
            values.append(value)
            lows.append(low)
        if not is_known:
            lacks.append(values)
            return None
        try:
            if is_exact:
                result = work(*lows)
                if size:
                    result = abs(result)
                return new(Value, (result, result, None, assumes))
            least, most = ends_over(work, values)
        except ZeroDivisionError:
            zeros = [plain_name(need) for (need, _, _), value in zip(needs, values, strict=True) if 0 in value[:2]]
            return _in_the_way(name, f"{' and '.join(zeros) or 'what divides'} is 0")
        except (ValueError, OverflowError) as fault:
            return _in_the_way(name, str(fault))
        found = Value(least, most, None, assumes)
        return size_of(found) if size else found

    return attempt


def _in_the_way(name: str, fault: str) -> Missing:
    return Missing((Need(name, f"the {plain_name(name)} cannot be worked out: {fault}"),))


def _need(need: str | Default) -> tuple[str, bool, Value | None]:
    """Give the name of a need, whether it is one of the thing at hand, and what stands in where it is lacking."""
    if isinstance(need, str):
        return need, need[:4] == ITS, None
    return need.name, need.name[:4] == ITS, exact(need.value, need.assumes)
