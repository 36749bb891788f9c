"""One run, in its five steps: read, resolve, compute, judge, report."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import cast

from filmcheck.errors import UseError
from filmcheck.figures.figures import Figures
from filmcheck.finding import Finding, Level, Report, Trouble
from filmcheck.judging.judge import House, judge_job
from filmcheck.judging.limit_reader import changed_limits
from filmcheck.judging.pack import Packs, load_packs, pack_files
from filmcheck.judging.rule import Rule
from filmcheck.judging.sheet_readings import reading_faults
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import SETTINGS_FILE, Plant, Sheet, load_plant, read_sheet, settings_above, shown
from filmcheck.plant.record import Datum, Listing, Record, find, word
from filmcheck.position import Place
from filmcheck.reading.nodes import Fault
from filmcheck.shipped import shipped_folder

SHEET_SUFFIXES = (".yaml", ".yml", ".json")


@dataclass(frozen=True, slots=True)
class Bench:
    """What all jobs of one plant share: its registers, the rules, and what the plant settled about them."""

    plant: Plant
    rules: tuple[Rule, ...]
    house: House
    faults: tuple[tuple[str, Fault], ...] = ()


@dataclass(slots=True)
class Gathered:
    """What a run has found so far."""

    findings: list[Finding] = field(default_factory=list)
    files: list[str] = field(default_factory=list)
    troubles: list[Trouble] = field(default_factory=list)


def lint(paths: Sequence[Path], *, today: date | None = None, passes: bool = False) -> Report:
    """Lint job sheets, given as files or folders. Raises PackError or UseError; bad sheets become findings."""
    day = today or date.today()
    gathered = Gathered()
    benches: dict[Path | None, Bench] = {}
    for path in sheet_paths(paths, gathered):
        settings = settings_above(path.parent)
        if settings not in benches:
            benches[settings] = make_bench(settings)
            gathered.findings += _fault_findings(benches[settings].faults, benches[settings], "")
        lint_sheet(path, benches[settings], day, gathered, passes=passes)
    rules = {rule.id: rule for bench in benches.values() for rule in bench.rules}
    findings = tuple(sorted(dict.fromkeys(gathered.findings), key=_order))
    texts = tuple(rule.text for rule in rules.values())
    return Report(findings, texts, tuple(gathered.files), tuple(gathered.troubles), filmcheck_version())


def lint_sheet(path: Path, bench: Bench, day: date, gathered: Gathered, *, passes: bool) -> None:
    """Read one sheet, resolve its names, judge it."""
    file = shown(path)
    gathered.files.append(file)
    if file in bench.plant.files:
        return  # a register or the settings: read already, its faults are told once
    sheet = read_sheet(path, "job-sheet", file)
    job_name = word(sheet.record, "job") or ""
    gathered.findings += _fault_findings(((file, fault) for fault in sheet.faults), bench, job_name)
    if sheet.tree is not None:
        gathered.findings += judge_sheet(sheet, bench, day, passes=passes)


def judge_sheet(sheet: Sheet, bench: Bench, day: date, *, passes: bool = False) -> list[Finding]:
    """Resolve a sheet that was read, and judge the job."""
    job, faults = resolve(sheet.record, sheet.file, bench.plant)
    figures = Figures(job, day)
    faults = (*faults, *reading_faults(figures, sheet))
    findings = _fault_findings(faults, bench, job.name)
    return findings + judge_job(figures, bench.rules, bench.house, passes=passes)


def sheet_paths(paths: Iterable[Path], gathered: Gathered) -> list[Path]:
    """List the files that a run is asked to lint; folders give the sheets below them, sorted."""
    found: dict[Path, None] = {}
    for path in paths:
        if path.is_dir():
            found.update(dict.fromkeys(_sheets_below(path, gathered)))
        else:
            found.setdefault(path)
    return list(found)


def _sheets_below(folder: Path, gathered: Gathered) -> list[Path]:
    """Walk a folder. Dot folders are left out, links to folders are not followed, so no loop can catch it."""
    settings = settings_above(folder)
    wanted = _job_folders(settings)
    packs = _pack_folders(settings)
    found: list[Path] = []
    for here, folders, names in _walk(folder, gathered):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            path = here / name
            if path.suffix in SHEET_SUFFIXES and not name.startswith(".") and name != SETTINGS_FILE:
                found.append(path)
    return [path for path in found if _is_wanted(path, wanted, packs)]


def _walk(folder: Path, gathered: Gathered) -> Iterable[tuple[Path, list[str], list[str]]]:
    import os

    def trouble(error: OSError) -> None:
        gathered.troubles.append(Trouble(shown(Path(error.filename)), f"the folder cannot be read: {error.strerror}"))

    for here, folders, names in os.walk(folder, onerror=trouble):
        yield Path(here), folders, names


@lru_cache(maxsize=16)
def _job_folders(settings: Path | None) -> tuple[Path, ...]:
    record = load_plant(settings).settings if settings else None
    named = find(record, ("jobs",))
    items = named.items if isinstance(named, Listing) else ()
    root = settings.parent if settings else Path()
    return tuple((root / str(item.content)).absolute() for item in items if isinstance(item, Datum))


@lru_cache(maxsize=16)
def _pack_folders(settings: Path | None) -> tuple[Path, ...]:
    return tuple(path.absolute() for path in _house_packs(load_plant(settings))) if settings else ()


def _is_wanted(path: Path, wanted: tuple[Path, ...], packs: tuple[Path, ...]) -> bool:
    absolute = path.absolute()
    if any(absolute == pack or pack in absolute.parents for pack in packs):
        return False
    return not wanted or any(folder in absolute.parents for folder in wanted)


def make_bench(settings_file: Path | None) -> Bench:
    """Read a plant and load the rules that it uses."""
    plant = load_plant(settings_file)
    packs = load_packs([*pack_files([shipped_folder("rules")]), *pack_files(_existing(_house_packs(plant), plant))])
    faults = list(plant.faults)
    house = _house(plant.settings, packs, faults)
    return Bench(plant, packs.rules, house, tuple(faults))


def _house_packs(plant: Plant) -> list[Path]:
    named = find(plant.settings, ("rules",))
    items = named.items if isinstance(named, Listing) else ()
    root = plant.root or Path()
    return [root / str(item.content) for item in items if isinstance(item, Datum)]


def _existing(paths: list[Path], plant: Plant) -> list[Path]:
    for path in paths:
        if not path.exists():
            raise UseError(
                f"rule pack {shown(path)} is not there",
                place=plant.settings.place,
                way_out="Mend the path under rules in the plant settings; it is relative to that file.",
            )
    return paths


def _house(settings: Record, packs: Packs, faults: list[tuple[str, Fault]]) -> House:
    limits = changed_limits(packs.limits, settings, lambda file, fault: faults.append((file, fault)))
    return House(limits, _units(settings), _levels(settings), _switched_off(settings))


def _units(settings: Record) -> dict[str, str]:
    wanted = find(settings, ("units",))
    fields = wanted.fields.items() if isinstance(wanted, Record) else ()
    return {name: str(datum.content) for name, datum in fields if isinstance(datum, Datum)}


def _levels(settings: Record) -> dict[str, Level]:
    wanted = find(settings, ("levels",))
    fields = wanted.fields if isinstance(wanted, Record) else {}
    levels = {name: word(entry, "level") for name, entry in fields.items() if isinstance(entry, Record)}
    return {name: cast(Level, level) for name, level in levels.items() if level}


def _switched_off(settings: Record) -> frozenset[str]:
    wanted = find(settings, ("switched_off",))
    return frozenset(wanted.fields) if isinstance(wanted, Record) else frozenset()


def _fault_findings(faults: Iterable[tuple[str, Fault]], bench: Bench, job: str) -> list[Finding]:
    """Turn faults of reading and resolving into findings, in the words of the rule that stands for them."""
    rules = {rule.id: rule for rule in bench.rules}
    findings = []
    for file, fault in faults:
        rule = rules.get(fault.id)
        if rule is None or fault.id in bench.house.switched_off:
            level: Level = "error"
        else:
            level = bench.house.levels.get(fault.id, rule.level)
        findings.append(
            Finding(
                rule=fault.id,
                level=level,
                kind="fail",
                place=Place(file, fault.span),
                says=fault.says,
                address=f"{'sheet' if job else file}/{fault.id}",
                job=job,
                instead=fault.hint,
                because=rule.text.because if rule else "",
                basis=rule.text.basis if rule else "",
            )
        )
    return findings


def _order(finding: Finding) -> tuple[Place, str, str]:
    return finding.place, finding.rule, finding.says


@lru_cache(maxsize=1)
def filmcheck_version() -> str:
    """Give the version of this installation."""
    try:
        return version("filmcheck")
    except PackageNotFoundError:
        return ""
