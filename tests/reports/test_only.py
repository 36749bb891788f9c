"""A part of a report, as `lint --only` takes it; what is kept is worked out by hand for each pattern."""

from __future__ import annotations

from dataclasses import replace

import pytest

from filmcheck.records.errors import UseError
from filmcheck.records.finding import Finding, JobLine, Report
from filmcheck.records.place import Place, Span
from filmcheck.reports.only import only, wanted

HERE = Place("jobs/a.yaml", Span(1, 1, 1, 2))
CAUSE = Finding("unwind-high", "error", "fail", HERE, "too high", job="A-1")
FOLLOWS = replace(CAUSE, rule="strain-high", level="warning", follows_from=CAUSE.name)
OTHER = Finding("too-fast", "warning", "fail", Place("jobs/b.yaml", Span(1, 1, 1, 2)), "too fast", job="B-1")
OPEN = replace(OTHER, rule="ground", level="none", kind="open", job="B-1")
GONE = replace(OTHER, rule="core-small", job="B-1")
LINES = (JobLine("jobs/a.yaml", "A-1", "planned"), JobLine("jobs/b.yaml", "B-1", "running"))
EVERY = Report((CAUSE, FOLLOWS, OTHER, OPEN), (), ("jobs/a.yaml", "jobs/b.yaml"), absent=(GONE,), job_lines=LINES)


@pytest.mark.parametrize(
    ("asked", "kept", "absent", "jobs"),
    [
        ((), "unwind-high strain-high too-fast ground", "core-small", "A-1 B-1"),
        (("rule=unwind-*",), "unwind-high strain-high", "", "A-1 B-1"),
        (("rule=strain-high",), "unwind-high strain-high", "", "A-1 B-1"),
        (("rule=*-high", "rule=ground"), "unwind-high strain-high ground", "", "A-1 B-1"),
        (("rule=core-*",), "", "core-small", "A-1 B-1"),
        (("level=warning",), "too-fast", "core-small", "A-1 B-1"),
        (("level=error",), "unwind-high strain-high", "", "A-1 B-1"),
        (("job=B-*",), "too-fast ground", "core-small", "B-1"),
        (("stage=planned",), "unwind-high strain-high", "", "A-1"),
        (("stage=running", "level=error"), "", "", "B-1"),
        (("stage=running", "rule=too-*", "rule=unwind-high"), "too-fast", "", "B-1"),
        (("job=a-1",), "", "", ""),
    ],
)
def test_what_fits_one_pattern_of_each_sort_is_kept(asked: tuple[str, ...], kept: str, absent: str, jobs: str) -> None:
    found = only(EVERY, wanted(asked))
    assert [one.rule for one in found.findings] == kept.split()
    assert [one.rule for one in found.absent] == absent.split()
    assert [line.job for line in found.job_lines] == jobs.split()
    assert found.files == EVERY.files


@pytest.mark.parametrize("text", ["rule", "rule=", "=x", "colour=red", "level=loud", ""])
def test_what_says_nothing_to_look_for_is_refused(text: str) -> None:
    with pytest.raises(UseError, match=r"^--only "):
        wanted([text])
