"""Job tickets as a planner types them, metric and inch, with the slips of the pen that come with it.

Of each slip: what was typed, the message, and the text to write instead, which must stand in the message to be copied.
With the right text put in, the next run has nothing left to say of it.
"""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path
from typing import NamedTuple

import pytest

from filmcheck.records.finding import Report
from filmcheck.reports.text import text_report
from filmcheck.run import Options, lint

EXAMPLES = Path(__file__).parents[2] / "examples"
MOST_LINES = 40
OF_READING = {"value-wrong", "key-unknown", "unit-missing", "unit-unknown", "dimension-wrong", "size-implausible"}
OF_READING |= {"name-unknown", "yaml-broken", "tension-as-pressure", "key-missing", "key-twice"}


class Slip(NamedTuple):
    typed: str
    says: str
    write: str
    wrong: str = ""
    """What is wrong of it; the last value where this is not said."""


CLEAR = """\
job: T-1
title: A ticket
stage: planned
date: 2026-12-03
first_film_job: false
set_up: clear-film-on-alder
customer: mossgill-drinks
web: {length: 3600 m}
layout: {label: {around: 98.4 mm, across: 60 mm}, gap: {around: 3.2 mm, across: 3 mm}, lanes: 5, labels_around: 3}
tooling: {die: d-0412, magnetic_cylinder: m-96, print_cylinder: p-96}
settings: {uv lamp 2: {setting: 57 %}}
finishing: {after: 2 h}
"""
INCH = CLEAR.replace("3600 m", "11800 ft, speed: 165 FPM").replace("across: 60 mm", "across: 2.36 in")
INCH = INCH.replace("setting: 57 %}}", 'setting: 57 %}, rewind: {start_tension: 0.8 PLI, core: 6"}}')

# Ticket: the right sheet, and of each slip the right text in it.
TICKETS: dict[str, tuple[str, dict[str, Slip]]] = {
    "points and commas": (
        CLEAR,
        {
            "3600 m": Slip("3.600 m", "3.600 m can be read as 3.6 m or as 3600 m", "3600 m"),
            "after: 2 h": Slip(
                "after: 2,5 h", "`2,5 h` has a decimal comma; in braces a comma ends the entry.", "2.5 h"
            ),
            "2026-12-03": Slip("3.12.2026", "`date` is not written as it must be: the text `3.12.2026`.", "2026-12-03"),
        },
    ),
    "names": (
        CLEAR,
        {
            "clear-film-on-alder": Slip(
                "clear film on alder", "set-up clear film on alder is not in the register", "clear-film-on-alder"
            ),
            "mossgill-drinks": Slip("mossgil", "customer mossgil is not in the customer register", "mossgill-drinks"),
            "d-0412": Slip("412", "die 412 is not in the tooling register", "d-0412"),
        },
    ),
    "sizes": (
        CLEAR,
        {
            "{around: 98.4 mm, across: 60 mm}": Slip(
                "60 x 98.4 mm", "`label` must be a group of keys", "{across: 60 mm, around: 98.4 mm}"
            ),
            "3600 m": Slip("3600", "3600 has no unit; a length needs one", "3600 m"),
            "57 %": Slip("57", "57 has no unit; a ratio or a power per length needs one", "57 %"),
        },
    ),
    "keys": (
        CLEAR,
        {
            "length": Slip("lenght", "The key `lenght` is not known in `web`.", "length"),
            "uv lamp 2": Slip("UV-lamp 2", "The key `UV-lamp 2` is not known in `settings`.", "uv lamp 2"),
            "after: 2 h": Slip("after: 2", "2 has no unit; a time needs one", "2 h"),
        },
    ),
    "inch": (
        INCH,
        {
            "165 FPM": Slip("165", "165 has no unit; a speed needs one", "165 ft/min"),
            "0.8 PLI": Slip("0.8 psi", "rewind start tension 0.8 psi is a pressure, not a tension", "0.8 lbf/in"),
            "2026-12-03": Slip(
                "12/03/2026", "`date` is not written as it must be: the text `12/03/2026`.", "2026-12-03"
            ),
        },
    ),
}

