"""What the jobs of one plant share: registers, rules, and what the plant settled about them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import islice
from pathlib import Path

from filmcheck.figures.figures import Figures
from filmcheck.judging.causes import Mended, with_causes
from filmcheck.judging.job_summary import JobSummary, summarise
from filmcheck.judging.judge import House, judge_job
from filmcheck.judging.other_jobs import standings
from filmcheck.judging.permits import Permitted, claims, plant_permit_faults, readable_permits
from filmcheck.judging.repository import changed_entries
from filmcheck.judging.rule import Rule
from filmcheck.judging.sheet_readings import reading_faults
from filmcheck.packs.house import settle
from filmcheck.packs.pack_files import pack_files
from filmcheck.plant.fence import OUTSIDE, WAY_IN
from filmcheck.plant.job import Job, resolve
from filmcheck.plant.plant import PERMITS, Plant, Sheet, shown, type_text
from filmcheck.plant.record import Record, word
from filmcheck.plant.short_sheet import where_taken_over
from filmcheck.reading.nodes import Fault, FileFault
from filmcheck.reading.nodes import Mapping as Tree
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.errors import UseError
from filmcheck.records.finding import Finding, Level, Related
from filmcheck.records.place import Place
from filmcheck.running.pack_store import rule_set
from filmcheck.windows.advice import Adviser
from filmcheck.windows.form import form_edits
from filmcheck.windows.lacking import with_judged
from filmcheck.windows.spans import applied
from filmcheck.windows.trial import Bench

MOST_MENDED = 3
"""Faults of form that are mended for a trial."""


@dataclass(frozen=True, slots=True)
class PlantContext:
    """What all jobs of one plant share."""

    plant: Plant
    rules: tuple[Rule, ...]
    house: House
    by_id: Mapping[str, Rule]
    faults: tuple[FileFault, ...] = ()
    packs_mark: bytes = b""
    permits: Record | None = None
    """The plant-wide permits that could be read."""
    pack_files: tuple[str, ...] = ()
    """The files of the plant's own rule packs."""

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
        return [self._fault_finding(file, fault, self.by_id.get(fault.id), job) for file, fault in faults]

    def _fault_finding(self, file: str, fault: Fault, rule: Rule | None, job: str | None) -> Finding:
        # A sheet that cannot be read is never passed over, so its faults cannot be switched off.
        level: Level = self.house.levels.get(fault.id, rule.level) if rule else "error"
        return Finding(
            rule=fault.id,
            level=level,
            kind="fail",
            place=Place(file, fault.span),
            says=fault.says,
            address=f"{file if job is None else 'sheet'}/{fault.id}",
            job=job or "",
            instead=fault.hint,
            because=rule.text.because if rule else "",
            basis=rule.text.basis if rule else "",
        )


@dataclass(frozen=True, slots=True)
class SheetResult:
    """What came of one sheet: its findings, its job summed up, and whether the day of the run had a part in it."""

    findings: tuple[Finding, ...]
    summary: JobSummary | None
    asked_today: bool


def make_context(plant: Plant) -> PlantContext:
    """Load the rules that a plant uses. Raises PackError where one is broken, UseError where one is not there."""
    own = house_pack_files(plant)
    packs = rule_set([*pack_files([shipped_folder("rules")]), *own])
    house, told = settle(plant.settings, packs.rules, packs.limits)
    by_id = {rule.id: rule for rule in packs.rules}
    permits = plant.registers.get(PERMITS)
    if permits is not None:
        unread = [fault for file, fault in plant.faults if file == permits.place.file]
        permits = readable_permits(permits, unread)
        told = (*told, *plant_permit_faults(permits, by_id))
    return PlantContext(
        plant, packs.rules, house, by_id, (*plant.faults, *told), packs.mark, permits, tuple(map(str, own))
    )


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


def judge_sheet(sheet: Sheet, context: PlantContext, day: date, *, passes: bool = False) -> SheetResult:
    """Resolve the names of a sheet that was read, compute and judge the job, and give advice on what fails."""
    result = judge_as_is(sheet, context, day, passes=passes)
    findings: Sequence[Finding] = result.findings
    if isinstance(sheet.tree, Tree):
        findings = with_judged(
            sheet,
            context.plant,
            findings,
            lambda record: judge_as_is(replace(sheet, record=record), context, day).findings,
            lambda record: _bench(replace(sheet, record=record), context, day),
        )
    if not any(finding.counts for finding in findings):
        return replace(result, findings=tuple(findings))
    mended: tuple[Mended, ...] = ()
    if isinstance(sheet.tree, Tree):
        findings = _adviser(sheet, context, day, findings).advise()
        mended = tuple(_trials(sheet, context, day, findings))
    return replace(result, findings=tuple(with_causes(findings, sheet.file, sheet.tree, context.by_id, mended)))


