"""A small text does not swell: not its words when repeated, not the search for words to tell its faults by."""

from __future__ import annotations

import time
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from filmcheck.reading.table_file import read_table
from filmcheck.reading.yaml_tree import LONGEST_TEXT, read_tree
from filmcheck.records.errors import UseError

MOST_SECONDS = 12.0
"""Each took minutes, or would have taken hours, before it was bounded."""
RULE = """pack: House
figures:
{figures}rules:
  - rule: house-speed
    title: Speed
    level: error
    requires: {{web.speed: {{at_most: 40 m/min}}}}
    says: It runs at {{web.speed}}
    because: It flutters.
    basis: house
    proof:
      - {{case: fast, verdict: fail, at: web.speed, change: {{web.speed: 50 m/min}}}}
      - {{case: slow, verdict: pass, change: {{web.speed: 30 m/min}}}}
"""


def figures(line: str, number: int) -> str:
    return RULE.format(
        figures="".join(
            f'  x.a{at}:\n    is: "{line.format(at - 1) if at else "web.speed"}"\n    meaning: m\n'
            for at in range(number)
        )
    )


@pytest.mark.parametrize("force_pure", [True, False])
@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("a: " + "x" * (LONGEST_TEXT + 1), "A text of more than 10000 characters"),
        ("? " + "x" * 900 + "\n: 'y\n" + "  z y\n" * LONGEST_TEXT + "'\n", "A text of more than 10000 characters"),
        ("a: &a " + "x" * LONGEST_TEXT + "\nb: [" + "*a, " * 401 + "]\n", "have more than 4000000 characters"),
        ("a: &a [" + "x" * LONGEST_TEXT + ", y]\nb: [" + "*a, " * 401 + "]\n", "have more than 4000000 characters"),
    ],
    ids=["a word", "an open quote", "a text repeated", "a list repeated"],
)
def test_texts_of_a_file_are_bounded_repetitions_counted_in(text: str, says: str, *, force_pure: bool) -> None:
    tree, faults = read_tree(text, force_pure=force_pure)
    assert tree is None
    assert [fault.id for fault in faults] == ["too-many-nodes"]
    assert says in faults[0].says


@pytest.mark.parametrize("digits", ["9" * 390, "-" + "9" * 390, "0x" + "f" * 300])
def test_a_whole_number_marked_as_a_float_may_be_larger_than_any(digits: str) -> None:
    tree, faults = read_tree(f"k: !!float {digits}\n")
    assert tree is not None
    assert [fault.id for fault in faults] == ["tag-not-known"]


def test_permits_for_unknown_rules_on_a_sheet(plant: Path, run: Callable) -> None:
    permits = "".join(f"  - {{rule: unwind-tensio{at}, reason: a, approved_by: b}}\n" for at in range(1500))
    with (plant / "jobs/a.yaml").open("a", encoding="utf-8") as sheet:
        sheet.write("deviations:\n" + permits)
    begin = time.process_time()
    done = run("lint", "jobs", "--full")
    assert time.process_time() - begin < MOST_SECONDS
    assert 100 <= done.out.count("which is no known rule") < 120
    assert "The file has more faults like those above" in done.out


def test_permits_for_unknown_rules_of_a_plant(plant: Path, run: Callable) -> None:
    permits = "".join(f"- {{rule: unwind-tensio{at}, reason: a, approved_by: b}}\n" for at in range(1500))
    (plant / "permits.yaml").write_text("permits:\n" + permits, encoding="utf-8")
    begin = time.process_time()
    done = run("lint", "jobs", "--full")
    assert time.process_time() - begin < MOST_SECONDS
    assert 100 <= done.out.count("which is no known rule") < 120
    assert "The file has more faults like those above" in done.out


