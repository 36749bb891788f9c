"""When a job is on press, the number in a file's name, and which findings are put together by their cause."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time

import pytest

from filmcheck.judging.causes import Mended, with_causes
from filmcheck.judging.job_summary import JobSummary
from filmcheck.judging.repository import number_in_name
from filmcheck.records.finding import Finding, Permit
from filmcheck.records.place import Place, Span

HERE, LATER = (Place("registers/presses.yaml", Span(line, 9, line, 12)) for line in (3, 7))
JOB = JobSummary("A-100", HERE, "planned", "2026-11-24", "", "", (), None, None, None)


@pytest.mark.parametrize(
    ("start", "end", "hours"),
    [
        ("2026-11-24 08:00", "2026-11-24 08:01", True),
        ("2026-11-24 08:00", "2026-11-24 08:00", False),
        ("2026-11-24 08:00", "2026-11-24 07:59", False),
        ("2026-11-24 08:00", "", False),
        ("morning", "2026-11-24 08:00", False),
    ],
)
def test_hours_that_make_no_sense_are_none_and_the_whole_day_counts(start: str, end: str, hours: bool) -> None:
    job = JOB._replace(start=start, end=end)
    day = (datetime(2026, 11, 24), datetime.combine(datetime(2026, 11, 24), time.max))
    assert (job.hours is not None) is hours
    assert job.span == (job.hours if hours else day)
    assert job.when == (f"from {start} to {end}" if hours else "on 2026-11-24")


@pytest.mark.parametrize(
    ("number", "file", "found"),
    [
        ("QM-3201", "jobs/qm-3201-brake.yaml", ""),
        ("QM-3201", "jobs/qm-3202-brake.yaml", "qm-3202"),
        ("QM-3201", "jobs/qm_3202.yaml", "qm_3202"),
        ("QM-3201", "qm-3202/sheet.yaml", ""),  # a folder is no name of the file
        ("QM-3201", "jobs/pg-3202.yaml", ""),
        ("QM-3201", "jobs/from-qm-3202-to-qm-3201.yaml", ""),
        ("the third", "jobs/qm-3202.yaml", ""),
    ],
)
def test_the_number_in_the_name_of_a_file(number: str, file: str, found: str) -> None:
    assert number_in_name(number, file) == found


FAULT = Finding("one", "error", "fail", HERE, "wrong", address="press/one", job="A-100")
OTHER = replace(FAULT, rule="other", level="warning", address="press/other")
APART = replace(FAULT, rule="apart", place=LATER, address="press/apart")
ACCEPTED = Permit("other", "it holds", "quality", "", LATER)


def followers(*findings: Finding, mended: tuple[Mended, ...] = ()) -> list[str]:
    """Give the rules of those findings that follow from another."""
    return [one.rule for one in with_causes(findings, "jobs/a.yaml", None, {}, mended) if one.follows_from]


def test_what_is_accepted_by_permit_follows_from_nothing_and_leads_nothing() -> None:
    assert followers(FAULT, OTHER) == ["other"]  # two faults of one datum
    assert followers(FAULT, replace(OTHER, permit=ACCEPTED)) == []
    assert followers(replace(FAULT, permit=ACCEPTED), OTHER, APART) == []


def test_what_was_gone_once_a_slip_was_mended_follows_from_the_slip() -> None:
    gone = frozenset({(APART.rule, APART.address)})
    assert followers(FAULT, APART) == []
    assert followers(FAULT, APART, mended=(Mended(HERE, gone),)) == ["apart"]
    assert followers(FAULT, APART, mended=(Mended(HERE, frozenset()),)) == []
    assert followers(OTHER, APART, mended=(Mended(Place("jobs/b.yaml", Span(1, 1, 1, 2)), gone),)) == []
