"""Names of a sheet to register entries: each found, or told with the nearest name that there is."""

from __future__ import annotations

from pathlib import Path

import pytest

from filmcheck.plant.job import Job, resolve
from filmcheck.plant.nearest import known_names, nearest
from filmcheck.plant.plant import Plant, load_plant, type_text
from filmcheck.plant.record import Datum
from filmcheck.reading.nodes import Fault

REGISTERS = {
    "presses": """\
press-1:
  stations:
    - unwind: {control: closed loop}
    - print: {unit: 1}
    - uv lamp: {unit: 1, maximum: 90 %}
    - print: {unit: 2}
    - uv lamp: {unit: 2, maximum: 80 %}
    - nip: {name: infeed}
    - nip: {name: outfeed}
    - turn bar: {friction: 25 %}
    - turn bar: {friction: 30 %}
    - rewind: {}
press-2: {width: 370 mm}
""",
    "stocks": "clear-pp50: {name: Clear PP}\nwhite-pe85: {name: White PE}\n",
    "tooling": "dies: {d-311: {teeth: 96}}\nprint_cylinders: {p-96: {teeth: 96}, p-104: {teeth: 104}}\nanvils: {}\n",
    "finishing": "slit-2: {kind: slitter rewinder}\n",
    "customers": "orchard: {core: 3 in}\n",
}


