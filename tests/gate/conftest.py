"""A small plant, and runs over it within this process that tell how many sheets were judged afresh."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import NamedTuple

import pytest

from filmcheck.cache_folder import cache_folder
from filmcheck.reports.sarif import sarif_text
from filmcheck.reports.text import text_report
from filmcheck.run import Wishes, lint
from filmcheck.verdict_cache import VerdictCache

sys.path.insert(0, str(Path(__file__).parents[1] / "bench"))
from sheets import make_plant

SHEETS = 14
DAY = date(2026, 12, 1)


class Ran(NamedTuple):
    """What a run reported, and how many sheets it judged afresh."""

    text: str
    sarif: str
    fresh: int

    @property
    def reports(self) -> tuple[str, str]:
        return self.text, self.sarif


@pytest.fixture(scope="session")
def made_plant(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("made") / "plant"
    make_plant(folder, SHEETS, seed=5)
    return folder


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give an empty cache folder that the runs use."""
    folder = tmp_path / "cache"
    folder.mkdir(mode=0o700)
    monkeypatch.setenv("FILMCHECK_CACHE", str(folder))
    return folder


@pytest.fixture
def run_here(cache: Path) -> Callable[..., Ran]:
    """Give a function that lints the current folder, by default with the cache."""

    def command(
        *paths: Path,
        kept: bool = True,
        today: date = DAY,
        passes: bool = False,
        workers: int = 1,
        after: Callable[[int], None] | None = None,
    ) -> Ran:
        judged = []

        def progress(done: int, of: int) -> None:
            judged.append(done)
            if after is not None:
                after(done)

        folder = cache_folder() if kept else None
        store = VerdictCache(folder) if folder is not None else None
        wishes = Wishes(today=today, passes=passes, cache=store, progress=progress, workers=workers)
        report = lint(paths or (Path("."),), wishes)
        return Ran(text_report(report, show_passes=passes), sarif_text(report), len(judged))

    return command
