"""The repository of a plant: its settings and registers, read once and shared by all jobs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from filmcheck.plant.record import Field, Record, find, word
from filmcheck.plant.shape import shape_of
from filmcheck.plant.typed import Typed
from filmcheck.position import Place, Span
from filmcheck.reading.nodes import Fault, Node
from filmcheck.reading.schema_check import check_schema
from filmcheck.reading.text_file import read_text
from filmcheck.reading.yaml_tree import read_tree
from filmcheck.shipped import shipped_schema

SETTINGS_FILE = "plant.yaml"
"""The file that marks the folder of a plant."""

REGISTER_TEXTS = {
    "presses": "press register",
    "stocks": "stock register",
    "tooling": "tooling register",
    "finishing": "finishing register",
    "customers": "customer register",
}
START = Span(1, 1, 1, 1)


@dataclass(frozen=True, slots=True)
class Sheet:
    """One file as read: its text, its tree, its typed record, and its faults."""

    file: str
    text: str
    tree: Node | None
    record: Record
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class Plant:
    """Settings and registers of one plant."""

    root: Path | None
    settings: Record
    registers: Mapping[str, Record]
    files: Mapping[str, Sheet]
    faults: tuple[tuple[str, Fault], ...] = ()

    def has(self, register: str) -> bool:
        """Whether the plant has this register."""
        return register in self.registers

    def entries(self, register: str, section: str = "") -> Mapping[str, Field]:
        """Give the entries of a register, or of one section of it."""
        record = self.registers.get(register)
        within = find(record, (section,)) if section else record
        return within.fields if isinstance(within, Record) else {}


def shown(path: Path) -> str:
    """Write a path as reports show it: relative to where the command runs if below it, with forward slashes."""
    absolute = path.absolute()
    try:
        return absolute.relative_to(Path.cwd()).as_posix()
    except ValueError:
        return absolute.as_posix()


def read_sheet(path: Path, schema: str, file: str | None = None) -> Sheet:
    """Read one file: text, tree, schema check, typed fields. Whatever is wrong becomes a fault."""
    file = file or shown(path)
    text = read_text(path)
    if isinstance(text, Fault):
        return Sheet(file, "", None, empty_record(file), (text,))
    return type_text(text, file, schema)


def type_text(text: str, file: str, schema: str) -> Sheet:
    """Do all but the reading of the file."""
    tree, faults = read_tree(text)
    if tree is None:
        return Sheet(file, text, None, empty_record(file), faults)
    return type_tree(tree, text, file, schema, faults)


def type_tree(tree: Node, text: str, file: str, schema: str, faults: tuple[Fault, ...] = ()) -> Sheet:
    """Check a tree against its schema and type its fields."""
    typed = Typed(file)
    record = typed.record(tree, shape_of(schema))
    faults = (*faults, *check_schema(tree, shipped_schema(schema)), *typed.faults)
    return Sheet(file, text, tree, record, faults)


def empty_record(file: str) -> Record:
    """Give a record without fields, at the start of a file."""
    place = Place(file, START)
    return Record({}, place, place)


def settings_above(path: Path) -> Path | None:
    """Find the settings of the plant that a path belongs to, by walking up."""
    absolute = path.absolute()
    for folder in (absolute, *absolute.parents):
        candidate = folder / SETTINGS_FILE
        if candidate.is_file():
            return candidate
    return None


def load_plant(settings_file: Path | None) -> Plant:
    """Read settings and registers. Faults are kept, so that one broken register does not end the run."""
    if settings_file is None:
        return Plant(None, empty_record(SETTINGS_FILE), {}, {})
    root = settings_file.parent
    settings = read_sheet(settings_file, "plant")
    files = {settings.file: settings}
    faults = [(settings.file, fault) for fault in settings.faults]
    registers: dict[str, Record] = {}
    for register in REGISTER_TEXTS:
        named = word(settings.record, "registers", register)
        if named is None:
            continue
        sheet = read_sheet(root / named, register)
        files[sheet.file] = sheet
        faults += [(sheet.file, fault) for fault in sheet.faults]
        if sheet.tree is not None:
            registers[register] = sheet.record
    return Plant(root, settings.record, registers, files, tuple(faults))
