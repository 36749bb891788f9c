"""One run, in its five steps: read, resolve, compute, judge, report."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from filmcheck.errors import UseError
from filmcheck.figures.figures import Figures
from filmcheck.finding import Finding, Level, Report, Trouble
from filmcheck.judging.house_reader import read_house
from filmcheck.judging.judge import House, judge_job
from filmcheck.judging.pack import load_packs, pack_files
from filmcheck.judging.rule import Rule
from filmcheck.judging.sheet_readings import reading_faults
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import Plant, Sheet, read_sheet, shown
from filmcheck.plant.record import word
from filmcheck.plant.sheet_files import Plants, sheet_files
from filmcheck.position import Place
from filmcheck.reading.nodes import Fault, Mapping
from filmcheck.shipped import shipped_folder


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

    def trouble(self, path: Path, text: str) -> None:
        """Keep that nothing could be read from a path."""
        self.troubles.append(Trouble(shown(path), text))


def lint(paths: Sequence[Path], *, today: date | None = None, passes: bool = False) -> Report:
    """Lint job sheets, given as files or folders. Raises PackError or UseError; bad sheets become findings."""
    day = today or date.today()
    gathered, plants = Gathered(), Plants()
    files = [(path, plants.settings(path.parent)) for path in sheet_files(paths, plants, gathered.trouble)]
    used = dict.fromkeys([settings for _, settings in files] + plants.read)
    benches = {settings: make_bench(plants.plant(settings)) for settings in used}
    for bench in benches.values():
        gathered.findings += _fault_findings(bench.faults, bench, "")
    for path, settings in files:
        lint_sheet(path, benches[settings], day, gathered, passes=passes)
    rules = {rule.id: rule for bench in benches.values() for rule in bench.rules}
    findings = tuple(sorted(dict.fromkeys(gathered.findings), key=_order))
    texts = tuple(rule.text for rule in rules.values())
    return Report(findings, texts, tuple(gathered.files), tuple(gathered.troubles), filmcheck_version())


def lint_sheet(path: Path, bench: Bench, day: date, gathered: Gathered, *, passes: bool) -> None:
    """Read one sheet, resolve its names, judge it."""
    file = shown(path)
    gathered.files.append(file)
    if bench.plant.owns(path):
        return  # settings, a register or a rule pack: read already, its faults are told once
    sheet = read_sheet(path, "job-sheet", file)
    job_name = word(sheet.record, "job") or ""
    gathered.findings += _fault_findings(((file, fault) for fault in sheet.faults), bench, job_name)
    if isinstance(sheet.tree, Mapping):
        gathered.findings += judge_sheet(sheet, bench, day, passes=passes)


def judge_sheet(sheet: Sheet, bench: Bench, day: date, *, passes: bool = False) -> list[Finding]:
    """Resolve a sheet that was read, and judge the job."""
    job, faults = resolve(sheet.record, sheet.file, bench.plant)
    figures = Figures(job, day)
    faults = (*faults, *reading_faults(figures, sheet))
    findings = _fault_findings(faults, bench, job.name)
    return findings + judge_job(figures, bench.rules, bench.house, passes=passes)


def make_bench(plant: Plant) -> Bench:
    """Load the rules that a plant uses. Raises PackError where one is broken, UseError where one is not there."""
    packs = load_packs([*pack_files([shipped_folder("rules")]), *house_pack_files(plant)])
    faults = list(plant.faults)
    house = read_house(plant.settings, packs, lambda file, fault: faults.append((file, fault)))
    return Bench(plant, packs.rules, house, tuple(faults))


def house_pack_files(plant: Plant) -> list[Path]:
    """List the files of a plant's own rule packs. Raises UseError where one is not there."""
    files: list[Path] = []
    for path, place in plant.rule_packs:
        try:
            found = pack_files([path]) if path.exists() else []
        except OSError as error:
            raise UseError(f"rule pack {shown(path)} cannot be read: {error.strerror}", place=place) from error
        if not found:
            there = path.is_dir()
            says = "holds no rules" if there else "is not there"
            way_out = "Mend the path under rules in the plant settings; it is relative to that file."
            raise UseError(f"rule pack {shown(path)} {says}", place=place, way_out=way_out)
        files += found
    return files


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
