"""What of a report becomes a result of a SARIF log, and what is only counted there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Set
from dataclasses import dataclass, replace
from typing import get_args

from filmcheck.records.finding import LEVELS, Finding, Kind, Notice, Report

FAULTS: Set[Kind] = frozenset({"fail"})
"""What every log holds: some viewers show each result of another kind as a warning."""
UNSETTLED: Set[Kind] = frozenset({"review", "open"})
EVERY_KIND: Set[Kind] = frozenset(get_args(Kind))

MOST_RESULTS = 5_000
"""Results that a log holds: services that host code take no more of one run (from memory of their manuals)."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """A report with no more findings than become results.

    ``causes`` are the findings that others follow from, by name; ``left_out`` the faults that asked for something but
    found no room.
    """

    report: Report
    causes: Mapping[str, Finding]
    left_out: tuple[Finding, ...] = ()

    def cause(self, finding: Finding) -> Finding | None:
        """Give the finding that this one follows from, where this run has it."""
        return self.causes.get(finding.follows_from) if finding.follows_from else None


def chosen(report: Report, kinds: Set[Kind], most: int = MOST_RESULTS) -> Chosen:
    """Choose what is of these kinds or accepted by a permit, the gravest where there is more than a log holds."""
    causes = {one.name: one for one in reversed(report.findings) if not one.follows_from}
    fit = [one for one in (*report.findings, *report.absent) if one.kind in kinds or one.permit is not None]
    fit = sorted(fit, key=_gravity) if len(fit) > most else fit
    kept, rest = fit[:most], fit[most:]
    notices = (*report.notices, *_not_judged(report, kinds), *_no_room(rest, most))
    held = replace(
        report,
        findings=tuple(one for one in kept if one.baseline != "absent"),
        absent=tuple(one for one in kept if one.baseline == "absent"),
        notices=notices,
    )
    asking = (one for one in rest if one.kind == "fail" and one.permit is None and one.baseline != "absent")
    return Chosen(held, causes, tuple(asking))


def _gravity(finding: Finding) -> tuple[object, ...]:
    """Order what still asks for something first, then faults, then by level and place."""
    words = (finding.rule, finding.address, finding.kind, finding.says)
    ranks = (not finding.counts, finding.baseline == "absent", finding.kind != "fail", LEVELS.index(finding.level))
    return *ranks, finding.place, *words


def _not_judged(report: Report, kinds: Set[Kind]) -> list[Notice]:
    found = Counter(one.kind for one in report.findings)
    if not found["open"] and not found["review"]:
        return []
    way = "" if kinds >= UNSETTLED else " With --kinds they are among the results."
    return [Notice("not-judged", f"Not judged for want of data: {found['open']}; borderline: {found['review']}.{way}")]


def _no_room(rest: list[Finding], most: int) -> list[Notice]:
    if not rest:
        return []
    levels = Counter(one.level if one.kind == "fail" else one.kind for one in rest)
    told = ", ".join(f"{name} {count}" for name, count in sorted(levels.items()))
    room = f"{MOST_RESULTS} results" if most == MOST_RESULTS else "10 MB when packed"
    text = f"Left out, for a log holds {room}: {told}. The gravest are kept. Lint fewer folders at once."
    return [Notice("left-out", text)]
