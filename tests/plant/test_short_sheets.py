"""Short sheets: the path from the press, standard set-ups, what the customer's entry fixes; and their faults."""

from __future__ import annotations

import re
import shutil
from datetime import date
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from filmcheck.plant.plant import load_plant, read_sheet
from filmcheck.plant.record import Datum, Field, Listing, Record
from filmcheck.plant.short_sheet import made_whole
from filmcheck.records.finding import Finding
from filmcheck.run import Options, lint

EXAMPLES = Path(__file__).parents[2] / "examples"
SHEETS = sorted(EXAMPLES.glob("jobs/*/*.yaml"))
SHORT = [path for path in SHEETS if "\nset_up:" in path.read_text() or "\npath: as press" in path.read_text()]
TODAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def same_plant(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give one folder for all tests: its packs are known by their path, and so are loaded once."""
    return tmp_path_factory.mktemp("short") / "plant"


@pytest.fixture
def plant(same_plant: Path) -> Path:
    shutil.rmtree(same_plant, ignore_errors=True)
    shutil.copytree(EXAMPLES, same_plant)
    (same_plant / "jobs" / "tried").mkdir()
    return same_plant


def plain(field: Field) -> object:
    if isinstance(field, Record):
        return {name: plain(inner) for name, inner in field.fields.items()}
    if isinstance(field, Listing):
        return [plain(item) for item in field.items]
    assert isinstance(field, Datum)
    return field.content if isinstance(field.content, bool | int) else field.text


def told(path: Path) -> list[tuple[str, str, str]]:
    report = lint([path], Options(today=TODAY))
    return sorted({(f.rule, f.kind, f.says) for f in report.findings if not f.rule.startswith("entry-unused")})


def findings(plant: Path, text: str) -> list[Finding]:
    sheet = plant / "jobs" / "tried" / "job.yaml"
    sheet.write_text(text)
    return list(lint([sheet], Options(today=TODAY)).findings)


@pytest.mark.sample(6)
@pytest.mark.parametrize("path", SHORT, ids=lambda path: path.stem)
def test_a_short_sheet_written_out_has_the_same_findings(path: Path, plant: Path) -> None:
    whole = made_whole(read_sheet(path, "job-sheet").record, load_plant(EXAMPLES / "plant.yaml")).record
    fields = {name: field for name, field in whole.fields.items() if name != "set_up"}
    long = plant / "jobs" / "tried" / path.name
    with long.open("w") as stream:
        YAML().dump(plain(whole.with_fields(fields)), stream)
    assert len(long.read_text().splitlines()) > 2 * len(path.read_text().splitlines())
    assert told(long) == told(path)


def test_the_demo_plant_has_short_sheets_and_long_ones() -> None:
    assert len(SOUND_SHORT) >= 8
    assert len([path for path in SHEETS if path.parent.name == "sound"]) - len(SOUND_SHORT) >= 3


BY_OTHERS = ("preparation", "results", "knives", "in_stock", "signed")
"""What the crew and the finishing add while the job goes on."""


def as_planned(text: str) -> str:
    """Give a sheet as its planner handed it over, remarks and all: what others added since is taken off."""
    text = re.sub(rf"^(?:{'|'.join(BY_OTHERS)}):.*\n(?:[ -].*\n)*", "", text, flags=re.MULTILINE)
    text = re.sub(r",? ?(?:knives: \{[^}]*\}|in_stock: [^,}]*)", "", text).replace("finishing: {}\n", "")
    return re.sub(r"^stage: .*", "stage: planned", text, flags=re.MULTILINE)


SOUND_SHORT = [path for path in SHORT if path.parent.name == "sound"]


def test_an_ordinary_job_takes_eighteen_lines_and_is_sound(plant: Path) -> None:
    """An ordinary job is what a planner writes: the whole sheet of a planned job, each line of it counted."""
    planned = [path for path in SOUND_SHORT if "\nstage: planned\n" in path.read_text()]
    assert [as_planned(path.read_text()) for path in planned] == [path.read_text() for path in planned]
    for path in SOUND_SHORT:
        text = as_planned(path.read_text())
        assert len(text.splitlines()) <= 18, path.stem
        (plant / "jobs" / "tried" / path.name).write_text(text)
    told = lint([plant / "jobs" / "tried"], Options(today=TODAY)).findings
    assert [(f.job, f.rule, f.says) for f in told if f.counts] == []


def test_every_set_up_has_an_ordinary_job() -> None:
    named = {set_up for path in SOUND_SHORT for set_up in re.findall(r"^set_up: (.*)", path.read_text(), re.MULTILINE)}
    assert named == set(load_plant(EXAMPLES / "plant.yaml").entries("set_ups"))


BASE = """\
job: QM-4001
title: A job
stage: planned
date: 2026-12-03
first_film_job: false
{}
customer: mossgill-drinks
web: {{length: 3600 m}}
layout: {{label: {{around: 98.4 mm, across: 60 mm}}, gap: {{around: 3.2 mm, across: 3 mm}}, lanes: 5, labels_around: 3}}
tooling: {{die: d-0412, magnetic_cylinder: m-96, print_cylinder: p-96}}
{}
"""


def test_a_finding_on_what_the_set_up_says_points_at_both(plant: Path) -> None:
    register = plant / "registers" / "set-ups.yaml"
    lines = register.read_text().splitlines()
    number = next(n for n, line in enumerate(lines) if "uv lamp: {setting: 58 %" in line)
    lines[number] = lines[number].replace("58 %", "100 %")
    register.write_text("\n".join(lines) + "\n")
    found = findings(plant, BASE.format("set_up: clear-film-on-alder", ""))
    at_maximum = [finding for finding in found if finding.rule == "lamp-at-maximum"]
    assert [(f.place.file.split("/")[-1], f.place.span.line) for f in at_maximum] == [("set-ups.yaml", number + 1)] * 2
    (way,) = [related for related in at_maximum[0].related if related.place.file.endswith("job.yaml")]
    assert way.place.span[:2] == (6, 9)


def test_a_finding_on_a_station_of_the_press_points_at_the_press_and_at_the_path(plant: Path) -> None:
    path = """path: as press
press: birch
stock: pp60-white-film30
leave_out: [print 3, dryer 3]"""
    text = BASE.format(path, "settings: {unwind: {tension: 22 N}, print: {ink: water flexo}}")
    found = findings(plant, text.replace("first_film_job: false", "first_film_job: true"))
    (finding,) = [f for f in found if f.rule == "turn-bar-on-first-film-job"]
    assert finding.place.file.endswith("presses.yaml")
    line = (plant / "registers" / "presses.yaml").read_text().splitlines()[finding.place.span.line - 1]
    assert line.strip().startswith("- turn bar:")
    assert (6, 7) in [r.place.span[:2] for r in finding.related if r.place.file.endswith("job.yaml")]


# What is written in the sheet, and what is told of it.
FAULTS = {
    "a set-up that is not there": (
        "set_up: clear-film-on-aldr",
        "",
        "set-up clear-film-on-aldr is not in the register of set-ups",
        "Nearest set-up: clear-film-on-alder.",
    ),
    "a station that is not there": (
        "set_up: clear-film-on-alder",
        "settings: {uv lamp 7: {setting: 50 %}}",
        "settings name the station uv lamp 7, which is not on the path",
        "There are: uv lamp 1, uv lamp 2, uv lamp 3.",
    ),
    "a station left out": (
        "set_up: clear-film-on-alder",
        "settings: {print 3: {ink: uv flexo}}",
        "settings name the station print 3, which leave_out takes off the path",
        "Delete one of the two: what is not webbed has nothing to set.",
    ),
    "a station given another unit": (
        "set_up: clear-film-on-alder",
        "settings: {uv lamp 2: {setting: 57 %, unit: 3}}",
        "settings give uv lamp 2 the unit 3",
        "Take `unit` out, or set it at the station that was meant: settings change no unit.",
    ),
    "a station left out twice": (
        "set_up: clear-film-on-alder",
        "leave_out: [edge guide, edge_guide]",
        "leave_out names the station edge guide twice",
        "Take one out, or write the station that was meant.",
    ),
    "leaving out what is not there": (
        "set_up: clear-film-on-alder",
        "leave_out: [turn bar]",
        "leave_out names the station turn bar, which is not on the path",
        "",
    ),
    "as press without a press": (
        "path: as press",
        "",
        "the path is as press, but the sheet names no press",
        "Add the press, for example `press: alder`.",
    ),
    "settings without a path": (
        "press: alder",
        "settings: {print: {ink: uv flexo}}",
        "`settings` needs a path, and the sheet has none",
        "Add `path: as press`, or name a set-up under `set_up`.",
    ),
    "a path that is another word": (
        "press: alder\npath: like the press",
        "",
        "`path` is not written as it must be: the text `like the press`.",
        "",
    ),
}


@pytest.mark.parametrize("case", FAULTS)
def test_bad_names_are_told_with_the_way_out(case: str, plant: Path) -> None:
    head, tail, says, hint = FAULTS[case]
    found = {finding.says: finding.instead for finding in findings(plant, BASE.format(head, tail))}
    assert says in found
    assert found[says] == hint or not hint


def test_a_set_up_cannot_name_another(plant: Path) -> None:
    register = plant / "registers" / "set-ups.yaml"
    register.write_text("one: {set_up: two, press: alder}\ntwo: {set_up: one, press: alder}\n")
    found = findings(plant, BASE.format("set_up: one", ""))
    (fault,) = [f for f in found if f.says == "The key `set_up` is not known in `one`."]
    assert (fault.place.span.line, fault.instead) == (
        1,
        "A set-up names no other set-up: write here what that one says.",
    )


def test_the_customers_core_and_count_need_not_be_repeated(plant: Path) -> None:
    sheet = plant / "jobs" / "tried" / "job.yaml"
    sheet.write_text(BASE.format("set_up: clear-film-on-alder", ""))
    whole = made_whole(read_sheet(sheet, "job-sheet").record, load_plant(plant / "plant.yaml")).record
    finishing = whole.fields["finishing"]
    assert isinstance(finishing, Record)
    core = finishing.fields["core"]
    assert isinstance(core, Datum)
    assert (core.text, core.file.split("/")[-1], core.place.span.line) == ("6 in", "customers.yaml", 4)


def test_a_set_up_that_changes_is_judged_anew_and_changes_the_mark_of_a_signed_sheet(plant: Path) -> None:
    from filmcheck.plant.entries import kind_marks

    sheet = plant / "jobs" / "tried" / "job.yaml"
    sheet.write_text(BASE.format("set_up: clear-film-on-alder", ""))

    def mark() -> str:
        known = load_plant(plant / "plant.yaml")
        return kind_marks(made_whole(read_sheet(sheet, "job-sheet").record, known).record, known)["set-up"][0]

    before = mark()
    register = plant / "registers" / "set-ups.yaml"
    register.write_text(register.read_text().replace("setting: 58 %", "setting: 57 %"))
    assert mark() != before
