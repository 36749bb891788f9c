"""One resolved job: its sheet, and every register entry that the sheet names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import cast

from filmcheck.plant.entries import LINKS
from filmcheck.plant.nearest import known_entries
from filmcheck.plant.plant import REGISTER_TEXTS, Plant
from filmcheck.plant.press_path import MARKS
from filmcheck.plant.record import (
    Content,
    Datum,
    Record,
    Unusable,
    deepest,
    find,
    items_at,
    single,
    text_at,
    word,
)
from filmcheck.plant.short_sheet import made_whole
from filmcheck.reading.nodes import Fault, FileFault
from filmcheck.records.place import Place
from filmcheck.records.value import Need

LONGEST_NAME = 60
"""Letters of a name that a message repeats."""


@dataclass(frozen=True, slots=True)
class Document:
    """A sheet or register entry that a job rests on; where it is lacking, why."""

    record: Record | None
    lack: Need | None = None
    stations: tuple[tuple[str, Record] | None, ...] = ()
    """Of a press: its stations in order, each with its kind."""
    by_kind: Mapping[str, list[tuple[int, Record]]] = field(default_factory=dict, compare=False, repr=False)
    """Of a press: its stations of each kind, with their number from 0."""
    by_mark: Mapping[tuple[str, str, Content], tuple[int, Record]] = field(
        default_factory=dict, compare=False, repr=False
    )
    """Of a press: its stations by kind, name of the mark (unit or name) and mark, the first where several bear it."""


@dataclass(slots=True, eq=False)
class Item:
    """One of several like things in a job: a station, a check, a result, a zone. Not frozen, for that takes long,
    but never changed.

    ``records`` are asked for a field in their order, the sheet's own before the register's.
    """

    kind: str
    label: str
    number: int
    records: tuple[Record, ...]
    stands: Place | Record
    """Where it stands, or the record whose key says so: of most things nobody asks."""
    on_press: int | None = None
    documents: Mapping[str, Document] = field(default_factory=dict)

    @property
    def place(self) -> Place:
        """Where it stands."""
        return self.stands.key_place if isinstance(self.stands, Record) else self.stands


@dataclass(frozen=True, slots=True, eq=False)
class Job:
    """A job sheet with all its names resolved."""

    file: str
    name: str
    sheet: Record
    documents: Mapping[str, Document]
    items: Mapping[str, tuple[Item, ...]]

    @property
    def number_place(self) -> Place:
        """The place of the job's number, which stands for the whole sheet."""
        number = self.sheet.fields.get("job")
        return number.place if number is not None else self.sheet.place

    @property
    def stations(self) -> tuple[Item, ...]:
        """The stations of the path, in order."""
        return self.items["station"]


def where_set(sheet: Record, station: Item) -> tuple[Place, tuple[str, ...]]:
    """Give where a sheet can say what is set at a station, and the keys to write around it.

    A short sheet has no line for a station that it takes over as it is.
    """
    if station.place.file == sheet.file:
        return station.place, ()
    name = (
        "rewind" if station.kind == "press roll" else station.label.partition(" (")[0]
    )  # of stations without marks: all of the kind
    own = sheet.key_written("settings")
    if own is not None:
        return own, (name,)
    return sheet.key_written("path") or sheet.key_written("set_up") or sheet.place, ("settings", name)


def resolve(sheet: Record, file: str, plant: Plant) -> tuple[Job, tuple[FileFault, ...]]:
    """Resolve the names of a sheet to register entries; give the job, and the faults with their files."""
    sheet, on_press, told = made_whole(sheet, plant)
    faults: list[FileFault] = list(told)
    documents = {"sheet": Document(sheet)}
    for name, (path, register, section) in LINKS.items():
        what = "finishing machine" if name == "finisher" else name
        documents[name] = _link(sheet, what, path, (register, section), plant, faults)
    stations = _stations(sheet, documents["press"], on_press, plant, faults)
    items = {"station": stations, **{kind: _listed(sheet, kind, key) for kind, key in _LISTS.items()}}
    number = word(sheet, "job") or ""
    return Job(file, number, sheet, documents, items), tuple(faults)


_LISTS = {"check": "checks", "result": "results", "deviation": "deviations"}


def _link(
    sheet: Record,
    what: str,
    path: tuple[str, ...],
    target: tuple[str, str],
    plant: Plant,
    faults: list[FileFault],
) -> Document:
    named = find(sheet, path)
    if not isinstance(named, Datum):
        return Document(None, Need(".".join(path), f"the sheet names no {what}", deepest(sheet, path)))
    return _entry(named, what, target, plant, faults)


