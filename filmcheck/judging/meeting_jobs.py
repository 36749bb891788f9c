"""Holds jobs that name the same press or tool against the rules on other jobs: which stands too near to which."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from typing import NamedTuple

from filmcheck.judging.job_summary import JobSummary, Standing, User, overlapping
from filmcheck.judging.rule_head import Beside
from filmcheck.judging.verdict import FAILS, HOLDS, OPEN, Verdict
from filmcheck.plant.entries import Named
from filmcheck.records.finding import lack_text
from filmcheck.records.place import Place

DAY = 86400.0
LONGEST = 3650 * DAY
"""Seconds: ten years. No booking reaches farther."""


class Meeting(NamedTuple):
    """A job, one that stands beside it, what they share, and what is lacking to say whether it may."""

    job: JobSummary
    standing: Standing
    other: JobSummary
    entry: Named
    at: Named
    lacks: tuple[str, ...] = ()

    @property
    def reason(self) -> str:
        """What stands beside the job, in words."""
        when = f" {self.other.when}" if self.other.span else ""
        press = f" on press {self.other.press}" if self.entry.what != "press" and self.other.press else ""
        return f"job {self.other.number or self.other.place.file} has {self.entry.what} {self.entry.name}{when}{press}"


def meetings(rule: str, beside: Beside, jobs: Iterable[JobSummary]) -> Iterator[list[Meeting]]:
    """Give for each job the others that stand too near to it, else those of which that cannot be told.

    Of two jobs that are so to each other, the one whose file comes last tells.
    """
    users: dict[tuple[str, str, str], list[User]] = defaultdict(list)
    by_place: dict[Place, Standing] = {}
    for job in sorted(jobs, key=lambda one: one.place):
        standing = next((one for one in job.others if one.rule == rule), None)
        if standing is not None:
            by_place[job.place] = standing
            for entry in job.entries:
                if entry.what == beside.same:
                    users[entry.register, entry.section, entry.name].append((job, entry))
    reach = max((min(one.within or LONGEST, LONGEST) for one in by_place.values()), default=0.0)
    found: dict[Place, dict[Verdict, list[Meeting]]] = defaultdict(lambda: defaultdict(list))
    for named in users.values():
        for one, other in _pairs(named, timedelta(seconds=reach + DAY)):
            if one[0].number and one[0].number == other[0].number:
                continue
            for (job, entry), (near, at) in ((other, one), (one, other)):
                meeting = Meeting(job, by_place[job.place], near, entry, at)
                verdict, lacks = _decided(beside, meeting, by_place[near.place])
                if verdict is not FAILS:
                    found[job.place][verdict].append(meeting._replace(lacks=lacks))
                if verdict is HOLDS:
                    break
    for place in sorted(found):
        yield found[place][HOLDS] or found[place][OPEN]


def _pairs(named: list[User], slack: timedelta) -> Iterator[tuple[User, User]]:
    """Pair jobs that may be near; one without a day is held against a single other, which is enough to ask for it."""
    yield from overlapping(named, slack)
    for index, one in enumerate(named):
        if one[0].span is None and len(named) > 1:
            other = 1 if index == 0 else 0
            yield named[min(index, other)], named[max(index, other)]


def _decided(beside: Beside, meeting: Meeting, other: Standing) -> tuple[Verdict, tuple[str, ...]]:
    own = meeting.standing
    parts = [
        (Verdict(own.applies), tuple(lack_text(name, meeting.job.place) for name in own.lacks)),
        (Verdict(other.meant), tuple(lack_text(name, meeting.other.place) for name in other.meant_lacks)),
        _differs(beside.not_same, meeting),
        _near(beside.side, own.within, meeting),
    ]
    verdicts = [verdict for verdict, _ in parts]
    if FAILS in verdicts:
        return FAILS, ()
    lacks = tuple(lack for verdict, lacking in parts if verdict is not HOLDS for lack in lacking)
    return (
        (HOLDS, ()) if all(verdict is HOLDS for verdict in verdicts) else (OPEN, lacks or ("a value without a range",))
    )


def _differs(what: str, meeting: Meeting) -> tuple[Verdict, tuple[str, ...]]:
    """Whether two jobs name no entry of a kind in common."""
    if not what:
        return HOLDS, ()
    jobs = (meeting.job, meeting.other)
    one, other = ({entry.name for entry in job.entries if entry.what == what} for job in jobs)
    if one and other:
        return (FAILS if one & other else HOLDS), ()
    lacking = [job for job, names in zip(jobs, (one, other), strict=True) if not names]
    return OPEN, tuple(lack_text(what, job.place) for job in lacking)


def _near(side: str, within: float | None, meeting: Meeting) -> tuple[Verdict, tuple[str, ...]]:
    """Whether the other job is near enough, and on the side that is asked. Whole days are counted by date."""
    jobs = (meeting.job, meeting.other)
    undated = [job for job in jobs if job.span is None]
    if undated or within is None:
        return OPEN, tuple(lack_text("date", job.place) for job in undated)
    by_date = within % DAY == 0
    (start, end), (other_start, other_end) = (_span(job, by_date=by_date) for job in jobs)
    timed = all(job.hours for job in jobs)
    gap = max(start - other_end, other_start - end).total_seconds()
    if gap > within or _wrong_side(side, *(_span(job, by_date=not timed)[0] for job in jobs)):
        return FAILS, ()
    sure = timed or (by_date and (not side or start != other_start))
    without = [job for job in jobs if job.hours is None]
    return (HOLDS, ()) if sure else (OPEN, tuple(lack_text("press_time", job.place) for job in without))


def _wrong_side(side: str, start: datetime, other: datetime) -> bool:
    return (side == "before" and other > start) or (side == "after" and other < start)


def _span(job: JobSummary, *, by_date: bool) -> tuple[datetime, datetime]:
    start, end = job.span or (datetime.max, datetime.max)
    return (_day(start), _day(end)) if by_date else (start, end)


def _day(moment: datetime) -> datetime:
    return moment.replace(hour=0, minute=0, second=0, microsecond=0)
