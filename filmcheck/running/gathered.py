"""What a run has found so far, and the report that it becomes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from filmcheck.plant.plant import shown, shown_full
from filmcheck.plant.sheet_files import PASSED_OVER
from filmcheck.records.finding import Finding, JobLine, Notice, Report, Trouble
from filmcheck.records.version import VERSION
from filmcheck.running.plant_context import PlantContext


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
