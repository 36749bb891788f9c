"""The table of jobs: which sheets have a row, and in which order."""

from __future__ import annotations

from filmcheck.records.finding import Finding, JobLine, Report
from filmcheck.records.place import Place, Span
from filmcheck.reports.job_table import job_rows


def error(file: str, rule: str, job: str = "") -> Finding:
    return Finding(
        rule=rule, level="error", kind="fail", place=Place(file, Span(2, 1, 2, 5)), says="It is so.", job=job
    )


READ, UNREAD, QUIET, REGISTER = "jobs/read.yaml", "jobs/unread.yaml", "jobs/no-job.yaml", "registers/stocks.yaml"
REPORT = Report(
    findings=(error(UNREAD, "yaml-broken"), error(READ, "die-repeat"), error(REGISTER, "web-near-yield", "HB-1")),
    rules=(),
    files=(READ, UNREAD, QUIET),
    job_lines=(JobLine(READ, "HB-1"),),
)


def test_a_sheet_that_could_not_be_read_has_a_row_and_one_of_which_nothing_is_told_has_none() -> None:
    assert {row.line.file for row in job_rows(REPORT)} == {READ, UNREAD}


def test_what_was_found_on_a_job_in_a_register_counts_for_the_job() -> None:
    assert {row.line.file: row.errors for row in job_rows(REPORT)} == {READ: 2, UNREAD: 1}