@pytest.mark.parametrize(
    "lines", ["limits:\n" + "  unwind_tensio{}: {{value: 1 N/m, basis: our own trial of May in the house}}\n"]
)
def test_unknown_limits_in_settings(plant: Path, run: Callable, lines: str) -> None:
    head, _, line = lines.partition("\n")
    with (plant / "plant.yaml").open("a", encoding="utf-8") as settings:
        settings.write(f"{head}\n" + "".join(f"{line}".format(at) for at in range(3000)))
    begin = time.process_time()
    done = run("lint", "jobs", "--full")
    assert time.process_time() - begin < MOST_SECONDS
    assert done.out.count(" is no known limit") == 100


@pytest.mark.parametrize(
    ("pack", "says"),
    [
        (figures("x.b{0} + web.speed", 1500), "There are more faults. Mend these first."),
        (figures("x.a{0}", 1500), "is worked out from more than 20 other figures"),
        (figures("x.a{0} + x.a{0}", 12), "is worked out from more than 400 parts"),
    ],
    ids=["unknown names", "a chain", "doubling"],
)
def test_a_pack_of_many_figures(plant: Path, run: Callable, pack: str, says: str) -> None:
    (plant / "house.yaml").write_text(pack, encoding="utf-8")
    with (plant / "plant.yaml").open("a", encoding="utf-8") as settings:
        settings.write("rules: [house.yaml]\n")
    begin = time.process_time()
    done = run("lint", "jobs")
    assert time.process_time() - begin < MOST_SECONDS
    assert (done.status, done.out) == (2, "")
    assert says in done.err
    assert len(done.err) < 40_000


def test_a_limit_that_counts_is_a_number(plant: Path, run: Callable) -> None:
    """Python takes ² for a digit, and will not turn a text of 5000 digits into a number."""
    sound = (plant / "plant.yaml").read_text(encoding="utf-8")
    for value in ("²", "9" * 5000, "0x10"):
        changed = f"limits:\n  snap_sample_most: {{value: '{value}', basis: our own trial of May in the house}}\n"
        (plant / "plant.yaml").write_text(sound + changed, encoding="utf-8")
        done = run("lint", "jobs")
        assert done.status == 1
        assert "settings-wrong" in done.out


@pytest.mark.parametrize("size", ["1e300 N", "1e-300 N", "1e80 to 1e300 N"])
def test_a_size_that_nothing_can_be_reckoned_with_is_refused(plant: Path, run: Callable, size: str) -> None:
    sheet = plant / "jobs/a.yaml"
    text = sheet.read_text(encoding="utf-8")
    assert "tension: 46 N" in text
    sheet.write_text(text.replace("tension: 46 N", f"tension: {size}", 1), encoding="utf-8")
    done = run("lint", "jobs", "--short")
    assert done.status == 1
    assert "to be real" in done.out


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16-le"])
def test_a_workbook_that_declares_names_is_refused(tmp_path: Path, encoding: str) -> None:
    """A name of 900 kB that a cell repeats 95 times comes to 85 MB, from a file of 2 kB."""
    openpyxl = pytest.importorskip("openpyxl")
    sound, swollen = tmp_path / "sound.xlsx", tmp_path / "swollen.xlsx"
    book = openpyxl.Workbook()
    book.active.append(["Order"])
    book.save(sound)
    assert read_table(sound).header[0] == "Order"
    declared = f'<!DOCTYPE w [<!ENTITY a "{"x" * 900_000}">]>'
    cell = f'<c r="A1" t="inlineStr"><is><t>{"&a;" * 95}</t></is></c>'
    space = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
    sheet = f"{declared}<worksheet {space}><sheetData><row>{cell}</row></sheetData></worksheet>"
    with zipfile.ZipFile(sound) as old, zipfile.ZipFile(swollen, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.infolist():
            is_sheet = part.filename.startswith("xl/worksheets/")
            new.writestr(part.filename, ("\ufeff" + sheet).encode(encoding) if is_sheet else old.read(part))
    with pytest.raises(UseError, match="declares names of its own"):
        read_table(swollen)
