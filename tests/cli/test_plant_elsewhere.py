"""A plant that does not lie below the working folder: files are named as seen from there, and never in full."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from filmcheck.cli.main import filmcheck

EXAMPLES = Path(__file__).parents[2] / "examples"
SHEET = "jobs/spoiled/qm-3201-unwind-on-brake-alone.yaml"
COMMANDS = [
    ("lint {sheet}", SHEET),
    ("lint {sheet} --full", SHEET),
    ("lint {sheet} --short", SHEET),
    ("lint {sheet} --format sarif", SHEET),
    ("lint {sheet} --format markdown", SHEET),
    ("card {sheet}", SHEET),
    ("page {sheet} --to page.html", ""),
    ("window {sheet} unwind.tension", SHEET),
    ("correct {sheet}", SHEET),
    ("figures {sheet}", SHEET),
    ("sign {sheet} --by somebody", ""),
    ("rules prove {plant}/house-rules", ""),
    ("rules list {plant}/house-rules", ""),
]


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a folder with a plant in one folder and another, empty, beside that."""
    room = tmp_path_factory.mktemp("room")
    shutil.copytree(EXAMPLES, room / "elsewhere/plant")
    (room / "here").mkdir()
    return room


@pytest.mark.sample(4)
@pytest.mark.parametrize(("line", "named"), COMMANDS)
def test_no_report_names_a_file_in_full(line: str, named: str, room: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plant = room / "elsewhere/plant"
    monkeypatch.chdir(room / "here")
    words = line.format(sheet=plant / SHEET, plant=plant).split()
    done = CliRunner().invoke(filmcheck, words)
    assert done.exit_code in (0, 1), done.output
    page = room / "here/page.html"
    told = done.output + (page.read_text("utf-8") if "page" in words else "")
    assert str(room) not in told
    assert not re.search(rf"(?<![\w.-])/{room.parts[1]}/", told)
    assert f"../elsewhere/plant/{named}" in told or not named
