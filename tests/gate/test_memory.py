"""What a run holds grows by little for each sheet: 100,000 of them are to fit into 400 MB, so none may take 3 kB."""

from __future__ import annotations

import gc
import tracemalloc
from datetime import date
from pathlib import Path

import pytest
from sheets import make_plant

from filmcheck.run import Options, lint
from filmcheck.running import verdict_cache
from filmcheck.running.verdict_cache import VerdictCache

FEW, MANY = 60, 180
"""Enough for the share of sheets with findings, which take most, to be much the same."""
MOST_KEPT = 3_000
"""Bytes for a sheet whose verdict is kept: its path, its findings, what other jobs are held against."""
MOST_JUDGED = 15_000
"""Bytes for a sheet that is judged: most are memories of quantities, which have an end. Its tree takes 230 000."""


@pytest.fixture(scope="module")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    return make_plant(tmp_path_factory.mktemp("memory") / "plant", MANY)


def growth(sheets: list[Path], folder: Path | None) -> float:
    """Give the bytes that a run holds when its last sheet is done, for each sheet that it has more."""

    def held(count: int) -> int:
        found = 0

        def look(done: int, of: int) -> None:
            nonlocal found
            if done == of:
                gc.collect()
                found = tracemalloc.get_traced_memory()[0]

        cache = VerdictCache(folder) if folder is not None else None
        lint(sheets[:count], Options(today=date(2026, 11, 26), cache=cache, progress=look))
        return found

    tracemalloc.start()
    try:
        held(FEW)  # what is kept once a process must not count for the sheets that come after
        few = held(FEW)
        return (held(MANY) - few) / (MANY - FEW)
    finally:
        tracemalloc.stop()


@pytest.mark.slow
def test_a_sheet_whose_verdict_is_kept_takes_little(
    sheets: list[Path], cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(verdict_cache, "TOGETHER", 5)
    lint(sheets, Options(today=date(2026, 11, 26), cache=VerdictCache(cache)))
    assert growth(sheets, cache) < MOST_KEPT


@pytest.mark.slow
def test_a_judged_sheet_leaves_no_tree_behind(sheets: list[Path]) -> None:
    lint(sheets[:FEW], Options(today=date(2026, 11, 26)))  # loads what is loaded once
    assert growth(sheets, None) < MOST_JUDGED
