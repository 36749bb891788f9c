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
    "--gap-across": "3 mm", "--lanes": "5", "--edge-trim": "5 mm", "--length": "3600 m", "--day": "2026-12-03",
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
    assert "lanes: 5, edge_trim: 5 mm, labels_around: 3}" in text
    assert len(text.splitlines()) <= 18
    assert [(f.rule, f.says) for f in lint([sheet]).findings if f.counts] == []


def test_what_is_not_given_is_asked_for(sheet: Path) -> None:
    given = [word for name, text in ANSWERS.items() if name not in ("--job", "--stock") for word in (name, text)]
    done = CliRunner().invoke(filmcheck, ["new", str(sheet), *given], input="QM-5001\n\n")
    assert done.exit_code == 0
    assert sheet.read_text().startswith("job: QM-5001\n")


def test_an_answer_that_cannot_be_taken_is_asked_for_again(sheet: Path) -> None:
    """Each slip is told at once, and nothing that was answered before is lost."""
    typed = [
        "QM-5001",
        "Plum: late",
        "alder film",
        "Clear film on Alder",
        "mosgill",
        "MOSSGILL DRINKS",
        "98,4",
        "98.4 mm",
    ]
    typed += ["60", "60 mm", "3.2 mm", "3 mm", "5 up", "5", "", "4.200 m", "4200 m", ""]
    done = CliRunner().invoke(filmcheck, ["new", str(sheet), "--day", "2026-12-03"], input="\n".join(typed))
    assert done.exit_code == 0
    told = (
        "Customer (mossgill-drinks, thornapple-remedies, ",
        "set-up alder film is not in its register. Nearest set-up: clear-film-on-alder.\n",
        "customer mosgill is not in its register. Nearest customer: mossgill-drinks.\n",
        "'98,4' has a decimal comma. Did you mean 98.4, with its unit?\n",
        "60 has no unit; a length needs one. Did you mean 60 mm",
        "the text `5 up` stands here. Write 5.\n",
        "4.200 m can be read as 4.2 m or as 4200 m.",
    )
    assert [text for text in told if text not in done.output] == []
    text = sheet.read_text()
    assert "set_up: clear-film-on-alder\n" in text
    assert "customer: mossgill-drinks\n" in text
    assert "web: {length: 4200 m}\n" in text


def test_nothing_is_written_where_an_answer_cannot_be_right(sheet: Path) -> None:
    for wrong in ({"length": "3600"}, {"set_up": "clear-film"}, {"lanes": "five"}):
        done = CliRunner().invoke(filmcheck, ["new", str(sheet), *words(**wrong)])
        assert isinstance(done.exception, UseError)
        assert not sheet.exists()


def test_a_sheet_that_is_there_is_not_written_over(sheet: Path) -> None:
    sheet.write_text("job: A\nstage: planned\n")
    assert isinstance(CliRunner().invoke(filmcheck, ["new", str(sheet), *words()]).exception, UseError)
    assert sheet.read_text() == "job: A\nstage: planned\n"


def test_by_a_press_alone_it_asks_for_what_the_set_up_would_say(sheet: Path) -> None:
    given = words(set_up="", stock="pp50-clear-film23", press="alder", width="330 mm", speed="45 m/min")
    assert CliRunner().invoke(filmcheck, ["new", str(sheet), *given]).exit_code == 0
    text = sheet.read_text()
    assert "press: alder\n" in text
    assert "path: as press\n" in text
    told = {f.rule for f in lint([sheet]).findings if f.counts}
    assert "no-taper-on-rewind" in told  # what the job does at each station is still to be written
    assert not told & {"name-unknown", "key-unknown", "value-wrong", "unit-missing"}


def test_nothing_is_asked_that_the_set_up_knows(sheet: Path) -> None:
    given = {name: text for name, text in ANSWERS.items() if name not in ("--stock", "--customer")}
    given["--set-up"] = "white-film-on-birch"
    done = CliRunner().invoke(filmcheck, ["new", str(sheet), *(word for pair in given.items() for word in pair)])
    assert done.exit_code == 0
    assert "customer" not in sheet.read_text()


def test_a_repeat_order_takes_over_all_but_what_was_found_and_done(sheet: Path) -> None:
    earlier = sheet.parent / "sound" / "qm-3106-finishing-wood-soap.yaml"
    given = ["--job", "QM-5001", "--length", "2 km", "--day", "2026-12-03"]
    done = CliRunner().invoke(filmcheck, ["new", str(sheet), "--like", str(earlier), *given])
    assert done.exit_code == 0
    text = sheet.read_text()
    assert text.startswith("job: QM-5001\ntitle: 'Wood soap 1 l, squeezable front label'\nstage: planned\n")
    assert "web: {length: 2 km, proved_tension: 120 N/m}\n" in text
    kept = earlier.read_text().split("settings:")[1].split("preparation:")[0]
    assert kept.rstrip() in text
    assert not {"preparation:", "results:"} & set(text.split())
    assert [(f.rule, f.says) for f in lint([sheet]).findings if f.counts] == []


def test_a_sheet_with_faults_is_not_repeated(sheet: Path) -> None:
    earlier = sheet.parent / "spoiled" / "qm-3211-width-without-unit.yaml"
    done = CliRunner().invoke(filmcheck, ["new", str(sheet), "--like", str(earlier), "--job", "QM-5001"])
    assert isinstance(done.exception, UseError)
    assert not sheet.exists()


def test_a_job_number_in_the_stead_of_its_sheet_is_told(sheet: Path) -> None:
    done = CliRunner().invoke(filmcheck, ["new", str(sheet), "--like", "QM-3106", "--job", "QM-5001"])
    assert isinstance(done.exception, UseError)
    assert "QM-3106 is not there" in str(done.exception)
    assert not sheet.exists()
