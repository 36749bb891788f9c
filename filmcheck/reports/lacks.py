"""What could not be judged, told once a run by what is missing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import NamedTuple

from filmcheck.records.finding import WRITE, Finding, lack_parts
from filmcheck.reports.led import told_apart
from filmcheck.reports.page_lines import count, listed, one_line

_SAYS_MORE = (" cannot be ", " names no ", " is not ", " has no ", " is no ", " comes ")
"""What stands in a text that says what is in the way, and does not just name a datum."""

_MANY_OF_GROUP = 4
"""Data of one group that a sheet lacks from which on they are told together."""
_FIELDS_NAMED = 5


class Lack(NamedTuple):
    """One thing that is missing: where it belongs, and every finding that waits for it."""

    text: str
    place: str
    findings: tuple[Finding, ...]
    shared: bool
    """Whether it belongs in a register or the settings, and so to all jobs that take it from there."""
    write: str = ""
    """Key and example to write there."""

    @property
    def jobs(self) -> tuple[str, ...]:
        """The jobs that wait for it, each by its number, else by its sheet."""
        # What is told of a register entry names no job, though the sheet that it stands on may wait for more.
        of_file = {one.place.file: one.job for one in self.findings if one.job}
        return tuple(dict.fromkeys(one.job or of_file.get(one.place.file, one.place.file) for one in self.findings))

    @property
    def rules(self) -> tuple[str, ...]:
        """The rules that wait for it."""
        return tuple(sorted({one.rule for one in self.findings}))

    @property
    def checks(self) -> int:
        """How many checks wait for it."""
        return len(self.findings)

    @property
    def is_named(self) -> bool:
        """Whether a datum is named that lacks, and nothing is said of what stands in the way."""
        return not any(word in self.text for word in _SAYS_MORE)

    @property
    def says(self) -> str:
        """Say what lacks what."""
        jobs = self.jobs
        who = one_line(jobs[0]) if len(jobs) == 1 else count(len(jobs), "job")
        if not self.is_named:
            return f"{self.text.rstrip('.')} ({who})"
        datum, of, entry = self.text.partition(" of ")
        whole = self.write if self.write.startswith(WRITE) else f"{WRITE}it there, such as `{self.write}`"
        write = f"; {whole}" if self.write else ""
        if self.shared and of and ": " not in self.text:  # a station may be the 1st of 3
            waiting = f": {count(self.checks, 'check')} of {who}"
            return f"{entry} lacks {datum}{waiting}{write}"
        return f"{who} {'lacks' if len(jobs) == 1 else 'lack'} {self.text}{write}"


def waiting_rules(findings: Iterable[Finding]) -> dict[str, list[str]]:
    """Give every datum that is lacking with the rules that wait for it."""
    waiting: dict[str, list[str]] = {}
    for finding in findings:
        if finding.kind == "open":
            for datum in finding.waits_for:
                waiting.setdefault(datum, []).append(finding.rule)
    return waiting


def missing(findings: Iterable[Finding]) -> list[Lack]:
    """Gather what is missing; what is written but cannot be used, and was told as a fault where it stands, is not."""
    heads = [each.head for each in told_apart(findings)]
    faulty = {str(one.place) for one in heads if one.kind == "fail"}
    found = lacks(one for one in heads if one.kind == "open")
    return [lack for lack in found if lack.is_named or lack.place not in faulty]


def by_groups(every: list[Lack]) -> list[Lack]:
    """Put together what a job lacks of one group that is not on its sheet at all, where that is much."""
    groups: dict[tuple[tuple[str, ...], str], list[Lack]] = defaultdict(list)
    for lack in every:
        group, _, field = lack.text.partition(".")
        if field and lack.is_named and not lack.shared and ": " not in lack.text:
            groups[lack.jobs, group].append(lack)
    told: dict[int, Lack] = {}
    gone: set[int] = set()
    for (_, group), found in groups.items():
        if len(found) >= _MANY_OF_GROUP and any(f"{group}: {{" in lack.write for lack in found):
            fields = [lack.text.removeprefix(f"{group}.") for lack in found]
            named = f"{group} ({listed(fields, _FIELDS_NAMED)})"
            checks = dict.fromkeys(one for lack in found for one in lack.findings)
            told[id(found[0])] = found[0]._replace(text=named, findings=tuple(checks), write="")
            gone |= {id(lack) for lack in found[1:]}
    return [told.get(id(lack), lack) for lack in every if id(lack) not in gone]


def lacks(findings: Iterable[Finding]) -> list[Lack]:
    """Gather findings of kind ``open`` by what they wait for, over all jobs; what most wait for comes first."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    places: dict[tuple[str, str], list[str]] = {}
    write: dict[tuple[str, str], str] = {}
    every = list(findings)
    jobs: dict[str, set[str]] = defaultdict(set)
    for one in every:
        jobs[one.place.file].add(one.job)  # a file with findings of several jobs is a register
    for one in every:
        for number, text in enumerate(one.missing or (one.says,)):
            name, place = lack_parts(one_line(text))
            own = place.startswith(f"{one.place.file}:")
            shared = bool(place) and (not own or len(jobs[one.place.file]) > 1)
            key = name, place if shared else ""
            groups.setdefault(key, []).append(one)
            example = one_line(one.to_write[number]) if number < len(one.to_write) else ""
            # A value that was judged on one job is none for another.
            write[key] = example if write.get(key, example) == example else ""
            places.setdefault(key, []).append(place or str(one.place))
    for name, place in [key for key in groups if key[1] and key[1] in places.get((key[0], ""), ())]:
        groups[name, ""] += groups.pop((name, place))  # pointed at from the sheet and from the register alike
    found = [
        Lack(key[0], min(places[key], key=_by_number), tuple(waiting), bool(key[1]), write[key])
        for key, waiting in groups.items()
    ]
    return sorted(found, key=lambda lack: (-len(lack.jobs), -lack.checks, lack.place, lack.text))


def _by_number(place: str) -> tuple[str, list[int]]:
    file, *numbers = place.rsplit(":", 2)
    return file, [int(number) if number.isdecimal() else 0 for number in numbers]
