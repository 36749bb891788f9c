"""How long reports are, and that one cause is told once: on the demo plant, on copies, on many made sheets."""

from __future__ import annotations

import re
import shutil
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from filmcheck import Options, lint
from filmcheck.records.finding import Report
from filmcheck.reports.led import told_apart
from filmcheck.reports.text import text_report

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "examples"
DAY = date(2026, 12, 1)
sys.path.insert(0, str(ROOT / "tests/bench"))
from sheets import make_plant  # noqa: E402  found by the line above


def linted(path: Path) -> Report:
    return lint([path], Options(today=DAY))


def length(report: Report) -> int:
    return text_report(report).count("\n")


@pytest.fixture
def plant(tmp_path: Path) -> Path:
    """Give the demo plant, with a folder for more sheets."""
    shutil.copytree(DEMO, tmp_path / "plant")
    (tmp_path / "plant/jobs/more").mkdir()
    return tmp_path / "plant"


@pytest.fixture
def edited(plant: Path) -> Callable[..., Report]:
    """Give a function that changes a sound sheet and lints it."""

    def change(*changes: tuple[str, str], name: str = "qm-3107-released-lime-cordial.yaml") -> Report:
        text = (DEMO / "jobs/sound" / name).read_text(encoding="utf-8")
        for old, new in changes:
            assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
            text = text.replace(old, new)
        (plant / "jobs/more/changed.yaml").write_text(text, encoding="utf-8")
        return linted(plant / "jobs/more/changed.yaml")

    return change


def heads(report: Report) -> list[tuple[int, str]]:
    """Give line and rule of each fault that tells its own cause."""
    return [
        (each.head.place.span.line, each.head.rule) for each in told_apart(report.findings) if each.head.kind == "fail"
    ]


@pytest.mark.slow
def test_the_demo_plant_is_told_in_three_hundred_lines() -> None:
    report = linted(DEMO / "jobs")
    assert length(report) <= 300
    every = {(one.job, one.rule) for one in report.findings if one.counts}
    text = text_report(report, depth="full")
    assert {rule for _, rule in every} == set(re.findall(r"\[([a-z-]+)\]", text)) & {rule for _, rule in every}


@pytest.mark.slow
def test_forty_copies_without_press_times_are_told_in_sixty_lines(plant: Path) -> None:
    text = (DEMO / "jobs/sound/qm-3101-planned-ginger-cordial.yaml").read_text(encoding="utf-8")
    text = re.sub(r"^press_time:.*\n(  .*\n)*", "", text, flags=re.MULTILINE)
    for number in range(40):
        copy = re.sub(r"^job: .*$", f"job: QM-{7000 + number}", text, flags=re.MULTILINE)
        (plant / f"jobs/more/{number:02}.yaml").write_text(copy, encoding="utf-8")
    report = linted(plant / "jobs/more")
    assert length(report) <= 60
    assert "40 jobs lack press_time" in text_report(report)


@pytest.mark.slow
def test_three_hundred_jobs_are_told_in_two_hundred_and_fifty_lines(tmp_path: Path) -> None:
    make_plant(tmp_path / "plant", 300)
    assert length(linted(tmp_path / "plant")) <= 250


def test_a_sound_sheet_is_told_in_one_line() -> None:
    report = linted(DEMO / "jobs/sound/qm-3107-released-lime-cordial.yaml")
    assert text_report(report).count("\n") == 1


def test_a_misspelt_stage_comes_first_and_alone(edited: Callable[..., Report]) -> None:
    report = edited(("stage: released", "stage: relaesed"))
    ((line, rule),) = heads(report)
    assert (line, rule) == (4, "value-wrong")
    assert "released" in text_report(report)


def test_two_slips_of_the_pen_are_two_faults(edited: Callable[..., Report]) -> None:
    """What waits for both makes no one fault of the two."""
    report = edited(("stock: pp50-clear-film23", "stock: pp50-claer-film23"), ("press: alder", "press: adler"))
    assert [rule for _, rule in heads(report)] == ["name-unknown", "name-unknown"]


