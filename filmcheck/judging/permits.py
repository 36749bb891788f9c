"""Deviation permits: what somebody has allowed on a job, and what is wrong with the permits themselves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date

from filmcheck.figures.figures import Figures
from filmcheck.finding import Finding, Permit
from filmcheck.judging.rule import STAGES, Rule
from filmcheck.plant.job import Job
from filmcheck.plant.nearest import nearest
from filmcheck.plant.record import Datum, Listing, Record, find, word
from filmcheck.position import Place
from filmcheck.reading.nodes import Fault
from filmcheck.value import Value

SCOPES = ("stock", "press", "customer")


@dataclass(frozen=True, slots=True)
class Claim:
    """A permit as somebody wrote it down, whether it holds or not."""

    permit: Permit
    until: date | None
    granted: date | None
    for_this_job: bool


def claims(job: Job, plant_permits: Record | None) -> list[Claim]:
    """Give the permits that a sheet carries, and those of the plant-wide file that speak of its job."""
    own = [_claim(record, on_sheet=True, named=True) for record in _listed(find(job.sheet, ("deviations",)))]
    wide = [
        _claim(record, on_sheet=False, named=_names_job(record, job))
        for record in _listed(find(plant_permits, ("permits",)))
        if _covers(record, job)
    ]
    return [claim for claim in (*own, *wide) if claim is not None]


def _listed(field: object) -> list[Record]:
    return [item for item in field.items if isinstance(item, Record)] if isinstance(field, Listing) else []


def _covers(record: Record, job: Job) -> bool:
    if "jobs" in record.fields and not _names_job(record, job):
        return False
    return all(word(record, scope) in (None, word(job.sheet, scope)) for scope in SCOPES)


def _names_job(record: Record, job: Job) -> bool:
    jobs = record.fields.get("jobs")
    return isinstance(jobs, Listing) and any(isinstance(item, Datum) and item.text == job.name for item in jobs.items)


def _claim(record: Record, *, on_sheet: bool, named: bool) -> Claim | None:
    rule = record.fields.get("rule")
    if not isinstance(rule, Datum):
        return None
    texts = {name: field.text for name, field in record.fields.items() if isinstance(field, Datum)}
    permit = Permit(
        rule=rule.text,
        reason=texts.get("reason", ""),
        approved_by=texts.get("approved_by", ""),
        until=texts.get("until", ""),
        place=rule.place,
        on_sheet=on_sheet,
        caution=texts.get("caution", ""),
    )
    return Claim(permit, _day(record, "until"), _day(record, "granted"), named)


def _day(record: Record, name: str) -> date | None:
    field = record.fields.get(name)
    return field.content if isinstance(field, Datum) and isinstance(field.content, date) else None


class Permitted:
    """The permits of one job, held against what the rules say of it."""

    def __init__(self, figures: Figures, made: list[Claim], rules: Mapping[str, Rule]) -> None:
        """Take the day and the stage from the job."""
        day, stage = figures("job.day"), figures("job.stage")
        self.made = made
        self.rules = rules
        self.day = day.low if isinstance(day, Value) and isinstance(day.low, date) else figures.today
        self.stage = str(stage.low) if isinstance(stage, Value) else ""

    def accept(self, findings: Iterable[Finding]) -> list[Finding]:
        """Mark the findings that a permit accepts. A permit that does not hold accepts nothing."""
        holding = {
            claim.permit.rule: replace(claim.permit, granted_after=_after_the_fact(claim, self.day, self.stage))
            for claim in reversed(self.made)
            if not any(_defects(claim, self.rules, self.day))
        }
        return [
            replace(finding, permit=holding[finding.rule])
            if finding.kind in ("fail", "review") and finding.rule in holding
            else finding
            for finding in findings
        ]

    def faults(self, findings: Iterable[Finding]) -> Iterator[tuple[str, Fault]]:
        """Tell what is wrong with the permits: expired, idle, without approver, for a rule that is not known."""
        spoken = {finding.rule for finding in findings if finding.kind in ("fail", "review")}
        for claim in self.made:
            place = claim.permit.place
            defects = list(_defects(claim, self.rules, self.day))
            remarks = [] if defects else list(_remarks(claim, self.day, self.stage))
            yield from (_told(place, rule, says, hint) for rule, says, hint in (*defects, *remarks))
            if not defects and claim.for_this_job and claim.permit.rule not in spoken:
                says = f"the permit for {claim.permit.rule} accepts nothing: the rule has no objection to this job"
                yield _told(place, "permit-idle", says, "Take it off, or look whether the job was meant otherwise.")


Defect = tuple[str, str, str]


def _defects(claim: Claim, rules: Mapping[str, Rule], job_day: date) -> Iterator[Defect]:
    permit = claim.permit
    rule = rules.get(permit.rule)
    if rule is None:
        near = nearest(permit.rule, rules)
        yield (
            "permit-unknown-rule",
            f"the permit names {permit.rule}, which is no known rule",
            f"Nearest: {near}." if near else "",
        )
        return
    if rule.requires is None:
        says = f"{permit.rule} cannot be departed from: it says that the sheet itself cannot be read rightly"
        yield "permit-unknown-rule", says, "Mend the sheet."
    if not permit.approved_by:
        says = f"the permit for {permit.rule} does not say who granted it"
        yield "permit-without-approver", says, "Write approved_by: who answers for it."
    if claim.until is not None and claim.until < job_day:
        says = f"the permit for {permit.rule} ended on {claim.until}; the job's day is {job_day}"
        yield "permit-expired", says, "Mend the job, or have the permit renewed."
    if rule.safety and not permit.caution:
        says = f"{permit.rule} guards people, and its permit names no caution"
        yield (
            "permit-without-caution",
            says,
            "Write caution: what is done in its stead, and have it agreed with those who answer for safety.",
        )


def _remarks(claim: Claim, job_day: date, stage: str) -> Iterator[Defect]:
    permit = claim.permit
    if claim.until is None:
        says = f"the permit for {permit.rule} has no end"
        yield "permit-without-end", says, "Write until: the last day on which it holds."
    if _after_the_fact(claim, job_day, stage):
        says = f"the permit for {permit.rule} was granted on {claim.granted}, after the job had run on {job_day}"
        yield (
            "permit-after-the-fact",
            says,
            "By ISO 9000 that is a concession, not a deviation permit: treat it as one.",
        )


def _after_the_fact(claim: Claim, job_day: date, stage: str) -> bool:
    made = stage in STAGES and STAGES.index(stage) >= STAGES.index("running")
    return made and claim.granted is not None and claim.granted > job_day


def _told(place: Place, rule: str, says: str, hint: str) -> tuple[str, Fault]:
    return place.file, Fault(rule, place.span, says, hint)
