"""Sheets made ready to be judged with other values, for the tests of windows and advice."""

from __future__ import annotations

import shutil
from collections.abc import Container, Sequence
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from filmcheck.plant.plant import load_plant, read_sheet
from filmcheck.running.plant_context import PlantContext, make_context
from filmcheck.running.window_run import Ready, make_ready
from filmcheck.windows.set_points import SetPoint

ROOT = Path(__file__).parents[2]
PROVING = ROOT / "rules/proving"
EXAMPLES = ROOT / "examples"
DAY = date(2026, 12, 1)


def ready(path: Path) -> Ready:
    """Read a sheet with the plant in whose folder it lies."""
    home = next(folder for folder in path.parents if (folder / "plant.yaml").exists())
    return make_ready(read_sheet(path, "job-sheet"), _context(home), DAY)


@cache
def _context(home: Path) -> PlantContext:
    """Load a plant once; a test that changes one has a folder of its own."""
    return make_context(load_plant(home / "plant.yaml"))


def proving_copy(folder: Path, sheet: dict[str, str], register: dict[str, str], settings: str = "") -> Path:
    """Copy the proving plant with other texts on its sheet and in its stock register; give the sheet's path."""
    home = folder / "plant"
    shutil.copytree(PROVING, home)
    for path, changes in ((home / "sheets/film-label.yaml", sheet), (home / "registers/stocks.yaml", register)):
        text = path.read_text(encoding="utf-8")
        for old, new in changes.items():
            assert old in text
            text = text.replace(old, new, 1)
        path.write_text(text, encoding="utf-8")
    with (home / "plant.yaml").open("a", encoding="utf-8") as file:
        file.write(settings)
    return home / "sheets/film-label.yaml"


def sampled(cases: Sequence[Any], few: Container[int]) -> list[Any]:
    """Mark all cases but a few, by number, as slow."""
    return [case if n in few else pytest.param(case, marks=pytest.mark.slow) for n, case in enumerate(cases)]


def point(made: Ready, address: str) -> SetPoint:
    """Give a set-point by its address."""
    return next(each for each in made.points if each.address == address)
