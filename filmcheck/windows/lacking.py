"""What to write for a setting that a sheet lacks: a value with which no rule fails, judged before it is told.

Once the job has run with some value, the sheet must say that one: then it is asked for, and none is proposed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import islice

from filmcheck.plant.job import resolve
from filmcheck.plant.plant import Plant, Sheet
from filmcheck.plant.record import Record, word
from filmcheck.records.finding import WRITE, Finding
from filmcheck.windows.search import Search
from filmcheck.windows.set_points import SetPoint, lacking_points, replaced, set_points
from filmcheck.windows.settable import CREW, FINISHING, PLANNER, SETTABLE
from filmcheck.windows.trial import Bench, Key

MOST_LACKING = 4
"""Settings for which a value is judged: a sheet that lacks more has hardly been begun."""
_FIELDS = tuple(one.field for one in SETTABLE if one.who != PLANNER)

PAST = {CREW: ("running", "finishing", "released"), FINISHING: ("released",)}
"""Stages at which the job has run with what a crew sets."""

JudgeRecord = Callable[[Record], Sequence[Finding]]
MakeBench = Callable[[Record], Bench]


def with_judged(
    sheet: Sheet, plant: Plant, findings: Sequence[Finding], judge: JudgeRecord, bench: MakeBench
) -> Sequence[Finding]:
    """Give the findings with a judged value in the place of the schema's example; where none holds, with none.

    What was judged stays while the next is: the values hold together.
    """
    names = {name for one in findings if one.kind == "open" for name in one.waits_for}
    waited = {_address(name) for name in names if name.endswith(_FIELDS)}
    if not waited:
        return findings
    now, record, stage = findings, sheet.record, word(sheet.record, "stage")
    told: dict[str, tuple[str, str]] = {}
    lacking = (one for one in lacking_points(resolve(record, sheet.file, plant)[0], plant) if one.address in waited)
    for point in islice(lacking, MOST_LACKING):
        is_past = stage in PAST[point.settable.who]
        told[point.address] = point.shape.example, "…" if is_past else ""
        for text in () if is_past else _offers(point, record, now, bench):
            there = _put(record, point, text)
            after = judge(there)
            if _settles(point.address, now, after):
                told[point.address] = point.shape.example, text
                now, record = after, there
                break
    return [replace(one, to_write=tuple(_anew(one, told))) if one.kind == "open" else one for one in findings]


def _address(name: str) -> str:
    """Give the address of a set-point by the name under which it is missed."""
    return name.replace(": ", ".")


def _anew(finding: Finding, told: dict[str, tuple[str, str]]) -> Iterator[str]:
    for name, write in zip(finding.waits_for, finding.to_write, strict=False):
        example, text = told.get(_address(name), ("", ""))
        field = name.rpartition(": ")[2].rpartition(".")[2]
        shown = (write or f"{field}: {example}").replace(f": {example}", f": {text}")
        if text == "…":
            yield f"{WRITE}what was set there, as `{shown}`"
        elif text:
            yield f"{WRITE}`{shown}` there, with which no rule fails"
        else:
            yield "" if example else write


def _settles(address: str, before: Sequence[Finding], after: Sequence[Finding]) -> bool:
    """Whether what waits for a set-point alone can be told, and nothing else has come."""
    others = [one for one in before if {_address(name) for name in one.waits_for} != {address}]
    fails = _told(after, "fail", "review") <= _told(before, "fail", "review")
    return fails and _told(after, "open") <= _told(others, "open")


def _told(findings: Sequence[Finding], *kinds: str) -> frozenset[Key]:
    return frozenset((one.rule, one.thing) for one in findings if one.kind in kinds)


def _put(record: Record, point: SetPoint, text: str) -> Record:
    datum = point.with_text(text)
    return replaced(record, point.steps or point.path, datum) if datum is not None else record


def _offers(point: SetPoint, record: Record, findings: Sequence[Finding], bench: MakeBench) -> Iterator[str]:
    """Give the example, then the middle of the widest stretch that holds; the least where more always holds."""
    yield point.datum.text
    made = bench(_put(record, point, point.datum.text))
    known = next(one for one in set_points(made.figures.job, made.plant) if one.address == point.address)
    search, standing = Search(made, known, finer=1), _told(findings, "fail", "review")
    widest = max(
        search.run(relaxed=lambda bad: bad - standing).stretches, key=lambda one: one.high - one.low, default=None
    )
    if widest is not None and widest.high:
        more_holds = widest.below and not widest.above
        yield search.number(widest.low if more_holds else (widest.low + widest.high) // 2)
