"""The repository of a plant: its settings and registers, read once and shared by all jobs."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import islice
from os import getcwd, sep
from os.path import isdir, isfile, join, lexists, relpath
from pathlib import Path
from typing import NamedTuple, TypeAlias

from filmcheck.plant.fence import OUTSIDE, WAY_IN, Fence, outside
from filmcheck.plant.record import Datum, Field, Record, find, items_at
from filmcheck.reading.nodes import Fault, FileFault, Node
from filmcheck.reading.nodes import Mapping as Tree
from filmcheck.reading.shipped import is_installed, shipped_name, shipped_schema
from filmcheck.reading.text_file import read_text
from filmcheck.records.place import Place, Span

SETTINGS_FILE = "plant.yaml"
"""The file that marks the folder of a plant."""

REGISTER_TEXTS = {
    "presses": "press register",
    "stocks": "stock register",
    "tooling": "tooling register",
    "finishing": "finishing register",
    "customers": "customer register",
    "set_ups": "register of set-ups",
}
PERMITS = "permits"
"""The plant-wide file of deviation permits: kept with the registers, though no sheet names an entry of it."""

PERMITS_FILE = "permits.yaml"
"""Its name where the settings give none: what lies there beside them is meant to be used."""

START = Span(1, 1, 1, 1)

NO_SHEET = "This file is no job sheet: it has no key of one"
NO_SHEET_HINT = "Move it out of the folder of jobs; or write a sheet, which begins with `job:` and `stage:`."


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
    faults: tuple[FileFault, ...] = ()
    own_files: frozenset[Path] = frozenset()
    """Settings, registers and rule packs: files and folders that hold no job sheets."""
    fence: Fence = field(default_factory=lambda: Fence.around(Path(), loose=True), compare=False)
    """What the plant may read."""
    marks: dict[tuple[str, str, str], str] = field(default_factory=dict, compare=False, repr=False)
    """Marks of register entries worked out so far."""
    placed_marks: dict[tuple[str, str, str], str] = field(default_factory=dict, compare=False, repr=False)
    """The same of entries with their places."""
    documents: dict[tuple[str, str, str], object] = field(default_factory=dict, compare=False, repr=False)
    """Register entries made ready for jobs so far."""

    def has(self, register: str) -> bool:
        """Whether the plant has this register, and it could be read."""
        return register in self.registers

    def names(self, register: str) -> bool:
        """Whether the settings name this register, or could not be read, so that they may."""
        settings = next(iter(self.files.values()), None)
        unread = settings is not None and not isinstance(settings.tree, Tree)
        return unread or find(self.settings, ("registers", register)) is not None

    def owns(self, path: Path) -> bool:
        """Whether a path is that of the settings, of a register or of a rule pack, or lies within one."""
        return path in self.own_files or not self.own_files.isdisjoint(path.parents)

    def entries(self, register: str, section: str = "") -> Mapping[str, Field]:
        """Give the entries of a register, or of one section of it."""
        record = self.registers.get(register)
        within = find(record, (section,)) if section else record
        return within.fields if isinstance(within, Record) else {}

    @property
    def job_folders(self) -> frozenset[Path]:
        """The folders that hold the job sheets; none where the settings name none, so that any may."""
        return frozenset(path for path, _ in self._listed("jobs") if self.fence.holds(path))

    @property
    def rule_packs(self) -> tuple[tuple[Path, Place], ...]:
        """The house rule packs, files or folders, each with where the settings name it."""
        return self._listed("rules")

    def _listed(self, key: str) -> tuple[tuple[Path, Place], ...]:
        return listed_paths(self.settings, self.root or Path(), key)


def listed_paths(settings: Record, root: Path, key: str) -> tuple[tuple[Path, Place], ...]:
    """Give the paths that the settings list under a key, each with its place there."""
    items = items_at(settings, key)
    return tuple((settled(root / item.text), item.place) for item in items if isinstance(item, Datum))


def settled(path: Path) -> Path:
    """Give a path in full, without steps up. Links stay as they are, save where the path steps up through one."""
    absolute = path.absolute()
    if ".." not in absolute.parts:
        return absolute
    return absolute.resolve() if absolute.name == ".." else absolute.parent.resolve() / absolute.name


def shown(path: Path) -> str:
    """Write a path as reports show it: seen from where the command runs, with forward slashes and never in full.

    What came with filmcheck has a name of its own, but for those who work on filmcheck and run it in its checkout. Only
    a path that the user typed, and that is refused or written to, is repeated as it was typed.
    """
    absolute, here = settled(path), Path.cwd()
    shipped = shipped_name(absolute)
    if shipped and (is_installed() or not absolute.is_relative_to(here)):
        return shipped
    return Path(relpath(absolute, here)).as_posix()


def shown_full(path: str) -> str:
    """Do the same for the text of a path that is full and settled; there may be many, so the usual one is quick."""
    here = join(getcwd(), "")
    return path[len(here) :] if sep == "/" and path.startswith(here) else shown(Path(path))


def read_sheet(path: Path | str, schema: str, file: str | None = None, *, fence: Fence | None = None) -> Sheet:
    """Read one file: text, tree, schema check, typed fields. Whatever is wrong becomes a fault.

    What lies outside of the ``fence`` is not read.
    """
    file = file or shown(Path(path))
    if fence is not None and not fence.holds(path if isinstance(path, str) else path.absolute()):
        return type_text(outside(), file, schema)
    return type_text(read_text(path), file, schema)


TypeFile: TypeAlias = Callable[[str, str, str], Sheet]
"""Turns a text into typed fields: the text, the file as shown, and the schema."""


def type_text(text: str | Fault, file: str, schema: str) -> Sheet:
    """Do all but the reading of the file; in place of a text, take the fault why there is none."""
    if isinstance(text, Fault):
        return Sheet(file, "", None, empty_record(file), (text,))
    from filmcheck.reading.yaml_tree import read_tree  # a run that judges nothing parses nothing

    tree, faults = read_tree(text)
    if tree is None:
        return Sheet(file, text, None, empty_record(file), faults)
    if schema == "job-sheet" and _is_foreign(tree):
        return Sheet(file, text, None, empty_record(file), (Fault("no-sheet", START, NO_SHEET, NO_SHEET_HINT),))
    return type_tree(tree, text, file, schema, faults)


def type_plant_file(text: str, file: str, schema: str) -> Sheet:
    """Do the same for settings and registers, whose entries take over what they are ``like``. Hangs on nothing else."""
    sheet = type_text(text, file, schema)
    if not isinstance(sheet.tree, Tree):
        return sheet
    from filmcheck.plant.generic import with_generic
    from filmcheck.plant.register_slips import register_slips

    record, faults = with_generic(schema, sheet.record)
    return replace(sheet, record=record, faults=(*sheet.faults, *faults, *register_slips(schema, sheet.record)))


def _is_foreign(tree: Node) -> bool:
    """Whether no key at the top is one of a job sheet, nor like one."""
    from filmcheck.plant.nearest import nearest
    from filmcheck.plant.shape import shape_of

    known = shape_of("job-sheet").fields
    return isinstance(tree, Tree) and not any(key in known or nearest(key, known) for key in islice(tree.entries, 20))


def type_tree(tree: Node, text: str, file: str, schema: str, faults: tuple[Fault, ...] = ()) -> Sheet:
    """Check a tree against its schema and type its fields."""
    from filmcheck.plant.shape import shape_of
    from filmcheck.plant.typed import Typed
    from filmcheck.reading.schema_check import check_schema

    typed = Typed(file)
    record = typed.record(tree, shape_of(schema))
    formal = check_schema(tree, shipped_schema(schema))
    commas = {fault.span[:2] for fault in formal if "in braces a comma ends" in fault.says}
    faults = (*faults, *formal, *(fault for fault in typed.faults if fault.span[:2] not in commas))
    return Sheet(file, text, tree, record, faults)


def empty_record(file: str) -> Record:
    """Give a record without fields, at the start of a file."""
    nothing = Tree({}, START)
    return Record({}, file, nothing, nothing)


def settings_above(folder: Path, *, within_repository: bool = False) -> Path | None:
    """Find the settings of the plant that a folder belongs to, by walking up, to the top of its repository if asked.

    Settings that are there but cannot be read count: to pass over them would judge by another plant's.
    """
    absolute = settled(folder)
    for above in (absolute, *absolute.parents):
        if lexists(above / SETTINGS_FILE):
            return above / SETTINGS_FILE
        if within_repository and lexists(above / ".git"):
            return None
    return None


def load_plant(settings_file: Path | None, typed: TypeFile = type_plant_file) -> Plant:
    """Read settings and registers. Faults are kept, so that one broken register does not end the run.

    Another than the usual ``typed`` must give the same.
    """
    if settings_file is None:
        return Plant(None, empty_record(SETTINGS_FILE), {}, {})
    root = settings_file.parent
    outer = _outer_plant(root, typed)
    fence = Fence.around(root, *outer.roots)
    settings = _read_plant_file(settings_file, "plant", fence, typed)
    files = {settings.file: settings}
    own_faults = (*settings.faults, *outer.faults, *_unfit_folders(settings.record, root, fence))
    faults = [(settings.file, fault) for fault in own_faults]
    listed = [pair for key in ("rules", "mappings") for pair in listed_paths(settings.record, root, key)]
    own_files = {settings_file, root / PERMITS_FILE, *(path for path, _ in listed)}
    registers: dict[str, Record] = {}
    for register, what in {**REGISTER_TEXTS, PERMITS: "file of permits"}.items():
        named = find(settings.record, (register,) if register == PERMITS else ("registers", register))
        if isinstance(named, Datum):
            path, place = settled(root / named.text), named.place
        elif named is None and register == PERMITS and lexists(root / PERMITS_FILE):
            path, place = root / PERMITS_FILE, settings.record.place
        else:
            continue
        own_files.add(path)
        sheet = _read_plant_file(path, register, fence, typed)
        files[sheet.file] = sheet
        faults += _register_faults(sheet, path, place, what)
        if isinstance(sheet.tree, Tree):
            registers[register] = sheet.record
    return Plant(root, settings.record, registers, files, tuple(faults), frozenset(own_files), fence)


def _read_plant_file(path: Path, schema: str, fence: Fence, typed: TypeFile) -> Sheet:
    text = read_text(path) if fence.holds(path) else outside()
    return type_text(text, shown(path), schema) if isinstance(text, Fault) else typed(text, shown(path), schema)


def _unfit_folders(settings: Record, root: Path, fence: Fence) -> Iterator[Fault]:
    """Find job folders that are not there or lie elsewhere: nothing below is linted, and nobody would be told."""
    for path, place in listed_paths(settings, root, "jobs"):
        if not fence.holds(path):
            yield Fault("settings-wrong", place.span, f"the job folder is not walked. {OUTSIDE}", WAY_IN)
        elif not isdir(path):
            says = f"the job folder {shown(path)} is not there"
            yield Fault("settings-wrong", place.span, says, "The path is relative to the settings file.")
    for key, what in (("plants", "the folder of a further plant"), ("mappings", "the mapping")):
        for path, place in listed_paths(settings, root, key):
            if fence.holds(path) and not lexists(path):
                says = f"{what} {shown(path)} is not there"
                yield Fault("settings-wrong", place.span, says, "The path is relative to the settings file.")


class _Outer(NamedTuple):
    """The plants around one that name it, and what is wrong where one does not."""

    roots: tuple[Path, ...] = ()
    faults: tuple[Fault, ...] = ()


def _outer_plant(root: Path, typed: TypeFile) -> _Outer:
    """Look for a plant around that of a folder, up to the top of its repository.

    Another plant's settings would hold for what lies below them, and switch rules off, unseen by the plant around.
    """
    above = None if lexists(root / ".git") else settings_above(root.parent, within_repository=True)
    if above is None:
        return _Outer()
    around = _read_plant_file(above, "plant", Fence.around(above.parent), typed)
    if root in {path for path, _ in listed_paths(around.record, above.parent, "plants")}:
        further = _outer_plant(above.parent, typed)
        return _Outer((above.parent, *further.roots), further.faults)
    says = f"this plant lies within that of {shown(above)}, which does not name it, so its settings are not expected"
    hint = f"Write plants: [{relpath(root, above.parent)}] there, or take this file away."
    return _Outer((), (Fault("settings-wrong", START, says, hint),))


def _register_faults(sheet: Sheet, path: Path, named: Place, what: str) -> Iterator[FileFault]:
    """Give the faults of a register with their file: where there is no such file, that of the settings naming it."""
    for fault in sheet.faults:
        if sheet.text or (isfile(path) and fault.says != OUTSIDE):
            yield sheet.file, fault
        else:
            says = f"the {what} {sheet.file} cannot be read: {fault.says[:1].lower()}{fault.says[1:]}"
            hint = "The path is relative to the settings file."
            yield named.file, Fault(fault.id, named.span, says.rstrip("."), hint)
