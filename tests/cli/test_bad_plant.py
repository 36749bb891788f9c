"""Bad settings, registers and rule packs: the first two become findings, a broken pack ends the run with 2."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest

SHEET = """\
job: B-1
stage: planned
press: straight-8
web: {width: 330 mm, speed: 95 m/min}
"""
SETTINGS = """\
plant: Test
jobs: [sheets]
registers:
  presses: registers/presses.yaml
"""
NO_LOOK_UP = "sheets/bad.yaml:3:8 name-unknown press straight-8 cannot be looked up:"

BAD_PLANTS: list[tuple[str, dict[str, str], tuple[str, ...]]] = [
    (
        "register misspelt",
        {"plant.yaml": SETTINGS.replace("presses.yaml", "press.yaml")},
        (
            "plant.yaml:4:12 file-unreadable the press register registers/press.yaml cannot be read: there is no such",
            f"{NO_LOOK_UP} the press register could not be read",
        ),
    ),
    (
        "folder as a register",
        {"plant.yaml": SETTINGS.replace("/presses.yaml", "")},
        ("plant.yaml:4:12 file-unreadable this is a folder", f"{NO_LOOK_UP} the press register could not be read"),
    ),
    (
        "register that is no YAML",
        {"plant.yaml": SETTINGS, "registers/presses.yaml": "straight-8: [\n"},
        (
            "registers/presses.yaml:1:13 yaml-broken The bracket [",
            f"{NO_LOOK_UP} the press register could not be read",
        ),
    ),
    (
        "register that is a list",
        {"plant.yaml": SETTINGS, "registers/presses.yaml": "- straight-8\n"},
        ("registers/presses.yaml:1:1 value-wrong a list", f"{NO_LOOK_UP} the press register could not be read"),
    ),
    (
        "empty register",
        {"plant.yaml": SETTINGS, "registers/presses.yaml": ""},
        ("registers/presses.yaml:1:1 file-empty no entries", f"{NO_LOOK_UP} the press register could not be read"),
    ),
    (
        "empty register entry",
        {"plant.yaml": SETTINGS, "registers/presses.yaml": "straight-8:\n"},
        (
            "registers/presses.yaml:1:1 value-wrong nothing stands here",
            "sheets/bad.yaml:3:8 name-unknown press straight-8 is not in the press register",
        ),
    ),
    (
        "register not named",
        {"plant.yaml": "plant: Test\n"},
        (f"{NO_LOOK_UP} the plant has no press register",),
    ),
    (
        "unit missing in a register",
        {"plant.yaml": SETTINGS, "registers/presses.yaml": "straight-8: {width: 370}\n"},
        ("registers/presses.yaml:1:21 unit-missing 370 has no unit",),
    ),
    (
        "settings that are no YAML",
        {"plant.yaml": "plant: [\n"},
        ("plant.yaml:1:8 yaml-broken The bracket [", f"{NO_LOOK_UP} the press register could not be read"),
    ),
    (
        "empty settings",
        {"plant.yaml": ""},
        ("plant.yaml:1:1 file-empty no entries", f"{NO_LOOK_UP} the press register could not be read"),
    ),
    (
        "settings that are a list",
        {"plant.yaml": "- plant\n"},
        ("plant.yaml:1:1 value-wrong a list stands here", f"{NO_LOOK_UP} the press register could not be read"),
    ),
    (
        "unknown key in the settings",
        {"plant.yaml": SETTINGS + "ruels: []\n"},
        ("plant.yaml:5:1 key-unknown `ruels`",),
    ),
    (
        "level of an unknown rule",
        {"plant.yaml": SETTINGS + "levels:\n  unit-misssing: {level: note}\n"},
        ("plant.yaml:6:3 settings-wrong unit-misssing is no known rule",),
    ),
    (
        "unknown rule switched off",
        {"plant.yaml": SETTINGS + "switched_off: {unit-misssing: we know}\n"},
        ("plant.yaml:5:16 settings-wrong unit-misssing is no known rule",),
    ),
    (
        "unknown limit",
        {"plant.yaml": SETTINGS + "limits:\n  film_unwind_tensoin: {value: 1 lbf/in, basis: ours}\n"},
        ("plant.yaml:6:3 settings-wrong film_unwind_tensoin is no known limit",),
    ),
    (
        "limit of another dimension",
        {"plant.yaml": SETTINGS + "limits:\n  film_unwind_tension: {value: 3 N, basis: ours}\n"},
        ("plant.yaml:6:32 settings-wrong 3 N is a force, not a line tension",),
    ),
    (
        "unknown dimension",
        {"plant.yaml": SETTINGS + "units: {lin tension: N/m}\n"},
        ("plant.yaml:5:9 settings-wrong lin tension is no known dimension",),
    ),
    (
        "unit of another dimension",
        {"plant.yaml": SETTINGS + "units: {line tension: furlong}\n"},
        ("plant.yaml:5:23 settings-wrong furlong is no unit of line tension",),
    ),
]


def found(out: str) -> list[str]:
    """Give place, id and words of every fault told of the plant or of the names of the bad sheet."""
    lines = re.findall(r"^(\S+:\d+:\d+): (?:error|warning|note): (.*)  \[([a-z-]+)\]$", out, re.MULTILINE)
    return [f"{place} {name} {says}" for place, says, name in lines if _asked(place, name)]


def _asked(place: str, name: str) -> bool:
    if "sheets/" in place:
        return name == "name-unknown"
    return re.fullmatch("(file|yaml|key|value|unit|name|settings)-[a-z]+", name) is not None


def write(plant: Path, files: dict[str, str]) -> None:
    for name, text in {"sheets/bad.yaml": SHEET, **files}.items():
        (plant / name).parent.mkdir(parents=True, exist_ok=True)
        (plant / name).write_text(text)


def assert_found(out: str, expected: tuple[str, ...]) -> None:
    here = found(out)
    assert [line.split()[:2] for line in here] == [line.split()[:2] for line in expected]
    for line, wanted in zip(here, expected, strict=True):
        assert wanted.split(" ", 2)[2] in line
    assert "sheets/neighbour.yaml:3:14: error: 330 has no unit" in out
    assert "Traceback" not in out


@pytest.mark.sample(4)
@pytest.mark.parametrize(("files", "expected"), [row[1:] for row in BAD_PLANTS], ids=[row[0] for row in BAD_PLANTS])
def test_bad_plant(plant: Path, run: Callable, files: dict[str, str], expected: tuple[str, ...]) -> None:
    write(plant, files)
    done = run("lint", "sheets")
    assert (done.status, done.err) == (1, "")
    assert_found(done.out, expected)


def make_folder(path: Path) -> None:
    path.mkdir()


ODD_SETTINGS = [
    ("a folder", make_folder, "This is a folder"),
    ("a link to nothing", lambda path: path.symlink_to("gone"), "There is no such file"),
    ("a link to itself", lambda path: path.symlink_to("plant.yaml"), "The link leads in a circle"),
    ("a pipe", os.mkfifo, "This is not an ordinary file"),
]


@pytest.mark.sample(4)
@pytest.mark.parametrize(("make", "says"), [row[1:] for row in ODD_SETTINGS], ids=[row[0] for row in ODD_SETTINGS])
def test_settings_that_are_no_file_are_not_passed_over(plant: Path, run: Callable, make: Callable, says: str) -> None:
    write(plant, {})
    (plant / "plant.yaml").unlink()
    make(plant / "plant.yaml")
    (plant.parent / "plant.yaml").write_text("plant: Another\nplants: [plant]\n")
    done = run("lint", "sheets")
    expected = (f"plant.yaml:1:1 file-unreadable {says}", f"{NO_LOOK_UP} the press register could not be read")
    assert_found(done.out, expected)


def test_sheet_without_a_plant(plant: Path, run: Callable) -> None:
    write(plant, {})
    (plant / "plant.yaml").unlink()
    assert_found(run("lint", "sheets").out, (f"{NO_LOOK_UP} no folder above this sheet holds a plant.yaml",))


def test_job_folder_that_is_not_there(plant: Path, run: Callable) -> None:
    write(plant, {"plant.yaml": SETTINGS.replace("[sheets]", "[sheets, jobs]")})
    assert_found(run("lint", "sheets").out, ("plant.yaml:2:16 settings-wrong the job folder jobs is not there",))


def test_plant_without_any_sheet_is_told_of_its_faults(plant: Path, run: Callable) -> None:
    write(plant, {"plant.yaml": SETTINGS.replace("[sheets]", "[jobs]")})
    done = run("lint", ".")
    assert done.status == 1
    assert "plant.yaml:2:8: error: the job folder jobs is not there" in done.out
    assert ".: no job sheet lies below this folder" in done.out


def test_nested_plants_keep_their_own_registers_and_folders(plant: Path, run: Callable) -> None:
    other = plant / "other"
    write(
        other, {"plant.yaml": SETTINGS, "registers/presses.yaml": "press-2: {width: 1 m}\n", "house/own.yaml": "x: 1\n"}
    )
    (plant / "plant.yaml").write_text(SETTINGS + "plants: [other]\n")
    done = run("lint", "other", "sheets")
    assert "other/sheets/bad.yaml:3:8: error: press straight-8 is not in the press register" in done.out
    assert [line for line in found(done.out) if not line.startswith("sheets/")] == [
        "other/sheets/bad.yaml:3:8 name-unknown press straight-8 is not in the press register"
    ]


def test_step_up_does_not_lead_into_the_plant_one_comes_from(plant: Path, run: Callable, tmp_path: Path) -> None:
    (tmp_path / "loose.yaml").write_text(SHEET)
    done = run("lint", "sheets/../../loose.yaml")
    assert "loose.yaml:3:8: error: press straight-8 cannot be looked up: no folder above this sheet" in done.out


def test_file_named_twice_in_different_ways_is_read_once(plant: Path, run: Callable) -> None:
    done = run("lint", "sheets/neighbour.yaml", "./sheets/../sheets/neighbour.yaml", "sheets")
    assert "read        1 file" in done.out


@pytest.mark.sample(3)
@pytest.mark.parametrize("name", ["plant.yaml", "registers/presses.yaml", "house/own.yaml"])
def test_plant_files_that_are_named_are_not_taken_for_sheets(plant: Path, run: Callable, name: str) -> None:
    """A hook that names every changed file names these too."""
    write(plant, {"plant.yaml": SETTINGS + "rules: [house]\n", "house/own.yaml": PACK})
    done = run("lint", name)
    assert done.err == ""
    assert found(done.out) == []


# --- rule packs

PACK = """\
pack: House
limits:
  house_speed: {value: 60 m/min, basis: house}
