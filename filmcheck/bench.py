"""The bench at which the sheets of one plant are checked: registers, rules, and what the plant settled about them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from filmcheck.errors import UseError
from filmcheck.figures.figures import Figures
from filmcheck.finding import Finding, Level
from filmcheck.judging.house import settle
from filmcheck.judging.judge import House, judge_job
from filmcheck.judging.pack import load_packs, pack_files
from filmcheck.judging.permits import Permitted, claims
from filmcheck.judging.rule import Rule
from filmcheck.judging.sheet_readings import reading_faults
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import PERMITS, Plant, Sheet, shown
from filmcheck.plant.record import word
from filmcheck.position import Place
from filmcheck.reading.nodes import Fault, Mapping
from filmcheck.shipped import shipped_folder


@dataclass(frozen=True, slots=True)
class Bench:
    """What all jobs of one plant share."""

    plant: Plant
    rules: tuple[Rule, ...]
    house: House
    faults: tuple[tuple[str, Fault], ...] = ()

    def plant_findings(self) -> list[Finding]:
        """Give what is wrong with the plant itself: its settings and registers."""
        return self.fault_findings(self.faults, "")

    def fault_findings(self, faults: Iterable[tuple[str, Fault]], job: str) -> list[Finding]:
        """Turn faults of reading and resolving into findings, in the words of the rule that stands for them."""
        rules = {rule.id: rule for rule in self.rules}
        return [self._fault_finding(file, fault, rules.get(fault.id), job) for file, fault in faults]

    def _fault_finding(self, file: str, fault: Fault, rule: Rule | None, job: str) -> Finding:
        # A sheet that cannot be read is never passed over, so its faults cannot be switched off.
        level: Level = self.house.levels.get(fault.id, rule.level) if rule else "error"
        return Finding(
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


def make_bench(plant: Plant) -> Bench:
    """Load the rules that a plant uses. Raises PackError where one is broken, UseError where one is not there."""
    packs = load_packs([*pack_files([shipped_folder("rules")]), *house_pack_files(plant)])
    house, told = settle(plant.settings, packs)
    return Bench(plant, packs.rules, house, (*plant.faults, *told))


def house_pack_files(plant: Plant) -> list[Path]:
    """List the files of a plant's own rule packs. Raises UseError where one is not there."""
    files: list[Path] = []
    for path, place in plant.rule_packs:
        try:
            found = pack_files([path]) if path.exists() else []
        except OSError as error:
            raise UseError(f"rule pack {shown(path)} cannot be read: {error.strerror}", place=place) from error
        if not found:
            says = "holds no rules" if path.is_dir() else "is not there"
            way_out = "Mend the path under rules in the plant settings; it is relative to that file."
            raise UseError(f"rule pack {shown(path)} {says}", place=place, way_out=way_out)
        files += found
    return files


def judge_sheet(sheet: Sheet, bench: Bench, day: date, *, passes: bool = False) -> list[Finding]:
    """Resolve the names of a sheet that was read, compute and judge the job."""
    name = word(sheet.record, "job") or ""
    findings = bench.fault_findings(((sheet.file, fault) for fault in sheet.faults), name)
    if not isinstance(sheet.tree, Mapping):
        return findings
    job, faults = resolve(sheet.record, sheet.file, bench.plant)
    figures = Figures(job, day)
    findings += bench.fault_findings((*faults, *reading_faults(figures, sheet)), name)
    judged = judge_job(figures, bench.rules, bench.house, passes=passes)
    made = claims(job, bench.plant.registers.get(PERMITS))
    if not made:
        return findings + judged
    permitted = Permitted(figures, made, {rule.id: rule for rule in bench.rules})
    return findings + permitted.accept(judged) + bench.fault_findings(permitted.faults(judged), name)
