"""The set-points of one job: each with its address on the sheet, what stands there, and what could."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import NamedTuple

from filmcheck.plant.entries import LINKS
from filmcheck.plant.job import Document, Item, Job
from filmcheck.plant.plant import Plant
from filmcheck.plant.record import Datum, Field, Listing, Record, find, items_at, items_in
from filmcheck.plant.shape import Shape, shape_of
from filmcheck.plant.sheet_text import Steps
from filmcheck.reading.nodes import KeyPath
from filmcheck.units.quantity import Quantity, convert, parse_quantity
from filmcheck.windows.settable import PLANNER, SETTABLE, Settable

_LISTED = {"check": "checks"}


@dataclass(frozen=True, slots=True)
class SetPoint:
    """A set-point of a job. ``step`` is in ``unit``; words and names have neither, but ``choices``."""

    address: str
    path: KeyPath
    settable: Settable
    shape: Shape
    datum: Datum
    unit: str = ""
    dimension: str = ""
    step: Decimal = Decimal(1)
    choices: tuple[str, ...] = ()
    kept: tuple[tuple[float, str], ...] = ()
    """Sizes in which the stock is kept, in ``unit``, as written: one that holds is advised before any other."""
    steps: Steps = ()
    """Where the sheet can say it that leaves it to its set-up or press; empty where the sheet says it itself."""

    shared: tuple[SetPoint, ...] = ()
    """Those of other stations that an alias leads to the same place of the sheet: they change with it."""

    @property
    def label(self) -> str:
        """The station or check that it belongs to; empty for a field of the sheet."""
        return self.address.removesuffix("." + self.settable.field) if self.settable.kind else ""

    @property
    def own(self) -> float:
        """The value on the sheet, of a range the lower end, in ``unit``."""
        return self._in_unit("low")

    @property
    def own_high(self) -> float:
        """The upper end of a range on the sheet, in ``unit``."""
        return self._in_unit("high")

    def _in_unit(self, end: str) -> float:
        content = self.datum.content
        if isinstance(content, Quantity):
            return convert(getattr(content, end), self.unit, self.dimension)
        return float(content) if isinstance(content, int | float) else 0.0

    def text_of(self, number: Decimal) -> str:
        """Write a number as the sheet would: in its unit, without trailing zeros."""
        plain = format(number, "f")
        plain = plain.rstrip("0").rstrip(".") if "." in plain else plain
        return f"{plain} {self.unit}" if self.unit else plain

    def with_text(self, text: str) -> Datum | None:
        """Give the datum with another text in its place; None where the text means nothing there."""
        meant: object = text
        if self.shape.sort == "quantity":
            meant = parse_quantity(text, self.shape.dimensions)
        elif self.shape.sort in ("count", "number"):
            meant = int(text) if text.lstrip("-").isdigit() else None
        if not isinstance(meant, Quantity | str | int):
            return None
        return Datum(meant, text, self.datum.file, self.datum._node, self.datum._key)


def set_points(job: Job, plant: Plant) -> tuple[SetPoint, ...]:
    """Give the set-points of a job: what stands on its sheet, and what the sheet takes over and could say itself."""
    found = []
    for spot in _all_points(job):
        point = _made(spot, spot.datum, plant) if isinstance(spot.datum, Datum) else None
        if point is not None and (spot.steps or point.datum.file == job.file):
            steps = () if point.datum.file == job.file else spot.steps
            found.append(replace(point, steps=steps, kept=tuple(_sizes(job, point))))
    at = defaultdict(list)
    for point in found:
        at[point.datum.place if not point.steps else point.address].append(point)
    return tuple(
        replace(point, shared=tuple(one for one in at[point.datum.place] if one is not point)) for point in found
    )


def _sizes(job: Job, point: SetPoint) -> Iterator[tuple[float, str]]:
    for one in items_at(job.documents["stock"].record, point.settable.kept) if point.settable.kept else ():
        if isinstance(one, Datum) and isinstance(one.content, Quantity):
            yield round(convert(one.content.low, point.unit, point.dimension), 6), one.text


def lacking_points(job: Job, plant: Plant) -> Iterator[SetPoint]:
    """Give the sizes that crew and finishing set and that the job lacks, each with an example as its datum.

    That is what a like setting of the job says, else the schema's, in the unit of the sheet. It lies where the record
    does in which it belongs. Where the sheet lists its path itself, ``steps`` are empty.
    """
    spots = list(_all_points(job))
    listed = job.sheet.fields.get("path")
    own_path = listed is not None and listed.file == job.file and job.stations and job.stations[0].on_press is None
    for spot in spots:
        settable, shape, home = spot.settable, spot.shape, spot.home
        listing = job.sheet.fields.get(str(spot.path[0]))
        if settable.kind == "check" and listing is not None and listing.file != job.file:
            continue  # a list of the set-up can only be written anew as a whole
        is_size = shape.sort == "quantity" and settable.who != PLANNER and not settable.asked_for
        text = _example(settable, shape, spots) if spot.datum is None and is_size else ""
        meant = parse_quantity(text, shape.dimensions)
        if isinstance(meant, Quantity):
            point = _made(spot, Datum(meant, text, home.file, home._node, home._key), plant)
            if point is not None:
                yield replace(point, steps=() if own_path else spot.steps)


class SettableSpot(NamedTuple):
    """A place where a job has or could have a set-point: what stands there, and the record that it belongs in."""

    address: str
    path: KeyPath
    settable: Settable
    shape: Shape
    datum: Field | None
    home: Record
    steps: Steps


def _example(settable: Settable, shape: Shape, spots: Sequence[SettableSpot]) -> str:
    """Give what the job says for the same setting of another thing, for one of that name, or for one beside it.

    Else it is the schema's, written in the unit in which the job says another size of its dimension, in whole steps.
    """
    own, steps = parse_quantity(shape.example, shape.dimensions), settable.steps or {}
    said = [
        (one.settable, one.datum.text, one.datum.content, one.shape.dimensions == shape.dimensions)
        for one in spots
        if isinstance(one.datum, Datum) and isinstance(one.datum.content, Quantity) and one.datum.content.unit in steps
    ]
    same = [text for other, text, *_ in said if other == settable]
    named = [text for other, text, _, is_like in said if is_like and other.path[-1] == settable.path[-1]]
    home = settable.kind, settable.path[:-1]
    beside = [text for other, text, _, is_like in said if is_like and (other.kind, other.path[:-1]) == home]
    like = same or named or beside
    if like or not isinstance(own, Quantity):
        return (like or [shape.example])[0]
    unit = next((size.unit for _, _, size, _ in said if size.dimension == own.dimension), own.unit)
    step = Decimal(str(steps.get(unit, 0)))
    if unit == own.unit or not step:
        return shape.example
    size = Decimal(repr(convert(own.low, unit, own.dimension)))
    return f"{(size / step).to_integral_value() * step} {unit}"


def _all_points(job: Job) -> Iterator[SettableSpot]:
    """Give every place where the job has or could have a set-point, with what stands there and its record."""
    homes = _homes(job, job.sheet)
    for settable in SETTABLE:
        for label, path, record, shape, name in homes.get(settable.kind, ()):
            own = _shape_at(shape, settable.path)
            if own is not None:
                address = f"{label}.{settable.field}" if label else settable.field
                datum = find(record, settable.path)
                within = find(record, settable.path[:-1])
                home = within if isinstance(within, Record) else record
                place, steps = (*path, *settable.path), _steps(name, settable)
                yield SettableSpot(address, place, settable, own, datum, home, steps)


def _steps(name: str, settable: Settable) -> Steps:
    """Give the steps to where a short sheet says it; none for a check, for a list takes the place of a list."""
    if settable.kind == "check":
        return ()
    return ("settings", name, *settable.path) if name else settable.path


def _setting_name(item: Item, press: Document) -> str:
    """Name a station as settings do: what bears no mark is counted along the press, left-out stations with it."""
    if item.on_press is None or not re.search(r" \(\d+ of \d+\)$", item.label):
        return re.sub(r" \((\d+) of \d+\)$", r" \1", item.label)
    numbers = [at for at, _ in press.by_kind.get(item.kind, ())]
    return f"{item.kind} {numbers.index(item.on_press) + 1}"


Home = tuple[str, KeyPath, Record, Shape, str]


def _homes(job: Job, sheet: Record) -> dict[str, list[Home]]:
    """Give the records that set-points lie in, by kind, with the path to each."""
    whole = shape_of("job-sheet")
    homes: dict[str, list[Home]] = {"": [("", (), sheet, whole, "")]}
    listed = sheet.fields.get("path")
    inner = [next(iter(one.fields.values()), None) if isinstance(one, Record) else None for one in items_in(listed)]
    where = {id(record): at for at, record in enumerate(inner)}
    for item in job.stations:
        at = where.get(id(item.records[0]))
        shape = whole.fields["path"].item.fields.get(item.kind)
        if at is not None and shape is not None:
            name = _setting_name(item, job.documents["press"])
            homes.setdefault(item.kind, []).append((item.label, ("path", at, item.kind), item.records[0], shape, name))
    for kind, key in _LISTED.items():
        places = {id(row): i for i, row in enumerate(items_at(sheet, key))}
        for item in job.items.get(kind, ()):
            at = places.get(id(item.records[0]))
            if at is not None:
                shape = whole.fields[key].item
                homes.setdefault(kind, []).append((item.label, (key, at), item.records[0], shape, item.label))
    return homes


def _shape_at(shape: Shape, path: tuple[str, ...]) -> Shape | None:
    here: Shape | None = shape
    for name in path:
        here = here.fields.get(name) if here is not None else None
    return here


def _made(spot: SettableSpot, datum: Datum, plant: Plant) -> SetPoint | None:
    """Make the set-point of a spot; None for a size in a unit in which nobody sets it, and for free text."""
    settable, content = spot.settable, datum.content
    unit, dimension, step = "", "", Decimal(1)
    choices: tuple[str, ...] = ()
    if settable.links:
        _, register, section = LINKS[settable.links]
        choices = _nearest_first(plant.entries(register, section), datum.text, settable.near)
    elif isinstance(content, Quantity):
        size = (settable.steps or {}).get(content.unit)
        if size is None:
            return None
        unit, dimension, step = content.unit, content.dimension, Decimal(str(size))
    elif isinstance(content, bool) or not isinstance(content, int):
        choices = spot.shape.words
        if not choices:
            return None
    return SetPoint(spot.address, spot.path, settable, spot.shape, datum, unit, dimension, step, choices)


def _nearest_first(entries: Mapping[str, Field], named: str, by: tuple[str, ...]) -> tuple[str, ...]:
    """Order names by how far the numbers of their entries are from those of the named one."""

    def numbers(name: str) -> list[float | None]:
        entry = entries.get(name)
        found = (find(entry, tuple(one.split("."))) if isinstance(entry, Record) else None for one in by)
        return [_number(one) for one in found]

    own = numbers(named)

    def far(name: str) -> float:
        pairs = zip(numbers(name), own, strict=True)
        return sum(1.0 if a is None or not b else abs(a / b - 1) for a, b in pairs if a != b)

    return tuple(sorted(entries, key=far))


def _number(field: Field | None) -> float | None:
    content = field.content if isinstance(field, Datum) else None
    return content.low if isinstance(content, Quantity) else float(content) if isinstance(content, int) else None


def replaced(record: Record, path: KeyPath, datum: Datum) -> Record:
    """Give the record with another datum at a path; the given one stays as it is. Nothing is read again."""
    changed = _replaced(record, path, datum)
    return changed if isinstance(changed, Record) else record


def _replaced(field: Field | None, path: KeyPath, datum: Datum) -> Field:
    if not path:
        return datum
    step, rest = path[0], path[1:]
    if field is None and isinstance(step, str):
        return Record({step: _replaced(None, rest, datum)}, datum.file, datum._node, datum._key)
    if isinstance(field, Record) and isinstance(step, str):
        return field.with_fields({**field.fields, step: _replaced(field.fields.get(step), rest, datum)})
    if isinstance(field, Listing) and isinstance(step, int):
        items = field.items
        return field.with_items((*items[:step], _replaced(items[step], rest, datum), *items[step + 1 :]))
    raise KeyError(step)