def _trials(sheet: Sheet, context: PlantContext, day: date, before: Iterable[Finding]) -> Iterator[Mended]:
    """Mend faults of form one by one, and see what is gone then: that follows from them."""
    was = {(one.rule, one.address): {*one.missing} for one in before if one.kind in ("fail", "open", "review")}
    for edit, _ in islice(form_edits(sheet, context.plant), MOST_MENDED):
        changed = type_text(applied(sheet.text, [edit]), sheet.file, "job-sheet")
        after = judge_as_is(changed, context, day).findings
        is_now = {(one.rule, one.address): {*one.missing} for one in after if one.kind != "pass"}
        # What still cannot be told, but by then lacks less, waits for this fault too.
        yield Mended(edit.place, frozenset(who for who in was if who not in is_now or was[who] - is_now[who]))


def _bench(sheet: Sheet, context: PlantContext, day: date) -> Bench:
    return Bench.of(sheet.record, sheet.file, context.plant, day, context.rules, context.house)


def _adviser(sheet: Sheet, context: PlantContext, day: date, findings: Sequence[Finding]) -> Adviser:
    return Adviser(
        sheet,
        lambda: _bench(sheet, context, day),
        lambda changed: judge_as_is(changed, context, day).findings,
        findings,
        context.by_id,
    )


def judge_as_is(sheet: Sheet, context: PlantContext, day: date, *, passes: bool = False) -> SheetResult:
    """Do the same without advice: what the advice itself is judged by."""
    name = word(sheet.record, "job") or ""
    findings = context.fault_findings(((sheet.file, fault) for fault in sheet.faults), name)
    if not isinstance(sheet.tree, Tree):
        return SheetResult(tuple(findings), None, False)
    job, faults = resolve(sheet.record, sheet.file, context.plant)
    figures = Figures(job, day)
    findings += context.fault_findings((*faults, *reading_faults(figures), *_changed(figures, context)), name)
    judged = judge_job(figures, context.rules, context.house, passes=passes)
    made = claims(job, context.permits, sheet.faults)
    if made:
        permitted = Permitted(figures, made, context.by_id)
        findings += context.fault_findings(permitted.faults(judged), name)
        judged = permitted.accept(judged)
    told = tuple(_with_way_in((*findings, *judged), job, context.plant))
    others = standings(figures, context.rules, context.house)
    return SheetResult(told, summarise(figures, others), figures.asked_today)


def _with_way_in(findings: Iterable[Finding], job: Job, plant: Plant) -> Iterator[Finding]:
    """Add to findings that stand in a register where the sheet takes that entry over."""
    ways: dict[str, tuple[Place, str]] | None = None
    for finding in findings:
        if finding.place.file == job.file or finding.address.startswith(f"{finding.place.file}/"):
            yield finding
            continue
        ways = where_taken_over(job.sheet, plant) if ways is None else ways
        way = ways.get(finding.place.file)
        known = way is None or any(related.place == way[0] for related in finding.related)
        yield finding if known or way is None else replace(finding, related=(*finding.related, Related(*way)))


def sum_sheet_up(sheet: Sheet, context: PlantContext, day: date) -> SheetResult:
    """Read of a sheet only what the whole repository needs to know of its job, and judge nothing."""
    if not isinstance(sheet.tree, Tree):
        return SheetResult((), None, False)
    job, _ = resolve(sheet.record, sheet.file, context.plant)
    figures = Figures(job, day)
    return SheetResult((), summarise(figures, standings(figures, context.rules, context.house)), False)


def _changed(figures: Figures, context: PlantContext) -> Iterator[FileFault]:
    if "entry-changed" in context.house.switched_off:
        return
    for what, place, name in changed_entries(figures, context.plant):
        says = f"the {what} {name} has changed in its register since this sheet was signed off"
        yield place.file, Fault("entry-changed", place.span, says, "Look the job over again and sign it off anew.")
