"""What decides a rule against what explains it, on every rule and every sheet of the demo and proving plants."""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path

import pytest

from filmcheck.figures.figures import Figures
from filmcheck.figures.scopes import kinds_in
from filmcheck.judging.context import Context
from filmcheck.judging.judge import judge_job
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import read_sheet
from filmcheck.plant.sheet_files import Plants
from filmcheck.running.plant_context import PlantContext, make_context

ROOT = Path(__file__).resolve().parents[2]
DAY = date(2026, 11, 25)


PLANTS = Plants()


@cache
def context_of(settings: Path) -> PlantContext:
    return make_context(PLANTS.plant(settings))


def plant_of(path: Path) -> PlantContext:
    """Give the plant of a sheet, made once."""
    settings = PLANTS.settings(str(path))
    assert settings is not None
    return context_of(settings)


def sheets() -> list[Path]:
    return sorted([*(ROOT / "examples/jobs").rglob("*.yaml"), *(ROOT / "rules/proving/sheets").glob("*.yaml")])


@pytest.mark.sample(6)
@pytest.mark.parametrize("path", sheets(), ids=lambda path: path.stem)
def test_every_condition_decides_as_it_explains(path: Path) -> None:
    plant = plant_of(path)
    sheet = read_sheet(path, "job-sheet")
    job, _ = resolve(sheet.record, sheet.file, plant.plant)
    context = Context(Figures(job, DAY), plant.house.limits)
    for rule in plant.rules:
        kinds = kinds_in(rule.for_each)
        contexts = [context.at(thing) for kind in kinds for thing in context.figures.things(kind)]
        for here in contexts if rule.for_each else [context]:
            for condition in rule.conditions:
                assert condition.decide(here) is condition.explain(here).verdict, rule.id


@pytest.mark.sample(6)
@pytest.mark.parametrize("path", sheets(), ids=lambda path: path.stem)
def test_what_is_settled_has_no_finding(path: Path) -> None:
    plant = plant_of(path)
    sheet = read_sheet(path, "job-sheet")
    job, _ = resolve(sheet.record, sheet.file, plant.plant)
    quick = judge_job(Figures(job, DAY), plant.rules, plant.house)
    slow = judge_job(Figures(job, DAY), plant.rules, plant.house, passes=True)
    assert quick == [finding for finding in slow if finding.kind != "pass"]
