"""The number that a finding advises cures the fault: written on the sheet, the fault is gone.

And it is no wider of the mark than it need be: a little beyond the number, on the side that the words warn of, the
fault is back. Nothing here knows the number beforehand; it is read out of the advice as a planner would.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

from filmcheck import Finding, lint

PROVING = Path(__file__).resolve().parent.parent / "rules" / "proving"
SOUND = (PROVING / "sheets" / "film-label.yaml").read_text(encoding="utf-8")


class Case(NamedTuple):
    """A fault on the sound sheet, and how its advice is followed.

    ``spoil`` replaces a text of the sheet by a faulty one. ``reads`` finds the advised quantity as number and unit.
    ``cure`` replaces a text of the faulty sheet by one that holds the quantity. ``slip`` is a factor that leads out of
    the advice: above 1 for 'at most', below for 'at least', 1 where the advice is not the edge of what is allowed.
    """

    rule: str
    spoil: tuple[str, str]
    reads: str
    cure: tuple[str, str]
    slip: float
    name: str = ""


CASES = (
    Case(
        "core-not-customers",
        ("  core: 6 in\n", "  core: 8 in\n"),
        r"core of the finished roll to ([\d.]+) (in)\.",
        ("  core: 8 in\n", "  core: {} {}\n"),
        0.98,
    ),
    Case(
        "count-disagrees",
        ("labels_per_roll: 2500", "labels_per_roll: 2500\n  length_per_roll: 200 m"),
        r"length on a roll to ([\d.]+) (m) \(",
        ("length_per_roll: 200 m", "length_per_roll: {} {}"),
        0.97,
    ),
    Case(
        "air-too-dry",
        ("humidity: 50 %", "humidity: 25 %"),
        r"Humidify the air to ([\d.]+) (%) or more",
        ("humidity: 25 %", "humidity: {} {}"),
        0.98,
    ),
    Case(
        "finishing-late",
        ("after: 2 h", "after: 60 h"),
        r"wanted is within ([\d.]+) (h)",
        ("after: 60 h", "after: {} {}"),
        1.02,
    ),
    Case(
        "rewind-tension-range",
        ("start_tension: 0.8 lbf/in", "start_tension: 0.8 N/m"),
        r"start tension of rewind to ([\d.]+) (N/m) \(",
        ("start_tension: 0.8 N/m", "start_tension: {} {}"),
        0.98,
        "a slip of the unit",
    ),
    Case(
        "snap-sample-short",
        ("sample: 620 mm", "sample: 6.2 mm"),
        r"sample of check snap \(2\) to ([\d.]+) (mm) \(",
        ("sample: 6.2 mm", "sample: {} {}"),
        0.98,
        "a slip of the decimal point",
    ),
    Case(
        "die-repeat",
        ("gap: {around: 3.2 mm", "gap: {around: 0.032 mm"),
        r"gap around to ([\d.]+) (mm)",
        ("around: 0.032 mm", "around: {} {}"),
        0.97,
        "a slip of the decimal point",
    ),
)


@pytest.fixture
def plant(tmp_path: Path) -> Path:
    return Path(shutil.copytree(PROVING, tmp_path / "plant"))


def faults(plant: Path, text: str, rule: str) -> list[Finding]:
    sheet = plant / "sheets" / "film-label.yaml"
    sheet.write_text(text, encoding="utf-8")
    return [found for found in lint([sheet]).findings if found.rule == rule and found.kind in ("fail", "review")]


def put(text: str, old: str, new: str) -> str:
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times on the sheet"
    return text.replace(old, new)


def advised(found: list[Finding], reads: str) -> Iterator[tuple[float, str]]:
    for finding in found:
        read = re.search(reads, f"{finding.says} {finding.instead}")
        if read:
            yield float(read[1]), read[2].strip()


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule} {case.name}".strip())
def test_the_advised_number_cures_the_fault(case: Case, plant: Path) -> None:
    spoiled = put(SOUND, *case.spoil)
    found = faults(plant, spoiled, case.rule)
    (number, unit), *_ = advised(found, case.reads)
    old, new = case.cure
    at = found[0].address
    assert [f.says for f in faults(plant, put(spoiled, old, new.format(f"{number:g}", unit)), case.rule)] == []
    if case.slip != 1:
        beyond = faults(plant, put(spoiled, old, new.format(f"{number * case.slip:.6g}", unit)), case.rule)
        assert at in {f.address for f in beyond}


def test_the_cases_are_of_many_rules() -> None:
    assert len({case.rule for case in CASES}) >= 4


def test_the_sound_sheet_has_none_of_the_faults(plant: Path) -> None:
    assert [case.rule for case in CASES if faults(plant, SOUND, case.rule)] == []


def advice(plant: Path, rule: str, *slips: tuple[str, str]) -> str:
    text = SOUND
    for old, new in slips:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    (fault,) = faults(plant, text, rule)
    return fault.instead


def test_a_result_of_a_roll_too_many_is_not_cured_by_more_rolls(plant: Path) -> None:
    told = advice(plant, "result-of-no-roll", ("snap, at: roll, roll: 2", "snap, at: roll, roll: 7"))
    assert told.startswith("Correct the number of this roll")


def test_no_label_is_made_smaller_than_the_die_cuts_it(plant: Path) -> None:
    """Around and across the wrong way round, and the trim in cm: no width of web and no trim makes room."""
    tools = plant / "registers/tooling.yaml"
    text = tools.read_text(encoding="utf-8")
    cut = "    label: {around: 98.4 mm, across: 60 mm}\n    labels_around: 3\n"
    tools.write_text(text.replace("    labels_around: 3\n", cut, 1), encoding="utf-8")
    turned = ("around: 98.4 mm, across: 60 mm", "around: 60 mm, across: 98.4 mm")
    told = advice(plant, "layout-over-width", turned, ("edge_trim: 5 mm", "edge_trim: 5 cm"))
    assert "ake a web of" in told
    assert "label size" not in told


def test_a_tool_is_not_changed_while_the_press_runs(plant: Path) -> None:
    tools = plant / "registers/tooling.yaml"
    text = tools.read_text(encoding="utf-8")
    anvil = next(line for line in text.splitlines() if line.startswith("  a-1:"))
    tools.write_text(
        text.replace(anvil, f"{anvil}\n{anvil.replace('a-1', 'a-2').replace('unworn', 'worn')}"), encoding="utf-8"
    )
    told = {
        stage: advice(plant, "anvil-worn", ("anvil: a-1", "anvil: a-2"), ("stage: released", f"stage: {stage}"))
        for stage in ("set-up", "running")
    }
    assert told["set-up"].startswith("Set the anvil to a-1")
    assert told["running"].startswith("The job is running: stop it, and hold what it has made. Set the anvil to a-1")
