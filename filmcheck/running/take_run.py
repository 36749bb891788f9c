"""One run that takes job sheets from a table: each row by itself, whole or not at all, and people's edits stay."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from filmcheck.plant.intake import NUMBER, CellError, Intake, read_intake
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import Plant, load_plant, read_sheet, settings_above, settled, shown, type_text
from filmcheck.plant.sheet_files import SHEET_SUFFIXES
from filmcheck.plant.sheet_merge import MergeError, merged
from filmcheck.plant.sheet_text import Steps, sheet_text
from filmcheck.reading.nodes import Mapping as Tree
from filmcheck.reading.table_file import Row, read_table
from filmcheck.reading.text_file import read_text
from filmcheck.records.errors import UseError
from filmcheck.records.place import Place, Span
from filmcheck.running.safe_write import check_place, write_new, write_whole

TAKEN = ".taken.jsonl"
"""How the name of the file ends that keeps, beside a mapping, what was taken by it: one job a line."""

LEAST_FILLED = 3
"""A row of which less than one in so many cells is filled is no job, but a title within the table, or a sum."""

_NAME = frozenset("abcdefghijklmnopqrstuvwxyz0123456789-_.")


@dataclass(slots=True)
class TakeResult:
    """What came of a table: sheets by what happened to them, and what was not taken, each with cell and reason."""

    counts: Counter[str] = field(default_factory=Counter)
    changed: list[str] = field(default_factory=list)
    not_taken: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Run:
    plant: Plant
    root: Path
    into: Path
    intake: Intake
    sheets: Mapping[str, list[Path]]
    """The sheets that are there, by their lower-case stem and by its part before each dash."""
    before: dict[str, dict[str, str]]
    """What was taken last, by job number and field."""


def take(table: Path, mapping: Path) -> TakeResult:
    """Take the jobs of a table. Raises UseError where the table or the mapping cannot be used as a whole."""
    run = _start(mapping)
    of = run.intake
    read = read_table(table, of.names, delimiter=of.delimiter, worksheet=of.worksheet, encoding=of.encoding)
    unfit = run.intake.fitted(read.header, shown(table))
    if unfit:
        raise UseError("; ".join(unfit), way_out=f"Mend {shown(mapping)} or the header of the table.")
    result = TakeResult()
    seen: set[str] = set()
    try:
        for row in read.rows:
            for told in _take_row(row, run, seen, result):
                result.not_taken.append(told)
    finally:
        _keep(mapping, run)
    return result


def _start(mapping: Path) -> _Run:
    settings = settings_above(settled(mapping).parent)
    if settings is None:
        raise UseError(f"{mapping} belongs to no plant: no plant.yaml lies in a folder above it")
    plant = load_plant(settings)
    sheet = read_sheet(settled(mapping), "mapping", fence=plant.fence)
    intake, faults = read_intake(sheet)
    if faults:
        raise UseError(faults[0].says, place=Place(sheet.file, faults[0].span), way_out=faults[0].hint)
    into = settled(settings.parent / intake.into) if intake.into else next(iter(sorted(plant.job_folders)), None)
    if into is None or not plant.fence.holds(into) or settings.parent not in (into, *into.parents):
        raise UseError("the mapping names no folder of the plant for the sheets", way_out="Add `into: jobs`.")
    return _Run(plant, settings.parent, into, intake, _sheets_in(into), _taken_before(mapping))


def _sheets_in(folder: Path) -> dict[str, list[Path]]:
    found: dict[str, list[Path]] = {}
    for path in sorted(folder.rglob("*")) if folder.is_dir() else ():
        if path.suffix.lower() in SHEET_SUFFIXES and not path.name.startswith("."):
            stem = path.stem.lower()
            for end in (*(at for at, letter in enumerate(stem) if letter == "-"), len(stem)):
                found.setdefault(stem[:end], []).append(path)
    return found


def _take_row(row: Row, run: _Run, seen: set[str], result: TakeResult) -> Iterator[str]:
    """Take one row, and give what of it was not taken, each with cell and reason."""
    now, at, told = _fields(row, run.intake)
    job = row.cells[next(column.name for column in run.intake.columns if column.steps == NUMBER)]
    key = job.text.casefold()
    where = f"row {row.number}" + (f", job {job.text[:40]}" if job.text else "")
    filled = sum(bool(row.cells[name].text) for name in run.intake.names if name in row.cells)
    if filled * LEAST_FILLED < len(run.intake.columns):
        told = [f"{job.at}: {where}: {filled} of {len(run.intake.columns)} cells are filled, so it is taken for no job"]
    if not told and key in seen:
        told = [f"{job.at}: {where}: the job number stands in the table twice; the first is taken"]
    if not told and not key:
        told = [f"{job.at}: {where}: there is no job number, and the sheet is known by it"]
    if not told and (set(key) - _NAME or not key[0].isalnum()):
        told = [f"{job.at}: {where}: a job number is letters, digits, dashes and points, for it names the file"]
    if not told:
        seen.add(key)
        told = [f"{cell}: {where}: {says}" for cell, says in _write(key, now, at, run, result)]
    if told:
        result.counts["not taken"] += 1
    yield from told


def _fields(row: Row, intake: Intake) -> tuple[dict[Steps, str], dict[Steps, str], list[str]]:
    """Give the fields of a row, the cell of each, and what cannot be taken."""
    now, at, told = dict(intake.fixed), {}, []
    for column in intake.columns:
        cell = row.cells.get(column.name)
        if cell is None:
            continue
        try:
            text = column.text(cell)
        except CellError as error:
            told.append(f"{cell.at}: row {row.number}, {column.name}: {error}")
            continue
        at[column.steps] = cell.at
        if text:
            now[column.steps] = text
    return now, at, told


def _write(
    key: str, now: dict[Steps, str], at: dict[Steps, str], run: _Run, result: TakeResult
) -> list[tuple[str, str]]:
    """Write or change the sheet of a row; give what was not taken."""
    alone = sheet_text(now)
    faults = _faults(alone, now, run)
    if faults:
        return [(at.get(steps) or at[NUMBER], says) for steps, says in faults]
    there = run.sheets.get(key, [])
    if len(there) > 1:
        return [(at[NUMBER], f"there are {len(there)} sheets of this number: {', '.join(map(shown, there))[:200]}")]
    if not there:
        write_new(run.into / f"{key}.yaml", alone.encode(), below=run.root)
        run.before[key] = {".".join(steps): text for steps, text in now.items()}
        result.counts["new"] += 1
        return []
    return _change(there[0], key, now, at, run, result)


def _change(
    path: Path, key: str, now: dict[Steps, str], at: dict[Steps, str], run: _Run, result: TakeResult
) -> list[tuple[str, str]]:
    """Change in a sheet that is there what changed in the table since it was last taken."""
    if not run.plant.fence.holds(path):
        return [(at[NUMBER], f"{shown(path)} leads out of the plant's folder")]
    check_place(path, run.plant.own_files, below=run.root)
    raw = path.read_bytes()
    text = raw.decode("utf-8", "replace").removeprefix("\ufeff")
    before = {tuple(name.split(".")): said for name, said in run.before.get(key, {}).items()}
    says: list[str] = []
    untaken: list[tuple[str, str]] = []
    for steps in [*now, *(steps for steps in before if steps not in now)]:
        name = ".".join(steps)
        try:
            new = merged(text, steps, before.get(steps), now.get(steps))
        except MergeError as error:
            untaken.append((at.get(steps) or at[NUMBER], f"{name}: {error}, in {shown(path)}"))
            continue
        if new != text:
            says.append(f"{name}: {now[steps]}")
            text = new
        if steps in now:
            run.before.setdefault(key, {})[name] = now[steps]
    if says:
        mark = b"\xef\xbb\xbf" * raw.startswith(b"\xef\xbb\xbf")
        write_whole(path, mark + text.encode(), never=run.plant.own_files, instead_of=raw)
        result.changed.append(f"{shown(path)}: {'; '.join(says)}")
    if not untaken:
        result.counts["changed" if says else "unchanged"] += 1
    return untaken


def _faults(text: str, now: dict[Steps, str], run: _Run) -> list[tuple[Steps, str]]:
    """Give what is wrong with the fields of one row, each with the field."""
    sheet = type_text(text, "table", "job-sheet")
    faults = list(sheet.faults)
    if not faults:
        faults = [fault for file, fault in resolve(sheet.record, "table", run.plant)[1] if file == "table"]
    fields = _spans(sheet.tree, now)
    return [(fields.get(fault.span, NUMBER), f"{fault.says.rstrip('.')}. {fault.hint}".strip()) for fault in faults]


def _spans(tree: object, now: dict[Steps, str]) -> dict[Span, Steps]:
    found: dict[Span, Steps] = {}
    for steps in now:
        here: object = tree
        for step in steps:
            if isinstance(here, Tree) and step in here.entries:
                found.setdefault(here.entries[step].key.span, steps)
                here = here.entries[step].value
        found[getattr(here, "span", Span(1, 1, 1, 1))] = steps
    return found


def _taken_file(mapping: Path) -> Path:
    return mapping.with_name(mapping.stem + TAKEN)


def _taken_before(mapping: Path) -> dict[str, dict[str, str]]:
    path = _taken_file(mapping)
    text = read_text(path) if path.exists() else ""
    try:
        if not isinstance(text, str):
            raise ValueError
        lines = map(json.loads, text.splitlines())
        found = {str(job): {str(name): str(said) for name, said in fields.items()} for job, fields in lines}
    except (ValueError, AttributeError, TypeError, RecursionError):
        way_out = "Put it back from the repository, or delete it: then nothing that is there is changed."
        raise UseError(f"{path} cannot be read", way_out=way_out) from None
    return found


def _keep(mapping: Path, run: _Run) -> None:
    path = _taken_file(mapping)
    lines = (json.dumps([job, fields], ensure_ascii=False, sort_keys=True) for job, fields in run.before.items())
    text = "".join(f"{line}\n" for line in sorted(lines)).encode()
    if not path.exists():
        write_new(path, text, below=run.root)
    elif path.read_bytes() != text:
        write_whole(path, text)