LONG_HAND = """\
job: T-2
title: Cough drops, back
stage: planned
date: 2026-12-08
press_time: {from: 2026-12-08 06:00, to: 2026-12-08 11:30}
first_film_job: false
set_up: white-film-on-birch
web: {length: 700 m, speed: 40 m/min}
layout: {label: {around: 3 3/8 in, across: 2.8 in}, gap: {around: 1/8 in, across: 1/8 in}, lanes: 4, labels_around: 4}
tooling: {die: d-0415, magnetic_cylinder: m-112, print_cylinder: p-112}
settings:
  unwind: {tension: 5 lbf, roll: {diameter: 14 in}}
  rewind: {rolls: 1, start_tension: .6 PLI, taper: 30 pct}
  dryer 1: {setting: 118 °F}
"""

TICKETS |= {
    "in a hurry": (
        CLEAR,
        {
            "job: T-1": Slip("Job: T-1", "The key `Job` is not known", "job", "Job"),
            "planned": Slip("planed", "`stage` cannot be the text `planed`", "planned"),
            "2026-12-03": Slip("2026/12/3", "`date` is not written as it must be: the text `2026/12/3`", "2026-12-03"),
            "98.4 mm": Slip("98,4 mm", "`98,4 mm` has a decimal comma", "98.4 mm"),
            "m-96": Slip("96 teeth", "magnetic cylinder 96 teeth is not in the tooling register", "m-96"),
        },
    ),
    "times and days": (
        LONG_HAND,
        {
            "date: 2026-12-08": Slip("date: Dec 8, 2026", "`date` is not written as it must be", "2026-12-08"),
            "2026-12-08 06:00": Slip("2026-12-08 6am", "`from` is not written as it must be", "2026-12-08 06:00"),
            "2026-12-08 11:30": Slip("8.12.2026 11:30 AM", "`to` is not written as it must be", "2026-12-08 11:30"),
            "118 °F": Slip("118 F", "118 F is a capacitance, not a ratio or a temperature", "118 °F"),
            "diameter: 14 in": Slip("diameter: 14", "14 has no unit; a length needs one", "14 in"),
        },
    ),
    "counts": (
        LONG_HAND,
        {
            "lanes: 4": Slip("lanes: four", "`lanes` must be a whole number", "4"),
            "labels_around: 4": Slip("labels_around: 4 up", "`labels_around` must be a whole number", "4"),
            "first_film_job": Slip("first film job", "The key `first film job` is not known", "first_film_job"),
            "start_tension": Slip("start tension", "The key `start tension` is not known", "start_tension"),
            "set_up": Slip("set up", "The key `set up` is not known", "set_up"),
            "taper": Slip("tapper", "The key `tapper` is not known", "taper"),
        },
    ),
    "commas": (
        CLEAR,
        {
            "3600 m": Slip("3,600 m", "`3,600 m` has a comma; in braces a comma ends the entry.", "3600 m"),
            "clear-film-on-alder": Slip(
                "Clear film on Alder", "set-up Clear film on Alder is not in", "clear-film-on-alder"
            ),
            "gap: {around: 3.2 mm, across: 3 mm}": Slip(
                "gap: 3 x 3.2 mm", "`gap` must be a group", "{across: 3 mm, around: 3.2 mm}"
            ),
            "after: 2 h": Slip("after: 2 h, in stock: 14 d", "The key `in stock` is not known", "in_stock", "in stock"),
        },
    ),
}

