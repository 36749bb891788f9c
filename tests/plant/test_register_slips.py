"""What is wrong within one register is told of the plant, without a sheet: names twice, stations out of order."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from filmcheck.plant.plant import load_plant

EXAMPLES = Path(__file__).parents[2] / "examples"
REWIND = "    - rewind: {taper: linear, tension_range: 10 to 300 N, lay_on: fitted, maximum_diameter: 800 mm}\n"
LAST = "    - slit: {}\n    - inspection: {}\n"


@pytest.fixture
def told(tmp_path: Path) -> Callable[[str, str, str], list[tuple[str, str, str]]]:
    """Give what is told of the demo plant with a text in one of its files replaced: rule, line, words."""
    root = tmp_path / "plant"
    shutil.copytree(EXAMPLES, root)

    def change(file: str, old: str, new: str) -> list[tuple[str, str, str]]:
        path = root / file
        text = path.read_text("utf-8")
        assert text.count(old) == 1
        path.write_text(text.replace(old, new), "utf-8")
        found = load_plant(root / "plant.yaml").faults
        lines = {name: (root / file).read_text("utf-8").splitlines() for name, _ in found}
        return [(fault.id, lines[name][fault.span.line - 1].strip(), fault.says) for name, fault in found]

    return change


def test_the_demo_plant_has_no_such_slip() -> None:
    assert load_plant(EXAMPLES / "plant.yaml").faults == ()


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("registers/customers.yaml", "name: Thornapple Remedies", "name: Mossgill  drinks"),
        ("registers/presses.yaml", "name: Birch", "name: Alder"),
        ("registers/finishing.yaml", "name: Rewinding table", "name: Inspection rewinder"),
        ("registers/stocks.yaml", "name: White PP 60 on film 30", "name: Clear PP 50 on film 23"),
    ],
)
def test_a_name_that_two_entries_bear_is_told_at_the_second(file: str, old: str, new: str, told) -> None:
    ((rule, _, says),) = told(file, old, new)
    assert rule == "name-twice"
    assert "has the name of" in says


def test_what_stands_behind_the_last_rewind_is_told_at_the_rewind(told) -> None:
    ((rule, line, says),) = told("registers/presses.yaml", LAST + REWIND, REWIND + LAST)
    assert rule == "press-out-of-order"
    assert line.startswith("- rewind:")
    assert says == "press alder has its rewind out of order: inspection stands behind it"


@pytest.mark.parametrize(
    ("old", "new", "label"),
    [
        ("print: {unit: 4, process: flexo}", "print: {unit: 3, process: flexo}", "print 3"),
        (
            "nip: {name: outfeed, tension_range: 15 to 250 N}",
            "nip: {name: infeed, tension_range: 15 to 250 N}",
            "nip infeed",
        ),
    ],
)
def test_a_number_or_name_that_two_stations_bear_is_told_at_the_second(old: str, new: str, label: str, told) -> None:
    ((rule, line, says),) = told("registers/presses.yaml", old, new)
    assert (rule, line) == ("press-station-twice", f"- {new}")
    assert says.endswith(f"has {label} twice")


def test_two_rewinds_at_the_end_are_a_press_as_there_are(told) -> None:
    assert told("registers/presses.yaml", REWIND, REWIND + REWIND) == []


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("mappings: [mappings]", "mappings: [mapping]", "the mapping"),
        ("mappings: [mappings]", "mappings: [mappings]\nplants: [other]", "the folder of a further plant"),
    ],
)
def test_a_folder_that_the_settings_name_and_is_not_there(old: str, new: str, says: str, told) -> None:
    ((rule, _, words),) = told("plant.yaml", old, new)
    assert rule == "settings-wrong"
    assert words.startswith(says)
    assert words.endswith("is not there")
