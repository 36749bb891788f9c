"""Bad sheets and bad files: each becomes a finding at its place, and the sheet beside it is still linted.

The expectations are the contract of the command (a finding, its place, exit status 1) and the words that a reader
needs. What is YAML and what is not follows YAML 1.2.2; the replacement of control characters ISO 6429 (C0, C1).
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from filmcheck.run import lint

SHEET = """\
job: B-1
stage: planned
press: straight-8
stock: clear-pp50-film23
web: {width: 330 mm, speed: 45 m/min}
"""
NOTHING = "job:\ntitle:\nstage:\npress:\nstock:\nweb:\nlayout:\ntooling:\npath:\nfinishing:\nchecks:\n"
DEEP = "".join("  " * level + "a:\n" for level in range(100))
BOMB = "a: &a [x, x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{name}: &{name} [{', '.join([f'*{before}'] * 10)}]\n" for before, name in zip("abcdefgh", "bcdefghi", strict=True)
)
LONG = "x" * 200_000

READING = re.compile(r"(file|yaml|key|value|unit|dimension|size|name|alias|tag|too|several|merge|settings)-[a-z-]+")
"""Ids of what reading and resolving find. What the rules say of so poor a sheet is not asked here."""


def width(text: str) -> str:
    return SHEET.replace("330 mm", text)


BAD_SHEETS: list[tuple[str, str | bytes, tuple[str, ...]]] = [
    ("no YAML", "job: [1, 2\nweb: }\n", ("1:6 yaml-broken The bracket [",)),
    ("a picture", b"\x89PNG\r\n\x1a\n\0\0", ("1:1 file-unreadable zero bytes",)),
    ("UTF-16 with its mark", SHEET.encode("utf-16"), ("1:1 file-unreadable saved as UTF-16",)),
    ("UTF-16 without mark", SHEET.encode("utf-16-le"), ("1:2 file-unreadable zero bytes",)),
    ("Latin-1", b"job: B-1\ntitle: J\xf6rg\n", ("2:9 file-unreadable byte 0xf6 is not UTF-8",)),
    ("empty", "", ("1:1 file-empty no entries",)),
    ("comments only", "# nothing\n# yet\n", ("1:1 file-empty no entries",)),
    ("two documents", SHEET + "---\n" + SHEET, ("6:1 several-documents only the first is read",)),
    ("100 levels", DEEP, ("61:121 too-deep more than 60 deep",)),
    ("100 brackets", "job: " + "[" * 100 + "]" * 100, ("1:65 too-deep more than 60 deep",)),
    ("alias bomb", BOMB, ("5:36 too-many-nodes more than 100000 entries",)),
    ("alias of itself", SHEET + "title: &t [*t]\n", ("6:1 value-wrong a list stands", "6:12 alias-loop has no end")),
    ("unknown alias", SHEET + "title: *t\n", ("6:8 alias-not-known no &t", "6:8 value-wrong nothing stands here")),
    ("tab in front", "job: B-1\nweb:\n\twidth: 330 mm\n", ("3:1 yaml-broken A tab sets this line in",)),
    ("key twice", SHEET + "press: other\n", ("6:1 key-twice the first is in line 3",)),
    ("merge key", SHEET + "layout:\n  <<: {lanes: 3}\n", ("7:3 key-unknown <<", "7:3 merge-key old YAML")),
    ("mark of a program", SHEET + "title: !run x\n", ("6:8 tag-not-known !run",)),
    ("list as a key", SHEET + "? [a, b]\n: 1\n", ("6:3 key-not-a-word as a key",)),
    ("half a character", SHEET + 'title: "\\ud800"\n', ("6:9 yaml-broken \\ud800 stands for no character",)),
    ("not a number", width(".nan"), ("5:14 value-wrong `.nan` is no number",)),
    ("endless number", width("-.inf"), ("5:14 value-wrong `-.inf` is no number",)),
    ("not a number, with unit", width("nan mm"), ("5:14 value-wrong 'nan mm'",)),
    ("number beyond floats", width("1e400 mm"), ("5:14 value-wrong too large to be real",)),
    ("number of 390 digits", width("9" * 390), ("5:14 value-wrong too long to be a quantity",)),
    ("number of 5000 digits", width("9" * 5000 + " mm"), ("5:14 value-wrong too long to be a quantity",)),
    (
        "count of 390 digits",
        f"{SHEET}layout: {{lanes: {'9' * 390}}}\n",
        ("6:17 size-implausible expected at most 200",),
    ),
    ("speed beyond sense", SHEET.replace("45", "1e30"), ("5:29 size-implausible between 1 m/min and 500 m/min",)),
    ("speed beyond numbers", SHEET.replace("45", "1e300"), ("5:29 value-wrong too large to be real",)),
    ("width below nothing", width("-330 mm"), ("5:14 size-implausible between 20 mm and 1500 mm",)),
    ("no unit", width("330"), ("5:14 unit-missing 330 has no unit",)),
    ("unknown unit", width("330 mmm"), ("5:14 unit-unknown mmm",)),
    ("unit of something else", width("330 N"), ("5:14 dimension-wrong 330 N is a force, not a length",)),
    ("yes in place of a size", width("true"), ("5:14 value-wrong and `true` stands here",)),
    ("no such day", SHEET + "date: 2026-02-30\n", ("6:7 value-wrong 2026-02-30 is no day",)),
    ("unknown word", SHEET.replace("planned", "printed"), ("2:8 value-wrong the text `printed`",)),
    ("unknown key", SHEET + "wbe: {}\n", ("6:1 key-unknown `wbe` is not known",)),
    (
        "path as a group",
        SHEET + "path: {unwind: {}}\n",
        ("6:1 value-wrong must be a list or a word or text, and a group of keys",),
    ),
    ("path of a word", SHEET + "path: [unwind]\n", ("6:8 value-wrong the text `unwind`",)),
    ("path of two in one", SHEET + "path: [{unwind: {}, slit: {}}]\n", ("6:21 value-wrong at most 1 key",)),
    ("path of nobody knows", SHEET + "path: [{unwnd: {}}]\n", ("6:9 key-unknown `unwnd`",)),
    ("nothing anywhere", NOTHING, tuple(f"{line}:1 value-wrong nothing stands here" for line in range(1, 12))),
    ("list as a root", "- job: 1\n", ("1:1 value-wrong must be a group of keys, and a list",)),
    ("number as a root", "42\n", ("1:1 value-wrong the number `42`",)),
    ("text as a root", "hello world\n", ("1:1 value-wrong the text `hello world`",)),
    ("no job number", SHEET.replace("job: B-1\n", ""), ("1:1 key-missing The key `job` is missing",)),
    ("list as a job number", SHEET.replace("B-1", "[1]"), ("1:1 value-wrong and a list stands here",)),
    ("lines that end in CR LF", width("330").replace("\n", "\r\n"), ("5:14 unit-missing 330 has no unit",)),
    ("lines that end in CR", width("330").replace("\n", "\r"), ("5:14 unit-missing 330 has no unit",)),
    ("byte order mark", "\ufeff" + width("330"), ("5:14 unit-missing 330 has no unit",)),
    ("long name", SHEET.replace("straight-8", "x" * 9_999), (f"3:8 name-unknown press {'x' * 60}… is not in the",)),
    ("very long name", SHEET.replace("straight-8", LONG), ("3:8 too-many-nodes more than 10000 characters",)),
    ("key beyond 1024 letters", SHEET + LONG + ": 1\n", ("6:1 yaml-broken no colon after its key",)),
    ("long key", SHEET + "x" * 1000 + ": 1\n", ("6:1 key-unknown xxx",)),
    ("long number", width("3" * 9_000 + " mm"), ("5:14 value-wrong too long to be a quantity",)),
    ("very long number", width("3" * 200_000 + " mm"), ("5:14 too-many-nodes more than 10000 characters",)),
    ("escape spelt out", SHEET.replace("straight-8", '"\\e[31m\\a\\x9b"'), ("3:8 name-unknown press \ufffd[31m",)),
    ("escape in a key", SHEET + '"\\e[31mk": 1\n', ("6:1 key-unknown \ufffd[31mk",)),
    ("escape as it is", SHEET + "title: \x1b[31m\n", ("6:8 file-unreadable U+001B",)),
    (
        "line that poses as another",
        SHEET.replace("straight-8", '"a\\nb:1:1: error: c"'),
        ("3:8 name-unknown press a b:",),
    ),
    (
        "unknown press",
        SHEET.replace("straight-8", "straigt-8"),
        ("3:8 name-unknown straigt-8 is not in the press reg",),
    ),
]


def found(out: str) -> list[str]:
    """Give what reading and resolving found: place, id and words."""
    lines = [
        re.fullmatch(r"(\S.*?:\d+:\d+): (?:error|warning|note): (.*)  \[([a-z-]+)\]", line) for line in out.split("\n")
    ]
    return [f"{line[1]} {line[3]} {line[2]}" for line in lines if line and READING.fullmatch(line[3])]


def assert_found(out: str, file: str, expected: tuple[str, ...]) -> None:
    """Compare what was found in a file with 'line:column id words', one for one and in order."""
    here = [line.removeprefix(f"{file}:") for line in found(out) if line.startswith(f"{file}:")]
    assert [line.split()[:2] for line in here] == [line.split()[:2] for line in expected]
    for line, wanted in zip(here, expected, strict=True):
        assert wanted.split(" ", 2)[2] in line


def in_log(out: str) -> str:
    """Give the faults of a SARIF log as lines of the text report, each at its own place, in order."""
    lines = []
    for result in json.loads(out)["runs"][0]["results"]:
        where = result["locations"][0]["physicalLocation"]
        place = f"{where['artifactLocation']['uri']}:{where['region']['startLine']}:{where['region']['startColumn']}"
        says = re.sub(r"[\x00-\x1f\x7f-\x9f]", "\ufffd", result["message"]["text"].split("\n")[0])
        if result["kind"] == "fail":
            lines.append(f"{place}: {result['level']}: {says}  [{result['ruleId']}]")
    return "\n".join(lines)


def assert_calm(done: tuple[int, str, str]) -> None:
    """No traceback, and nothing that steers a terminal."""
    _, out, err = done
    assert "Traceback" not in out + err
    assert not re.search(r"[^\n\x20-\x7e\xa0-\U0010ffff]", out + err)


def assert_neighbour(out: str) -> None:
    assert_found(out, "sheets/neighbour.yaml", ("3:14 unit-missing 330 has no unit; a length needs one",))


@pytest.mark.sample(5)
@pytest.mark.parametrize(("content", "expected"), [row[1:] for row in BAD_SHEETS], ids=[row[0] for row in BAD_SHEETS])
def test_bad_sheet(plant: Path, run: Callable, content: str | bytes, expected: tuple[str, ...]) -> None:
    raw = content if isinstance(content, bytes) else content.encode()
    (plant / "sheets/bad.yaml").write_bytes(raw)
    done = run("lint", "sheets")
    assert (done.status, done.err) == (1, "")
    log = in_log(run("lint", "sheets", "--format", "sarif").out)
    assert_found(log, "sheets/bad.yaml", expected)
    assert_neighbour(log)
    assert_calm(done)
    assert max(map(len, done.out.splitlines())) < 1000


def hints(out: str) -> str:
    return " ".join(out.split())


def test_nearest_name_is_offered(plant: Path, run: Callable) -> None:
    (plant / "sheets/bad.yaml").write_text(SHEET.replace("straight-8", "straigt-8"))
    assert "Nearest press: straight-8." in hints(run("lint", "sheets").out)


# --- files that are no files


def link(target: str) -> Callable[[Path], None]:
    return lambda path: path.symlink_to(target)


def huge(path: Path) -> None:
    path.write_text(SHEET)
    os.truncate(path, 50_000_000)


BAD_FILES: list[tuple[str, Callable[[Path], object], str]] = [
    ("link to nothing", link("gone.yaml"), "There is no such file"),
    ("link to itself", link("bad.yaml"), "The link leads in a circle"),
    ("pipe", os.mkfifo, "not an ordinary file"),
    ("50 MB", huge, "larger than 4 MB"),
    ("device", link("/dev/zero"), "The path leads out of the plant's folder"),
]


@pytest.mark.sample(4)
@pytest.mark.parametrize("asked", [("sheets",), ("sheets/bad.yaml", "sheets")], ids=["in a walk", "given"])
@pytest.mark.parametrize(("make", "says"), [row[1:] for row in BAD_FILES], ids=[row[0] for row in BAD_FILES])
def test_bad_file(plant: Path, run: Callable, make: Callable, says: str, asked: tuple[str, ...]) -> None:
    make(plant / "sheets/bad.yaml")
    done = run("lint", *asked)
    assert (done.status, done.err) == (1, "")
    assert_found(done.out, "sheets/bad.yaml", (f"1:1 file-unreadable {says}",))
    assert_neighbour(done.out)
    assert_calm(done)


@pytest.mark.skipif(os.geteuid() == 0, reason="no right is lacking to root")
def test_file_that_may_not_be_read(plant: Path, run: Callable) -> None:
    (plant / "sheets/bad.yaml").write_text(SHEET)
    (plant / "sheets/bad.yaml").chmod(0)
    done = run("lint", "sheets")
    assert_found(done.out, "sheets/bad.yaml", ("1:1 file-unreadable may not be read",))
    assert_neighbour(done.out)


def test_folder_that_cannot_be_walked(plant: Path, run: Callable, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stands for a folder without the right to read, which root has everywhere."""
    (plant / "sheets/shut").mkdir()
    scandir = os.scandir

    def refuse(path: object = ".") -> object:
        if str(path).endswith("shut"):
            raise PermissionError(13, "Permission denied", str(path))
        return scandir(path)

    monkeypatch.setattr(os, "scandir", refuse)
    done = run("lint", "sheets")
    assert done.status == 1
    assert "sheets/shut: the folder cannot be read: Permission denied" in done.out
    assert_neighbour(done.out)


