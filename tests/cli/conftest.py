"""A plant in a folder of its own, and the command run within this process."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from filmcheck.cli.main import main
from filmcheck.reading.shipped import shipped_folder

NEIGHBOUR = "job: N-1\nstage: planned\nweb: {width: 330}\n"
"""A sheet that is linted beside the bad one: its one fault of reading must be told in every run."""


class Done(NamedTuple):
    """What a run left."""

    status: int
    out: str
    err: str


@pytest.fixture
def plant(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, lay_rules: Callable[[Path], None]) -> Path:
    """Give the folder of a plant with registers and the neighbour as its one sheet; the command runs in it."""
    shutil.copytree(shipped_folder("rules") / "proving", tmp_path / "plant")
    monkeypatch.chdir(tmp_path / "plant")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))  # no verdict that an earlier run kept may answer
    lay_rules(tmp_path / "cache/filmcheck")
    sound = Path("sheets/film-label.yaml")
    sound.rename(tmp_path / "film-label.yaml")
    for sheet in Path("sheets").iterdir():
        sheet.unlink()
    Path("sheets/neighbour.yaml").write_text(NEIGHBOUR, encoding="utf-8")
    return tmp_path / "plant"


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
