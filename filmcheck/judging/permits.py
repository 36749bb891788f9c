"""Deviation permits: what somebody has allowed on a job, and what is wrong with the permits themselves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, NamedTuple

from filmcheck.judging.rule_head import STAGES, RuleHead
from filmcheck.plant.nearest import nearest_hint
from filmcheck.plant.record import Datum, Listing, Record, content_at, items_at, text_at, word
from filmcheck.reading.nodes import Fault, FileFault
from filmcheck.records.finding import Finding, Permit
from filmcheck.records.place import Place
from filmcheck.records.value import Value

if TYPE_CHECKING:
    from filmcheck.figures.figures import Figures
    from filmcheck.plant.job import Job

SCOPES = ("stock", "press", "customer")
DAYS_OF_YEAR = 365.25
LONG_PERMIT = timedelta(days=3 * DAYS_OF_YEAR)
"""From here on a permit has no end that anybody waits for (common practice, no source)."""


class Claim(NamedTuple):
    """A permit as somebody wrote it down, whether it holds or not."""

    permit: Permit
    until: date | None
    granted: date | None
    for_this_job: bool


def readable_permits(permits: Record | None, faults: Iterable[Fault]) -> Record | None:
    """Give a file of permits without those that were not read rightly: half of a permit may allow too much."""
    if permits is None or not isinstance(listed := permits.fields.get("permits"), Listing):
        return permits
    items = tuple(_readable(_listed(permits), faults))
    return permits.with_fields({**permits.fields, "permits": listed.with_items(items)})


def _readable(records: Iterable[Record], faults: Iterable[Fault]) -> Iterator[Record]:
    starts = [fault.span[:2] for fault in faults]
    for record in records:
        span = record.place.span
        if not any(span[:2] <= start < span[2:] for start in starts):
            yield record


def claims(job: Job, plant_permits: Record | None, faults: Iterable[Fault] = ()) -> list[Claim]:
    """Give the permits that a sheet carries, and those of the plant-wide file that speak of its job.

    ``faults`` are those of reading the sheet: a permit of it that one of them points into is passed over.
    """
    listed = _readable(_listed(job.sheet, "deviations"), tuple(faults))
    own = [_claim(record, on_sheet=True, named=True) for record in listed]
    known = {"job": job.name, **{scope: word(job.sheet, scope) or "" for scope in SCOPES}}
    wide = [
        _claim(record, on_sheet=False, named=job.name in (_numbers(record) or ()))
        for record in _listed(plant_permits)
        if _fits(record, known)
    ]
    return [claim for claim in (*own, *wide) if claim is not None]


def _listed(permits: Record | None, key: str = "permits") -> list[Record]:
    return [item for item in items_at(permits, key) if isinstance(item, Record)]


def _numbers(record: Record) -> frozenset[str] | None:
    """Give the job numbers that a permit holds for; None where it lists none."""
    if "jobs" not in record.fields:
        return None
    return frozenset(item.text for item in items_at(record, "jobs") if isinstance(item, Datum))


def _claim(record: Record, *, on_sheet: bool, named: bool) -> Claim | None:
    rule = record.fields.get("rule")
    if not isinstance(rule, Datum):
        return None
    permit = Permit(
        rule=rule.text,
        reason=text_at(record, "reason"),
        approved_by=text_at(record, "approved_by"),
        until=text_at(record, "until"),
        place=rule.place,
        on_sheet=on_sheet,
        caution=text_at(record, "caution"),
    )
    return Claim(permit, _day(record, "until"), _day(record, "granted"), named)


def _day(record: Record, name: str) -> date | None:
    content = content_at(record, name)
    return content if isinstance(content, date) else None


class Permitted:
    """The permits of one job, held against what the rules say of it."""

    def __init__(self, figures: Figures, made: list[Claim], rules: Mapping[str, RuleHead]) -> None:
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
            if not any(_defects(claim, self.rules, self.day, self.stage))
        }
        return [
            replace(finding, permit=holding[finding.rule])
            if finding.kind in ("fail", "review") and finding.rule in holding
            else finding
            for finding in findings
        ]

    def faults(self, findings: Iterable[Finding]) -> Iterator[FileFault]:
        """Tell what is wrong with the permits: expired, idle, without approver, for a rule that is not known."""
        findings = list(findings)
        spoken = {finding.rule for finding in findings if finding.kind in ("fail", "review")}
        unjudged = {finding.rule for finding in findings if finding.kind == "open"}
        first: dict[str, Permit] = {}
        for claim in self.made:
            permit = claim.permit
            if permit.on_sheet and first.setdefault(permit.rule, permit) is not permit:
                line = first[permit.rule].place.span.line
                says = f"the sheet has a permit for {permit.rule} already, in line {line}; the first that holds counts"
                yield _told(
                    permit, self.rules, ("permit-twice", says, "Keep the one that is meant, and take the other off.")
                )
            defects = list(_defects(claim, self.rules, self.day, self.stage))
            remarks = [] if defects else list(_remarks(claim, self.day, self.stage))
            # One permit may cover thousands of jobs: what is wrong with it on each of them is told once, of the plant.
            telling = [each for each in (*defects, *remarks) if permit.on_sheet or each[0] in _OF_THE_JOB]
            if permit.on_sheet or permit.rule in spoken or claim.for_this_job:
                yield from (_told(permit, self.rules, defect) for defect in telling)
            if not defects and claim.for_this_job and permit.rule not in spoken | unjudged and self._owed(permit.rule):
                says = f"the permit for {permit.rule} accepts nothing: the rule has no objection to this job"
                hint = "Take it off, or look whether the job was meant otherwise."
                yield _told(permit, self.rules, ("permit-idle", says, hint))

    def _owed(self, rule: str) -> bool:
        return self.rules[rule].owed_at(self.stage)


def plant_permit_faults(permits: Record | None, rules: Mapping[str, RuleHead]) -> Iterator[FileFault]:
    """Tell what is wrong with the permits of the plant-wide file whatever the job, each once."""
    for record in _listed(permits):
        claim = _claim(record, on_sheet=False, named=False)
        if claim is None:
            continue
        defects = list(_timeless_defects(claim, rules))
        yield from (_told(claim.permit, rules, defect) for defect in defects or _endless(claim))


class IdlePermits:
    """The permits of the plant-wide file that fit none of the jobs met so far."""

    def __init__(self, permits: Record | None) -> None:
        """Start with all that name a rule."""
        listed = _listed(permits)
        self._left = [(rule, record) for record in listed if isinstance(rule := record.fields.get("rule"), Datum)]

    def meet(self, job: Mapping[str, str]) -> None:
        """Strike out those that fit a job: its number under ``job``, and the ``stock``, ``press`` and ``customer``."""
        self._left = [(rule, record) for rule, record in self._left if not _fits(record, job)]

    def left(self) -> Iterator[tuple[str, Place]]:
        """Give the rule of each that is left, and where."""
        return ((rule.text, rule.place) for rule, _ in self._left)


def _fits(record: Record, job: Mapping[str, str]) -> bool:
    numbers = _numbers(record)
    if numbers is not None and job.get("job") not in numbers:
        return False
    return all(word(record, scope) in (None, job.get(scope)) for scope in SCOPES)


Defect = tuple[str, str, str]
"""The rule that stands for it, what is wrong, and the way out."""

_OF_THE_JOB = ("permit-expired", "permit-dated-ahead", "permit-after-the-fact")
"""What hangs on the day and the stage of a job."""

_BEYOND_PERMITS = {
    "permits": "it speaks of permits themselves",
    "repository": "it looks at all jobs together, and a permit speaks of one",
}


def _defects(claim: Claim, rules: Mapping[str, RuleHead], job_day: date, stage: str) -> Iterator[Defect]:
    yield from _timeless_defects(claim, rules)
    if claim.permit.rule in rules and claim.until is not None and claim.until < job_day:
        says = f"the permit for {claim.permit.rule} ended on {claim.until}; the job's day is {job_day}"
        yield "permit-expired", says, "Mend the job, or have the permit renewed."
    if claim.granted is not None and claim.granted > job_day and not _after_the_fact(claim, job_day, stage):
        says = f"the permit for {claim.permit.rule} is granted from {claim.granted} on; the job is to run on {job_day}"
        yield "permit-dated-ahead", says, "Have it granted before the job runs, or put the day right."


def _timeless_defects(claim: Claim, rules: Mapping[str, RuleHead]) -> Iterator[Defect]:
    permit = claim.permit
    rule = rules.get(permit.rule)
    if rule is None:
        yield "permit-unknown-rule", f"the permit names {permit.rule}, which is no known rule", ""
        return
    if not rule.is_asked:
        why = _BEYOND_PERMITS.get(rule.found_by, "it says that the sheet itself cannot be read rightly")
        yield "permit-unknown-rule", f"{permit.rule} cannot be departed from: {why}", "Mend what the rule points at."
    if not permit.approved_by:
        says = f"the permit for {permit.rule} does not say who granted it"
        yield "permit-without-approver", says, "Write approved_by: who answers for it."
    if not permit.reason.strip():
        says = f"the permit for {permit.rule} gives no reason"
        yield "permit-without-reason", says, "Write reason: why this departure does no harm here, or what it costs."
    if claim.granted is not None and claim.until is not None and claim.until < claim.granted:
        says = f"the permit for {permit.rule} was granted on {claim.granted} and ended on {claim.until}, before that"
        yield "permit-backwards", says, "Put the two days right."
    if rule.safety and not permit.caution:
        says = f"{permit.rule} guards people, and its permit names no caution"
        yield (
            "permit-without-caution",
            says,
            "Write caution: what guards people instead, and have it agreed with those who answer for safety.",
        )


def _remarks(claim: Claim, job_day: date, stage: str) -> Iterator[Defect]:
    permit = claim.permit
    yield from _endless(claim)
    if _after_the_fact(claim, job_day, stage):
        says = f"the permit for {permit.rule} was granted on {claim.granted}, after the job had run on {job_day}"
        yield (
            "permit-after-the-fact",
            says,
            "By ISO 9000 that is a concession, not a deviation permit: treat it as one.",
        )


def _endless(claim: Claim) -> Iterator[Defect]:
    if not claim.permit.until:
        says = f"the permit for {claim.permit.rule} has no end"
        yield "permit-without-end", says, "Write until: the last day on which it holds."
    elif claim.until is not None and claim.granted is not None and claim.until - claim.granted > LONG_PERMIT:
        says = f"the permit for {claim.permit.rule} holds from {claim.granted} until {claim.until}"
        says += f", {(claim.until - claim.granted).days / DAYS_OF_YEAR:.0f} years"
        yield "permit-without-end", says, "Put the year right, or agree a nearer day and look at it again then."


def _after_the_fact(claim: Claim, job_day: date, stage: str) -> bool:
    made = stage in STAGES and STAGES.index(stage) >= STAGES.index("running")
    return made and claim.granted is not None and claim.granted > job_day


def _told(permit: Permit, rules: Mapping[str, RuleHead], defect: Defect) -> FileFault:
    rule, says, hint = defect
    if permit.rule not in rules:  # to find the nearest takes long, so it is looked for where this is told alone
        hint = nearest_hint(permit.rule, rules)
    return permit.place.file, Fault(rule, permit.place.span, says, hint)
