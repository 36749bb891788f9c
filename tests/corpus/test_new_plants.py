"""Sheets of two more plants, written by the handbook alone: told no fault, and little; two spoiled ones are caught.

They were written before filmcheck read them, and what it then told wrongly of them was mended: see README.md. The
numbers are worked out on paper; each says how.
"""

from __future__ import annotations

import re
import shutil
from collections import Counter
from datetime import date
from math import pi, sqrt
from pathlib import Path

import pytest

from filmcheck import Finding, Options, lint, text_report
from filmcheck.figures.figures import Figures
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import load_plant, read_sheet
from filmcheck.records.value import Value
from filmcheck.running.figure_run import wanting

HERE = Path(__file__).with_name("new_plants")
PLANTS = ("metric", "inch")
OPTIONS = Options(today=date(2026, 11, 27))
PAGE = 75
"""Lines of a report on eight sound sheets that people still read: a page and a half; from memory."""


def test_every_stage_is_there() -> None:
    stages = {re.search(r"^stage: (\S+)", one.read_text("utf-8"), re.M)[1] for one in HERE.rglob("jobs/*.yaml")}  # type: ignore[index]
    assert stages == {"planned", "set-up", "running", "finishing", "released"}


@pytest.mark.parametrize("plant", PLANTS)
def test_no_sheet_is_told_a_fault(plant: str) -> None:
    every = lint([HERE / plant], OPTIONS).findings
    told = [one for one in every if one.kind == "fail" and one.level != "note" and one.permit is None]
    assert [(str(one.place), one.rule) for one in told] == []
    assert {(one.job, one.rule) for one in every if one.permit} <= {("M15", "small-core-thin-liner")}


@pytest.mark.parametrize("plant", PLANTS)
def test_the_report_is_short(plant: str) -> None:
    lines = text_report(lint([HERE / plant], OPTIONS)).splitlines()
    assert len(lines) <= PAGE
    rules = Counter(match[1] for line in lines if (match := re.search(r"borderline: .*\[(\S+)\]$", line)))
    assert rules
    assert max(rules.values()) <= 3


def test_a_sheet_of_which_little_is_known_is_named_once_and_cautioned_once() -> None:
    report = lint([HERE / "inch/jobs/c12.yaml"], OPTIONS)
    usual, full = text_report(report), text_report(report, depth="full")
    assert "C12 lacks path" in usual
    assert "2 jobs" not in usual
    path_lacks = usual.partition("C12 lacks path")[2].partition("cannot tell")[0]
    assert len(path_lacks.splitlines()) <= 6
    assert "UV" in path_lacks
    assert len(full.partition("C12 lacks path")[2].partition("cannot tell")[0].splitlines()) > 6


def figures(sheet: str) -> Figures:
    plant, name = sheet.split("/")
    read = read_sheet(HERE / plant / "jobs" / f"{name}.yaml", "job-sheet")
    return Figures(resolve(read.record, read.file, load_plant(HERE / plant / "plant.yaml"))[0], date(2026, 11, 27))


def test_a_setting_per_width_is_a_share_of_a_maximum_in_per_cent() -> None:
    """72 W/cm of a lamp that has 160 W/cm at 100 %: 45 %; its proved minimum, 66 W/cm: 41.25 %."""
    known = figures("metric/m05")
    lamp = known.things("uv lamp")[0]
    for name, share in (("its.share_of_maximum", 72 / 160), ("its.need_of_maximum", 66 / 160)):
        found = known(name, lamp)
        assert isinstance(found, Value)
        assert found.low == found.high == pytest.approx(share)


def test_what_the_walk_takes_from_generic_entries_is_ranked_too() -> None:
    """The warmth of a web under LED lamps, and what its liner shrinks by it, are both not of this plant."""
    wants = wanting(HERE / "inch/jobs/c03.yaml", date(2026, 11, 27))
    names = [one.name for one in wants]
    assert {"liner.shrinkage", "led lamp 1: absorbed", "face.relaxes"} <= set(names)
    assert len(names) == len(set(names))
    assert all(one.state != "missing" for one in wants)


def test_a_brake_alone_ends_as_hard_as_worked_out_by_hand() -> None:
    """24 in and 2400 ft of 5.4 mil: D² = 24² − 4 × 0.0054 × 28800 / π, 19.44 in; 5.2 lbf grow to 6.42 lbf over 9 in."""
    smallest = sqrt(24**2 - 4 * 0.0054 * 28800 / pi)
    found = figures("inch/c04")("unwind.highest_line_tension")
    assert isinstance(found, Value)
    assert found.high == pytest.approx(5.2 * 24 / smallest / 9 * 175.127, rel=1e-3)


def spoiled(folder: Path, sheet: str, text: str, wrong: str, *files: str) -> dict[str, Finding]:
    """Lint a sheet of the inch plant with one text replaced, in other files too; give its faults by rule."""
    shutil.copytree(HERE / "inch", folder / "inch")
    path = folder / "inch/jobs" / f"{sheet}.yaml"
    for each in (path, *(folder / "inch" / name for name in files)):
        before = each.read_text("utf-8")
        assert text in before
        each.write_text(before.replace(text, wrong), "utf-8")
    return {one.rule: one for one in lint([path], OPTIONS).findings if one.kind == "fail"}


def test_lanes_on_a_machine_without_knives_are_told(tmp_path: Path) -> None:
    told = spoiled(tmp_path, "c04", "machine: east", "machine: bench")
    assert told["lanes-unslit"].level == "warning"


def test_a_hint_does_not_speak_for_a_fault(tmp_path: Path) -> None:
    """A roll too large also winds in more air: what people read first is that it is too large."""
    told = spoiled(tmp_path, "c13", "labels_per_roll: 2500", "labels_per_roll: 6000", "registers/customers.yaml")
    assert told["roll-over-diameter"].level == "error"
    assert told["roll-over-diameter"].follows_from == ""
    assert told["air-in-roll"].level == "note"