@pytest.fixture
def plant(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Plant:
    monkeypatch.chdir(tmp_path)
    for name, text in REGISTERS.items():
        (tmp_path / f"{name}.yaml").write_text(text)
    named = "".join(f"  {name}: {name}.yaml\n" for name in REGISTERS)
    (tmp_path / "plant.yaml").write_text(f"plant: Test\nregisters:\n{named}")
    return load_plant(tmp_path / "plant.yaml")


def resolved(text: str, plant: Plant) -> tuple[Job, list[Fault]]:
    sheet = type_text(f"job: A\nstage: planned\n{text}", "a.yaml", "job-sheet")
    job, faults = resolve(sheet.record, "a.yaml", plant)
    assert all(file == "a.yaml" for file, _ in faults)
    return job, [fault for _, fault in faults]


FOUND = [
    ("press: press-2", "press", "presses.yaml:13:1"),
    ("stock: white-pe85", "stock", "stocks.yaml:2:1"),
    ("customer: orchard", "customer", "customers.yaml:1:1"),
    ("tooling: {die: d-311}", "die", "tooling.yaml:1:8"),
    ("tooling: {print_cylinder: p-104}", "print cylinder", "tooling.yaml:2:38"),
    ("finishing: {machine: slit-2}", "finisher", "finishing.yaml:1:1"),
]


@pytest.mark.parametrize(("line", "document", "place"), FOUND)
def test_name_that_is_known(plant: Plant, line: str, document: str, place: str) -> None:
    job, faults = resolved(line, plant)
    assert faults == []
    entry = job.documents[document].record
    assert entry is not None
    assert str(entry.key_place) == place


UNKNOWN = [
    ("press: pres-2", (3, 8, 3, 14), "press pres-2 is not in the press register", "Nearest press: press-2."),
    ("press: PRESS-1", (3, 8, 3, 15), "press PRESS-1 is not in the press register", "Nearest press: press-1."),
    (
        "stock: CLEAR pp",
        (3, 8, 3, 16),
        "stock CLEAR pp is not in the stock register",
        "The stock of this name is written clear-pp50.",
    ),
    ("stock: zzz", (3, 8, 3, 11), "stock zzz is not in the stock register", "Known: clear-pp50, white-pe85."),
    ("tooling: {die: d-113}", (3, 16, 3, 21), "die d-113 is not in the tooling register", "Nearest die: d-311."),
    ("tooling: {die: p-96}", (3, 16, 3, 20), "die p-96 is not in the tooling register", "Known: d-311."),
    ("tooling: {anvil: a-1}", (3, 18, 3, 21), "anvil a-1 is not in the tooling register", "There is no anvil yet."),
    (
        "tooling: {magnetic_cylinder: m-1}",
        (3, 30, 3, 33),
        "magnetic cylinder m-1 is not in the tooling register",
        "There is no magnetic cylinder yet.",
    ),
    (
        "path: [print: {unit: 1, cylinder: p-69}]",
        (3, 35, 3, 39),
        "print cylinder p-69 is not in the tooling register",
        "Nearest print cylinder: p-96.",
    ),
]


@pytest.mark.parametrize(("line", "span", "says", "hint"), UNKNOWN)
def test_name_that_is_not_known(plant: Plant, line: str, span: tuple[int, ...], says: str, hint: str) -> None:
    _, (fault,) = resolved(line, plant)
    assert (fault.id, tuple(fault.span), fault.says, fault.hint) == ("name-unknown", span, says, hint)


def test_what_an_unknown_name_lacks_is_kept_for_those_who_need_it(plant: Plant) -> None:
    job, (fault,) = resolved("press: pres-2", plant)
    lack = job.documents["press"].lack
    assert lack is not None
    assert (lack.says, str(lack.place)) == (fault.says, "a.yaml:3:8")


def test_name_that_is_not_given_is_no_fault_but_a_lack(plant: Plant) -> None:
    job, faults = resolved("tooling: {anvil: a-1}\nweb: {}", plant)
    assert [fault.says for fault in faults] == ["anvil a-1 is not in the tooling register"]
    lacks = {name: document.lack for name, document in job.documents.items() if document.record is None}
    assert lacks["press"].says == "the sheet names no press"
    assert lacks["die"].says == "the sheet names no die"
    assert str(lacks["die"].place).startswith("a.yaml:3:")  # within the group that it belongs to


@pytest.mark.parametrize(
    ("settings", "lack", "hint"),
    [
        ("plant: T\n", "the plant has no press register", "under registers: presses"),
        ("plant: T\nregisters: {presses: no.yaml}\n", "the press register could not be read", ""),
        ("plant: [\n", "the press register could not be read", ""),
    ],
)
def test_register_that_is_not_there(plant: Plant, settings: str, lack: str, hint: str) -> None:
    Path("plant.yaml").write_text(settings)
    _, (fault,) = resolved("press: press-1", load_plant(Path("plant.yaml").absolute()))
    assert fault.says == f"press press-1 cannot be looked up: {lack}"
    assert hint in fault.hint


def test_no_plant_at_all() -> None:
    _, (fault,) = resolved("press: press-1", load_plant(None))
    assert fault.says == "press press-1 cannot be looked up: no folder above this sheet holds a plant.yaml"


# --- the stations of the sheet and those of the press

PATH = """\
press: press-1
path:
  - unwind: {tension: 46 N}
  - uv lamp: {unit: 2}
  - uv lamp: {unit: 3}
  - nip: {name: outfeed}
  - turn bar: {}
  - turn bar: {}
  - turn bar: {}
  - rewind: {}
"""


def test_stations_are_matched_by_unit_name_or_order(plant: Plant) -> None:
    job, faults = resolved(PATH, plant)
    assert faults == []
    assert [(item.label, item.number, item.on_press) for item in job.stations] == [
        ("unwind", 1, 0),
        ("uv lamp 2", 2, 4),
        ("uv lamp 3", 3, None),
        ("nip outfeed", 4, 6),
        ("turn bar (1 of 3)", 5, 7),
        ("turn bar (2 of 3)", 6, 8),
        ("turn bar (3 of 3)", 7, None),
        ("rewind", 8, 9),
    ]
    assert [str(item.place) for item in job.stations][:2] == ["a.yaml:5:5", "a.yaml:6:5"]


def test_field_of_the_sheet_goes_before_that_of_the_register(plant: Plant) -> None:
    job, _ = resolved(PATH, plant)
    lamp = job.stations[1]
    assert [str(record.key_place) for record in lamp.records] == ["a.yaml:6:5", "presses.yaml:7:7"]
    maximum = lamp.records[1].fields["maximum"]
    assert isinstance(maximum, Datum)
    assert str(maximum.place) == "presses.yaml:7:35"


def test_checks_and_results_are_numbered(plant: Plant) -> None:
    job, _ = resolved("checks:\n  - {check: snap, at: [set-up]}\n  - {check: imprint, at: [set-up]}\n", plant)
    assert [(item.label, item.number) for item in job.items["check"]] == [
        ("check snap (1)", 1),
        ("check imprint (2)", 2),
    ]
    assert job.items["result"] == ()


# --- nearest names


@pytest.mark.parametrize(
    ("name", "meant"),
    [("pres-1", "press-1"), ("PRESS-1", "press-1"), ("prss1", "press-1"), ("quarry", ""), ("", "")],
)
def test_nearest(name: str, meant: str) -> None:
    assert nearest(name, ["press-1", "stock-7"]) == meant


def test_many_known_names_are_cut_short() -> None:
    hint = known_names("zzz", [f"a{number:02}" for number in range(20)], "die")
    assert hint == "Known: a00, a01, a02, a03, a04, a05, a06, a07, a08, a09, a10, a11, …."
