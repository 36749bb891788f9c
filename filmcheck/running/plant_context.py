"""What the jobs of one plant share: registers, rules, and what the plant settled about them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from filmcheck.judging.house import House
from filmcheck.judging.job_summary import JobSummary
from filmcheck.judging.permits import plant_permit_faults, readable_permits
from filmcheck.judging.rule_head import RuleHead
from filmcheck.packs.house import settle
from filmcheck.packs.pack_files import pack_files
from filmcheck.plant.fence import OUTSIDE, WAY_IN
from filmcheck.plant.plant import PERMITS, Plant, shown
from filmcheck.plant.record import Record
from filmcheck.reading.nodes import Fault, FileFault, first_of
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.errors import UseError
from filmcheck.records.finding import Finding, Level
from filmcheck.records.place import Place
from filmcheck.running.pack_store import RuleSet, rule_set

if TYPE_CHECKING:
    from filmcheck.judging.rule import Rule


@dataclass(frozen=True, slots=True)
class PlantContext:
    """What all jobs of one plant share."""

    plant: Plant
    packs: RuleSet
    house: House
    faults: tuple[FileFault, ...] = ()
    permits: Record | None = None
    """The plant-wide permits that could be read."""
    pack_files: tuple[str, ...] = ()
    """The files of the plant's own rule packs."""

    @property
    def heads(self) -> Mapping[str, RuleHead]:
        """The rules by their ids, without their conditions."""
        return self.packs.heads

    @property
    def rules(self) -> tuple[Rule, ...]:
        """The rules whole: asked for only where something is judged."""
        return self.packs.rules

    @property
    def by_id(self) -> Mapping[str, Rule]:
        """The same by their ids."""
        return self.packs.by_id

    @property
    def files_read(self) -> tuple[str, ...]:
        """The files of the plant that were read for its jobs."""
        return (*self.plant.files, *self.pack_files)

    def plant_findings(self) -> list[Finding]:
        """Give what is wrong with the plant itself: its settings and registers."""
        return self.fault_findings(self.faults)

    def fault_findings(self, faults: Iterable[FileFault], job: str | None = None) -> list[Finding]:
        """Turn faults of reading and resolving into findings, in the words of the rule that stands for them.

        Those of a sheet come with the number of its job, empty where it has none.
        """
        return [self._fault_finding(file, fault, self.heads.get(fault.id), job) for file, fault in faults]

    def _fault_finding(self, file: str, fault: Fault, rule: RuleHead | None, job: str | None) -> Finding:
        # A sheet that cannot be read is never passed over, so its faults cannot be switched off.
        level: Level = self.house.levels.get(fault.id, rule.level) if rule else "error"
        return Finding(
            rule=fault.id,
            level=level,
            kind="fail",
            place=Place(file, fault.span),
            says=fault.says,
            key=fault.key,
            address=f"{file if job is None else 'sheet'}/{fault.id}",
            job=job or "",
            instead=fault.hint,
            because=rule.text.because if rule else "",
            basis=rule.text.basis if rule else "",
        )


class SheetResult(NamedTuple):
    """What came of one sheet: its findings, its job summed up, and whether the day of the run had a part in it."""

    findings: tuple[Finding, ...]
    summary: JobSummary | None
    asked_today: bool


def make_context(plant: Plant) -> PlantContext:
    """Load the rules that a plant uses. Raises PackError where one is broken, UseError where one is not there."""
    own = house_pack_files(plant)
    packs = rule_set([*pack_files([shipped_folder("rules")]), *own])
    house, told = settle(plant.settings, packs.heads.values(), packs.limits)
    permits = plant.registers.get(PERMITS)
    if permits is not None:
        unread = [fault for file, fault in plant.faults if file == permits.place.file]
        permits = readable_permits(permits, unread)
        told = (*told, *first_of(plant_permit_faults(permits, packs.heads)))
    return PlantContext(plant, packs, house, (*plant.faults, *told), permits, tuple(map(str, own)))


def house_pack_files(plant: Plant) -> list[Path]:
    """List the files of a plant's own rule packs. Raises UseError where one is not there."""
    files: list[Path] = []
    for path, place in plant.rule_packs:
        if not plant.fence.holds(path):
            raise UseError(f"a rule pack is not read. {OUTSIDE}", place=place, way_out=WAY_IN)
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
