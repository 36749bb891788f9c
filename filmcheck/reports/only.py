"""A part of a report: what concerns some rules, levels, jobs or stages."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from fnmatch import fnmatchcase

from filmcheck.records.errors import UseError
from filmcheck.records.finding import LEVELS, Finding, Report
from filmcheck.reports.led import Led, led

WHAT = ("rule", "level", "job", "stage")
Wanted = Mapping[str, tuple[str, ...]]
"""Patterns for each of ``WHAT`` that is asked about."""


def wanted(texts: Iterable[str]) -> Wanted:
    """Read texts such as ``rule=unwind-*``. Raises UseError for what is none."""
    found: dict[str, tuple[str, ...]] = {}
    for text in texts:
        what, equals, pattern = text.partition("=")
        if what not in WHAT or not equals or not pattern:
            ways = ", ".join(f"{each}=…" for each in WHAT)
            raise UseError(f"--only {text} says nothing to look for", way_out=f"Write one of {ways}; * stands for any.")
        if what == "level" and pattern not in LEVELS:
            raise UseError(f"--only {text}: there is no such level", way_out=f"Levels are {', '.join(LEVELS[:-1])}.")
        found[what] = (*found.get(what, ()), pattern)
    return found


def only(report: Report, asked: Wanted) -> Report:
    """Keep what fits one pattern of each sort. What follows from a fault stays with it."""
    if not asked:
        return report
    stages = {(line.file, line.job): line.stage for line in report.job_lines}
    by_job = {line.job: line.stage for line in reversed(report.job_lines)}
    kept: set[int] = set()
    for each in led(report.findings):
        if _fits(each, asked, stages, by_job):
            kept.update(id(one) for one in each.all)
    lines = tuple(
        line
        for line in report.job_lines
        if _is_one(line.job, asked.get("job")) and _is_one(line.stage, asked.get("stage"))
    )
    return replace(
        report,
        findings=tuple(one for one in report.findings if id(one) in kept),
        absent=tuple(one for one in report.absent if _fits(Led(one), asked, stages, by_job)),
        job_lines=lines,
    )


def _fits(each: Led, asked: Wanted, stages: Mapping[tuple[str, str], str], by_job: Mapping[str, str]) -> bool:
    def stage(one: Finding) -> str:
        return stages.get((one.place.file, one.job)) or by_job.get(one.job, "")

    return (
        any(_is_one(one.rule, asked.get("rule")) for one in each.all)
        and ("level" not in asked or each.level in asked["level"])
        and any(_is_one(one.job, asked.get("job")) for one in each.all)
        and any(_is_one(stage(one), asked.get("stage")) for one in each.all)
    )


def _is_one(word: str, patterns: tuple[str, ...] | None) -> bool:
    return patterns is None or any(fnmatchcase(word, pattern) for pattern in patterns)
