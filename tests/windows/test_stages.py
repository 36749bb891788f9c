"""Advice on a job that has run: what is past is told for a repeat order, and nobody is offered to write it.

The life of a sheet (planned, set-up, running, finishing, released) is that of the schema. Leave given after something
was made is a concession (ISO 9000:2015, 3.12.5), before it a deviation permit (3.12.6).
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from benches import DAY, EXAMPLES
from click.testing import CliRunner

from filmcheck import Options, lint
from filmcheck.cli.correct import correct_command
from filmcheck.records.finding import Finding, Report
from filmcheck.reports.sarif import sarif_text

SHEET = next((EXAMPLES / "jobs/sound").glob("*3107*"))
PRESS = "unwind-tension-high", "      tension: 45 N\n", "      tension: 90 N\n", "the tension of unwind to "
SPEED = "speed-over-finisher", "  speed: 120 m/min\n", "  speed: 500 m/min\n", "the finishing speed to "
HAS_RUN = "The job has run. If it ran so, hold and inspect its rolls: what is not right needs a concession. "
IS_RELEASED = (
    "The job is released. If it ran so, inspect the rolls that are still here: what is not right needs a concession. "
)
REPEAT = "If it ran otherwise, correct the sheet. For a repeat order: set "
"""What stands before a value that is past."""


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copytree(EXAMPLES, tmp_path_factory.mktemp("stages") / "plant"))


def spoiled(home: Path, stage: str, fault: tuple[str, ...]) -> tuple[Path, Report, Finding]:
    """Spoil a sound sheet at a stage, and give the report on it, and the finding of a rule."""
    rule, old, new, _ = fault
    path = home / "jobs/sound" / SHEET.name
    text = SHEET.read_text(encoding="utf-8")
    assert "\nstage: released\n" in text
    assert text.count(old) == 1
    path.write_text(text.replace("stage: released", f"stage: {stage}").replace(old, new), encoding="utf-8")
    report = lint([path], Options(today=DAY))
    (finding,) = (one for one in report.findings if one.rule == rule)
    return path, report, finding


ALL = ("planned", "set-up", "running", "finishing", "released")


@pytest.mark.sample(3)
@pytest.mark.parametrize("stage", ALL)
@pytest.mark.parametrize(("fault", "past_from"), [(PRESS, 3), (SPEED, 4)], ids=["press", "finishing"])
def test_what_is_past_is_told_for_a_repeat_order(
    home: Path, stage: str, fault: tuple[str, ...], past_from: int
) -> None:
    path, report, finding = spoiled(home, stage, fault)
    is_past = ALL.index(stage) >= past_from
    before = (HAS_RUN if stage == "finishing" else IS_RELEASED) + REPEAT if is_past else "Set "
    assert finding.instead.startswith(before + fault[3])
    assert finding.is_past == is_past
    assert ("artifactChanges" in sarif_text(report)) == (not is_past)
    shown = CliRunner().invoke(correct_command, [str(path), "--today", DAY.isoformat()]).output
    assert (finding.correction in shown) == (not is_past)


@pytest.mark.parametrize("stage", ["planned", "finishing", "released"])
def test_what_the_job_has_run_without_is_told_for_a_repeat_order(home: Path, stage: str) -> None:
    fault = "no-taper-on-rewind", "  taper: 30 %\n", "", ""
    _, _, finding = spoiled(home, stage, fault)
    assert finding.is_past == (stage == "released")
    begins = IS_RELEASED + REPEAT.removesuffix("set ") + "let" if finding.is_past else "Let"
    assert finding.instead.startswith(begins + " the tension fall by about 30 %")
