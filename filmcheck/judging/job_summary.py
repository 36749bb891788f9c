"""What the whole repository needs to know of one job, and which jobs meet in time."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING, NamedTuple

from filmcheck.judging.ground_checks import Reading, ground_readings
from filmcheck.plant.entries import Named, named_entries
from filmcheck.plant.record import text_at, word
from filmcheck.records.finding import JobLine
from filmcheck.records.place import Place
from filmcheck.records.value import Value, number

if TYPE_CHECKING:
    from filmcheck.figures.figures import Figures

TO_COME = ("planned", "set-up", "running")
"""Stages of jobs that still need their tools."""

TOOLS = ("die", "magnetic cylinder", "anvil", "print cylinder")
BOOKED = ("press", *TOOLS)
"""What one job has for itself as long as it runs."""


class Standing(NamedTuple):
    """What a job is to one rule on other jobs, in plain words and numbers, for it is kept between runs."""

    rule: str
    applies: str
    """Verdict: whether the rule speaks of this job."""
    meant: str
    """Verdict: whether this job is one that must not stand beside such a job."""
    within: float | None
    """Seconds; None where this job does not say."""
    says: str
    instead: str
    lacks: tuple[str, ...] = ()
    meant_lacks: tuple[str, ...] = ()


class JobSummary(NamedTuple):
    """What the whole repository needs to know of one job; days and turns only of one that is still to come."""

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
    press: str = ""
    date: str = ""
    """Of any job, to come or done: for the table of jobs."""
    ground_day: str = ""
    ground: tuple[Reading, ...] = ()
    others: tuple[Standing, ...] = ()
    """How it stands to the rules on other jobs; where it does, days and entries are kept of a job done too."""

    @property
    def line(self) -> JobLine:
        """The job's line in the table of jobs."""
        return JobLine(self.place.file, self.number, self.stage, self.press, self.date)

    @property
    def hours(self) -> tuple[datetime, datetime] | None:
        """From when to when the job is on the press; None where that is not given, or makes no sense."""
        start, end = _moment(self.start), _moment(self.end)
        return (start, end) if start is not None and end is not None and start < end else None

    @property
    def span(self) -> tuple[datetime, datetime] | None:
        """The hours, else the whole day; None where the day too is not given."""
        day = _moment(self.day)
        return self.hours or ((day, datetime.combine(day, time.max)) if day is not None else None)

    @property
    def when(self) -> str:
        """The span in words."""
        return f"from {self.start} to {self.end}" if self.hours else f"on {self.day}"


def summarise(figures: Figures, others: tuple[Standing, ...] = ()) -> JobSummary:
    """Sum a job up, with how it stands to the rules on other jobs."""
    sheet = figures.job.sheet
    number, place, stage = figures.job.name, figures.job.number_place, word(sheet, "stage") or ""
    also = text_at(sheet, "press"), text_at(sheet, "date"), *ground_readings(sheet, place.file)
    to_come = stage in TO_COME
    if not to_come and not others:
        return JobSummary(number, place, stage, "", "", "", named_entries(sheet, ()), None, None, None, *also)
    day, start, end = text_at(sheet, "date"), text_at(sheet, "press_time", "from"), text_at(sheet, "press_time", "to")
    planned, done, life = (_amount(figures, name) if to_come else None for name in _TURNS)
    entries = named_entries(sheet, BOOKED)
    return JobSummary(number, place, stage, day, start, end, entries, planned, done, life, *also, others=others)


_TURNS = ("die.planned_revolutions", "die.revolutions", "die.life")


def _amount(figures: Figures, name: str) -> float | None:
    value = figures(name)
    return number(value.high) if isinstance(value, Value) else None


User = tuple[JobSummary, Named]


def overlapping(jobs: list[User], slack: timedelta = timedelta()) -> Iterator[tuple[User, User]]:
    """Give each pair of jobs whose times overlap or are no farther apart than the slack, the first of the files first.

    The jobs are walked by their start and held only against those not yet over: thousands on one tool, spread over
    the year, are not held against each other one by one.
    """
    timed = sorted((span, index) for index, (job, _) in enumerate(jobs) if (span := job.span) is not None)
    running: list[tuple[datetime, int]] = []
    for (start, end), index in timed:
        running = [(until, other) for until, other in running if until > start]
        for _, other in running:
            yield jobs[min(index, other)], jobs[max(index, other)]
        running.append((end + slack, index))


def _moment(text: str) -> datetime | None:
    """Read a day, or a day with the time of day; None for anything else, which a finding of its own tells of."""
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        return None
    return found if found.tzinfo is None else None
