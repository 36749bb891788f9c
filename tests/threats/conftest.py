"""A plant with one sound sheet, and the command run in it, within this process or in one of its own."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from filmcheck.cli.main import main
from filmcheck.reading.shipped import shipped_folder

ROOT = Path(__file__).parents[2]


class Done(NamedTuple):
    """What a run left."""

    status: int
    out: str
    err: str


@pytest.fixture
def plant(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, lay_rules: Callable[[Path], None]) -> Path:
    """Give the folder of a plant with one sound sheet, jobs/a.yaml; the command runs in it."""
    folder = tmp_path / "plant"
    shutil.copytree(shipped_folder("rules") / "proving", folder)
    (folder / "jobs").mkdir()
    (folder / "sheets/film-label.yaml").rename(folder / "jobs/a.yaml")
    shutil.rmtree(folder / "sheets")
    settings = folder / "plant.yaml"
    settings.write_text(settings.read_text("utf-8").replace("jobs: [sheets]", "jobs: [jobs]"), "utf-8")
    monkeypatch.chdir(folder)
    monkeypatch.setenv("FILMCHECK_CACHE", str(tmp_path / "cache"))
    lay_rules(tmp_path / "cache")
    return folder


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
def apart() -> Callable[..., Done]:
    """Give a function that runs the command in a process of its own, with changes to its environment."""

    def command(*words: str, env: dict[str, str | None] | None = None, cwd: Path | None = None) -> Done:
        wanted = {**os.environ, "PYTHONPATH": str(ROOT), **(env or {})}
        done = subprocess.run(
            [sys.executable, "-m", "filmcheck", *words],
            env={name: value for name, value in wanted.items() if value is not None},
            cwd=cwd,
            capture_output=True,
            text=True,
            encoding="utf-8",
            errors="replace",
            timeout=120,
            check=False,
        )
        return Done(done.returncode, done.stdout, done.stderr)

    return command


@pytest.fixture
def git(plant: Path) -> Callable[..., str]:
    """Give a function that runs git in the plant, which is a repository with one commit."""

    def command(*words: str) -> str:
        kept = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
        person = {
            f"GIT_{who}_{what}": "t@plant.example" for who in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")
        }
        done = subprocess.run(["git", *words], cwd=plant, env={**kept, **person}, capture_output=True, text=True)
        assert done.returncode == 0, done.stderr
        return done.stdout

    command("init", "--quiet", "--initial-branch", "main")
    command("add", "--all")
    command("commit", "--quiet", "--message", "the plant")
    return command
