"""One sheet that was read: its names resolved, its job computed and judged. Advice is another matter."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date

from filmcheck.figures.figures import Figures
from filmcheck.judging.job_summary import summarise
from filmcheck.judging.judge import judge_job, reading_faults
from filmcheck.judging.other_jobs import standings
from filmcheck.judging.permits import Permitted, claims
from filmcheck.judging.repository import changed_entries
from filmcheck.plant.job import Job, resolve
from filmcheck.plant.plant import Plant, Sheet
from filmcheck.plant.record import word
from filmcheck.plant.short_sheet import where_taken_over
from filmcheck.reading.nodes import Fault, FileFault, first_of
from filmcheck.reading.nodes import Mapping as Tree
from filmcheck.records.finding import Finding, Related
from filmcheck.records.place import Place
from filmcheck.running.plant_context import PlantContext, SheetResult


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
        permitted = Permitted(figures, made, context.heads)
        findings += context.fault_findings(first_of(permitted.faults(judged)), name)
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
        yield place.file, Fault("entry-changed", place.span, says, "Look the job over and sign it off again.")
