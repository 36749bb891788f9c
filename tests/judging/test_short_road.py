"""The short road to a verdict against the long one, on every rule and every sheet of the demo and proving plants."""

from __future__ import annotations

import re
import shutil
from datetime import date
from pathlib import Path

import pytest

from filmcheck.figures.figures import Figures
from filmcheck.judging.decisions import Decider
from filmcheck.judging.judge import _outcomes, judge_job
from filmcheck.judging.scene import Scene
from filmcheck.judging.verdict import Verdict
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import read_sheet
from filmcheck.plant.sheet_files import Plants, sheet_files
from filmcheck.running.plant_context import judge_sheet, make_context

ROOT = Path(__file__).resolve().parents[2]
DAY = date(2026, 11, 25)
PLANTS = Plants()
FOLDERS = [ROOT / "examples" / "jobs", ROOT / "rules" / "proving" / "sheets"]
SHEETS = [Path(text) for text in sheet_files(FOLDERS, PLANTS, lambda path, text: None)]
BENCHES = {settings: make_context(PLANTS.plant(settings)) for settings in PLANTS.read}


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_both_roads_agree_on_every_rule(path: Path) -> None:
    bench = BENCHES[PLANTS.settings(str(path))]
    sheet = read_sheet(path, "job-sheet")
    job, _ = resolve(sheet.record, sheet.file, bench.plant)
    figures = Figures(job, DAY)
    scene = Scene(figures, bench.house.limits)
    for rule in bench.rules:
        if rule.requires is not None:
            outcomes = [outcome for _, outcome in _outcomes(rule, scene) if outcome is not None]
            long = all(outcome.verdict is Verdict.HOLDS for outcome in outcomes)
            assert Decider(rule, bench.house.limits).is_settled(figures) is long, rule.id


def test_what_is_remembered_of_one_sheet_never_hides_a_fault_of_another() -> None:
    """All sheets at one bench, in both orders and twice over, against each sheet at a bench of its own."""
    alone = {}
    for path in SHEETS:
        bench = make_context(PLANTS.plant(PLANTS.settings(str(path))))
        alone[path] = judge_sheet(read_sheet(path, "job-sheet"), bench, DAY).findings
    for path in [*SHEETS, *reversed(SHEETS), *SHEETS]:
        bench = BENCHES[PLANTS.settings(str(path))]
        assert judge_sheet(read_sheet(path, "job-sheet"), bench, DAY).findings == alone[path], path.name


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_any_one_line_spoiled_gives_the_same_on_a_bench_that_remembers(path: Path, tmp_path: Path) -> None:
    """Each line of a sheet left out in turn: what the bench remembers of the sound sheet must not cover it."""
    settings = PLANTS.settings(str(path))
    bench = BENCHES[settings]
    judge_sheet(read_sheet(path, "job-sheet"), bench, DAY)
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    for index in range(0, len(lines), 3):
        spoiled = tmp_path / f"line-{index}.yaml"
        spoiled.write_text("".join([*lines[:index], *lines[index + 1 :]]), encoding="utf-8")
        sheet = read_sheet(spoiled, "job-sheet")
        job, _ = resolve(sheet.record, sheet.file, bench.plant)
        quick = judge_job(Figures(job, DAY), bench.rules, bench.house)
        slow = judge_job(Figures(job, DAY), bench.rules, bench.house, passes=True)
        assert quick == [finding for finding in slow if finding.kind != "pass"], f"without line {index + 1}"


def test_a_plant_takes_nothing_over_from_another_with_entries_of_the_same_names(tmp_path: Path) -> None:
    """Tracks and numbers of contents are shared by all plants of a process, what a rule passed is not."""
    other = tmp_path / "plant"
    shutil.copytree(ROOT / "examples", other)
    stocks = other / "registers/stocks.yaml"
    text = stocks.read_text(encoding="utf-8")
    stocks.write_text(re.sub(r"maximum_temperature: \d+ degC", "maximum_temperature: 21 degC", text), encoding="utf-8")
    plants = Plants()
    here, there = (make_context(plants.plant(folder / "plant.yaml")) for folder in (ROOT / "examples", other))
    hot = 0
    for path in sorted((ROOT / "examples/jobs/sound").glob("*.yaml")):
        sheet = read_sheet(path, "job-sheet")
        alone = [judge_sheet(sheet, make_context(bench.plant), DAY).findings for bench in (here, there)]
        for bench, findings in [*zip((here, there), alone, strict=True)] * 2:
            assert judge_sheet(sheet, bench, DAY).findings == findings, path.name
        hot += any(finding.rule == "web-too-hot" for finding in alone[1])
    assert hot, "the other plant was to differ"
