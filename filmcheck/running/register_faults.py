"""Which faults of registers concern the sheets at hand: those of entries that they name. The others are counted."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Set
from dataclasses import replace

from filmcheck.plant.entries import EntryName
from filmcheck.plant.plant import PERMITS, Plant
from filmcheck.reading.nodes import Mapping
from filmcheck.records.finding import Finding, Notice, lack_parts
from filmcheck.records.place import Place

SECTIONED = ("tooling",)
"""Registers whose entries lie one step deeper."""

UNUSED = "register-faults"


class Told:
    """What is told of the faults of registers: findings, and one counted line for those that concern no sheet."""

    def __init__(self, findings: Iterable[Finding], plant: Plant, named: Set[EntryName], whole: Set[str]) -> None:
        """Part the findings on a plant by the entries that its sheets name. Files in ``whole`` are told whole."""
        spots = {record.file: _spots(name, plant) for name, record in plant.registers.items() if name != PERMITS}
        self.findings: list[Finding] = []
        self.unused: Counter[str] = Counter()
        for finding in findings:
            entry = _entry_at(finding.place, spots.get(finding.place.file, []))
            if entry is None or entry in named or finding.place.file in whole:
                self.findings.append(finding)
            else:
                self.unused[finding.place.file] += 1

    @property
    def notices(self) -> list[Notice]:
        """Give the counted line; none where nothing is left over."""
        count = self.unused.total()
        if not count:
            return []
        says = f"{count} fault{'s' * (count != 1)} in register entries that none of these sheets names; "
        return [Notice(UNUSED, f"{says}to see them, lint the register itself", tuple(sorted(self.unused)))]


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
