"""Generic entries: what a part of a stock or a station of a press takes over where it says ``like``, as ranges that
findings name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path

from filmcheck.plant.nearest import known_names
from filmcheck.plant.record import Datum, Field, Listing, Record, items_in, laid_over
from filmcheck.reading.nodes import Fault
from filmcheck.reading.shipped import shipped_folder
from filmcheck.reading.text_file import read_text
from filmcheck.records.place import SHIPPED

LIKE = "like"
GENERIC = {register: f"{SHIPPED}materials/{register}.yaml" for register in ("stocks", "presses")}
"""By register the name under which findings show the file, wherever filmcheck is installed."""

GENERIC_FILES = frozenset(GENERIC.values())


def generic_file(register: str) -> Path | None:
    """Give the file of the generic entries of a register; None where it has none."""
    return shipped_folder("rules") / "materials" / f"{register}.yaml" if register in GENERIC else None


@lru_cache(maxsize=4)
def generic_entries(register: str) -> Mapping[str, Record]:
    """Give the generic entries of a register by name, each in the shape of the plant's own."""
    from filmcheck.plant.shape import shape_of  # a run that has the plant in its store reads none of them
    from filmcheck.plant.typed import Typed
    from filmcheck.reading.yaml_tree import read_tree

    file = generic_file(register)
    text = read_text(file) if file is not None else ""
    tree, _ = read_tree(text) if isinstance(text, str) else (None, ())
    fields = Typed(GENERIC[register]).record(tree, shape_of(register)).fields if tree is not None else {}
    return {name: entry for name, entry in fields.items() if isinstance(entry, Record)}


def with_generic(register: str, entries: Record) -> tuple[Record, list[Fault]]:
    """Fill in what entries take over from generic ones; what an entry writes itself counts first.

    The entries of a register that has none stay as they are.
    """
    faults: list[Fault] = []
    filled = _filled(register, register, entries, faults) if register in GENERIC else entries
    return filled if isinstance(filled, Record) else entries, faults


def _filled(register: str, name: str, field: Field, faults: list[Fault]) -> Field:
    """Fill a part in, or all parts within it."""
    if isinstance(field, Listing):
        return field.with_items(tuple(_filled(register, name, item, faults) for item in field.items))
    if not isinstance(field, Record):
        return field
    named = field.fields.get(LIKE)
    if not isinstance(named, Datum):
        return field.with_fields({key: _filled(register, key, part, faults) for key, part in field.fields.items()})
    own = field.with_fields({key: part for key, part in field.fields.items() if key != LIKE})
    entries = generic_entries(register).items()
    known = {generic: part for generic, entry in entries for kind, part in _parts(entry) if kind == name}
    if named.text in known:
        return laid_over(known[named.text], own)
    says = f"{named.text[:60]} is no generic entry for the {name}."
    faults.append(Fault("name-unknown", named.place.span, says, known_names(named.text, known, "entry")))
    return own


def _parts(entry: Record) -> Iterator[tuple[str, Record]]:
    """Give the parts of a generic entry by their name, stations of a list among them."""
    for name, field in entry.fields.items():
        if isinstance(field, Record):
            yield name, field
        for item in items_in(field):
            yield from _parts(item) if isinstance(item, Record) else ()