def test_a_set_up_that_is_not_known_is_one_fault_and_all_else_waits_for_it(edited: Callable[..., Report]) -> None:
    name = "qm-3101-planned-ginger-cordial.yaml"
    report = edited(("set_up: clear-film-on-alder", "set_up: clear film"), name=name)
    assert [rule for _, rule in heads(report)] == ["name-unknown"]
    assert "Could not be judged" not in text_report(report)


def test_what_is_written_wrongly_is_what_is_lacking(edited: Callable[..., Report]) -> None:
    """Without the label's length the count tells nothing; nobody is asked for the length of a roll in its place."""
    name = "qm-3101-planned-ginger-cordial.yaml"
    report = edited(("around: 98.4 mm", "around: 98,4 mm"), name=name)
    assert [rule for _, rule in heads(report)] == ["value-wrong"]
    assert "Could not be judged" not in text_report(report)


def test_what_is_missing_is_told_once_wherever_its_checks_point(plant: Path) -> None:
    customers = plant / "registers/customers.yaml"
    text = customers.read_text(encoding="utf-8")
    customers.write_text(re.sub("  labels_per_roll: .*\n", "", text), encoding="utf-8")
    told = text_report(linted(plant / "jobs/sound/qm-3101-planned-ginger-cordial.yaml"))
    assert told.count("lacks finishing.length_per_roll") == 1


def test_what_a_set_up_does_to_several_jobs_is_told_once_with_their_numbers(plant: Path) -> None:
    set_ups = plant / "registers/set-ups.yaml"
    text = set_ups.read_text(encoding="utf-8")
    lamps = "uv lamp: {setting: 58 %, cure_minimum: 52 %"
    assert text.count(lamps) == 1
    set_ups.write_text(text.replace(lamps, "uv lamp: {setting: 58 %, cure_minimum: 120 %"), encoding="utf-8")
    report = linted(plant / "jobs/sound")
    told = text_report(report).split("Borderline")[0].split("\n\n")
    (fault,) = [part for part in told if "registers/set-ups.yaml" in part and "cure-minimum-out-of-range" in part]
    assert re.search(r"^    jobs +QM-3101, QM-3110$", fault, flags=re.MULTILINE)
    brief = text_report(report, depth="short")
    of_each = re.findall(r"set-ups\.yaml.*\((QM-\d+)\)  \[cure-minimum-out-of-range\]", brief)
    assert of_each == ["QM-3101", "QM-3110"]


def test_what_follows_on_a_job_is_told_with_the_fault_of_that_job(plant: Path) -> None:
    """Both jobs have a finding of one rule at one line of the set-up; each has its own below it."""
    set_ups = plant / "registers/set-ups.yaml"
    text = set_ups.read_text(encoding="utf-8")
    set_ups.write_text(text.replace("uv lamp: {setting: 58 %,", "uv lamp: {setting: 140 %,"), encoding="utf-8")
    together = told_apart(linted(plant / "jobs/sound").findings)
    heads = [each for each in together if each.head.rule == "lamp-at-maximum"]
    assert [each.head.job for each in heads] == ["QM-3101", "QM-3110"]
    assert all({one.job for one in each.all} == {each.head.job} and each.follows for each in heads)


def test_a_print_cylinder_that_nobody_names_is_missed_once_and_by_its_own_name(edited: Callable[..., Report]) -> None:
    report = edited((", print_cylinder: p-96", ""))
    waits = {one.waits_for for one in report.findings if one.rule == "print-die-repeat" and one.kind == "open"}
    assert waits == {("the sheet names no print cylinder",)}


def test_a_job_without_finishing_lacks_it_in_one_line(edited: Callable[..., Report]) -> None:
    text = (DEMO / "jobs/sound/qm-3107-released-lime-cordial.yaml").read_text(encoding="utf-8")
    finishing = text[text.index("finishing:\n") : text.index("checks:\n")]
    report = edited((finishing, ""), ("stage: released", "stage: planned"))
    told = [line for line in text_report(report).split("\n") if "lacks finishing" in line]
    assert len(told) == 1
    assert re.search(r"lacks finishing \((\w+, ){5}\d+ more\)  \[", told[0])
    assert "lacks finishing.after" in text_report(report, depth="full")
