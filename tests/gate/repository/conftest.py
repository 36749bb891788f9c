"""A plant that a test may spoil, the command run in it, and git where a test needs a history."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from filmcheck.cli.main import main
from filmcheck.reading.shipped import shipped_folder

SHEET = "sheets/film-label.yaml"
DAY = "2026-11-25"


class Done(NamedTuple):
    """What a run left."""

    status: int
    out: str
    err: str


class Ground:
    """The proving ground as a plant of its own, with one sound sheet."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.sound = (folder / SHEET).read_text(encoding="utf-8")

    def read(self, name: str) -> str:
        return (self.folder / name).read_text(encoding="utf-8")

    def write(self, name: str, text: str) -> str:
        (self.folder / name).parent.mkdir(exist_ok=True, parents=True)
        (self.folder / name).write_text(text, encoding="utf-8")
        return name

    def change(self, name: str, *changes: tuple[str, str]) -> None:
        text = self.read(name)
        for old, new in changes:
            assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
            text = text.replace(old, new)
        self.write(name, text)

    def job(self, number: str, *changes: tuple[str, str], end: str = "", name: str = "") -> str:
        """Write another sheet: the sound one under a number of its own, with changes."""
        name = self.write(name or f"sheets/{number.lower()}.yaml", self.sound + end)
        self.change(name, ("job: PG-1001", f"job: {number}"), *changes)
        return name

    def git(self, *words: str) -> str:
        return git(self.folder, *words)

    def commit(self, says: str = "a change") -> None:
        self.git("add", "--all")
        self.git("commit", "--quiet", "--allow-empty", "--message", says)

    def start_history(self) -> None:
        self.git("init", "--quiet")
        self.commit("the plant")


def git(folder: Path, *words: str) -> str:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    person = {f"GIT_{who}_{what}": "t@plant.example" for who in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")}
    done = subprocess.run(
        ["git", *words], cwd=folder, env={**kept, **person}, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture
def ground(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, lay_rules: Callable[[Path], None]) -> Ground:
    """Give the plant; the command runs in its folder, and no verdict that an earlier run kept answers."""
    folder = tmp_path / "ground"
    shutil.copytree(shipped_folder("rules") / "proving", folder)
    monkeypatch.chdir(folder)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    lay_rules(tmp_path / "cache/filmcheck")
    for name in [name for name in os.environ if name.startswith("GIT_")]:
        monkeypatch.delenv(name)
    return Ground(folder)


@pytest.fixture
def run(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Callable[..., Done]:
    """Give a function that runs the command with some words and gives what it left."""

    def command(*words: str) -> Done:
        monkeypatch.setattr(sys, "argv", ["filmcheck", *words])
        capfd.readouterr()
        with pytest.raises(SystemExit) as ended:
            main()
        out, err = capfd.readouterr()
        return Done(int(ended.value.code or 0), out, err)

    return command


@pytest.fixture
def log(run: Callable[..., Done], monkeypatch: pytest.MonkeyPatch) -> Callable[..., list[dict[str, Any]]]:
    """Give a function that lints and gives the results of the SARIF log; the run must come to its end."""

    def results(*words: str) -> list[dict[str, Any]]:
        with monkeypatch.context() as patch:  # the rules fill most of a log, and nobody looks at them here
            patch.setattr("filmcheck.reports.sarif.driver", lambda version, rules: {"name": "filmcheck"})
            done = run("lint", *words, "--format", "sarif", "--kinds", "--today", DAY)
        assert done.status in (0, 1), done.err
        found: list[dict[str, Any]] = json.loads(done.out)["runs"][0]["results"]
        return found

    return results


@pytest.fixture
def told(log: Callable[..., list[dict[str, Any]]]) -> Callable[..., list[tuple[str, str]]]:
    """Give a function that lints and gives of each fault the rule and the file, sorted."""

    def faults(*words: str) -> list[tuple[str, str]]:
        return sorted((result["ruleId"], uri(result)) for result in log(*words) if result["kind"] == "fail")

    return faults


def uri(result: dict[str, Any]) -> str:
    found: str = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
    return found


@pytest.fixture(autouse=True)
def _no_advice(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave values untried: it takes longer than all else, and what is asked here does not hang on advice."""
    monkeypatch.setattr("filmcheck.windows.advice.Adviser.advise", lambda adviser: list(adviser.before))