WRAP = """\
job: T-4
title: Beard oil 50 ml, clear wrap
stage: planned
date: 2026-12-05
press_time: {from: 2026-12-05 06:00, to: 2026-12-06 00:00}
first_film_job: false
press: alder
stock: pet50-clear-film23
customer: mossgill-drinks
web: {width: 13", length: 3300 M, speed: 45 mpm, register_tolerance: 0.2 mm, proved_tension: 42 N}
layout: {label: {around: 123.8 mm, across: 50 mm}, gap: {around: 3.2 mm, across: 3 mm}, lanes: 6, labels_around: 2, edge_trim: 5 mm}
tooling: {die: d-0426, magnetic_cylinder: m-80, anvil: a-alder, print_cylinder: p-80}
path: as press
leave_out: [splice table, edge guide, print 3, uv lamp 3, chill roll 3, varnish, led lamp 5, chill roll 5, slit, inspection]
settings:
  unwind: {tension: 44 N, roll: {diameter: 750 mm, core: 6", core_wall: 8 mm}}
  nip infeed: {tension: 45 N}
  print: {ink: UV Flexo}
  uv lamp: {setting: 60 %, cure_minimum: 55 %, proved_speed: 46 m/min, cold_side: true}
  led lamp: {setting: 30 W/cm, cure_minimum: 27 W/cm, proved_speed: 46 m/min}
  chill roll: {temperature: 18 °C}
  die cut: {warm_up: 7 K}
  rewind: {core: 6 in, core_wall: 8 mm, start_tension: 45 N, taper: 30 %, taper_law: Linear, rolls: 2}
finishing: {machine: slitter-1, after: 2 h, start_tension: 0.7 PLI, taper: 30 %, taper_law: linear, unwind_tension: 0.6 lbs/in, speed: 120 mpm}
checks:
  - {check: imprint, at: [set-up, every roll], covers: full width and repeat}
  - {check: snap, at: [every roll, set-up], sample: 520 mm, strips: 6}
"""  # noqa: E501
JAM = """\
job: T-5
title: Fig jam 10 oz, clear front under film
stage: PLANNED
date: 2026-12-07
first_film_job: false
set_up: filmed-labels-on-rowan
web: {length: 2400', speed: 150 FPM, width: 9 1/2"}
layout: {label: {around: 3 7/8", across: 2.875 in}, gap: {around: 1/8", across: 1/8 in}, lanes: 3, labels_around: 2, edge_trim: 3/16 in}
settings:
  led lamp 1: {setting: 70 pct, proved_speed: 150 ft/min}
  chill roll: {temperature: 66 °F}
  unwind: {tension: 5 lbs, roll: {diameter: 1 ft 4 in}}
  rewind: {start_tension: 0.7 lbf/in, core: 6 in}
finishing: {machine: reeler-2, after: 3 hours, start_tension: 0.6 pli, labels_per_roll: 1500}
"""  # noqa: E501
SOUP = """\
job: T-6
title: Barley soup 12 oz, paper
stage: planned
date: 2026-12-04
first_film_job: false
set_up: litho-on-rowan
customer: tarnwick-preserves
web: {length: 5500 ft, speed: 200 FT/MIN}
layout: {label: {around: 3.375 in, across: 2.125 in}, gap: {around: 0.125 in, across: 0.125 in}, lanes: 4, labels_around: 2, edge_trim: 0.1875 inch}
tooling: {die: d-0437, anvil: a-rowan, print_cylinder: p-56}
settings:
  rewind: {rolls: 2, taper: 25 %}
  unwind: {tension: 8 lbf, roll: {diameter: 22", core: 3"}}
  slit: {knives: {kind: Score, condition: sharp clean free, changed: 2026-10-20}}
"""  # noqa: E501
BALM = """\
job: T-7
title: Hand balm 75 ml, back
stage: planned
date: 2026-12-09
press_time: {from: 2026-12-09 06:00, to: 2026-12-09 18:00}
first_film_job: false
set_up: white-film-on-birch
customer: thornapple-remedies
web: {length: 700 m, width: 31 cm, speed: 40 m/min}
layout: {label: {around: 85.7 mm, across: 71 mm}, gap: {around: 3.2 mm, across: 3 mm}, lanes: 4, labels_around: 4, edge_trim: 5 mm}
tooling: {die: d-0415, magnetic_cylinder: m-112, print_cylinder: p-112, anvil: a-birch}
settings:
  dryer 1: {setting: 48 °C}
  dryer: {cure_minimum: 45 degC}
  unwind: {tension: 22.4 N, roll: {diameter: 36 cm, core: 6 in}}
  rewind: {rolls: 2, start_tension: 0.6 lb/in}
finishing: {after: 1.5 hr, unwind_direction: {leading_edge: top, wound: out}}
"""  # noqa: E501