def _entry(named: Datum, what: str, target: tuple[str, str], plant: Plant, faults: list[FileFault]) -> Document:
    register, section = target
    entries = plant.entries(register, section)
    name = str(named.content)
    entry = entries.get(name)
    if isinstance(entry, Record):
        return _document(plant, (register, section, name), entry)
    called = name if len(name) <= LONGEST_NAME else f"{name[:LONGEST_NAME]}…"
    where = REGISTER_TEXTS[register]
    if plant.root is None:
        says = f"{what} {called} cannot be looked up: no folder above this sheet holds a plant.yaml"
        hint = "Put the plant settings into the plant's folder; they name the registers."
    elif not plant.has(register):
        lack = f"the {where} could not be read" if plant.names(register) else f"the plant has no {where}"
        says = f"{what} {called} cannot be looked up: {lack}"
        hint = "" if plant.names(register) else f"Name the file in the plant settings under registers: {register}."
    else:
        says = f"{what} {called} is not in the {where}"
        hint = known_entries(name, entries, what)
    faults.append((named.place.file, Fault("name-unknown", named.place.span, says, hint)))
    return Document(None, Need(f"{what} {called}", says, named.place))


def _document(plant: Plant, key: tuple[str, str, str], entry: Record) -> Document:
    """Make the document of an entry once for all jobs that name it."""
    known = plant.documents.get(key)
    if known is None:
        known = plant.documents[key] = _press(entry) if key[0] == "presses" else Document(entry)
    return cast(Document, known)


def _press(entry: Record) -> Document:
    """Make the document of a press, its stations ready to be found."""
    stations = tuple(map(single, items_at(entry, "stations")))
    by_kind: dict[str, list[tuple[int, Record]]] = {}
    by_mark: dict[tuple[str, str, Content], tuple[int, Record]] = {}
    for index, pair in enumerate(stations):
        if pair is not None:
            kind, record = pair
            by_kind.setdefault(kind, []).append((index, record))
            for mark in MARKS:
                own = record.fields.get(mark)
                if isinstance(own, Datum):
                    by_mark.setdefault((kind, mark, own.content), (index, record))
    return Document(entry, stations=stations, by_kind=by_kind, by_mark=by_mark)


def _stations(
    sheet: Record,
    press: Document,
    on_press: tuple[int | None, ...] | None,
    plant: Plant,
    faults: list[FileFault],
) -> tuple[Item, ...]:
    found = [pair for item in items_at(sheet, "path") if (pair := single(item)) is not None]
    items: list[Item] = []
    places = _places_in_kind(found)
    for (kind, record), label, nth in zip(found, _labels(found, places), places, strict=True):
        at = on_press[len(items)] if on_press else None
        match = _at(at, press) if at is not None else _on_press(kind, record, nth, press)
        cylinder = record.fields.get("cylinder")
        documents = (
            {"cylinder": _entry(cylinder, "print cylinder", ("tooling", "print_cylinders"), plant, faults)}
            if isinstance(cylinder, Datum)
            else {}
        )
        records = (record, match[1]) if match else (record,)
        number = len(items) + 1
        items.append(Item(kind, label, number, records, record, match[0] if match else None, documents))
    return tuple(items)


def _on_press(kind: str, record: Record, nth: int, press: Document) -> tuple[int, Record] | None:
    """Find the press station that a station of the sheet stands for: by unit or name, else by order."""
    for mark in MARKS:
        wanted = record.fields.get(mark)
        if isinstance(wanted, Datum):
            return press.by_mark.get((kind, mark, wanted.content))
    fitted = press.by_kind.get(kind, ())
    return fitted[nth] if nth < len(fitted) else None


def _at(number: int, press: Document) -> tuple[int, Record] | None:
    """Give the press station of a number, where the path was taken from the press."""
    pair = press.stations[number]
    return (number, pair[1]) if pair is not None else None


def _label(kind: str, record: Record, nth: int, of: int) -> str:
    for mark in MARKS:
        own = record.fields.get(mark)
        if isinstance(own, Datum):
            return f"{kind} {own.text}"
    return f"{kind} ({nth + 1} of {of})" if of > 1 else kind


def station_labels(pairs: Sequence[tuple[str, Record]]) -> list[str]:
    """Give the label of each station of a path."""
    return _labels(pairs, _places_in_kind(pairs))


def _labels(pairs: Sequence[tuple[str, Record]], places: list[int]) -> list[str]:
    of = {kind: nth + 1 for (kind, _), nth in zip(pairs, places, strict=True)}  # the last of a kind has counted all
    return [_label(kind, record, nth, of[kind]) for (kind, record), nth in zip(pairs, places, strict=True)]


def _places_in_kind(pairs: Sequence[tuple[str, Record]]) -> list[int]:
    """Say of each station how many of its kind stand before it."""
    before: dict[str, int] = {}
    found = []
    for kind, _ in pairs:
        nth = before.get(kind, 0)
        found.append(nth)
        before[kind] = nth + 1
    return found


def _listed(sheet: Record, kind: str, key: str) -> tuple[Item, ...]:
    records = [item for item in items_at(sheet, key) if isinstance(item, Record)]
    return tuple(
        Item(kind, f"{kind} {_title(kind, record, index)}", index, (record,), record)
        for index, record in enumerate(records, 1)
    )


def _title(kind: str, record: Record, index: int) -> str:
    named = text_at(record, "rule" if kind == "deviation" else "check")
    return f"{named} ({index})" if named else str(index)


def why_unusable(fault: Unusable, name: str) -> Need:
    """Say that a datum is there but cannot be used."""
    return Need(name, f"{name} cannot be used: {fault.says}", fault.place, spoiled=True)