rules:
  - rule: too-fast-here
    title: Too fast here
    level: warning
    requires: {web.speed: {at_most: limit.house_speed}}
    says: The web runs at {web.speed}
    because: It flutters.
    proof:
      - {case: fast, change: {web.speed: 90 m/min}, verdict: fail, at: web.speed}
      - {case: slow, verdict: pass}
"""
FAILING = PACK.splitlines(keepends=True)[11]
ONE_RULE = PACK[PACK.index("  - rule") :]

BAD_PACKS: list[tuple[str, str, str]] = [
    ("no YAML", PACK + "  - [\n", "14:5: error: The bracket [ is never closed.  [yaml-broken]"),
    ("empty", "", "1:1: error: The file holds no entries.  [file-empty]"),
    ("list", "- 1\n", "1:1: error: The sheet must be a group of keys, and a list stands here.  [value-wrong]"),
    ("escape", PACK + "# \x1b[31m\n", "14:3: error: A control character (U+001B) stands in the text."),
    ("unknown figure", PACK.replace("{web.speed: {at", "{web.sped: {at"), "8:16: error: web.sped is no known figure"),
    ("wrong dimension", PACK.replace("60 m/min", "60 N"), "8:37: error: web.speed is a speed, but"),
    (
        "unknown kind",
        PACK.replace("    says", "    for_each: uv lmp\n    says"),
        "9:15: error: uv lmp is no known kind",
    ),
    ("unknown stage", PACK.replace("level: warning", "level: note\n    from_stage: no"), "8:17: error: `from_stage`"),
    ("unknown level", PACK.replace("warning", "severe"), "7:12: error: `level` cannot be the text `severe`."),
    ("rule twice", PACK + ONE_RULE, "14:11: error: rule too-fast-here is there twice; first at house/own.yaml:5:11"),
    (
        "limit without basis",
        PACK.replace(", basis: house", ""),
        "3:3: error: The key `basis` is missing in `house_speed`.",
    ),
    ("no failing case", PACK.replace(FAILING, ""), "5:11: error: rule too-fast-here has no case that must fail"),
    ("unknown key", PACK.replace("because", "becuase"), "10:5: error: The key `becuase` is not known."),
    ("unknown figure in text", PACK.replace("at {web.speed", "at {web.sped"), "9:28: error: in says: web.sped is no"),
    (
        "open brace",
        PACK.replace("at {web.speed}", "at {web.speed"),
        "9:11: error: in says: braces in 'The web runs at {web.speed' do not pair",
    ),
    (
        "bounds that exclude each other",
        PACK.replace("{at_most: limit.house_speed}", "{between: [60 m/min, 40 m/min]}"),
        "8:37: error: no job can meet this: 'web.speed at least 60 m/min' and 'web.speed at most 40 m/min'",
    ),
    (
        "id of a shipped rule",
        PACK.replace("too-fast-here", "unit-missing"),
        "5:11: error: rule unit-missing is there twice",
    ),
    (
        "escape in a figure",
        PACK.replace("{web.speed: {at", '{"\\e[31m": {at'),
        "8:16: error: '\ufffd[31m' cannot be read",
    ),
]
NEAREST = {
    "unknown figure": "Nearest: web.speed.",
    "unknown kind": "Nearest: uv lamp.",
    "unknown key": "Did you mean `because`?",
    "unknown figure in text": "Nearest: web.speed.",
    "unknown stage": "Allowed: planned, set-up, running, finishing, released.",
    "unknown level": "Allowed: error, warning, note.",
}


def test_sound_pack_is_used(plant: Path, run: Callable) -> None:
    write(plant, {"plant.yaml": SETTINGS + "rules: [house]\n", "house/own.yaml": PACK})
    done = run("lint", "sheets")
    assert done.status == 1
    assert "sheets/bad.yaml:4:29: warning: The web runs at 95 m/min  [too-fast-here]" in done.out


@pytest.mark.sample(5)
@pytest.mark.parametrize(("name", "pack", "says"), BAD_PACKS, ids=[row[0] for row in BAD_PACKS])
@pytest.mark.parametrize("listed", ["house", "house/own.yaml"])
def test_bad_pack_ends_the_run(plant: Path, run: Callable, name: str, pack: str, says: str, listed: str) -> None:
    write(plant, {"plant.yaml": SETTINGS + f"rules: [{listed}]\n", "house/own.yaml": pack})
    done = run("lint", "sheets")
    assert (done.status, done.out) == (2, "")
    assert f"house/own.yaml:{says}" in done.err
    assert NEAREST.get(name, "") in done.err
    assert not re.search("Traceback|[^\n\x20-\x7e\xa0-\U0010ffff]", done.err)


def test_pack_that_is_not_there(plant: Path, run: Callable) -> None:
    write(plant, {"plant.yaml": SETTINGS + "rules: [house/none.yaml]\n"})
    done = run("lint", "sheets")
    assert (done.status, done.out) == (2, "")
    assert done.err.startswith("plant.yaml:5:9: rule pack house/none.yaml is not there\n")


def test_pack_folder_that_holds_none(plant: Path, run: Callable) -> None:
    write(plant, {"plant.yaml": SETTINGS + "rules: [house]\n", "house/README.md": ""})
    done = run("lint", "sheets")
    assert done.status == 2
    assert done.err.startswith("plant.yaml:5:9: rule pack house holds no rules\n")


NO_FILES = [
    (make_folder, "This is a folder, not a file."),
    (os.mkfifo, "This is not an ordinary file."),
    (lambda path: path.symlink_to("/dev/zero"), "This is not an ordinary file."),
    (lambda path: path.symlink_to("a.yaml"), "The link leads in a circle."),
    (lambda path: path.symlink_to("gone"), "There is no such file."),
]


@pytest.mark.sample(3)
@pytest.mark.parametrize(("make", "says"), NO_FILES)
def test_pack_that_is_no_file(
    plant: Path, run: Callable, monkeypatch: pytest.MonkeyPatch, make: Callable, says: str
) -> None:
    write(plant, {"plant.yaml": SETTINGS + "rules: [house]\n", "house/own.yaml": PACK})
    make(plant / "house/a.yaml")
    monkeypatch.setenv("FILMCHECK_ALSO_READ", "/dev")
    done = run("lint", "sheets")
    assert (done.status, done.out) == (2, "")
    assert done.err.startswith(f"house/a.yaml:1:1: error: {says}")
