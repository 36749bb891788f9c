"""Sound sheets of kinds that the table of sixty has not: told no fault, and their figures are those worked out by hand.

Each was written as a press would write it before filmcheck read it. Its second line gives numbers worked out on paper:
π (D² − d²)/(4t) for what the parent rolls hold, √(d² + 4tL/π) for a wound roll, T′ D₀/D_end under a brake alone.
"""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from filmcheck import Finding, Options, lint
from filmcheck.figures.figures import Figures
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import Plant, load_plant, read_sheet
from filmcheck.records.value import Value

HERE = Path(__file__).with_name("other_kinds")
SHEETS = sorted((HERE / "jobs").glob("*.yaml"))
TODAY = date(2026, 11, 25)
BY_HAND = re.compile(r"(\S+\.\S+) ([\d.]+) (N/m|mm|m)\b")
SIZE = {"N/m": 1.0, "m": 1.0, "mm": 1e-3}


@pytest.fixture(scope="module")
def findings() -> tuple[Finding, ...]:
    return lint([HERE], Options(today=TODAY)).findings


@pytest.fixture(scope="module")
def told(findings: tuple[Finding, ...]) -> list[Finding]:
    return [finding for finding in findings if finding.kind == "fail"]


def test_none_is_told_a_fault(told: list[Finding]) -> None:
    assert [(str(one.place), one.rule) for one in told if one.counts and one.level != "note"] == []


def test_one_fault_is_accepted_by_its_permit(told: list[Finding]) -> None:
    assert [(one.job, one.rule) for one in told if one.permit is not None] == [("X08", "small-core-thin-liner")]


def test_no_rule_asks_for_a_cylinder_that_the_job_does_without(findings: tuple[Finding, ...]) -> None:
    lacks = [(one.job, one.rule, text) for one in findings for text in one.missing]
    assert [lack for lack in lacks if "names no" in lack[2]] == []


@pytest.fixture(scope="module")
def plant() -> Plant:
    return load_plant(HERE / "plant.yaml")


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_the_numbers_worked_out_by_hand_are_its_figures(path: Path, plant: Plant) -> None:
    sheet = read_sheet(path, "job-sheet")
    figures = Figures(resolve(sheet.record, sheet.file, plant)[0], TODAY)
    by_hand = BY_HAND.findall("".join(path.read_text("utf-8").splitlines(keepends=True)[1:3]))
    assert len(by_hand) == 4
    for name, number, unit in by_hand:
        kind, _, field = name.partition(".")
        things = figures.things(kind) if kind in ("unwind", "rewind") else ()
        found = figures(f"its.{field}", things[0]) if things else figures(name)
        assert isinstance(found, Value), name
        assert found.low == pytest.approx(float(number) * SIZE[unit], rel=2e-3), name
