"""Runs in processes of their own: killed at any moment, or two at once, they leave a cache that changes nothing."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import NamedTuple

import pytest
from sheets import make_plant

SHEETS = 60
ROUNDS = 20
KILLS_A_ROUND = 10
MOST_TRIES = 10
PROGRAM = """\
import filmcheck.running.verdict_cache
filmcheck.running.verdict_cache.TOGETHER = 5
from filmcheck.cli.main import main
main()
"""
"""The command, writing a few verdicts at a time, so that a small plant is written as often as a large one."""
LINT = [sys.executable, "-c", PROGRAM, "lint", "--today", "2026-12-01", "--fail-from", "never", "."]


class Ground(NamedTuple):
    """A plant, the report on it, a full cache of it, and how long a cold and a warm run take."""

    plant: Path
    report: bytes
    full: Path
    cold: float
    warm: float


def started(plant: Path, cache: Path | str, *more: str) -> subprocess.Popen[bytes]:
    root = str(Path(__file__).parents[2])
    environment = {**os.environ, "FILMCHECK_CACHE": str(cache), "PYTHONPATH": root}
    command = [*LINT[:-1], *more, "."]
    return subprocess.Popen(command, cwd=plant, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE)


def report(plant: Path, cache: Path | str, *more: str) -> bytes:
    run = started(plant, cache, *more)
    out, err = run.communicate()
    assert (run.returncode, err) == (0, b"")
    return out


def timed(plant: Path, cache: Path) -> float:
    begin = time.perf_counter()
    report(plant, cache)
    return time.perf_counter() - begin


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory) -> Ground:
    room = tmp_path_factory.mktemp("ground")
    make_plant(room / "plant", SHEETS, seed=8)
    (room / "full").mkdir(mode=0o700)
    cold, warm = (timed(room / "plant", room / "full") for _ in range(2))
    return Ground(room / "plant", report(room / "plant", ""), room / "full", cold, warm)


def half_known(ground: Ground, cache: Path) -> None:
    """Fill a cache from which the shipped packs and half of the sheets are known."""
    shutil.copytree(ground.full, cache, dirs_exist_ok=True)
    (cache / "verdicts.sqlite").unlink()
    run = started(ground.plant, cache, "--share", "1/2")
    run.communicate()


def kill_at(ground: Ground, cache: Path, seconds: float) -> float | None:
    """Start a run and kill it after a time; where it had ended by then, give how long it took."""
    begin = time.perf_counter()
    run = started(ground.plant, cache)
    try:
        run.communicate(timeout=seconds)
    except subprocess.TimeoutExpired:
        run.kill()
        run.communicate()
    return None if run.returncode == -signal.SIGKILL else time.perf_counter() - begin


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs kill -9")
def test_two_hundred_killed_runs(ground: Ground, tmp_path: Path) -> None:
    rng = random.Random(20261201)  # noqa: S311  a seed, so that a failure comes again
    for turn in range(ROUNDS):
        cache = tmp_path / f"cache-{turn}"
        cache.mkdir(mode=0o700)
        longest = ground.cold
        if turn % 4 == 2:
            half_known(ground, cache)
        elif turn % 4 == 3:
            shutil.copytree(ground.full, cache, dirs_exist_ok=True)
            longest = ground.warm
        moments: list[float] = []
        for _ in range(KILLS_A_ROUND * MOST_TRIES):
            moment = longest * rng.random()
            ended = kill_at(ground, cache, moment)
            if ended is not None:  # what earlier runs kept makes this one shorter: aim within it
                longest = min(longest, ended)
                continue
            moments.append(moment)
            if len(moments) == KILLS_A_ROUND:
                break
        assert len(moments) == KILLS_A_ROUND, "most runs had ended before they were killed"
        assert report(ground.plant, cache) == ground.report, (turn, moments)
        assert report(ground.plant, cache) == ground.report, (turn, moments)
        shutil.rmtree(cache)


@pytest.mark.slow
@pytest.mark.parametrize("turn", range(2))
def test_runs_at_the_same_time(ground: Ground, tmp_path: Path, turn: int) -> None:
    """Eight at once on one cache, new or half full, two of them with two workers."""
    cache = tmp_path / "cache"
    cache.mkdir(mode=0o700)
    if turn % 2:
        half_known(ground, cache)
    runs = [started(ground.plant, cache, *more) for more in ((), ("--workers", "2"), (), ()) * 2]
    assert [run.communicate() for run in runs] == [(ground.report, b"")] * 8
    assert report(ground.plant, cache) == ground.report


@pytest.mark.sample(2)
@pytest.mark.parametrize("named", [None, ""])
def test_what_is_kept_and_where(
    made_plant: Path, tmp_path: Path, named: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Set to nothing, the cache is off; not set, it lies in the folder that the desktop names, never in the plant."""
    before = sorted(made_plant.rglob("*"))
    usual = report(made_plant, "")
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "caches"))
    environment = {name: value for name, value in os.environ.items() if name != "FILMCHECK_CACHE"}
    environment |= {"PYTHONPATH": str(Path(__file__).parents[2])} | (
        {} if named is None else {"FILMCHECK_CACHE": named}
    )
    done = subprocess.run(LINT, cwd=made_plant, env=environment, capture_output=True, check=True)
    assert done.stdout == usual
    assert sorted(made_plant.rglob("*")) == before
    assert sorted(path.name for path in (tmp_path / "state").rglob("*") if path.is_file()) == ["cache-key"] * (
        named is None
    )
    kept = {path.name.partition("-")[0] for path in (tmp_path / "caches").rglob("*") if path.is_file()}
    assert kept == (set() if named == "" else {"rules", "verdicts.sqlite"})
