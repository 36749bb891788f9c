"""What can only be seen over all job sheets of a plant: doubled numbers and bookings, life summed, entries unused."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Hashable, Iterable, Iterator, Set
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from filmcheck.judging.ground_checks import GroundChecks
from filmcheck.judging.house import House
from filmcheck.judging.job_summary import BOOKED, TO_COME, JobSummary, overlapping
from filmcheck.judging.permits import IdlePermits
from filmcheck.judging.rule_head import RuleHead
from filmcheck.plant.entries import Named, all_entries, kind_marks, mark_key
from filmcheck.plant.plant import PERMITS, REGISTER_TEXTS, Plant
from filmcheck.plant.record import Datum, group_at
from filmcheck.records.finding import Finding, Kind, Related, lack_text
from filmcheck.records.place import Place

if TYPE_CHECKING:
    from filmcheck.figures.figures import Figures
    from filmcheck.judging.meeting_jobs import Meeting

MOST_NAMED = 20
"""Other jobs that one finding names."""


class Clash(NamedTuple):
    """A job that names an entry in hours in which another has it, and where that one names it."""

    job: JobSummary
    entry: Named
    other: JobSummary
    at: Named


class _Together:
    """Jobs that hang together, each by where its number stands."""

    def __init__(self) -> None:
        self._before: dict[Place, Place] = {}

    def join(self, one: Place, other: Place) -> None:
        low, high = sorted((self.root(one), self.root(other)))
        if low != high:
            self._before[high] = low

    def root(self, place: Place) -> Place:
        while place in self._before:
            place = self._before[place]
        return place


class Repository:
    """All jobs of a plant, looked at together.

    They are taken one by one, in any order, and of each no more is kept than what others can be held against.
    """

    def __init__(self, plant: Plant, rules: Iterable[RuleHead], house: House) -> None:
        self.plant = plant
        self.rules = {rule.id: rule for rule in rules}
        self.house = house
        self._all_read = True
        self._first: dict[str, Place] = {}
        self._again: list[tuple[str, Place]] = []
        self._misfiled: list[tuple[Place, str, str]] = []
        self._to_come: list[JobSummary] = []
        self._ground = GroundChecks()
        self._beside: list[JobSummary] = []
        self._named: set[tuple[str, ...]] = set()
        self._idle_permits = IdlePermits(plant.registers.get(PERMITS))

    def add(self, job: JobSummary | None) -> None:
        """Take one more job; None is one that could not be read."""
        if job is None:
            self._all_read = False
            return
        self._named.update(entry[1:4] for entry in job.entries)
        self._idle_permits.meet({"job": job.number, **{entry.what: entry.name for entry in job.entries}})
        if job.number:
            self._count(job.number, job.place)
            if other := number_in_name(job.number, job.place.file):
                self._misfiled.append((job.place, job.number, other))
        if job.press:
            self._ground.add(job.number, job.place.file, job.press, job.ground_day, job.ground)
        if job.others:
            self._beside.append(job)
        if job.stage in TO_COME:
            self._to_come.append(job)

    def _count(self, number: str, place: Place) -> None:
        """Keep where a number stands first, in the order of files, and where again."""
        first = self._first.setdefault(number, place)
        if first is not place:
            self._first[number] = min(first, place)
            self._again.append((number, max(first, place)))

    def findings(self, *, whole: bool, about: Set[str] | None = None) -> list[Finding]:
        """Give what is wrong over all jobs; what nobody uses can only be told where every sheet was read.

        With ``about``, only what one of the jobs on these files has a part in.
        """
        whole = whole and self._all_read
        self._to_come.sort(key=lambda job: job.place)  # so that the report does not hang on the order of reading
        found = [
            *_led(self._doubled_numbers()),
            *self._in_files_of_others(),
            *self._doubled_bookings(),
            *self._worn_dies(),
            *_led(self._grounds()),
            *self.of_other_jobs(),
        ]
        if about is not None:
            found = [
                one
                for one in found
                if not about.isdisjoint({one.place.file, *(related.place.file for related in one.related)})
            ]
        found = [*found, *self._unused()] if whole else found
        found = [one for one in found if one.rule not in self.house.switched_off]
        return [*found, *self._unused_permits()] if whole else found

    def _doubled_numbers(self) -> Iterator[tuple[str, Finding]]:
        for job, place in sorted(self._again):
            says = f"job number {job} is also that of another sheet"
            related = (Related(self._first[job], f"job {job}"),)
            yield job, self._finding("job-number-twice", place, says, job, related)

    def _in_files_of_others(self) -> Iterator[Finding]:
        for place, job, other in sorted(self._misfiled):
            says = f"the sheet has job number {job}, and its file is named for {other}"
            yield self._finding("number-not-of-file", place, says, job)

    def _doubled_bookings(self) -> Iterator[Finding]:
        """Tell of each job what it shares with the first that has it; one tells for all that hang together."""
        clashes: dict[tuple[Place, tuple[str, str, str]], list[Clash]] = defaultdict(list)
        unsure: dict[Place, list[Clash]] = defaultdict(list)
        for named, jobs in self._users().items():
            for (other, at), (job, entry) in overlapping(jobs):
                if job.number and other.number == job.number:
                    continue
                if job.hours is not None and other.hours is not None:
                    clashes[job.place, named].append(Clash(job, entry, other, at))
                # A press runs several jobs a day: only hours that meet say that it is promised twice.
                elif entry.what != "press":
                    for one in (Clash(job, entry, other, at), Clash(other, at, job, entry)):
                        if one.job.hours is None:
                            unsure[one.job.place].append(one)
        yield from self._bookings(clashes.values())
        for lacking in unsure.values():
            yield self._unsure(lacking)

    def _bookings(self, clashes: Iterable[list[Clash]]) -> Iterator[Finding]:
        together = _Together()
        told = []
        for met in clashes:
            for clash in met:
                together.join(clash.job.place, clash.other.place)
            told.append((met[0].job.place, self._booking(met)))
        told.sort(key=lambda pair: (pair[1].rule != "press-booked-twice", pair[1].place))
        yield from _led((together.root(place), finding) for place, finding in told)

    def _booking(self, met: list[Clash]) -> Finding:
        job, entry, other, _ = met[0]
        more = f", and by {len(met) - 1} more" if len(met) > 1 else ""
        says = f"{entry.what} {entry.name} is booked {job.when} here and {other.when} by job {other.number}{more}"
        related = tuple(
            Related(one.at.place, f"{entry.what} {entry.name} booked by job {one.other.number}")
            for one in met[:MOST_NAMED]
        )
        rule = "press-booked-twice" if entry.what == "press" else "tool-booked-twice"
        # A set-up names the entry for many jobs, and only this one is booked at these hours.
        place = entry.place if entry.place.file == job.place.file else job.place
        return self._finding(rule, place, says, job.number, related)

    def _unsure(self, met: list[Clash]) -> Finding:
        job, entry, other, at = min(met, key=lambda one: (BOOKED.index(one.entry.what), one.other.place))
        others = {one.other.place for one in met}
        says = f"cannot tell: {entry.what} {entry.name} may be promised twice {job.when}, to job {other.number} too"
        says += f", and something to {len(others) - 1} more" if len(others) > 1 else ""
        related = (Related(at.place, f"{entry.what} {entry.name} booked by job {other.number}"),)
        missing = (lack_text("press_time", job.place),)
        place = entry.place if entry.place.file == job.place.file else job.place
        return self._finding("tool-booked-twice", place, says, job.number, related, "open", missing)

    def _worn_dies(self) -> Iterator[Finding]:
        for named, jobs in self._users().items():
            if named[1] != "dies" or len(jobs) < 2:
                continue
            planned = sorted(jobs, key=lambda pair: (pair[0].span or _SOME_DAY, pair[0].place))
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
        return self._finding("die-life-summed", entry.place, says.replace(",", " "), job.number, related)

    def _grounds(self) -> Iterator[tuple[str, Finding]]:
        """Tell of each sheet whose readings of the ground are not those of the others, by its file."""
        for place, job, says, other, other_job in sorted(self._ground.differing()):
            related = (Related(other, f"job {other_job}"),)
            yield place.file, self._finding("ground-readings-differ", place, says, job, related)

    def of_other_jobs(self) -> Iterator[Finding]:
        """Tell of each job that has another beside it which a rule forbids."""
        if not self._beside:
            return
        from filmcheck.judging.meeting_jobs import meetings  # brings verdicts and conditions, which most runs spare

        for rule in self.rules.values():
            for met in meetings(rule.id, rule.beside, self._beside) if rule.beside is not None else ():
                yield self._meeting(rule, met)

    def _meeting(self, rule: RuleHead, met: list[Meeting]) -> Finding:
        job, standing, _, entry, _, lacks = met[0]
        place = entry.place if entry.place.file == job.place.file else job.place
        related = tuple(Related(one.at.place, f"job {one.other.number}") for one in met[:MOST_NAMED])
        if lacks:
            says = f"cannot tell: {rule.text.title[:1].lower()}{rule.text.title[1:]}: {met[0].reason}"
            return self._finding(rule.id, place, says, job.number, related, "open", lacks)
        reason = met[0].reason + (f", and {len(met) - 1} more are as near" if len(met) > 1 else "")
        says = standing.says if "{reason}" in standing.says else f"{standing.says}: {{reason}}"
        finding = self._finding(rule.id, place, says.replace("{reason}", reason), job.number, related)
        return replace(finding, instead=standing.instead, caution=rule.text.caution)

    def _unused(self) -> Iterator[Finding]:
        for register, section, name, place in all_entries(self.plant):
            if (register, section, name) not in self._named:
                where = section.replace("_", " ") or REGISTER_TEXTS[register]
                says = f"no job sheet names {name} of the {where}"
                yield self._finding("entry-unused", place, says, "", (), address=f"{register}/{section}/{name}")

    def _unused_permits(self) -> Iterator[Finding]:
        for rule, place in self._idle_permits.left():
            says = f"the permit for {rule} accepts nothing: it fits no job of the plant"
            yield self._finding("permit-idle", place, says, "", (), address=f"{PERMITS}/{rule}")

    def _users(self) -> dict[tuple[str, str, str], list[tuple[JobSummary, Named]]]:
        """Give the jobs to come that use each press and tool."""
        users: dict[tuple[str, str, str], list[tuple[JobSummary, Named]]] = defaultdict(list)
        for job in self._to_come:
            for entry in job.entries:
                if entry.what in BOOKED:
                    users[entry.register, entry.section, entry.name].append((job, entry))
        return users

    def _finding(
        self,
        name: str,
        place: Place,
        says: str,
        job: str,
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
            job=job,
            instead=rule.text.instead,
            because=rule.text.because,
            basis=rule.text.basis,
            missing=missing,
            related=related,
        )


def _led(found: Iterable[tuple[Hashable, Finding]]) -> Iterator[Finding]:
    """Give findings of which those with the same key have one cause: the first of them tells it."""
    heads: dict[Hashable, Finding] = {}
    for key, finding in found:
        head = heads.setdefault(key, finding)
        yield finding if finding is head else replace(finding, follows_from=head.name)


def changed_entries(figures: Figures, plant: Plant) -> Iterator[tuple[str, Place, str]]:
    """Find entries that have changed since the sheet was signed off: what, where the sheet keeps its mark, the name."""
    marks = group_at(figures.job.sheet, "signed", "entries")
    for what, (mark, entries) in kind_marks(figures.job.sheet, plant).items() if marks else ():
        then = marks.get(mark_key(what))
        if isinstance(then, Datum) and then.text != mark:
            yield what, then.place, " or ".join(sorted(entry.name for entry in entries))


def number_in_name(number: str, file: str) -> str:
    """Give the job number in the name of a file, where it has one of the same letters and none that is this one."""
    own = _NUMBER.fullmatch(number)
    if own is None:
        return ""
    name = file.rpartition("/")[2]
    found = [each for each in _NUMBER.finditer(name) if each["letters"].casefold() == own["letters"].casefold()]
    return found[0][0] if found and own["digits"] not in {each["digits"] for each in found} else ""


_NUMBER = re.compile(r"(?<![A-Za-z])(?P<letters>[A-Za-z]+)[-_ ]?(?P<digits>\d{3,})(?!\d)")
"""Letters and three digits or more, as job numbers have them."""

_SOME_DAY = (datetime.max, datetime.max)
"""Stands for the day of a job that gives none: behind all others."""
