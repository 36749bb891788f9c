"""No false alarm: sound sheets, chosen by hand after the handbook of the trade, are told no error and no warning."""

from __future__ import annotations

import runpy
from datetime import date
from pathlib import Path

import pytest

from filmcheck import Finding, Options, lint

SHEETS = runpy.run_path(str(Path(__file__).with_name("sound_sheets.py")))
TODAY = date(2026, 11, 25)
JOBS = SHEETS["jobs"]()


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Finding]]:
    """Lint both plants once; give what each sheet is told as failed, by its name."""
    folder = tmp_path_factory.mktemp("sound")
    SHEETS["make_plants"](folder)
    by_job: dict[str, list[Finding]] = {}
    report = lint([folder / "metric", folder / "inch"], Options(today=TODAY))
    assert report.jobs == len(JOBS)
    for finding in report.findings:
        if finding.level in ("error", "warning") and finding.kind == "fail":
            by_job.setdefault(Path(finding.place.file).stem, []).append(finding)
    return by_job


def test_the_corpus_is_varied() -> None:
    """Every stage, every kind of line, both kinds of liner, one to nine lanes."""
    assert len(JOBS) == 60
    for plant in (True, False):
        assert {job.stage for job in JOBS if job.inch is plant} == set(SHEETS["STAGES"])
    assert {job.line for job in JOBS} == {"mercury", "led", "foil", "air", "bar"}
    assert {job.film for job in JOBS} == {True, False}
    assert {job.lanes for job in JOBS} == set(range(1, 10))


@pytest.mark.parametrize("name", [job.job for job in JOBS])
def test_a_sound_sheet_is_told_no_fault(name: str, told: dict[str, list[Finding]]) -> None:
    assert [(finding.rule, finding.says) for finding in told.get(name, [])] == []


def test_registers_and_settings_are_told_no_fault(told: dict[str, list[Finding]]) -> None:
    assert set(told) <= {job.job for job in JOBS}
