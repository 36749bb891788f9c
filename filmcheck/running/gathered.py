"""What a run has found so far, which faults of registers concern its sheets, and the report that comes of it."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Iterator, Set
from dataclasses import dataclass, field, replace
from pathlib import Path

from filmcheck.plant.entries import EntryName
from filmcheck.plant.plant import PERMITS, Plant, shown, shown_full
from filmcheck.plant.sheet_files import PASSED_OVER
from filmcheck.reading.nodes import Mapping
from filmcheck.records.finding import Finding, JobLine, Notice, Report, Trouble, lack_parts
from filmcheck.records.place import Place
from filmcheck.records.version import VERSION
from filmcheck.running.plant_context import PlantContext

SECTIONED = ("tooling",)
"""Registers whose entries lie one step deeper."""

UNUSED = "register-faults"


@dataclass(slots=True)
class Gathered:
    """What a run has found so far."""

    findings: list[Finding] = field(default_factory=list)
    files: list[str] = field(default_factory=list)
    troubles: list[Trouble] = field(default_factory=list)
    job_lines: list[JobLine] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)
    passed_over: dict[str, list[str]] = field(default_factory=dict)
    done: int = 0

    def pass_over(self, reason: str, path: str) -> None:
        """Keep that a walk passed something over."""
        self.passed_over.setdefault(reason, []).append(shown_full(path))

    def trouble(self, path: Path, text: str) -> None:
        """Keep that nothing could be read from a path."""
        self.troubles.append(Trouble(shown(path), text))


def make_report(gathered: Gathered, contexts: Iterable[PlantContext], *, whole: bool) -> Report:
    """Put the findings into their order, with the rules and files behind them."""
    texts = {rule.id: rule.text for context in contexts for rule in context.heads.values()}
    findings = tuple(sorted(_told_once(gathered.findings), key=_order))
    return Report(
        findings,
        tuple(texts.values()),
        tuple(gathered.files),
        tuple(gathered.troubles),
        VERSION,
        jobs=len(gathered.job_lines),
        whole=whole,
        job_lines=tuple(sorted(gathered.job_lines, key=lambda line: (line.file, line.job))),
        notices=(*gathered.notices, *_passed_over(gathered.passed_over)),
        also_read=tuple(dict.fromkeys(file for context in contexts for file in context.files_read)),
    )


def _told_once(findings: Iterable[Finding]) -> Iterator[Finding]:
    """Give what stands in a register entry once, whatever jobs it comes of: the one whose places come first."""
    shared: dict[object, Finding] = {}
    for one in findings:
        if one.job:
            yield one
            continue
        key = (_order(one), one.kind)
        if key not in shared or _places(one) < _places(shared[key]):
            shared[key] = one
    yield from shared.values()


def _places(finding: Finding) -> list[tuple[object, str]]:
    return [(one.place, one.text) for one in finding.related]


def _passed_over(found: dict[str, list[str]]) -> Iterator[Notice]:
    for reason, says in PASSED_OVER.items():
        if reason in found:
            yield Notice(reason.replace(" ", "-"), says, tuple(sorted(set(found[reason]))), reason)


def _order(finding: Finding) -> tuple[object, str, str, str, str]:
    # Jobs that share a set-up share its places, so the job tells their findings apart.
    return finding.place, finding.rule, finding.says, finding.job, finding.address


def told_of_registers(
    findings: Iterable[Finding], plant: Plant, named: Set[EntryName], whole: Set[str]
) -> tuple[list[Finding], list[Notice]]:
    """Part the findings on a plant by the entries that its sheets name; those of others become one counted line.

    Files in ``whole`` are told whole.
    """
    spots = {record.file: _spots(name, plant) for name, record in plant.registers.items() if name != PERMITS}
    told: list[Finding] = []
    unused: Counter[str] = Counter()
    for finding in findings:
        entry = _entry_at(finding.place, spots.get(finding.place.file, []))
        if entry is None or entry in named or finding.place.file in whole:
            told.append(finding)
        else:
            unused[finding.place.file] += 1
    count = unused.total()
    if not count:
        return told, []
    says = f"{count} fault{'s' * (count != 1)} in register entries that none of these sheets names; "
    return told, [Notice(UNUSED, f"{says}to see them, lint the register itself", tuple(sorted(unused)))]


def with_waiting(faults: list[Finding], judged: list[Finding]) -> list[Finding]:
    """Give all findings, each fault of a register with the number of checks that cannot tell because of it.

    A check that lacks nothing but what such faults spoil follows from the first of them.
    """
    by_place = {str(fault.place): fault for fault in reversed(faults)}
    waiting: Counter[str] = Counter()
    found: list[Finding] = []
    for one in judged:
        lacks = {lack_parts(text)[1] for text in one.missing} if one.kind == "open" else set()
        spoiled = sorted(lacks & by_place.keys())
        waiting.update(spoiled)
        found.append(
            replace(one, follows_from=by_place[spoiled[0]].name) if spoiled and lacks <= by_place.keys() else one
        )
    return [*found, *(_counted(fault, waiting[str(fault.place)]) for fault in faults)]


def _counted(finding: Finding, count: int) -> Finding:
    if not count:
        return finding
    waits = "1 check waits" if count == 1 else f"{count} checks wait"
    return replace(finding, arithmetic=(*finding.arithmetic, f"{waits} for this entry"))


def _spots(register: str, plant: Plant) -> list[tuple[tuple[int, int], EntryName]]:
    """Give where each entry of a register begins, in order."""
    sheet = plant.files.get(plant.registers[register].file)
    tree = sheet.tree if sheet is not None else None
    groups = [("", tree)]
    if register in SECTIONED and isinstance(tree, Mapping):
        groups = [(section, value) for section, (_, value) in tree.entries.items()]
    found = [
        (key.span[:2], (register, section, name))
        for section, group in groups
        if isinstance(group, Mapping)
        for name, (key, _) in group.entries.items()
    ]
    return sorted(found)


def _entry_at(place: Place, spots: list[tuple[tuple[int, int], EntryName]]) -> EntryName | None:
    """Find the entry that a place lies in; none where it lies before all of them, or in another kind of file."""
    at = bisect_right(spots, place.span[:2], key=lambda spot: spot[0]) - 1
    return spots[at][1] if at >= 0 else None
