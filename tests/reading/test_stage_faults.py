"""A stage that is missing or misspelt is one fault with the allowed words, and the job is judged as planned."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from filmcheck.plant.plant import load_plant, type_text
from filmcheck.records.finding import Finding
from filmcheck.running.judge_sheet import judge_sheet
from filmcheck.running.plant_context import make_context

PROVING = Path(__file__).parents[2] / "rules" / "proving"
DAY = date(2026, 11, 25)
HALF = "\npreparation:"
"""Where the part begins of which a planned job owes nothing."""


def told(text: str) -> list[Finding]:
    plant = load_plant(PROVING / "plant.yaml")
    return list(judge_sheet(type_text(text, "sheets/a.yaml", "job-sheet"), make_context(plant), DAY).findings)


@pytest.mark.parametrize(("line", "rule"), [("stage: relased\n", "value-wrong"), ("", "key-missing")])
def test_a_planned_sheet_without_a_known_stage_is_told_that_alone(line: str, rule: str) -> None:
    sound = (PROVING / "sheets" / "film-label.yaml").read_text("utf-8")
    start, finishing = sound.split(HALF)[0], sound[sound.index("\nfinishing:") : sound.index("\nresults:")]
    findings = told((start + finishing + "\n").replace("stage: released\n", line))
    (fault,) = [finding for finding in findings if not finding.follows_from]
    assert {finding.kind for finding in findings if finding is not fault} <= {"open"}
    assert fault.rule == rule
    assert "planned, set-up, running, finishing, released" in fault.instead
    assert "judged as planned" in fault.instead
