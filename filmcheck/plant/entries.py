"""Which register entries a sheet names, and a mark of each by its content: another mark, another entry."""

from __future__ import annotations

from collections.abc import Collection
from functools import lru_cache
from hashlib import sha256
from typing import NamedTuple

from filmcheck.plant.plant import Plant
from filmcheck.plant.record import Datum, Field, Listing, Record, find, items_at
from filmcheck.records.place import Place, Span

LINKS: dict[str, tuple[tuple[str, ...], str, str]] = {
    "press": (("press",), "presses", ""),
    "stock": (("stock",), "stocks", ""),
    "customer": (("customer",), "customers", ""),
    "die": (("tooling", "die"), "tooling", "dies"),
    "magnetic cylinder": (("tooling", "magnetic_cylinder"), "tooling", "magnetic_cylinders"),
    "anvil": (("tooling", "anvil"), "tooling", "anvils"),
    "print cylinder": (("tooling", "print_cylinder"), "tooling", "print_cylinders"),
    "finisher": (("finishing", "machine"), "finishing", ""),
}
"""Document name to: path of the naming field on the sheet, register, section of the register."""

NAMED = {**LINKS, "set-up": (("set_up",), "set_ups", "")}
"""Every kind of entry that a sheet may name, the set-up too: it is no document of the job, but a job hangs on it."""


EntryName = tuple[str, str, str]
"""Register, section and name of an entry."""


class Named(NamedTuple):
    """A register entry that a sheet names, and where."""

    what: str
    register: str
    section: str
    name: str
    place: Place


NOWHERE = Place("", Span(1, 1, 1, 1))


@lru_cache(maxsize=4096)
def placeless(what: str, register: str, section: str, name: str) -> Named:
    """Give an entry that a sheet names, where nobody will ask for the place; one record serves all sheets."""
    return Named(what, register, section, name, NOWHERE)


def named_entries(sheet: Record, placed: Collection[str] | None = None) -> tuple[Named, ...]:
    """Give the register entries that a sheet names, each once; with ``placed``, the places of these kinds alone."""
    found = [
        (what, register, section, named)
        for what, (path, register, section) in NAMED.items()
        if isinstance(named := find(sheet, path), Datum)
    ]
    for station in items_at(sheet, "path"):
        cylinder = find(station if isinstance(station, Record) else None, ("print", "cylinder"))
        if isinstance(cylinder, Datum):
            found.append(("print cylinder", "tooling", "print_cylinders", cylinder))
    first = {(register, section, named.text): (what, named) for what, register, section, named in reversed(found)}
    return tuple(
        [
            Named(what, *key, named.place) if placed is None or what in placed else placeless(what, *key)
            for key, (what, named) in first.items()
        ]
    )


def entry_mark(plant: Plant, register: str, section: str, name: str) -> str:
    """Give 16 hex digits that change with the content of an entry, but not with its place or the order of keys."""
    key = (register, section, name)
    if key not in plant.marks:
        entry = plant.entries(register, section).get(name)
        content = repr(_content(entry)) if entry is not None else ""
        plant.marks[key] = sha256(content.encode("utf-8", "surrogatepass")).hexdigest()[:16] if content else ""
    return plant.marks[key]


def placed_mark(plant: Plant, entry: EntryName) -> str:
    """Mark an entry by its content and by the place of everything in it, for findings cite where numbers stand.

    Of a name that is not there, mark the names there are: the finding on it offers the nearest.
    """
    if entry not in plant.placed_marks:
        register, section, name = entry
        entries = plant.entries(register, section)
        held: object = _placed(entries[name]) if name in entries else tuple(entries)
        plant.placed_marks[entry] = sha256(repr(held).encode("utf-8", "surrogatepass")).hexdigest()[:32]
    return plant.placed_marks[entry]


def mark_key(what: str) -> str:
    """Give the key under which a signed sheet keeps the mark of a kind of entry."""
    return what.replace(" ", "_").replace("-", "_")


def kind_marks(sheet: Record, plant: Plant) -> dict[str, tuple[str, tuple[Named, ...]]]:
    """Give one mark for each kind of entry that a sheet names, with the entries; empty where one is not there.

    A sheet may name several print cylinders: their marks are made into one.
    """
    kinds: dict[str, list[Named]] = {}
    for entry in named_entries(sheet):
        kinds.setdefault(entry.what, []).append(entry)
    return {what: (_joint_mark(entries, plant), tuple(entries)) for what, entries in kinds.items()}


def _joint_mark(entries: list[Named], plant: Plant) -> str:
    marks = sorted(entry_mark(plant, entry.register, entry.section, entry.name) for entry in entries)
    if len(marks) == 1 or not all(marks):
        return marks[0]
    return sha256(" ".join(marks).encode("ascii")).hexdigest()[:16]


def all_entries(plant: Plant) -> tuple[tuple[str, str, str, Place], ...]:
    """Give every entry of every register: register, section, name, and where it stands."""
    sections = [("tooling", name) for name in plant.entries("tooling")]
    sections += [(register, "") for register in plant.registers if register not in ("tooling", "permits")]
    return tuple(
        (register, section, name, field.key_place)
        for register, section in sections
        for name, field in plant.entries(register, section).items()
    )


def _content(field: Field) -> object:
    if isinstance(field, Record):
        return sorted((name, _content(inner)) for name, inner in field.fields.items())
    if isinstance(field, Listing):
        return [_content(item) for item in field.items]
    return field.text if isinstance(field, Datum) else field.says


def _placed(field: Field) -> tuple[object, ...]:
    """Write a field out with all within it, each with its places; of the value, its text and sort say enough."""
    where = (*field.place, *field.key_place)
    if isinstance(field, Record):
        return (where, [(name, _placed(inner)) for name, inner in field.fields.items()])
    if isinstance(field, Listing):
        return (where, *map(_placed, field.items))
    if isinstance(field, Datum):
        return (where, type(field.content).__name__, field.text)
    return (where, field.says)
