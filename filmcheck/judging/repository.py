"""What can only be seen over all job sheets of a plant: doubled numbers and bookings, life summed, entries unused."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime, timedelta
from typing import NamedTuple

from filmcheck.figures.figures import Figures
from filmcheck.finding import Finding, Kind, Related
from filmcheck.judging.judge import House, job_place
from filmcheck.judging.rule import Rule
from filmcheck.plant.entries import Named, all_entries, entry_mark, named_entries
from filmcheck.plant.plant import Plant
from filmcheck.plant.record import Datum, Record, find, word
from filmcheck.position import Place
from filmcheck.value import Value, number

TO_COME = ("planned", "set-up", "running")
"""Stages of jobs that still need their tools."""

TOOLS = ("die", "magnetic cylinder", "anvil", "print cylinder")


class JobSummary(NamedTuple):
    """What the whole repository needs to know of one job."""

    file: str
    number: str
    place: Place
    stage: str
    day: str
    start: str
    end: str
    entries: tuple[Named, ...]
    revolutions: float | None
    done: float | None
    life: float | None


def summarise(figures: Figures) -> JobSummary:
    """Sum a job up."""
    sheet = figures.job.sheet
    amounts = [_amount(figures, name) for name in ("die.planned_revolutions", "die.revolutions", "die.life")]
    return JobSummary(
        figures.job.file,
        figures.job.name,
        job_place(figures.job),
        word(sheet, "stage") or "",
        _text(sheet, "date"),
        _text(sheet, "press_time", "from"),
        _text(sheet, "press_time", "to"),
        named_entries(sheet),
        *amounts,
    )


def _text(sheet: Record, *path: str) -> str:
    field = find(sheet, path)
    return field.text if isinstance(field, Datum) else ""


def _amount(figures: Figures, name: str) -> float | None:
    value = figures(name)
    return number(value.high) if isinstance(value, Value) else None


class Repository:
    """All jobs of a plant, looked at together."""

    def __init__(self, jobs: Iterable[JobSummary], plant: Plant, rules: Iterable[Rule], house: House) -> None:
        """Take the jobs in the order of their files, so that the report does not hang on the order of reading."""
        self.jobs = sorted(jobs, key=lambda job: job.place)
        self.plant = plant
        self.rules = {rule.id: rule for rule in rules}
        self.house = house

    def findings(self, *, whole: bool) -> list[Finding]:
        """Give what is wrong over all jobs; what nobody uses can only be told where every sheet was read."""
        found = [*self._doubled_numbers(), *self._doubled_bookings(), *self._worn_dies()]
        return [*found, *self._unused()] if whole else found

    def _doubled_numbers(self) -> Iterator[Finding]:
        first: dict[str, JobSummary] = {}
        for job in self.jobs:
            if job.number and job.number in first:
                other = first[job.number]
                says = f"job number {job.number} is also that of {other.file}"
                related = (Related(other.place, f"job {other.number}"),)
                yield self._finding("job-number-twice", job.place, says, job, related)
            first.setdefault(job.number, job)

    def _doubled_bookings(self) -> Iterator[Finding]:
        for named, jobs in self._users(lambda job: job.stage in TO_COME).items():
            for index, (job, entry) in enumerate(jobs):
                clashes = [(other, at) for other, at in jobs[:index] if other.number != job.number]
                for other, at in clashes:
                    kind = _clash(job, other)
                    if kind is not None:
                        yield self._booking(job, entry, other, at, kind, named)

    def _booking(
        self, job: JobSummary, entry: Named, other: JobSummary, at: Named, kind: Kind, named: tuple[str, str, str]
    ) -> Finding:
        when = f"from {job.start} to {job.end}" if kind == "fail" else f"on {job.day}"
        theirs = f"from {other.start} to {other.end}" if kind == "fail" else f"on {other.day}"
        says = f"{entry.what} {named[2]} is booked {when} here and {theirs} by job {other.number}"
        missing = () if kind == "fail" else (f"press_time of jobs {other.number} and {job.number}",)
        related = (Related(at.place, f"{entry.what} {named[2]} booked by job {other.number}"),)
        return self._finding("tool-booked-twice", entry.place, says, job, related, kind, missing)

    def _worn_dies(self) -> Iterator[Finding]:
        for named, jobs in self._users(lambda job: job.stage in TO_COME).items():
            if named[1] != "dies" or len(jobs) < 2:
                continue
            planned = sorted(jobs, key=lambda pair: (pair[0].start or pair[0].day, pair[0].place))
            total = next((job.done for job, _ in planned if job.done is not None), None)
            life = next((job.life for job, _ in planned if job.life is not None), None)
            if total is None or life is None:
                continue
            for index, (job, entry) in enumerate(planned):
                total += job.revolutions or 0.0
                alone = (job.done or 0.0) + (job.revolutions or 0.0)
                if total > life >= alone:
                    yield self._worn(job, entry, planned[: index + 1], total, life)
                    break

    def _worn(
        self, job: JobSummary, entry: Named, planned: list[tuple[JobSummary, Named]], total: float, life: float
    ) -> Finding:
        says = (
            f"with the {len(planned)} jobs planned up to this one die {entry.name} will have run"
            f" {total:,.0f} turns of its life of {life:,.0f}"
        )
        related = tuple(Related(at.place, f"job {other.number}") for other, at in planned[:-1])
        return self._finding("die-life-summed", entry.place, says.replace(",", " "), job, related)

    def _unused(self) -> Iterator[Finding]:
        used = {(entry.register, entry.section, entry.name) for job in self.jobs for entry in job.entries}
        for register, section, name, place in all_entries(self.plant):
            if (register, section, name) not in used:
                says = f"no job sheet names {name} of the {(section or register).replace('_', ' ')}"
                yield self._finding("entry-unused", place, says, None, (), address=f"{register}/{section}/{name}")

    def _users(
        self, wanted: Callable[[JobSummary], bool]
    ) -> dict[tuple[str, str, str], list[tuple[JobSummary, Named]]]:
        users: dict[tuple[str, str, str], list[tuple[JobSummary, Named]]] = defaultdict(list)
        for job in filter(wanted, self.jobs):
            for entry in job.entries:
                if entry.what in TOOLS:
                    users[entry.register, entry.section, entry.name].append((job, entry))
        return users

    def _finding(
        self,
        name: str,
        place: Place,
        says: str,
        job: JobSummary | None,
        related: tuple[Related, ...] = (),
        kind: Kind = "fail",
        missing: tuple[str, ...] = (),
        address: str = "",
    ) -> Finding:
        rule = self.rules[name]
        return Finding(
            rule=name,
            level=self.house.levels.get(name, rule.level) if kind == "fail" else "none",
            kind=kind,
            place=place,
            says=says,
            address=f"{address or 'job'}/{name}",
            job=job.number if job else "",
            instead=rule.text.instead,
            because=rule.text.because,
            basis=rule.text.basis,
            missing=missing,
            related=related,
        )


def changed_entries(figures: Figures, plant: Plant) -> Iterator[tuple[str, Place, str]]:
    """Find entries that have changed since the sheet was signed off: what, where the sheet keeps its mark, the name."""
    signed = find(figures.job.sheet, ("signed", "entries"))
    marks = signed.fields if isinstance(signed, Record) else {}
    for entry in named_entries(figures.job.sheet):
        mark = marks.get(entry.what.replace(" ", "_"))
        if isinstance(mark, Datum) and mark.text != entry_mark(plant, entry.register, entry.section, entry.name):
            yield entry.what, mark.place, entry.name


def _clash(job: JobSummary, other: JobSummary) -> Kind | None:
    """Tell whether two bookings overlap: surely, or perhaps where only the day is known."""
    ours, theirs = _span(job), _span(other)
    if ours is None or theirs is None:
        return None
    if not (ours[0] < theirs[1] and theirs[0] < ours[1]):
        return None
    known = all(text for each in (job, other) for text in (each.start, each.end))
    return "fail" if known else "open"


def _span(job: JobSummary) -> tuple[datetime, datetime] | None:
    try:
        if job.start and job.end:
            return datetime.fromisoformat(job.start), datetime.fromisoformat(job.end)
        day = datetime.fromisoformat(job.day)
    except ValueError:
        return None
    return day, day + timedelta(days=1)
