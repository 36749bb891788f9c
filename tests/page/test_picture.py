"""The picture of the README is what its command draws today."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from filmcheck.cli.page import page_command
from filmcheck.records.errors import UseError

TOP = Path(__file__).parents[2]
SHEET = "examples/jobs/spoiled/qm-3201-unwind-on-brake-alone.yaml"
PICTURE = TOP / "examples/unwind-on-brake-alone.svg"
COMMAND = ["--today", "2026-11-26", "--to"]


def test_the_picture_is_up_to_date(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(TOP)
    target = tmp_path / "drawn.svg"
    assert CliRunner().invoke(page_command, [SHEET, *COMMAND, str(target)]).exit_code == 0
    assert target.read_bytes() == PICTURE.read_bytes(), (
        f"renew it: filmcheck page {SHEET} --today 2026-11-26 --to examples/{PICTURE.name}"
    )


def test_the_readme_shows_it() -> None:
    assert f"(examples/{PICTURE.name})" in (TOP / "README.md").read_text(encoding="utf-8")


def test_a_page_is_never_written_over_a_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(TOP)
    before = Path(SHEET).read_bytes()
    assert isinstance(CliRunner().invoke(page_command, [SHEET, "--to", SHEET]).exception, UseError)
    assert Path(SHEET).read_bytes() == before
