"""A short run of the fuzz on every commit; ``long_run.py`` beside it runs it for as long as wanted."""

from __future__ import annotations

import random
import shutil
import sys
import time
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


@pytest.fixture
def ground(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Ground:
    plant = tmp_path / "plant"
    shutil.copytree(shipped_folder("rules") / "proving", plant)
    (plant / "sheets").rename(plant / "jobs")
    (plant / "jobs/film-label.yaml").rename(plant / "jobs/a.yaml")
    settings = plant / "plant.yaml"
    settings.write_text(settings.read_text("utf-8").replace("jobs: [sheets]", "jobs: [jobs]"), "utf-8")
    monkeypatch.setenv("FILMCHECK_CACHE", "")
    monkeypatch.chdir(plant)
    return Ground(plant)


@pytest.mark.parametrize("entry", SHORT)
def test_spoiled_inputs_bring_no_fault_of_our_own(ground: Ground, entry: str) -> None:
    for seed in range(SHORT[entry]):
        begin = time.process_time()
        try:
            try_one(getattr(ground, entry), random.Random(seed))  # noqa: S311  a seed, so that it comes again
        except Exception as error:
            raise AssertionError(f"{entry}, seed {seed}: {type(error).__name__}: {error}") from error
        assert time.process_time() - begin < MOST_SECONDS, f"{entry}, seed {seed} takes too long"
