"""No false alarm: sound sheets, checked by hand after the handbook of the trade, are told no fault and no doubt."""

from __future__ import annotations

import runpy
from datetime import date
from pathlib import Path

import pytest

from filmcheck import Finding, Options, lint

SHEETS = runpy.run_path(str(Path(__file__).with_name("sound_sheets.py")))
HAND = runpy.run_path(str(Path(__file__).with_name("checked_by_hand.py")))
TODAY = date(2026, 11, 25)
JOBS = SHEETS["jobs"]()


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Finding]]:
    """Lint both plants once; give what each sheet is told above a note, by its name."""
    folder = tmp_path_factory.mktemp("sound")
    SHEETS["make_plants"](folder)
    by_job: dict[str, list[Finding]] = {}
    report = lint([folder / "metric", folder / "inch"], Options(today=TODAY))
    assert report.jobs == len(JOBS)
    for finding in report.findings:
        if finding.level in ("error", "warning") and finding.kind != "pass":
            by_job.setdefault(Path(finding.place.file).stem, []).append(finding)
    return by_job


def test_the_corpus_is_varied() -> None:
    """Every stage, cure and way of writing on both plants; both kinds of liner, one to nine lanes, bars on film."""
    assert len(JOBS) == 60
    for inch in (True, False):
        mine = [job for job in JOBS if job.inch is inch]
        assert {job.stage for job in mine} == set(SHEETS["STAGES"])
        assert {job.how for job in mine} == {"written", "press", "set-up"}
        assert {job.film_job for job in mine} == {"again", "first"}
        assert len({job.stock for job in mine}) == 5
        assert len({job.customer for job in mine}) == 3
        assert min(job.width for job in mine) < 160
        assert max(job.width for job in mine) > 300
    assert {job.line for job in JOBS} == {"mercury", "led", "foil", "air", "bar"}
    assert any(job.line == "bar" and job.film for job in JOBS)
    assert {job.lanes for job in JOBS} == set(range(1, 10))
    assert {SHEETS["CORES"][job.customer][0] for job in JOBS} == {"1 in", "40 mm", "3 in", "6 in"}


@pytest.mark.parametrize("name", [job.job for job in JOBS])
def test_a_sound_sheet_is_told_no_fault(name: str, told: dict[str, list[Finding]]) -> None:
    assert [(finding.rule, finding.says) for finding in told.get(name, [])] == []


def test_registers_and_settings_are_told_no_fault(told: dict[str, list[Finding]]) -> None:
    assert set(told) <= {job.job for job in JOBS}


def test_the_check_by_hand_finds_every_sheet_inside_the_bands_of_the_handbook() -> None:
    assert HAND["table"]() == Path(__file__).with_name("checked_by_hand.txt").read_text("utf-8")
    assert [job.job for job in JOBS if HAND["wrong"](job, HAND["numbers"](job))] == []


def test_the_check_by_hand_meets_the_plateau_of_the_similarity_solution() -> None:
    """4.5 GPa, K1 5 kPa, K2 120, 6 MPa: 586.35 kPa (similarity ODE, verified by wound rolls of 8 core radii)."""
    assert HAND["plateau"](6e6 * 23e-6, 23e-6, 4.5e9, 5e3, 120.0) == pytest.approx(586.35e3, rel=0.02)