@pytest.mark.parametrize("asked", ["sheets", "sheets/x.yaml"])
def test_folder_with_the_name_of_a_sheet_is_walked(plant: Path, run: Callable, asked: str) -> None:
    (plant / "sheets/x.yaml").mkdir()
    (plant / "sheets/x.yaml/in.yaml").write_text(width("330"))
    done = run("lint", asked, "sheets/neighbour.yaml")
    assert_found(done.out, "sheets/x.yaml/in.yaml", ("5:14 unit-missing 330",))
    assert_neighbour(done.out)


def test_link_of_a_folder_to_itself(plant: Path, run: Callable) -> None:
    (plant / "sheets/again").symlink_to("again")
    done = run("lint", "sheets/again", "sheets")
    assert done.status == 1
    assert_found(done.out, "sheets/again", ("1:1 file-unreadable The link leads in a circle",))
    assert_neighbour(done.out)


def test_link_to_the_folder_above_is_not_followed(plant: Path, run: Callable) -> None:
    (plant / "sheets/again").symlink_to("..")
    done = run("lint", "sheets")
    assert "read        1 file" in done.out
    assert_neighbour(done.out)


def test_folder_without_sheets_is_told(plant: Path, run: Callable) -> None:
    (plant / "sheets/none").mkdir()
    done = run("lint", "sheets/none", "sheets")
    assert done.status == 1
    assert "sheets/none: no job sheet lies below this folder" in done.out
    assert_neighbour(done.out)


