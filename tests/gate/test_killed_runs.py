"""Runs in processes of their own: killed at any moment, or two at once, they leave a cache that changes nothing."""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path
from select import select
from typing import Any, NamedTuple

import pytest
from sheets import make_plant

SHEETS = 30
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
LOADED = """\
import os, sys
import filmcheck.cli.lint, filmcheck.packs.pack, filmcheck.running.advised, filmcheck.running.verdict_cache
from filmcheck.cli.main import main
filmcheck.running.verdict_cache.TOGETHER = 5
for line in sys.stdin:
    cache, written, *sys.argv[1:] = line.split()
    child = os.fork()
    if not child:
        os.environ["FILMCHECK_CACHE"] = cache
        os.dup2(os.open(written, os.O_WRONLY | os.O_CREAT | os.O_TRUNC), 1)
        os.dup2(1, 2)
        main()
    print(child, flush=True)
    print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), flush=True)
"""
"""The same in children of a process that has loaded all and done nothing: no kill is spent on what a start loads."""
WORDS = ["lint", "--today", "2026-12-01", "--fail-from", "never", "."]
LINT = [sys.executable, "-c", PROGRAM, *WORDS]
ROOT = str(Path(__file__).parents[2])


class Ground(NamedTuple):
    """A plant, the report on it, and a full cache of it."""

    plant: Path
    report: bytes
    full: Path


def started(plant: Path, cache: Path | str, *more: str) -> subprocess.Popen[bytes]:
    environment = {**os.environ, "FILMCHECK_CACHE": str(cache), "PYTHONPATH": ROOT}
    command = [*LINT[:-1], *more, "."]
    return subprocess.Popen(command, cwd=plant, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE)


def report(plant: Path, cache: Path | str, *more: str) -> bytes:
    run = started(plant, cache, *more)
    out, err = run.communicate()
    assert (run.returncode, err) == (0, b"")
    return out


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory) -> Ground:
    room = tmp_path_factory.mktemp("ground")
    make_plant(room / "plant", SHEETS, seed=8)
    (room / "full").mkdir(mode=0o700)
    report(room / "plant", room / "full")
    return Ground(room / "plant", report(room / "plant", ""), room / "full")


def half_known(ground: Ground, cache: Path) -> None:
    """Fill a cache from which the shipped packs and half of the sheets are known."""
    shutil.copytree(ground.full, cache, dirs_exist_ok=True)
    (cache / "verdicts.sqlite").unlink()
    run = started(ground.plant, cache, "--share", "1/2")
    run.communicate()


class Loaded:
    """The process whose children run the command, and the file that they write to."""

    def __init__(self, plant: Path, written: Path) -> None:
        environment = {**os.environ, "PYTHONPATH": ROOT}
        how: dict[str, Any] = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "bufsize": 0}
        self.process = subprocess.Popen([sys.executable, "-c", LOADED], cwd=plant, env=environment, **how)
        self.written = written

    def __enter__(self) -> Loaded:
        return self

    def __exit__(self, *_: object) -> None:
        self.process.communicate()

    def run(self, cache: Path, seconds: float | None = None) -> tuple[int, float]:
        """Run the command, and kill it after a time; give its status, and how long it took."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        begin = time.perf_counter()
        self.process.stdin.write(f"{cache} {self.written} {' '.join(WORDS)}\n".encode())
        child = int(self.process.stdout.readline())
        if seconds is not None and not select([self.process.stdout], [], [], seconds)[0]:
            with suppress(ProcessLookupError):  # it may end between the look and the kill
                os.kill(child, signal.SIGKILL)
        return int(self.process.stdout.readline()), time.perf_counter() - begin

    def report(self, cache: Path) -> bytes:
        assert self.run(cache)[0] == 0
        return self.written.read_bytes()


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs kill -9")
def test_two_hundred_killed_runs(ground: Ground, tmp_path: Path) -> None:
    rng = random.Random(20261201)  # noqa: S311  a seed, so that a failure comes again
    (tmp_path / "timed").mkdir(mode=0o700)
    with Loaded(ground.plant, tmp_path / "written") as loaded:
        cold, warm = (loaded.run(tmp_path / "timed")[1] for _ in range(2))
        for turn in range(ROUNDS):
            cache = tmp_path / f"cache-{turn}"
            cache.mkdir(mode=0o700)
            if turn % 4 == 2:
                half_known(ground, cache)
            elif turn % 4 == 3:
                shutil.copytree(ground.full, cache, dirs_exist_ok=True)
            moments = killed(loaded, cache, warm if turn % 4 == 3 else cold, rng)
            assert loaded.report(cache) == ground.report, (turn, moments)
            assert loaded.report(cache) == ground.report, (turn, moments)
            shutil.rmtree(cache)


def killed(loaded: Loaded, cache: Path, longest: float, rng: random.Random) -> list[float]:
    """Kill runs on one cache, each at a moment drawn; give the moments."""
    moments: list[float] = []
    for _ in range(KILLS_A_ROUND * MOST_TRIES):
        moment = longest * rng.random()
        status, took = loaded.run(cache, moment)
        if status == -signal.SIGKILL:
            moments.append(moment)
        else:  # what earlier runs kept makes this one shorter: aim within it
            longest = min(longest, took)
        if len(moments) == KILLS_A_ROUND:
            return moments
    raise AssertionError("most runs had ended before they were killed")


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


@pytest.mark.slow
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
    environment |= {"PYTHONPATH": ROOT} | ({} if named is None else {"FILMCHECK_CACHE": named})
    done = subprocess.run(LINT, cwd=made_plant, env=environment, capture_output=True, check=True)
    assert done.stdout == usual
    assert sorted(made_plant.rglob("*")) == before
    assert sorted(path.name for path in (tmp_path / "state").rglob("*") if path.is_file()) == ["cache-key"] * (
        named is None
    )
    kept = {path.name.partition("-")[0] for path in (tmp_path / "caches").rglob("*") if path.is_file()}
    assert kept == (set() if named == "" else {"plant", "rules", "verdicts.sqlite"})
