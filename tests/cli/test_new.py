"""``filmcheck new``: a short sheet that lints, from options or answers."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from filmcheck.cli.main import filmcheck
from filmcheck.records.errors import UseError
from filmcheck.run import lint

EXAMPLES = Path(__file__).parents[2] / "examples"
ANSWERS = {
    "--job": "QM-5001", "--title": "Plum: 'late' cordial", "--set-up": "clear-film-on-alder", "--stock": "",
    "--customer": "mossgill-drinks", "--around": "98.4 mm", "--across": "60 mm", "--gap-around": "3.2 mm",
    "--gap-across": "3 mm", "--lanes": "5", "--length": "3600 m", "--day": "2026-12-03",
}  # fmt: skip


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    shutil.copytree(EXAMPLES, tmp_path / "plant")
    return tmp_path / "plant" / "jobs" / "qm-5001.yaml"


def words(**other: str) -> list[str]:
    answers = {**ANSWERS, **{f"--{name.replace('_', '-')}": text for name, text in other.items()}}
    return [word for pair in answers.items() for word in pair]


def test_a_sheet_from_options_lints_and_names_tools_that_fit(sheet: Path) -> None:
    """3 × (98.4 + 3.2) mm = 304.8 mm = 96 teeth of 1/8 in."""
    done = CliRunner().invoke(filmcheck, ["new", str(sheet), *words()])
    assert done.exit_code == 0
    text = sheet.read_text()
    assert "tooling: {die: d-0412, magnetic_cylinder: m-96, print_cylinder: p-96}\n" in text
    assert "lanes: 5, labels_around: 3}" in text
    assert len(text.splitlines()) <= 18
    assert [(f.rule, f.says) for f in lint([sheet]).findings if f.counts] == []


def test_what_is_not_given_is_asked_for(sheet: Path) -> None:
    given = [word for name, text in ANSWERS.items() if name not in ("--job", "--stock") for word in (name, text)]
    done = CliRunner().invoke(filmcheck, ["new", str(sheet), *given], input="QM-5001\n\n")
    assert done.exit_code == 0
    assert sheet.read_text().startswith("job: QM-5001\n")


def test_nothing_is_written_where_an_answer_cannot_be_right(sheet: Path) -> None:
    for wrong in ({"length": "3600"}, {"set_up": "clear-film"}, {"lanes": "five"}):
        done = CliRunner().invoke(filmcheck, ["new", str(sheet), *words(**wrong)])
        assert isinstance(done.exception, UseError)
        assert not sheet.exists()


def test_a_sheet_that_is_there_is_not_written_over(sheet: Path) -> None:
    sheet.write_text("job: A\nstage: planned\n")
    assert isinstance(CliRunner().invoke(filmcheck, ["new", str(sheet), *words()]).exception, UseError)
    assert sheet.read_text() == "job: A\nstage: planned\n"