NAMES = ["a b.yaml", "µ×é.yaml", "new\nline.yaml", "\x1b[31m.yaml", "-x.yaml", "%41#?.yaml"]


@pytest.mark.sample(4)
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("form", ["text", "sarif"])
def test_odd_file_name(plant: Path, run: Callable, name: str, form: str) -> None:
    (plant / "sheets" / name).write_text(width("330"))
    done = run("lint", "sheets", "--format", form)
    assert (done.status, done.err) == (1, "")
    assert_calm(done)
    if form == "text":
        shown = name.replace("\n", " ").replace("\x1b", "\ufffd")
        assert_found(done.out, f"sheets/{shown}", ("5:14 unit-missing 330",))
        assert_neighbour(done.out)


@pytest.mark.parametrize("form", ["text", "sarif"])
def test_file_name_that_is_not_utf8(plant: Path, run: Callable, form: str) -> None:
    name = os.fsencode(plant / "sheets") + b"/\xff.yaml"
    try:
        Path(os.fsdecode(name)).write_text(width("330"))
    except OSError:
        pytest.skip("this file system takes UTF-8 names only")
    done = run("lint", "sheets", "--format", form)
    assert (done.status, done.err) == (1, "")
    assert_calm(done)
    if form == "text":
        assert_found(done.out, "sheets/\ufffd.yaml", ("5:14 unit-missing 330",))


WRONG_PATHS = ["sheets/none.yaml", "sheets/\x1b[31mnone.yaml", "x" * 300, "plant.yaml/x", os.fsdecode(b"\xff.yaml")]


@pytest.mark.parametrize("path", WRONG_PATHS)
def test_path_that_is_not_there_is_wrong_use(plant: Path, run: Callable, path: str) -> None:
    done = run("lint", path, "sheets")
    assert (done.status, done.out) == (2, "")
    assert "is not there\n" in done.err
    assert_calm(done)


def test_a_sheet_that_cannot_be_read_is_not_counted_as_judged(plant: Path) -> None:
    (plant / "sheets/bad.yaml").write_text("job: A-1\n  web: {\n", encoding="utf-8")
    report = lint([plant / "sheets/bad.yaml"])
    assert (len(report.files), report.jobs) == (1, 0)
