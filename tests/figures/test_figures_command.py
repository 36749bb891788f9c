"""``filmcheck figures``: what it prints, what it lists apart, and how it fails."""

from __future__ import annotations

import json
import re
import shutil
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

import pytest

from filmcheck.cli.main import main
from filmcheck.figures.catalogue import CATALOGUE
from filmcheck.figures.wording import amount_text
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.figure_line import Amount, FigureLine, FigureSheet
from filmcheck.records.value import Value
from filmcheck.reports.figure_table import figure_table, figures_json


class Done(NamedTuple):
    status: int
    out: str
    err: str


Run = Callable[..., Done]


@pytest.fixture
def run(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    def command(*words: str) -> Done:
        monkeypatch.setattr(sys, "argv", ["filmcheck", "figures", *words])
        capfd.readouterr()
        with pytest.raises(SystemExit) as ended:
            main()
        out, err = capfd.readouterr()
        return Done(int(ended.value.code or 0), out, err)

    return command


@pytest.fixture
def sheet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give the sound job in a plant of its own; the command runs in its folder."""
    shutil.copytree(shipped_folder("rules") / "proving", tmp_path / "plant")
    monkeypatch.chdir(tmp_path / "plant")
    return Path("sheets/film-label.yaml")


def rewrite(sheet: Path, old: str, new: str) -> None:
    text = sheet.read_text(encoding="utf-8")
    assert text.count(old) == 1, old
    sheet.write_text(text.replace(old, new), encoding="utf-8")


def test_a_figure_shows_value_arithmetic_places_formula_and_source(run: Run, sheet: Path) -> None:
    rewrite(sheet, "tension: 46 N\n      control", "tension: 76 N\n      control")
    done = run(str(sheet), "--only", "unwind.line_tension")
    assert (done.status, done.err) == (0, "")
    assert done.out == (
        "Job PG-1001: figures\n"
        "sheets/film-label.yaml\n"
        "\n"
        "unwind.line_tension                         230 N/m = 1.32 lbf/in\n"
        "    Line tension at the unwind, as set: force per width.\n"
        "    T′ = F / w (definition)\n"
        "    76 N / 330 mm = 230 N/m = 1.32 lbf/in\n"
        "    sheets/film-label.yaml:20:16: unwind: tension: 76 N\n"
        "    sheets/film-label.yaml:10:14: web.width: 330 mm\n"
        "\n"
        "1 figure: 1 known, 0 cannot be told\n"
        "\n"
        "Figures are estimates from what the sheet and the registers say. Lengths,\n"
        "tensions and temperatures that matter are to be measured on the press.\n"
    )


def test_things_of_one_kind_stand_below_their_figure(run: Run, sheet: Path) -> None:
    out = run(str(sheet), "--only", "share_of_maximum").out
    assert "lamp.share_of_maximum\n" in out
    assert "  uv lamp 1                                 58 %\n      58 % / 100 % = 58 %\n" in out
    assert "  uv lamp 2                                 56 %\n      56 % / 100 % = 56 %\n" in out


def test_only_takes_the_name_of_a_thing_too(run: Run, sheet: Path) -> None:
    figures = json.loads(run(str(sheet), "--only", "uv lamp 2", "--format", "json").out)["figures"]
    assert {figure["of"] for figure in figures} == {"uv lamp 2"}
    assert "lamp.temperature_rise" in {figure["name"] for figure in figures}


def test_every_figure_of_the_catalogue_is_shown_or_named_as_absent(run: Run, sheet: Path) -> None:
    told = json.loads(run(str(sheet), "--format", "json").out)
    shown = {figure["name"] for figure in told["figures"]}
    absent = {name for kind in told["absent"] for name in kind["figures"]}
    assert shown | absent == set(CATALOGUE)
    assert not shown & absent
    text = run(str(sheet)).out
    assert [name for name in CATALOGUE if name not in text] == []


def test_what_cannot_be_told_is_listed_apart_with_what_it_lacks(run: Run, sheet: Path) -> None:
    rewrite(sheet, "tension: 46 N\n      control", "control")
    out = run(str(sheet), "--only", "unwind.line_tension").out
    assert "Cannot tell\n-----------\nunwind.line_tension of unwind\n" in out
    assert "    sheets/film-label.yaml:19:5: lacks unwind: tension\n" in out
    assert "1 figure: 0 known, 1 cannot be told" in out


def test_an_assumption_is_named(run: Run, sheet: Path) -> None:
    rewrite(sheet, ", rolls: 2}", "}")
    out = run(str(sheet), "--only", "rewind.roll_length").out
    assert "4200 m / 1 = 4200 m" in out
    assert "assumes: one press roll is counted" in out


def test_a_value_is_shown_in_the_unit_of_the_sheet_and_of_the_plant(run: Run, sheet: Path) -> None:
    out = run(str(sheet), "--only", "snap.needed_sample").out
    assert "snap.needed_sample                          24 in = 609.6 mm\n" in out
    settings = Path("plant.yaml")
    settings.write_text(settings.read_text(encoding="utf-8") + "  length: cm\n", encoding="utf-8")
    assert "24 in = 60.96 cm\n" in run(str(sheet), "--only", "snap.needed_sample").out


def test_the_plants_unit_of_line_tension_comes_first(run: Run, sheet: Path) -> None:
    settings = Path("plant.yaml")
    text = settings.read_text(encoding="utf-8").replace("line tension: N/m", "line tension: lbf/in")
    settings.write_text(text, encoding="utf-8")
    assert "0.796 lbf/in = 139 N/m" in run(str(sheet), "--only", "unwind.line_tension").out


@pytest.mark.parametrize("words", [(), ("--walk",)])
def test_no_line_but_one_with_a_long_place_is_wider_than_80(run: Run, sheet: Path, words: tuple[str, ...]) -> None:
    wide = [line for line in run(str(sheet), *words).out.splitlines() if len(line) > 80]
    assert [line for line in wide if not line.strip().startswith(("sheets/", "registers/"))] == []


def test_the_walk_tells_where_tension_is_set_and_raised(run: Run, sheet: Path) -> None:
    rewrite(sheet, "  - nip: {name: infeed, tension: 46 N}\n", "")
    out = run(str(sheet), "--walk", "--only", "print 1").out
    # Three idlers of 0.2 N each on 330 mm: 46.6 N / 330 mm = 141 N/m.
    assert "  26  print 1                  141 N/m                22 °C\n" in out
    assert "                               0.806 lbf/in           charged, clean\n" in out
    assert "        set at unwind, raised by 3 idlers\n" in out


def test_the_walk_shows_both_ends_of_a_tension_that_climbs(run: Run, sheet: Path) -> None:
    rewrite(sheet, "control: closed loop", "control: brake alone")
    out = run(str(sheet), "--walk", "--only", "unwind").out
    # 46 N / 330 mm = 139 N/m; the job runs the roll down from 900 to √(810 000 − 4 × 0.091 × 4.2e6 / π) = 568.7 mm:
    # × 1.583 = 221 N/m.
    assert "unwind                   139 to 221 N/m         22 °C\n" in out
    assert "0.796 to 1.26 lbf/in   charged, not cleaned\n" in out


def test_the_walk_says_what_it_lacks(run: Run, sheet: Path) -> None:
    rewrite(sheet, "tension: 46 N\n      control", "control")
    out = run(str(sheet), "--walk", "--only", "web cleaner").out
    assert "web cleaner              cannot tell" in out
    assert "lacks unwind: tension" in out


def test_the_walk_of_a_sheet_without_a_path(run: Run, tmp_path: Path) -> None:
    bare = tmp_path / "bare.yaml"
    bare.write_text("job: B-1\nstage: planned\n", encoding="utf-8")
    assert "The sheet has no path, so there is no web to walk." in run(str(bare), "--walk").out


def test_json_gives_si_ends_places_and_the_walk(run: Run, sheet: Path) -> None:
    told = json.loads(run(str(sheet), "--only", "unwind.line_tension", "--format", "json").out)
    (figure,) = told["figures"]
    assert figure["value"]["low"] == figure["value"]["high"] == pytest.approx(46 / 0.330)
    assert figure["value"]["unit"] == "N/m"
    assert figure["inputs"][0] == {"place": "sheets/film-label.yaml:20:16", "text": "unwind: tension: 46 N"}
    walk = json.loads(run(str(sheet), "--walk", "--format", "json").out)["walk"]
    assert walk[-1]["station"] == "rewind"
    assert walk[-1]["highest_line_tension"]["high"] == pytest.approx(0.8 * 4.4482216152605 / 0.0254)
    assert walk[0]["tension_from"] == ["set at unwind"]


def test_the_day_counts_where_the_sheet_gives_none(run: Run, sheet: Path) -> None:
    rewrite(sheet, "date: 2026-11-24\n", "")
    out = run(str(sheet), "--today", "2026-12-20", "--only", "die.inspection_age").out
    assert "1464 h" in out  # 61 days from 2026-10-20
    assert "assumes: the sheet gives no date, so today counts" in out


def test_a_day_that_is_wrong_on_the_sheet_is_not_taken_for_today(run: Run, sheet: Path) -> None:
    rewrite(sheet, "date: 2026-11-24\n", "date: 24.11.2026\n")
    out = run(str(sheet), "--today", "2026-12-20", "--only", "die.inspection_age").out
    assert "1464 h" not in out
    assert "today counts" not in out


def test_the_same_sheet_gives_the_same_bytes(run: Run, sheet: Path) -> None:
    assert run(str(sheet), "--today", "2026-11-25").out == run(str(sheet), "--today", "2026-11-25").out


def test_faults_of_the_sheet_leave_the_rest_to_work_with(run: Run, sheet: Path) -> None:
    rewrite(sheet, "length: 4200 m", "length: 4200")
    done = run(str(sheet), "--only", "die.planned_revolutions")
    assert done.status == 0
    assert "1 fault stands on the sheet or its registers; filmcheck lint tells of them." in done.out
    assert ":10:30:\n        web.length cannot be used: " in done.out


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ("web: {width: 330 mm\n", "1:6: "),
        ("", "1:1: "),
        ("- a\n- b\n", "1:1: "),
        ("job: [\n", "1:6: "),
    ],
)
def test_a_broken_sheet_ends_with_its_place_and_no_traceback(run: Run, tmp_path: Path, content: str, says: str) -> None:
    broken = tmp_path / "broken.yaml"
    broken.write_text(content, encoding="utf-8")
    done = run(str(broken))
    assert (done.status, done.out) == (2, "")
    assert f"broken.yaml:{says}" in done.err
    assert "Traceback" not in done.err


@pytest.mark.parametrize(
    ("path", "says"),
    [
        ("sheets/nowhere.yaml", "sheets/nowhere.yaml is not there"),
        ("sheets", "sheets is a folder"),
        ("plant.yaml", "belongs to the plant's settings, registers or rules"),
        ("registers/presses.yaml", "belongs to the plant's settings, registers or rules"),
    ],
)
def test_what_is_no_job_sheet_is_refused(run: Run, sheet: Path, path: str, says: str) -> None:
    done = run(path)
    assert (done.status, done.out) == (2, "")
    assert says in done.err


def test_a_part_that_no_name_contains_is_refused(run: Run, sheet: Path) -> None:
    done = run(str(sheet), "--only", "unwind.line_tensoin")
    assert done.status == 2
    assert "no figure has unwind.line_tensoin in its name" in done.err
    assert "Nearest: unwind.line_tension." in done.err


def test_words_of_a_sheet_cannot_steer_the_terminal(run: Run, sheet: Path) -> None:
    rewrite(sheet, "job: PG-1001", 'job: "PG\\e[31m-1"')
    done = run(str(sheet), "--only", "laminate.caliper")
    assert "\x1b" not in done.out + done.err


HOUSE = """\
pack: House
figures:
  spare.width: {is: "web.width - [300 mm]", meaning: What is left of the web beside 300 mm.}
  spare.share: {is: web.length / spare.width, meaning: How much longer than this the web is.}
rules:
  - rule: spare-thin
    title: Little is spare
    level: note
    from_stage: planned
    requires: {spare.share: {at_most: '100000000 %'}}
    says: Little is spare.
    because: It tears.
    basis: house
    proof:
      - {case: a millimetre, change: {web.width: 301 mm}, verdict: fail}
      - {case: as it is, verdict: pass}
"""


@pytest.mark.parametrize("width", ["300 mm", "300 to 330 mm", "270 to 300 mm"])
def test_what_divides_by_nothing_cannot_be_told(run: Run, sheet: Path, width: str) -> None:
    """In arithmetic nothing is divided by 0, nor by a range that reaches it."""
    Path("house.yaml").write_text(HOUSE, encoding="utf-8")
    rewrite(Path("plant.yaml"), "jobs: [sheets]", "jobs: [sheets]\nrules: [house.yaml]")
    assert "divides by zero" not in run(str(sheet), "--only", "spare.share").out
    rewrite(sheet, "width: 330 mm", f"width: {width}")
    assert "the arithmetic divides by zero on this job" in run(str(sheet), "--only", "spare.share").out


def test_a_name_never_runs_into_its_value_and_words_stand_as_they_are(run: Run, sheet: Path) -> None:
    known = FigureLine("a.b", "", "length", "mm", "A length.", "", "by hand", Amount(1.0, 1.0, "1 µm", ""))
    for letters in range(38, 60):
        name = f"a.{'b' * (letters - 2)}"
        lines = figure_table(FigureSheet("A-1", "a.yaml", (replace(known, name=name),), ())).splitlines()
        assert re.match(rf"{name} {{2,}}1 µm$", next(line for line in lines if line.startswith(name)))
    assert '"1 µm"' in figures_json(FigureSheet("A-1", "a.yaml", (known,), ()))


@pytest.mark.parametrize(
    ("value", "dimension", "unit", "told"),
    [
        (Value(1.23456e-3, 2.34567e-3), "length", "mm", "1.23 to 2.35 mm"),  # an estimate
        (Value(23.4567e-6, 23.4567e-6), "length", "µm", "23.5 µm"),
        (Value(0.9123456, 0.9123456), "length", "mm", "912.3 mm"),
        (Value(123.456, 234.567), "line tension", "N/m", "123.5 to 234.6 N/m"),
        (Value(True, True), "truth", "", "yes"),
        (Value(False, False), "truth", "", "no"),
    ],
)
def test_amounts_have_the_digits_that_they_deserve(value: Value, dimension: str, unit: str, told: str) -> None:
    """Rounded by hand."""
    assert amount_text(value, dimension, {}, unit) == told


@pytest.mark.parametrize("least", ["0 %", "0 to 52 %", "-1 to 0 %"])
def test_a_figure_that_a_given_0_divides_names_that_datum_and_no_other(run: Run, sheet: Path, least: str) -> None:
    rewrite(
        sheet,
        "uv lamp: {unit: 1, setting: 58 %, cure_minimum: 52 %",
        f"uv lamp: {{unit: 1, setting: 58 %, cure_minimum: {least}",
    )
    told = " ".join(run(str(sheet), "--only", "lamp.over_need").out.split())
    assert re.search(r"cannot be worked out: its cure minimum is 0(?! and)", told)
