"""A small plant, a cache folder of the test's own, and the runs that use both."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parent / "bench")]
from runs import Ran, lint_here  # noqa: E402  found by the line above
from sheets import make_plant  # noqa: E402

SHEETS = 2


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
    """Give the function that lints the current folder, with a cache folder of the test's own."""
    return lint_here
