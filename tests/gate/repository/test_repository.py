"""What is found over all jobs of a plant: each rule of ``rules/repository.yaml`` once spoken and once silent."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import ruamel.yaml

from filmcheck.reading.shipped import shipped_folder

SHEET = "sheets/film-label.yaml"
OTHER = "sheets/other.yaml"
RULES = [
    rule["rule"]
    for rule in ruamel.yaml.YAML(typ="safe").load((shipped_folder("rules") / "repository.yaml").read_text())["rules"]
]

Results = list[dict[str, Any]]


def of_rule(results: Results, rule: str, kind: str = "fail") -> Results:
    return [one for one in results if one["ruleId"] == rule and one["kind"] == kind]


def place(result: dict[str, Any]) -> tuple[str, int, int]:
    physical = result["locations"][0]["physicalLocation"]
    region = physical["region"]
    return physical["artifactLocation"]["uri"], region["startLine"], region["startColumn"]


def text(result: dict[str, Any]) -> str:
    return str(result["message"]["text"]).split("\n")[0]


def related(result: dict[str, Any]) -> list[str]:
    """Give the files of the places that it rests on; the place of its cause is no such one."""
    rests_on = (one for one in result["relatedLocations"] if not one["message"]["text"].startswith("The cause: "))
    return [one["physicalLocation"]["artifactLocation"]["uri"] for one in rests_on]


def planned(ground, number: str, day: str, hours: str = "", *changes: tuple[str, str], name: str = "") -> str:
    """Write a planned job of a day, with hours where they are given as ``06:00 10:00``."""
    start, _, end = hours.partition(" ")
    times = f"press_time: {{from: {day} {start}, to: {day} {end}}}\n" if hours else ""
    stage = ("stage: released", "stage: planned")
    return ground.job(number, stage, ("date: 2026-11-24\n", f"date: {day}\n{times}"), *changes, name=name)


# --- one case each way for every rule of the pack

FIRES = {
    "job-number-twice": lambda ground: ground.job("PG-1001", name=OTHER),
    "number-not-of-file": lambda ground: ground.job("PG-1070", name="sheets/pg-1007-repeat.yaml"),
    "tool-booked-twice": lambda ground: [
        planned(ground, number, "2026-12-01", "06:00 10:00") for number in ("PG-2", "PG-3")
    ],
    "press-booked-twice": lambda ground: [
        planned(ground, number, "2026-12-01", "06:00 10:00") for number in ("PG-2", "PG-3")
    ],
    "die-life-summed": lambda ground: [
        ground.change("registers/tooling.yaml", ("life: 1000000", "life: 140000")),
        *(planned(ground, f"PG-{n}", f"2026-12-0{n}") for n in (2, 3)),
    ],
    "entry-unused": lambda ground: None,  # the paper stock, the table and the set-up
    "entry-changed": lambda ground: ground.write(
        SHEET, ground.read(SHEET) + "signed: {entries: {press: '0123456789abcdef'}}\n"
    ),
    "ground-readings-differ": lambda ground: ground.job("PG-2", ("unwind: 0.4 ohm", "unwind: 1.2 ohm")),
}
SILENT = {
    "job-number-twice": lambda ground: ground.job("PG-1002", name=OTHER),
    "number-not-of-file": lambda ground: [
        ground.job("PG-1007", name="sheets/pg-1007-repeat-of-pg-950.yaml"),
        ground.job("PG-1008", name="sheets/order-4711.yaml"),
        ground.job("PG-1009", name="sheets/pg.yaml"),
        ground.job("4712", name="sheets/pg-1010.yaml"),
    ],
    "tool-booked-twice": lambda ground: [
        planned(ground, f"PG-{n}", "2026-12-01", hours) for n, hours in ((2, "06:00 10:00"), (3, "10:00 14:00"))
    ],
    "press-booked-twice": lambda ground: [
        planned(ground, f"PG-{n}", "2026-12-01", hours) for n, hours in ((2, "06:00 10:00"), (3, ""))
    ],
    "die-life-summed": lambda ground: [
        ground.change("registers/tooling.yaml", ("life: 1000000", "life: 160000")),
        *(planned(ground, f"PG-{n}", f"2026-12-0{n}") for n in (2, 3)),
    ],
    "entry-unused": lambda ground: ground.job(
        "PG-2",
        ("stock: clear-pp50-film23", "stock: paper-face-glassine60"),
        ("machine: slit-2", "machine: table-1"),
        end="set_up: straight-two-colours\n",
    ),
    "entry-changed": lambda ground: ground.write(SHEET, ground.read(SHEET) + "signed: {by: me}\n"),
    "ground-readings-differ": lambda ground: [
        ground.job("PG-2", ("unwind: 0.4 ohm", "unwind: 400 mohm")),
        ground.job(
            "PG-3", ("ground: {checked: 2026-11-20, unwind: 0.4 ohm", "ground: {checked: 2026-11-21, unwind: 1.2 ohm")
        ),
    ],
}


@pytest.mark.parametrize("rule", RULES)
def test_every_rule_speaks_and_is_silent(ground, log: Callable, rule: str) -> None:
    FIRES[rule](ground)
    assert of_rule(log("sheets"), rule)


@pytest.mark.parametrize("rule", RULES)
def test_every_rule_is_silent_where_nothing_is_wrong(ground, log: Callable, rule: str) -> None:
    SILENT[rule](ground)
    assert not of_rule(log("sheets"), rule)


# --- job numbers


def test_doubled_number_points_at_both(ground, log: Callable) -> None:
    ground.job("PG-1001", name=OTHER)
    (result,) = of_rule(log("sheets"), "job-number-twice")
    assert place(result) == (OTHER, 2, 6)
    assert related(result) == [SHEET]


def test_doubled_number_may_be_written_otherwise(ground, log: Callable) -> None:
    ground.job("1002", name="sheets/a.yaml")
    ground.job("'1002'", name="sheets/b.yaml")
    (result,) = of_rule(log("sheets"), "job-number-twice")
    assert place(result)[0] == "sheets/b.yaml"


def test_a_sheet_without_number_doubles_none(ground, log: Callable) -> None:
    for name in ("sheets/a.yaml", "sheets/b.yaml"):
        ground.write(name, ground.sound.replace("job: PG-1001\n", ""))
    assert not of_rule(log("sheets"), "job-number-twice")


# --- ground


def test_the_sheet_that_stands_alone_is_told_with_all_its_readings(ground, log: Callable) -> None:
    ground.job("PG-0", ("unwind: 0.4 ohm, press: 0.3 ohm", "unwind: 1.2 ohm, press: 0.9 ohm"), name="sheets/a.yaml")
    ground.job("PG-2", name=OTHER)
    told = of_rule(log("sheets"), "ground-readings-differ")
    assert [place(one)[0] for one in told] == ["sheets/a.yaml"] * 2
    assert [related(one) for one in told] == [[SHEET]] * 2
    assert "reads 1.2 ohm at the unwind here, and 0.4 ohm on the sheet of job PG-1001" in text(told[0])


# --- tools

BOOKED = [
    ("06:00 10:00", "08:00 12:00", "fail"),
    ("06:00 10:00", "06:00 10:00", "fail"),
    ("06:00 14:00", "08:00 09:00", "fail"),
    ("06:00 10:00", "10:00 12:00", None),
    ("06:00 10:00", "", "open"),
    ("", "", "open"),
    ("06:00 10:00", "12:00 11:00", "open"),  # ends before it begins: the hours are not known
    ("06:00 10:00", "25:00 26:00", "open"),
]
HOURS = ("06:00 10:00", "08:00 12:00", "06:00 14:00", "08:00 09:00", "10:00 12:00")
"""Those that are hours of a day."""


TOOLS = {"die d-96-film23", "magnetic cylinder m-96", "anvil a-1", "print cylinder p-96"}


@pytest.mark.sample(4)
@pytest.mark.parametrize(("first", "second", "kind"), BOOKED)
def test_bookings_of_one_day(ground, log: Callable, first: str, second: str, kind: str | None) -> None:
    a = planned(ground, "PG-2", "2026-12-01", first)
    b = planned(ground, "PG-3", "2026-12-01", second)
    results = log("sheets")
    sure, perhaps = of_rule(results, "tool-booked-twice"), of_rule(results, "tool-booked-twice", "open")
    assert {text(one).split(" is booked")[0] for one in sure} == (TOOLS if kind == "fail" else set())
    assert {(place(one)[0], *related(one)) for one in sure} == ({(b, a)} if kind == "fail" else set())
    # One for each job that lacks its hours, whatever the tools.
    lacking = [name for name, hours in ((a, first), (b, second)) if hours not in HOURS] if kind == "open" else []
    assert [place(one)[0] for one in perhaps] == lacking


def test_the_booking_names_hours_job_and_what_is_missing(ground, log: Callable) -> None:
    planned(ground, "PG-2", "2026-12-01", "06:00 10:00")
    planned(ground, "PG-3", "2026-12-01", "08:00 12:00")
    planned(ground, "PG-4", "2026-12-01")
    results = log("sheets")
    sure = [one for one in of_rule(results, "tool-booked-twice") if text(one).startswith("die")]
    assert [text(one) for one in sure] == [
        "die d-96-film23 is booked from 2026-12-01 08:00 to 2026-12-01 12:00 here"
        " and from 2026-12-01 06:00 to 2026-12-01 10:00 by job PG-2"
    ]
    (perhaps,) = of_rule(results, "tool-booked-twice", "open")
    assert text(perhaps) == (
        "cannot tell: die d-96-film23 may be promised twice on 2026-12-01, to job PG-2 too, and something to 1 more"
    )
    assert perhaps["properties"]["missing"] == ["press_time (belongs at sheets/pg-4.yaml:2:6)"]
    assert perhaps["level"] == "none"


NO_CLASH = [
    ("another day", "2026-12-02", "06:00 10:00", []),
    ("no day", "", "", []),
    ("done", "2026-12-01", "06:00 10:00", [("stage: planned", "stage: released")]),
    ("finishing", "2026-12-01", "06:00 10:00", [("stage: planned", "stage: finishing")]),
]


@pytest.mark.parametrize(("why", "day", "hours", "changes"), NO_CLASH)
def test_no_clash(ground, log: Callable, why: str, day: str, hours: str, changes: list) -> None:
    planned(ground, "PG-2", "2026-12-01", "06:00 10:00")
    other = planned(ground, "PG-3", day or "2026-12-01", hours)
    ground.change(other, *changes, *([] if day else [("date: 2026-12-01\n", "")]))
    results = log("sheets")
    assert not of_rule(results, "tool-booked-twice") + of_rule(results, "tool-booked-twice", "open")


def test_over_midnight(ground, log: Callable) -> None:
    planned(ground, "PG-2", "2026-12-01", "22:00 23:00")
    ground.change("sheets/pg-2.yaml", ("to: 2026-12-01 23:00", "to: 2026-12-02 06:00"))
    planned(ground, "PG-3", "2026-12-02", "05:00 09:00")
    assert len(of_rule(log("sheets"), "tool-booked-twice")) == 4


def test_a_booking_far_off_or_in_another_zone_ends_no_run(ground, log: Callable) -> None:
    """The last day there is has no day after it, and hours with a zone cannot be held against hours without."""
    planned(ground, "PG-2", "9999-12-31")
    planned(ground, "PG-3", "9999-12-31")
    planned(ground, "PG-4", "9999-12-31", "06:00 07:00")
    ground.change("sheets/pg-4.yaml", ("from: 9999-12-31 06:00", "from: 9999-12-31T06:00+01:00"))
    results = log("sheets")
    assert len(of_rule(results, "tool-booked-twice", "open")) == 3


def test_many_bookings_of_one_tool_are_all_found(ground, log: Callable) -> None:
    """Against a plain count of overlapping pairs."""
    spans = [(6 + n % 5, 7 + n % 5 + n % 3) for n in range(12)]
    for number, (start, end) in enumerate(spans):
        planned(ground, f"PG-{number + 10}", "2026-12-01", f"{start:02}:00 {end:02}:00")
    pairs = sum(a[0] < b[1] and b[0] < a[1] for n, a in enumerate(spans) for b in spans[:n])
    told = [one for one in of_rule(log("sheets"), "tool-booked-twice") if text(one).startswith("anvil")]
    more = [re.search(r", and by (\d+) more$", text(one)) for one in told]
    assert len(told) + sum(int(found[1]) for found in more if found) == pairs > 12


# --- the life of a die

TURNS = 4200 / 0.3048
"""Turns that 4200 m take on a repeat of 96 teeth of 1/8 in, that is 304.8 mm."""


@pytest.mark.parametrize(("jobs", "life", "at"), [(3, 120_000 + 2.5 * TURNS, 3), (3, 120_000 + 1.5 * TURNS, 2)])
def test_life_is_summed_in_the_order_of_the_days(ground, log: Callable, jobs: int, life: float, at: int) -> None:
    """The files are named against the order of the days: the order of the days counts."""
    ground.change("registers/tooling.yaml", ("life: 1000000", f"life: {life:.0f}"))
    for number in range(1, jobs + 1):
        planned(ground, f"PG-{number}", f"2026-12-0{number}", name=f"sheets/{9 - number}.yaml")
    (result,) = of_rule(log("sheets"), "die-life-summed")
    assert place(result)[0] == f"sheets/{9 - at}.yaml"
    total = f"{120_000 + at * TURNS:,.0f}".replace(",", " ")
    assert f"with the {at} jobs planned up to this one" in text(result)
    assert f"{total} turns of its life of {life:,.0f}".replace(",", " ") in text(result)
    assert related(result) == [f"sheets/{9 - number}.yaml" for number in range(1, at)]


def test_a_job_without_a_day_comes_last(ground, log: Callable) -> None:
    ground.change("registers/tooling.yaml", ("life: 1000000", f"life: {120_000 + 1.5 * TURNS:.0f}"))
    ground.change(planned(ground, "PG-2", "2026-12-01"), ("date: 2026-12-01\n", ""))
    planned(ground, "PG-3", "2026-12-05")
    (result,) = of_rule(log("sheets"), "die-life-summed")
    assert place(result)[0] == "sheets/pg-2.yaml"


def test_done_jobs_are_in_the_count_of_the_register(ground, log: Callable) -> None:
    ground.change("registers/tooling.yaml", ("life: 1000000", f"life: {120_000 + 1.5 * TURNS:.0f}"))
    planned(ground, "PG-2", "2026-12-01")
    ground.job("PG-3")
    assert not of_rule(log("sheets"), "die-life-summed")


def test_a_job_that_wears_the_die_out_alone_is_not_told_twice(ground, log: Callable) -> None:
    ground.change("registers/tooling.yaml", ("life: 1000000", f"life: {120_000 + 0.5 * TURNS:.0f}"))
    for number in (2, 3):
        planned(ground, f"PG-{number}", f"2026-12-0{number}")
    results = log("sheets")
    assert not of_rule(results, "die-life-summed")
    assert {"sheets/pg-2.yaml", "sheets/pg-3.yaml"} <= {place(one)[0] for one in of_rule(results, "die-life")}


# --- entries

UNUSED = [
    ("registers/finishing.yaml", "table-1"),
    ("registers/set-ups.yaml", "straight-two-colours"),
    ("registers/stocks.yaml", "paper-face-glassine60"),
]


@pytest.mark.parametrize("paths", [["sheets"], ["."], ["../ground/sheets"], ["../ground"], ["sheets", "sheets"]])
def test_unused_entries_of_a_whole_plant(ground, log: Callable, paths: list[str]) -> None:
    told = of_rule(log(*paths), "entry-unused")
    assert [(place(one)[0], text(one).split()[4]) for one in told] == UNUSED


def test_unused_entries_of_a_part_are_not_told(ground, log: Callable) -> None:
    ground.job("PG-2", name="sheets/part/a.yaml")
    for paths in (["sheets/part"], [SHEET], [SHEET, "sheets/part/a.yaml"]):
        assert not of_rule(log(*paths), "entry-unused")


@pytest.mark.parametrize("broken", ["job: [\n", "- a list\n", "", "\x00"])
def test_where_a_sheet_was_not_read_nobody_can_tell_what_is_unused(ground, log: Callable, broken: str) -> None:
    ground.write(OTHER, broken)
    assert not of_rule(log("sheets"), "entry-unused")


def test_entries_named_by_a_sheet_with_faults_are_used(ground, log: Callable) -> None:
    ground.job("PG-2", ("machine: slit-2", "machine: table-1\n  nonsense: 3"), name=OTHER)
    unused = [text(one).split()[4] for one in of_rule(log("sheets"), "entry-unused")]
    assert unused == [name for _, name in UNUSED if name != "table-1"]


@pytest.mark.parametrize("what", ["press", "stock", "customer", "die", "magnetic_cylinder", "anvil", "finisher"])
def test_changed_since_signed_points_at_the_mark(ground, log: Callable, what: str) -> None:
    text_before = ground.read(SHEET)
    ground.write(SHEET, text_before + f"signed:\n  entries:\n    {what}: '0123456789abcdef'\n")
    (result,) = of_rule(log(SHEET), "entry-changed")
    assert place(result) == (SHEET, text_before.count("\n") + 3, len(f"    {what}: ") + 1)
    assert f"the {what.replace('_', ' ')} " in text(result)


# --- the house has a say


def test_the_level_is_the_houses(ground, log: Callable) -> None:
    ground.job("PG-1001", name=OTHER)
    ground.write("plant.yaml", ground.read("plant.yaml") + "levels: {job-number-twice: {level: note, reason: so}}\n")
    assert [one["level"] for one in of_rule(log("sheets"), "job-number-twice")] == ["note"]


@pytest.mark.parametrize("rule", RULES)
def test_switched_off(ground, log: Callable, rule: str) -> None:
    FIRES[rule](ground)
    off = f"switched_off: {{{rule}: the registers are shared with the works next door}}\n"
    ground.write("plant.yaml", ground.read("plant.yaml") + off)
    assert not of_rule(log("sheets"), rule)


def test_two_plants_are_held_apart(ground, log: Callable, tmp_path: Path) -> None:
    """The same number in another plant is another job."""
    import shutil

    shutil.copytree(ground.folder, tmp_path / "second")
    results = log("..")
    assert not of_rule(results, "job-number-twice")
    assert len(of_rule(results, "entry-unused")) == 2 * len(UNUSED)
