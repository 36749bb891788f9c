"""Bounds of figures of the wound rolls against the figures themselves, on every roll of the demo and proving jobs."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from scipy.optimize import brentq

from filmcheck.figures import wound
from filmcheck.figures.catalogue import CATALOGUE
from filmcheck.figures.figures import Figures
from filmcheck.figures.scopes import WOUND
from filmcheck.figures.wound_bounds import BOUNDS
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import read_sheet
from filmcheck.plant.sheet_files import Plants
from filmcheck.records.value import Value, number

ROOT = Path(__file__).parents[2]
SHEETS = [*(ROOT / "examples/jobs").rglob("*.yaml"), *(ROOT / "rules/proving/sheets").glob("*.yaml")]
FIELDS = [name.partition(".")[2] for name in BOUNDS]
FINISHED_TENSION = "  start_tension: 0.7 lbf/in\n  taper: 30 %\n  taper_law: linear\n"


def test_bounds_are_those_of_figures() -> None:
    assert BOUNDS.keys() <= CATALOGUE.keys()


def test_figures_lie_within_their_bounds_on_every_sheet() -> None:
    plants, held = Plants(), Counter[str]()
    for path in SHEETS:
        sheet = read_sheet(path, "job-sheet")
        job, _ = resolve(sheet.record, sheet.file, plants.plant(plants.settings(str(path))))
        figures = Figures(job, date(2026, 11, 25))
        for item in (item for kind in WOUND for item in figures.things(kind)):
            for field in FIELDS:
                bounds = figures.bounds(f"its.{field}", item)
                if bounds is not None:
                    figure = figures(f"its.{field}", item)
                    assert isinstance(figure, Value), f"{path.name}: {field} cannot be worked out, but has bounds"
                    assert number(bounds.low) <= number(figure.low) <= number(figure.high) <= number(bounds.high)
                    held[field] += 1
    assert all(held[field] > 100 for field in ("core_pressure", "body_pressure", "slip_margin")), held
    assert held["ooze"], "no sheet lets its adhesive be told any more"


def roll(figures: Figures, kind: str):
    return figures.things(kind)[0]


def test_what_is_not_known_or_a_range_has_no_bounds(changed: Callable[..., Figures]) -> None:
    told = changed()
    assert told.bounds("its.core_pressure", roll(told, "finished roll")) is not None
    assert told.bounds("finished_roll.core_pressure") == told.bounds("its.core_pressure", roll(told, "finished roll"))
    assert told.bounds("its.full_diameter", roll(told, "finished roll")) is None
    assert told.bounds("web.width") is None


@pytest.mark.parametrize("tension", ["0.6 to 0.8 lbf/in", "400 lbf/in"])
def test_neither_a_range_nor_a_roll_out_of_range_has_bounds(changed: Callable[..., Figures], tension: str) -> None:
    figures = changed((FINISHED_TENSION, FINISHED_TENSION.replace("0.7 lbf/in", tension)))
    assert figures.bounds("its.core_pressure", roll(figures, "finished roll")) is None
    assert figures.bounds("its.core_pressure", roll(figures, "press roll")) is not None


def test_bounds_work_no_roll_out(changed: Callable[..., Figures], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(wound, "wound_pressure", lambda **terms: pytest.fail("a roll was worked out"))
    wound.wound.cache_clear()
    figures = changed()
    for kind in WOUND:
        for field in ("core_pressure", "body_pressure", "slip_margin"):
            figures.bounds(f"its.{field}", roll(figures, kind))


@pytest.mark.parametrize("seed", range(30))
def test_the_tension_that_spares_a_small_core_is_the_root(seed: int) -> None:
    rng = random.Random(seed)  # noqa: S311 - seeded on purpose
    core = rng.uniform(0.03, 0.12)
    small = wound.Winding(
        line_start_tension=rng.uniform(60, 400),
        taper=rng.uniform(0, 0.5),
        taper_law=rng.choice(("linear", "hyperbolic")),
        core_diameter=core,
        full_diameter=core * rng.uniform(1.3, 6),
        core_stiffness=rng.uniform(0.1e9, 5e9),
        stiffness=rng.uniform(1e5, 4e5),
        caliper=rng.uniform(50e-6, 200e-6),
        k1=rng.uniform(3e3, 40e3),
        k2=rng.uniform(20, 150),
    )
    big = wound.on_big_core(small, 0.008)
    found = wound._start_for_big_core(small, big)
    wanted = wound.wound(big).core_pressure

    def excess(tension: float) -> float:
        return wound.wound(small._replace(line_start_tension=tension)).core_pressure - wanted

    if excess(small.line_start_tension) <= 0:
        assert found == small.line_start_tension
    else:
        assert found == pytest.approx(
            brentq(excess, 1e-3 * small.line_start_tension, small.line_start_tension), rel=1e-4
        )