TICKETS |= {
    "ten slips on syrup": (
        CLEAR.replace("labels_around: 3", "labels_around: 3, edge_trim: 5 mm"),
        {
            "stage: planned": Slip("Stage: planned", "The key `Stage` is not known", "stage", "Stage"),
            "2026-12-03": Slip("3.12.26", "`date` is not written as it must be", "2026-12-03"),
            "first_film_job: false": Slip("first_film_job: No", "`first_film_job` must be yes or no", "false"),
            "clear-film-on-alder": Slip("Clear-Film-On-Alder", "set-up Clear-Film-On-Alder", "clear-film-on-alder"),
            "mossgill-drinks": Slip("Mossgill Drinks", "customer Mossgill Drinks is not", "mossgill-drinks"),
            "3600 m": Slip("3,6 km", "`3,6 km` has a decimal comma", "3.6 km"),
            "lanes: 5": Slip("lanes: 5 lanes", "`lanes` must be a whole number", "5"),
            "edge_trim: 5 mm": Slip("edge_trim: 5", "5 has no unit", "5 mm"),
            "die: d-0412": Slip("die: D-0412", "die D-0412 is not in the tooling register", "d-0412"),
            "p-96": Slip("p96", "print cylinder p96 is not in the tooling register", "p-96"),
        },
    ),
    "ten slips on a wrap": (
        WRAP,
        {
            "2026-12-06 00:00": Slip("2026-12-05 24:00", "2026-12-05 24:00 is no hour of a day", "2026-12-06 00:00"),
            "press: alder": Slip("press: ALDER", "press ALDER is not in the press register", "alder"),
            "123.8 mm": Slip("123,8 mm", "`123,8 mm` has a decimal comma", "123.8 mm"),
            "m-80": Slip("80 teeth", "magnetic cylinder 80 teeth is not", "m-80"),
            "path: as press": Slip("path: As Press", "`path` is not written as it must be", "as press"),
            "setting: 60 %": Slip("setting: 60", "60 has no unit", "60 %"),
            "cold_side: true": Slip("cold_side: yes", "`cold_side` must be yes or no", "true"),
            "18 °C": Slip("18 C", "18 C is a charge", "18 °C"),
            "machine: slitter-1": Slip("machine: Slitter 1", "finishing machine Slitter 1 is not", "slitter-1"),
            "[every roll, set-up]": Slip(
                "[each roll, set-up]", "This entry cannot be the text", "every roll", "each roll"
            ),
        },
    ),
    "ten slips on jam": (
        JAM,
        {
            "2026-12-07": Slip("12/7/26", "`date` is not written as it must be", "2026-12-07"),
            "filmed-labels-on-rowan": Slip("filmed labels on rowan", "set-up filmed labels", "filmed-labels-on-rowan"),
            "across: 2.875 in": Slip("across: 2.875", "2.875 has no unit", "2.875 in"),
            "3/16 in": Slip("3/16", "3/16 has no unit", "3/16 in"),
            "150 ft/min": Slip("150 ft/mn", "'ft/mn' is not a known unit", "ft/min", "ft/mn"),
            "66 °F": Slip("66 F", "66 F is a capacitance", "66 °F"),
            "0.7 lbf/in": Slip("0.7 psi", "rewind start tension 0.7 psi is a pressure", "0.7 lbf/in"),
            "core: 6 in": Slip("core: 6", "6 has no unit", "6 in"),
            "reeler-2": Slip("reeler 2", "finishing machine reeler 2 is not", "reeler-2"),
            "1500": Slip("1,500", "`1,500` has a comma", "1500"),
        },
    ),
    "ten slips on soup": (
        SOUP,
        {
            "first_film_job: false": Slip("first_film_job: n/a", "`first_film_job` must be yes or no", "true"),
            "tarnwick-preserves": Slip("tarnwick", "customer tarnwick is not", "tarnwick-preserves"),
            "labels_around: 2": Slip("labels_around: two", "`labels_around` must be a whole number", "2"),
            "die: d-0437": Slip("die: d0437", "die d0437 is not in the tooling register", "d-0437"),
            "p-56": Slip("56T", "print cylinder 56T is not", "p-56"),
            "rolls: 2": Slip("rolls: 2 rolls", "`rolls` must be a whole number", "2", "2 rolls"),
            "taper: 25 %": Slip("taper: .25", "0.25 has no unit", "25 %"),
            "condition: sharp clean free": Slip("condition: sharp", "`condition` cannot be", "sharp clean free"),
            "changed: 2026-10-20": Slip("changed: 20.10.2026", "`changed` is not written", "2026-10-20"),
            "litho-on-rowan": Slip("litho on Rowan", "set-up litho on Rowan is not", "litho-on-rowan"),
        },
    ),
    "ten slips on balm": (
        BALM,
        {
            "2026-12-09 06:00": Slip("2026-12-09 6:00", "`from` is not written as it must be", "2026-12-09 06:00"),
            "thornapple-remedies": Slip("thornaple-remedies", "customer thornaple", "thornapple-remedies"),
            "length: 700 m": Slip("lenght: 700 m", "The key `lenght` is not known in `web`", "length", "lenght"),
            "around: 85.7 mm": Slip("around: 85.7", "85.7 has no unit", "85.7 mm"),
            "die: d-0415": Slip("die: d-415", "die d-415 is not", "d-0415"),
            "a-birch": Slip("b-birch", "anvil b-birch is not", "a-birch"),
            "setting: 48 °C": Slip("setting: 48", "48 has no unit", "48 °C"),
            "dryer: {": Slip("dryers: {", "The key `dryers` is not known", "dryer", "dryers"),
            "22.4 N": Slip("22,4 N", "`22,4 N` has a decimal comma", "22.4 N"),
            "wound: out": Slip("wound: outside", "`wound` cannot be the text `outside`", "out"),
        },
    ),
}

