"""A short sheet made whole: what its set-up, its press and its customer's entry say, it need not repeat.

Every datum that is taken over keeps its own place. A sheet wins over its set-up field by field; a list replaces a list.
Nothing reaches further than one step: a set-up names no set-up.
"""

from __future__ import annotations

from typing import NamedTuple

from filmcheck.plant.nearest import known_entries
from filmcheck.plant.plant import Plant
from filmcheck.plant.press_path import GivenPath, Settings, settled_path
from filmcheck.plant.record import Datum, Field, Record, find, laid_over
from filmcheck.reading.nodes import Fault, FileFault
from filmcheck.records.place import Place

SET_UPS = "set_ups"
SHORT_KEYS = ("settings", "leave_out")
"""Keys that say how the path comes about; a whole sheet has none of them."""

FROM_CUSTOMER = ("core", "core_wall", "labels_per_roll", "unwind_direction")
"""Fields of ``finishing`` that the customer's entry fixes where the sheet is silent."""


class Whole(NamedTuple):
    """A sheet with all that it takes over."""

    record: Record
    on_press: tuple[int | None, ...] | None
    """Of each station, its number on the press from 0, where the path was taken from there; None for a path of its
    own, whose stations are still to be found on the press."""
    faults: tuple[FileFault, ...]


def made_whole(sheet: Record, plant: Plant) -> Whole:
    """Take over what a sheet leaves to its set-up, press and customer. A sheet that leaves nothing stays as it is."""
    faults: list[FileFault] = []
    set_up = _set_up(sheet, plant, faults)
    record = sheet
    if set_up is not None:  # its own name in words says nothing of the job
        said = {name: field for name, field in set_up.fields.items() if name != "name"}
        record = laid_over(set_up.with_fields(said), sheet)
    record = _with_customer(record, plant)
    lost = set_up is None and "set_up" in sheet.fields  # told where it is named; what it would say, nobody knows
    path = settled_path(_path(sheet, set_up), plant, [] if lost else faults)
    if path is None:
        return Whole(record, None, tuple(faults))
    fields = {name: field for name, field in record.fields.items() if name not in SHORT_KEYS}
    return Whole(record.with_fields({**fields, "path": path.listing}), path.on_press, tuple(faults))


def where_taken_over(record: Record, plant: Plant) -> dict[str, tuple[Place, str]]:
    """Give for each register file that a sheet takes data from where the sheet says so, and the words for it."""
    found: dict[str, tuple[Place, str]] = {}
    named = record.fields.get("set_up")
    for register, key, text in (
        (SET_UPS, "set_up", "the sheet takes it over from this set-up"),
        ("presses", "press", "the press that the job names"),
        ("customers", "customer", "the customer that the job names"),
    ):
        entries, field = plant.registers.get(register), record.fields.get(key)
        if entries is None or field is None:
            continue
        # A press that the set-up names is still the sheet's by its set-up.
        if field.file != record.file and named is not None:
            field = named
        path = record.fields.get("path")
        if key == "press" and path is not None and path.file == record.file:
            field, text = path, "the path that it stands on"
        found.setdefault(entries.file, (field.place, text))
    return found


def _set_up(sheet: Record, plant: Plant, faults: list[FileFault]) -> Record | None:
    named = sheet.fields.get("set_up")
    if not isinstance(named, Datum):
        return None
    entries = plant.entries(SET_UPS)
    entry = entries.get(named.text)
    if isinstance(entry, Record):
        return entry
    if plant.has(SET_UPS):
        says = f"set-up {named.text[:60]} is not in the register of set-ups"
        hint = known_entries(named.text, entries, "set-up")
    else:
        says = f"set-up {named.text[:60]} cannot be looked up: the plant has no register of set-ups that can be read"
        hint = "Name its file in the plant settings, for example registers: {set_ups: registers/set-ups.yaml}."
    faults.append((named.file, Fault("name-unknown", named.place.span, says, hint)))
    return None


def _with_customer(record: Record, plant: Plant) -> Record:
    """Fill in what the customer's entry fixes of the finished rolls, where the job is finished at all."""
    finishing, named = record.fields.get("finishing"), record.fields.get("customer")
    if not (isinstance(finishing, Record) and isinstance(named, Datum)):
        return record
    entry = plant.entries("customers").get(named.text)
    if not isinstance(entry, Record):
        return record
    fixed = entry.with_fields({name: entry.fields[name] for name in FROM_CUSTOMER if name in entry.fields})
    return record.with_fields({**record.fields, "finishing": laid_over(fixed, finishing)})


def _path(sheet: Record, set_up: Record | None) -> GivenPath:
    """Gather what sheet and set-up say of the path."""
    own = sheet.fields.get("path")
    either = [record for record in (sheet, set_up) if record is not None]

    def first(name: str) -> Field | None:
        return next((record.fields[name] for record in either if name in record.fields), None)

    settings = [
        Settings(found, is_own=record is sheet)
        for record in reversed(either)
        if isinstance(found := find(record, ("settings",)), Record)
    ]
    replaced = set_up.fields.get("leave_out") if set_up is not None and "leave_out" in sheet.fields else None
    return GivenPath(
        own or first("path"), own is not None, first("press"), first("leave_out"), tuple(settings), replaced
    )
