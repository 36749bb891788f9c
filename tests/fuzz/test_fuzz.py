"""A short run of the fuzz on every commit; ``long_run.py`` beside it runs it for as long as wanted."""

from __future__ import annotations

import random
import shutil
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from entries import Ground, try_one

from filmcheck.reading.shipped import shipped_folder

MOST_SECONDS = 2.0
SHORT = {
    "reader": 800,
    "both": 300,
    "quantity": 1000,
    "formula": 1000,
    "table": 200,
    "judge": 100,
    "show": 25,
    "run": 15,
    "old_log": 40,
    "cache": 10,
}


QUICK = 5
"""Of so many inputs one is among those that are always tried; the others are slow."""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ground]:
    plant = tmp_path_factory.mktemp("fuzz") / "plant"
    shutil.copytree(shipped_folder("rules") / "proving", plant)
    (plant / "sheets").rename(plant / "jobs")
    (plant / "jobs/film-label.yaml").rename(plant / "jobs/a.yaml")
    settings = plant / "plant.yaml"
    settings.write_text(settings.read_text("utf-8").replace("jobs: [sheets]", "jobs: [jobs]"), "utf-8")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FILMCHECK_CACHE", "")
        patch.chdir(plant)
        yield Ground(plant)


@pytest.fixture
def ground(made: Ground) -> Ground:
    """Give the ground as it was made."""
    for path, text in made.sound.items():
        path.write_text(text, encoding="utf-8")
    return made


@pytest.mark.parametrize("long", [False, pytest.param(True, marks=pytest.mark.slow)], ids=["short", "long"])
@pytest.mark.parametrize("entry", SHORT)
def test_spoiled_inputs_bring_no_fault_of_our_own(ground: Ground, entry: str, *, long: bool) -> None:
    few = SHORT[entry] // QUICK
    for seed in range(few, SHORT[entry]) if long else range(few):
        begin = time.process_time()
        try:
            try_one(getattr(ground, entry), random.Random(seed))  # noqa: S311  a seed, so that it comes again
        except Exception as error:
            raise AssertionError(f"{entry}, seed {seed}: {type(error).__name__}: {error}") from error
        assert time.process_time() - begin < MOST_SECONDS, f"{entry}, seed {seed} takes too long"