READ_AS_MEANT = {
    "3600 m": ("3600 metres", "3.6 km", "11811 feet", "11811 ft."),
    "2 h": ("2 hours", "120 min.", "2 hrs"),
    "57 %": ("57 percent", "57 pct", "57%"),
    "98.4 mm": ("98.4mm", "98.4 MM", "3 7/8 in", '3 7/8"', "3.875 inches", "3.875 in."),
}

# What breaks the sheet, so that nothing behind it is read: the line as typed, and the text of the way out.
WEB = "web: {length: 3600 m}"
SPEED = "web:\n  length: 3600 m\n  speed: 45 m/min"
BROKEN = [
    ("title: A ticket", "title: A ticket: front", "write `title: 'A ticket: front'`", "title: 'A ticket: front'"),
    ("title: A ticket", "title A ticket, front", "Write `title: A ticket, front`.", "title: A ticket, front"),
    ("first_film_job: false", "first film job no", "Write `first_film_job: false`.", "first_film_job: false"),
    (WEB, "web:\n\tlength: 3600 m", "Set lines in with spaces", "web:\n  length: 3600 m"),
    (WEB, SPEED.replace("  speed", " speed"), "column 3, as line 9 does", SPEED),
    (WEB, SPEED.replace("  speed", "   speed"), "column 3, as line 9 does", SPEED),
    ("cylinder: p-96}", "cylinder: p-96", "close with } at the end of line 10", "cylinder: p-96}"),
]


