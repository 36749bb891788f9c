"""The table of jobs: for each one its stage, press and day, what was found, and the worst of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import NamedTuple

from filmcheck.records.finding import Finding, JobLine, Report
from filmcheck.reports.led import gravity, tally, told_apart


class JobRow(NamedTuple):
    """One job and what was found on it: causes by level, and checks that cannot be told."""

    line: JobLine
    errors: int
    warnings: int
    notes: int
    borderline: int
    open: int
    worst: Finding | None

    @property
    def is_settled(self) -> bool:
        """Whether nothing was found on it, and nothing is open."""
        return not (self.errors or self.warnings or self.notes or self.borderline or self.open)


def job_rows(report: Report) -> list[JobRow]:
    """Give a row for each job, the worst first. A sheet that could not be read has a row where something is said."""
    by_file: dict[str, list[Finding]] = defaultdict(list)
    for one in report.findings:
        by_file[one.place.file].append(one)
    of_job: dict[str, str] = {}
    for line in report.job_lines:
        of_job.setdefault(line.job, line.file)
    sheets = {line.file for line in report.job_lines}
    for file, found in list(by_file.items()):
        if file not in sheets:  # what stands in a register, but was found on a job
            for one in found:
                if one.job and one.job in of_job:
                    by_file[of_job[one.job]].append(one)
    lines = [*report.job_lines, *(JobLine(f, "") for f in report.files if f not in sheets and f in by_file)]
    return sorted(
        (_row(line, by_file.get(line.file, ())) for line in lines),
        key=lambda row: (-row.errors, -row.warnings, -row.notes, -row.borderline, -row.open, row.line.file),
    )


def _row(line: JobLine, findings: Iterable[Finding]) -> JobRow:
    every = list(findings)
    faults = sorted((each for each in told_apart(every) if each.head.kind == "fail"), key=gravity)
    found = tally(every)
    return JobRow(
        line,
        errors=found["error"],
        warnings=found["warning"],
        notes=found["note"] + found["none"],
        borderline=found["borderline"],
        open=found["open"],
        worst=faults[0].head if faults else None,
    )
