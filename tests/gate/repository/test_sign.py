"""Signing a sheet off: the marks are those that lint asks for, and on the sheet nothing but the block changes."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
import ruamel.yaml

from filmcheck.cli.sign import write_signed
from filmcheck.plant.signing import sign_off

SHEET = "sheets/film-label.yaml"
WORDS = ("--by", "head of quality", "--date", "2026-11-24")
KINDS = ["press", "stock", "customer", "die", "magnetic_cylinder", "anvil", "print_cylinder", "finisher"]


def plain(text: str) -> dict:
    return ruamel.yaml.YAML(typ="safe", pure=True).load(text)


def test_prints_the_block_and_leaves_the_sheet(ground, run: Callable) -> None:
    before = ground.read(SHEET)
    done = run("sign", SHEET, *WORDS)
    block = plain(done.out)["signed"]
    assert (done.status, done.err, list(block)) == (0, "", ["by", "date", "entries"])
    assert (block["by"], str(block["date"]), list(block["entries"])) == ("head of quality", "2026-11-24", KINDS)
    assert all(re.fullmatch("[0-9a-f]{16}", mark) for mark in block["entries"].values())
    assert ground.read(SHEET) == before


def test_several_sheets_are_told_apart(ground, run: Callable) -> None:
    other = ground.job("PG-1002")
    done = run("sign", SHEET, other, *WORDS)
    assert [line for line in done.out.splitlines() if line.startswith("#")] == [f"# {SHEET}", f"# {other}"]


def test_date_is_today_unless_told(ground, run: Callable) -> None:
    from datetime import date

    before, told = date.today(), run("sign", SHEET, "--by", "x").out
    assert any(f"  date: {day}\n" in told for day in (before, date.today()))  # midnight may have passed


CHANGES = [
    ("registers/presses.yaml", "speed: 150 m/min", "speed: 140 m/min"),
    ("registers/stocks.yaml", "modulus: 4.5 GPa", "modulus: 4.4 GPa"),
    ("registers/customers.yaml", "maximum_diameter: 300 mm", "maximum_diameter: 320 mm"),
    ("registers/tooling.yaml", "life: 1000000", "life: 1100000"),
    ("registers/finishing.yaml", "maximum_diameter: 600 mm", "maximum_diameter: 590 mm"),
]


@pytest.mark.sample(3)
@pytest.mark.parametrize(("file", "old", "new"), CHANGES)
def test_a_change_after_signing_is_told_until_signed_anew(
    ground, run: Callable, told: Callable, file, old, new
) -> None:
    run("sign", SHEET, *WORDS, "--write")
    assert ("entry-changed", SHEET) not in told("sheets")
    ground.change(file, (old, new))
    assert ("entry-changed", SHEET) in told("sheets")
    run("sign", SHEET, *WORDS, "--write")
    assert ("entry-changed", SHEET) not in told("sheets")


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        (
            "registers/customers.yaml",
            "  core: 6 in\n  core_wall: 8 mm\n",
            "  core_wall: 8 mm\n  core: 6 in # as ever\n",
        ),
        ("registers/customers.yaml", "six-inch:", "# a comment\n\nsix-inch:"),
        ("registers/finishing.yaml", "table-1:", "table-2:"),
    ],
)
def test_order_comments_and_other_entries_are_no_change(ground, run: Callable, told: Callable, file, old, new) -> None:
    run("sign", SHEET, *WORDS, "--write")
    ground.change(file, (old, new))
    assert ("entry-changed", SHEET) not in told("sheets")


def test_several_print_cylinders_have_one_mark(ground, run: Callable, told: Callable) -> None:
    """With one mark for each, the second cylinder was held against the mark of the first."""
    ground.change(
        "registers/tooling.yaml", ("print_cylinders:\n", "print_cylinders:\n  p-97: {teeth: 96, pitch: 1/8 in}\n")
    )
    ground.change(SHEET, ("print: {unit: 2, ink: uv flexo}", "print: {unit: 2, ink: uv flexo, cylinder: p-97}"))
    run("sign", SHEET, *WORDS, "--write")
    assert ("entry-changed", SHEET) not in told("sheets")
    ground.change("registers/tooling.yaml", ("p-97: {teeth: 96", "p-97: {run_out: 5 µm, teeth: 96"))
    assert [fault for fault in told("sheets") if fault[0] == "entry-changed"] == [("entry-changed", SHEET)]


# --- on the sheet

PLACES = [
    ("", "at the end"),
    ("# the end\n", "behind a comment"),
    ("signed:\n  by: someone\n  date: 2026-01-01\n", "in the place of the last one"),
    ("signed: {by: someone, date: 2026-01-01}   # by hand\n", "on one line"),
    ("signed:\n", "of an empty one"),
]


@pytest.mark.sample(4)
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize(("end", "where"), PLACES)
def test_nothing_else_changes(ground, run: Callable, end: str, where: str, mark: bytes, ends: str) -> None:
    path = ground.folder / SHEET
    text = ground.sound.replace("# A sound job", "# Größe Ω 𝄞: a sound job") + end
    path.write_bytes(mark + text.replace("\n", ends).encode())
    path.chmod(0o640)
    done = run("sign", SHEET, *WORDS, "--write")
    assert (done.status, done.out, done.err) == (0, f"signed {SHEET}\n", "")
    now = path.read_bytes()
    kept = end if end.startswith("#") else ""
    assert now.startswith(mark + (ground.sound.replace("# A", "# Größe Ω 𝄞: a", 1) + kept).replace("\n", ends).encode())
    assert (b"\r\n" in now, now.count(b"\n") == now.count(b"\r\n")) == (ends == "\r\n", ends == "\r\n")
    assert now.count(b"signed:") == 1
    assert (b"# by hand" in now) == ("# by hand" in end)
    assert path.stat().st_mode & 0o777 == 0o640
    assert list((ground.folder / "sheets").iterdir()) == [path]
    again = run("sign", SHEET, *WORDS, "--write")
    assert (again.status, path.read_bytes()) == (0, now)


def test_only_the_block_is_replaced_in_the_middle(ground, run: Callable) -> None:
    old = "signed:   # by whom\n  # of old\n  by: 'a # b'   # he\n  entries:\n    press: '0123456789abcdef'\n\n# next\n"
    ground.change(SHEET, ("checks:\n", old + "checks:\n"))
    run("sign", SHEET, *WORDS, "--write")
    before, after = ground.sound.split("checks:\n")
    now = ground.read(SHEET)
    assert now.startswith(before + 'signed:\n  # by whom\n  # of old\n  # he\n  by: "head of quality"\n')
    assert now.endswith("\n\n# next\nchecks:\n" + after)


def test_a_sheet_that_is_set_in(ground, run: Callable) -> None:
    ground.write(SHEET, "".join("   " + line for line in ground.sound.splitlines(keepends=True)))
    assert run("sign", SHEET, *WORDS, "--write").status == 0
    now = plain(ground.read(SHEET))
    assert now.pop("signed")["by"] == "head of quality"
    assert now == plain(ground.sound)


def test_a_sheet_without_last_line_end(ground, run: Callable) -> None:
    ground.write(SHEET, ground.sound.rstrip("\n"))
    assert run("sign", SHEET, *WORDS, "--write").status == 0
    assert ground.read(SHEET).startswith(ground.sound + "signed:\n")


def test_not_through_a_link(ground, run: Callable) -> None:
    (ground.folder / "sheets/link.yaml").symlink_to("film-label.yaml")
    done = run("sign", "sheets/link.yaml", *WORDS, "--write")
    assert (done.status, done.out) == (2, "")
    assert "sheets/link.yaml is not written: link.yaml is a link" in done.err
    assert (ground.folder / "sheets/link.yaml").is_symlink()
    assert ground.read(SHEET) == ground.sound


@pytest.mark.parametrize("by", ["head: of 'quality'", 'the "boss" # 1', "yes", "12", "Müller \\ Söhne", "- x"])
def test_any_name_is_read_back_as_it_was(ground, run: Callable, by: str) -> None:
    assert run("sign", SHEET, "--by", by, "--write").status == 0
    assert plain(ground.read(SHEET))["signed"]["by"] == by


# --- what is refused

REFUSED = [
    (["sign", SHEET], "Missing option '--by'"),
    (["sign", SHEET, "--by", " "], "it is not said who signs"),
    (["sign", SHEET, "--by", "a\nb"], "it is not said who signs"),
    (["sign", SHEET, "--by", "x", "--date", "2026-02-30"], "2026-02-30"),
    (["sign", "--by", "x"], "Missing argument"),
    (["sign", "none.yaml", "--by", "x"], "none.yaml is not there"),
    (["sign", "sheets", "--by", "x"], "sheets is a folder"),
    (["sign", "registers/stocks.yaml", "--by", "x"], "belongs to the plant's settings"),
    (["sign", "../lonely.yaml", "--by", "x"], "belongs to no plant"),
]


@pytest.mark.parametrize(("words", "says"), REFUSED)
def test_wrong_use(ground, run: Callable, words: list[str], says: str) -> None:
    ground.write("../lonely.yaml", "job: 1\n")
    done = run(*words)
    assert (done.status, done.out) == (2, "")
    assert says in done.err


UNFIT = [
    (lambda text: json.dumps(plain(text), default=str), "without changing something else"),
    (lambda text: text + "...\n", "without changing something else"),
    (lambda text: text + "title: again\n", "without changing something else"),
    (lambda text: text + "job: [\n", ""),
    (lambda text: text.replace("die: d-96-film23", "die: d-97"), "die d-97 is in no register"),
    (lambda text: "", "The file holds no entries."),
]


@pytest.mark.parametrize(("spoil", "says"), UNFIT)
def test_what_cannot_be_signed_stays_as_it_is(ground, run: Callable, spoil: Callable, says: str) -> None:
    """The sound sheet beside it is not signed either: all of a call, or none."""
    ground.write("sheets/other.yaml", spoil(ground.sound))
    before = [(ground.folder / name).read_bytes() for name in (SHEET, "sheets/other.yaml")]
    done = run("sign", SHEET, "sheets/other.yaml", *WORDS, "--write")
    assert (done.status, done.out) == (2, "")
    assert says in done.err
    assert [(ground.folder / name).read_bytes() for name in (SHEET, "sheets/other.yaml")] == before


def test_a_sheet_that_changed_meanwhile_is_left_alone(ground) -> None:
    from datetime import date

    from filmcheck.records.errors import UseError

    signed = sign_off(Path(SHEET), "x", date(2026, 11, 25))
    ground.write(SHEET, ground.sound + "# and a word\n")
    with pytest.raises(UseError, match="has changed while it was being signed"):
        write_signed(signed)
    assert ground.read(SHEET) == ground.sound + "# and a word\n"