@pytest.fixture(scope="module")
def plant(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("tickets") / "plant"
    shutil.copytree(EXAMPLES, root)
    return root


def linted(plant: Path, text: str) -> Report:
    sheet = plant / "jobs" / "ticket.yaml"
    sheet.write_text(text)
    return lint([sheet], Options(today=date(2026, 11, 25)))


def of_reading(report: Report) -> list[tuple[str, str]]:
    return [(f.says, f.instead) for f in report.findings if f.counts and f.rule in OF_READING and not f.follows_from]


@pytest.mark.sample(3)
@pytest.mark.parametrize("ticket", TICKETS)
def test_a_ticket_with_all_its_slips_takes_forty_lines_and_each_is_told_once(ticket: str, plant: Path) -> None:
    text, slips = TICKETS[ticket]
    for right, slip in slips.items():
        assert right in text
        text = text.replace(right, slip.typed, 1)
    report = linted(plant, text)
    assert len(text_report(report).splitlines()) <= MOST_LINES
    for slip in slips.values():
        (hint,) = [hint for says, hint in of_reading(report) if says.startswith(slip.says)]
        assert slip.write in hint
    assert len(of_reading(report)) == len(slips)


@pytest.mark.sample(3)
@pytest.mark.parametrize(("right", "typed", "hint", "write"), BROKEN)
def test_what_breaks_the_sheet_is_told_with_the_line_to_write(
    right: str, typed: str, hint: str, write: str, plant: Path
) -> None:
    ((_, told),) = of_reading(linted(plant, CLEAR.replace(right, typed)))
    assert hint in told
    assert of_reading(linted(plant, CLEAR.replace(right, write))) == []


@pytest.mark.parametrize("right", READ_AS_MEANT)
def test_units_in_words_are_read_as_meant(right: str) -> None:
    from filmcheck.plant.plant import type_text

    for typed in READ_AS_MEANT[right]:
        assert type_text(CLEAR.replace(right, typed), "ticket.yaml", "job-sheet").faults == (), typed


@pytest.mark.sample(5)
@pytest.mark.parametrize(
    ("ticket", "right"), [(name, right) for name, (_, slips) in TICKETS.items() for right in slips]
)
def test_the_proposal_copied_leaves_nothing_to_say(ticket: str, right: str, plant: Path) -> None:
    text, slips = TICKETS[ticket]
    typed, _, write, wrong = slips[right]
    slipped = text.replace(right, typed, 1)
    assert of_reading(linted(plant, slipped)) != []
    report = linted(plant, slipped.replace(typed, typed.replace(wrong or typed.rpartition(": ")[2], write), 1))
    assert of_reading(report) == []
    assert [f.says for f in report.findings if f.counts and f.level == "error"] == []


@pytest.mark.parametrize(
    ("right", "typed"),
    [
        ("web: {length", "web: {lenght"),
        ("stage: planned", "Stage: planned"),
        ("mossgill-drinks", "mosgil"),
        ("print_cylinder: p-96", "print_cylinder: 96T"),
    ],
)
def test_what_waits_for_a_slip_is_told_with_it(right: str, typed: str, plant: Path) -> None:
    whole = CLEAR.replace("labels_around: 3", "labels_around: 3, edge_trim: 5 mm")
    report = linted(plant, whole.replace(right, typed))
    waiting = [finding for finding in report.findings if finding.kind == "open"]
    (slip,) = [finding for finding in report.findings if finding.counts and finding.rule in OF_READING]
    assert waiting != []
    assert {finding.rule for finding in waiting if finding.follows_from != slip.name} == set()


def test_the_same_decimals_twice_in_one_group_are_both_told_as_commas(plant: Path) -> None:
    """`{around: 47,6 mm, across: 47,6 mm}`: what follows each comma is the same, and no key that stands there twice."""
    told = of_reading(
        linted(plant, CLEAR.replace("{around: 98.4 mm, across: 60 mm}", "{around: 47,6 mm, across: 47,6 mm}"))
    )
    assert [(says, do) for says, do in told if "47" in says or "again" in says] == [
        ("`47,6 mm` has a decimal comma; in braces a comma ends the entry.", "Write 47.6 mm.")
    ] * 2
