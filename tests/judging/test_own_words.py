"""A condition that fails speaks in its own words, and the finding points at what failed."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from filmcheck.figures.figures import Figures
from filmcheck.judging.house import House
from filmcheck.judging.judge import judge_job
from filmcheck.packs.pack import load_packs
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import load_plant, read_sheet
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.finding import Finding

PLANT = shipped_folder("rules") / "proving"
SHEET = PLANT / "sheets" / "film-label.yaml"
LINES = SHEET.read_text(encoding="utf-8").splitlines()

RULE = """\
pack: Words
rules:
  - rule: too-much
    title: Too much
    level: error
    requires: {requires}
    says: "No: {{reason}}"
    because: So it is.
    basis: a test
    proof:
      - {{case: a, verdict: fail}}
      - {{case: b, verdict: pass}}
"""


def judged(requires: str, folder: Path) -> Finding:
    """Judge the sound job by one rule; give what it says."""
    pack = folder / "words.yaml"
    pack.write_text(RULE.format(requires=requires), encoding="utf-8")
    packs = load_packs([pack])
    sheet = read_sheet(SHEET, "job-sheet")
    job, _ = resolve(sheet.record, sheet.file, load_plant(PLANT / "plant.yaml"))
    (finding,) = judge_job(Figures(job, date(2026, 11, 25)), packs.rules, House(packs.limits), passes=True)
    return finding


@pytest.mark.parametrize(
    ("requires", "says"),
    [
        ("[{web.speed: {at_most: 30 m/min}, else: 'it runs {web.speed}'}]", "No: it runs 45 m/min"),
        (
            "[{web.speed: {at_most: 30 m/min}, else: too fast}, {layout.lanes: 4, else: '{layout.lanes} lanes'}]",
            "No: too fast; 5 lanes",
        ),
        ("[{web.speed: {at_most: 90 m/min}, else: too fast}, {layout.lanes: 4, else: lanes}]", "No: lanes"),
        ("{some: slit, before: first unwind, else: nothing is slit}", "No: nothing is slit"),
        (
            "{either: [{layout.lanes: 4}, {layout.lanes: 6}], else: an odd number of lanes}",
            "No: an odd number of lanes",
        ),
        ("{layout.lanes: 4}", "No: number of lanes is 5, wanted is 4"),
    ],
)
def test_words_of_what_fails(requires: str, says: str, tmp_path: Path) -> None:
    found = judged(requires, tmp_path)
    assert (found.kind, found.says) == ("fail", says)


def test_words_stay_unsaid_where_the_condition_holds(tmp_path: Path) -> None:
    assert judged("{layout.lanes: {at_least: 2}, else: too few}", tmp_path).kind == "pass"


@pytest.mark.parametrize(
    ("requires", "text"),
    [
        ("{every: print, where: {its.unit: 2}, has: {its.ink: digital}, else: no}", "print: {unit: 2"),
        ("{every: uv lamp, has: {some: slit, before: this}, else: no}", "uv lamp: {unit: 1"),
        ("{some: slit, before: first print, else: no}", "print: {unit: 1"),
        ("{no: matrix strip, after: first die cut, else: no}", "matrix strip: {}"),
        ("{every: station, where: {its.number: 3}, has: {its.on_press: false}, else: no}", "web cleaner:"),
        ("{job.day - preparation.ground.checked: {at_most: 1 d}, else: no}", "ground: {checked: 2026-11-20"),
        ("{finishing.diameter: given, else: no}", "finishing:"),
    ],
)
def test_a_finding_points_at_what_failed(requires: str, text: str, tmp_path: Path) -> None:
    found = judged(requires, tmp_path)
    assert found.kind == "fail"
    assert text in LINES[found.place.span.line - 1]
