"""The options of ``lint``, its exit statuses, and that what it teaches in its help is there."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import click
import pytest

import filmcheck
import filmcheck.cli.lint as lint_module
from filmcheck.cli.main import COMMANDS
from filmcheck.cli.main import filmcheck as filmcheck_group

SHEET = "sheets/film-label.yaml"
LEVELS = ("error", "warning", "note")

HOUSE = """\
pack: House
limits:
  house_speed: {value: 40 m/min, basis: house}
  house_age: {value: 10 d, basis: house}
rules:
  - rule: too-fast-here
    title: Too fast here
    level: LEVEL
    requires: {web.speed: {at_most: limit.house_speed}}
    says: The web runs at {web.speed}
    because: It flutters.
    proof:
      - {case: fast, verdict: fail, at: web.speed}
      - {case: slow, change: {web.speed: 30 m/min}, verdict: pass}
  - rule: ground-old-here
    title: The ground was measured long ago
    level: note
    requires: {"job.day - preparation.ground.checked": {at_most: limit.house_age}}
    says: The ground was last measured on {preparation.ground.checked}
    because: Straps come off.
    proof:
      - {case: old, change: {preparation.ground.checked: 2026-01-02}, verdict: fail}
      - {case: new, verdict: pass}
"""


@pytest.fixture
def job(plant: Path) -> Path:
    """Give a plant with one sound sheet that a house rule, of level warning, objects to."""
    (plant / "sheets/neighbour.yaml").unlink()
    text = (plant.parent / "film-label.yaml").read_text(encoding="utf-8")
    (plant / SHEET).write_text(text, encoding="utf-8")
    settings = (plant / "plant.yaml").read_text(encoding="utf-8")
    (plant / "plant.yaml").write_text(settings + "rules: [house]\n", encoding="utf-8")
    (plant / "house").mkdir()
    set_level(plant, "warning")
    return plant


def set_level(job: Path, level: str) -> None:
    (job / "house/own.yaml").write_text(HOUSE.replace("LEVEL", level), encoding="utf-8")


def change(job: Path, old: str, new: str) -> None:
    text = (job / SHEET).read_text(encoding="utf-8")
    assert old in text
    (job / SHEET).write_text(text.replace(old, new), encoding="utf-8")


# --- exit status


@pytest.mark.sample(100)
@pytest.mark.parametrize("fail_from", [*LEVELS, "never"])
@pytest.mark.parametrize("level", LEVELS)
def test_exit_status_by_level(job: Path, run: Callable, level: str, fail_from: str) -> None:
    set_level(job, level)
    grave = fail_from in LEVELS and LEVELS.index(level) <= LEVELS.index(fail_from)
    done = run("lint", "sheets", "--fail-from", fail_from)
    assert (done.status, done.err) == (int(grave), "")
    assert f": {level}: The web runs at 45 m/min  [too-fast-here]" in done.out


@pytest.mark.sample(3)
@pytest.mark.parametrize("level", LEVELS)
def test_notes_do_not_fail_unless_asked(job: Path, run: Callable, level: str) -> None:
    set_level(job, level)
    assert run("lint", "sheets").status == (0 if level == "note" else 1)


def test_sound_sheet(job: Path, run: Callable) -> None:
    change(job, "45 m/min", "40 m/min")
    done = run("lint", "sheets")
    assert (done.status, done.err) == (0, "")
    assert not re.search(": (error|warning): ", done.out)


def test_undecided_rule_does_not_fail_but_is_told(job: Path, run: Callable) -> None:
    change(job, ", speed: 45 m/min", "")
    done = run("lint", "sheets", "--fail-from", "note", "--full")
    lacks = r"cannot tell: PG-1001 lacks web\.speed; write what was set there, as `speed: …`  \[(.*)\]$"
    told = re.search(lacks, done.out, re.MULTILINE)
    assert told is not None
    assert "too-fast-here" in told[1].split(", ")


def test_fault_of_our_own_is_three(job: Path, run: Callable, monkeypatch: pytest.MonkeyPatch) -> None:
    def break_down(*_: object, **__: object) -> None:
        raise ZeroDivisionError("by \x1b[31mzero")

    monkeypatch.setattr(lint_module, "lint", break_down)
    done = run("lint", "sheets")
    assert (done.status, done.out) == (3, "")
    assert done.err.startswith("filmcheck has a fault of its own: ZeroDivisionError: by \ufffd[31mzero\n")
    assert "Traceback" not in done.err


WRONG_USE = [
    ([], "Usage:"),
    (["lnt"], "No such command 'lnt'"),
    (["lint", "sheets", "--fail-from", "grave"], "'grave' is not one of 'error', 'warning', 'note', 'never'"),
    (["lint", "sheets", "--format", "html"], "'html' is not one of 'text', 'sarif', 'markdown'"),
    (["lint", "sheets", "--today", "2026-13-01"], "2026-13-01"),
    (["lint", "sheets", "--formt", "text"], "--format"),
    (["lint", "sheets", "--to", "registers"], "is a directory"),
    (["lint", "sheets", "--\x1b[31m"], "[31m"),
]


@pytest.mark.parametrize(("words", "says"), WRONG_USE)
def test_wrong_use_is_two(job: Path, run: Callable, words: Sequence[str], says: str) -> None:
    done = run(*words)
    assert (done.status, done.out) == (2, "")
    assert says in done.err
    assert "Traceback" not in done.err
    assert "\x1b" not in done.err


# --- what is reported


def test_passes_are_told_when_asked(job: Path, run: Callable) -> None:
    change(job, "45 m/min", "40 m/min")
    place = rf"^{SHEET}:\d+:\d+: too-fast-here"
    assert not re.search(place, run("lint", "sheets").out, re.MULTILINE)
    told = run("lint", "sheets", "--passes").out
    assert re.search(place, told[told.index("Checked and passed") :], re.MULTILINE)


@pytest.mark.parametrize(("today", "old"), [("2026-11-30", False), ("2026-12-01", True)])
def test_today_stands_in_for_a_missing_date(job: Path, run: Callable, today: str, old: bool) -> None:
    """The ground was checked on 2026-11-20; ten days later is the 30th."""
    change(job, "date: 2026-11-24\n", "")
    assert ("[ground-old-here]" in run("lint", "sheets", "--today", today).out) == old


def test_date_of_the_sheet_goes_before_today(job: Path, run: Callable) -> None:
    assert "[ground-old-here]" not in run("lint", "sheets", "--today", "2027-12-01").out


def sarif(text: str) -> dict[str, Any]:
    log = json.loads(text)
    assert log["version"] == "2.1.0"
    run: dict[str, Any] = log["runs"][0]
    return run


def sarif_places(text: str) -> list[tuple[str, int, int, str]]:
    places = []
    for result in sarif(text)["results"]:
        if result.get("kind", "fail") == "fail":
            place = result["locations"][0]["physicalLocation"]
            region = place["region"]
            at = (place["artifactLocation"]["uri"], region["startLine"], region.get("startColumn", 1))
            places.append((*at, result["ruleId"]))
    return sorted(places)


def text_places(text: str) -> list[tuple[str, int, int, str]]:
    found = re.findall(r"^(\S+):(\d+):(\d+): (?:error|warning|note): .*  \[([a-z-]+)\]$", text, re.MULTILINE)
    return sorted((file, int(line), int(column), rule) for file, line, column, rule in found)


@pytest.mark.slow
def test_sarif_and_text_point_at_the_same_places(job: Path, run: Callable) -> None:
    change(job, "width: 330 mm", "width: 330")
    change(job, "press: straight-8", "press: straigt-8")
    (job / "sheets/broken.yaml").write_text("job: [\n")
    (job / "registers/customers.yaml").write_text("six-inch: {core: 6}\n")
    text, log = run("lint", "sheets", "--full").out, run("lint", "sheets", "--format", "sarif").out
    assert sarif_places(log) == text_places(text)
    rules = {rule for *_, rule in text_places(text)}
    assert {"unit-missing", "name-unknown", "yaml-broken", "too-fast-here"} <= rules


def test_run_id(job: Path, run: Callable) -> None:
    log = sarif(run("lint", "sheets", "--format", "sarif", "--run-id", "jobs/nightly/").out)
    assert log["automationDetails"]["id"] == "jobs/nightly/"


@pytest.mark.slow
def test_same_bytes_every_time(job: Path, run: Callable) -> None:
    (job / "sheets/broken.yaml").write_text("wbe: 1\nstgae: 2\n")
    for form in ("text", "sarif"):
        first, second = (run("lint", "sheets", "--format", form, "--today", "2026-11-25").out for _ in "12")
        assert first == second


# --- where to


@pytest.mark.parametrize("form", ["text", "sarif"])
def test_report_to_a_file(job: Path, run: Callable, form: str) -> None:
    printed = run("lint", "sheets", "--format", form)
    done = run("lint", "sheets", "--format", form, "--to", "report.out")
    assert (done.status, done.err) == (1, "")
    assert f"{SHEET}:10:45: warning: The web runs at 45 m/min  [too-fast-here]\n" in done.out, "a short log"
    assert (job / "report.out").read_bytes() == printed.out.encode()


def test_report_into_a_folder_that_is_not_there(job: Path, run: Callable) -> None:
    done = run("lint", "sheets", "--to", "no/report.txt")
    assert (done.status, done.out) == (2, "")
    assert done.err == "no/report.txt cannot be written: its folder is not there\n  Make the folder first.\n"


@pytest.mark.parametrize("name", [SHEET, "plant.yaml", "registers/presses.yaml", "new.yml"])
def test_report_is_not_written_over_a_sheet_or_register(job: Path, run: Callable, name: str) -> None:
    before = (job / name).read_bytes() if (job / name).exists() else None
    done = run("lint", "sheets", "--to", name)
    assert (done.status, done.out) == (2, "")
    assert f"a report is not written to {name}" in done.err
    assert ((job / name).read_bytes() if (job / name).exists() else None) == before


@pytest.mark.parametrize("by_link", [False, True])
def test_report_is_not_written_over_a_json_sheet_of_the_run(job: Path, run: Callable, by_link: bool) -> None:
    (job / "sheets/b.json").write_text('{"job": "B-1", "stage": "planned"}')
    (job / "link").symlink_to("sheets/b.json")
    done = run("lint", "sheets", "--to", "link" if by_link else "sheets/b.json")
    assert done.status == 2
    assert (job / "sheets/b.json").read_text() == '{"job": "B-1", "stage": "planned"}'


# --- help


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_every_option_says_what_it_does(name: str) -> None:
    inner = filmcheck_group.get_command(click.Context(filmcheck_group), name)
    assert inner is not None
    every = [inner, *(inner.commands.values() if isinstance(inner, click.Group) else ())]
    options = [option for each in every for option in each.params if isinstance(option, click.Option)]
    assert [option.name for option in options if not option.help] == []
    assert all(each.help for each in every)


TAUGHT = [
    (["--help"], ["lint", "rules", "Exit status:", "0 nothing", "1 findings", "2 wrong use", "3 a fault of filmcheck"]),
    (["lint", "--help"], ["plant.yaml", "walked", "registers", "house rules", "--fail-from", "[default: warning]"]),
]


@pytest.mark.parametrize(("words", "taught"), TAUGHT)
def test_help_teaches(run: Callable, words: Sequence[str], taught: Sequence[str]) -> None:
    done = run(*words)
    assert (done.status, done.err) == (0, "")
    assert [piece for piece in taught if piece not in " ".join(done.out.split())] == []


@pytest.mark.parametrize("words", [["--help"], ["rules", "--help"]])
def test_the_list_of_commands_cuts_no_line(run: Callable, words: Sequence[str]) -> None:
    told = run(*words).out.partition("Commands:\n")[2].rstrip().splitlines()
    assert len(told) > 3
    assert [line for line in told if not line.endswith(".") or line.endswith("...") or len(line) > 80] == []


# --- a process of its own: what a shell sees

PYTHON = {**os.environ, "PYTHONPATH": str(Path(str(filmcheck.__file__)).parents[1])}


def started(*words: str, **how: Any) -> subprocess.CompletedProcess[str]:
    line = [sys.executable, "-m", "filmcheck", *words]
    environment = {**PYTHON, **how.pop("env", {})}
    return subprocess.run(line, stderr=subprocess.PIPE, text=True, env=environment, check=False, timeout=60, **how)


def test_process_says_the_same(job: Path, run: Callable) -> None:
    done = started("lint", "sheets", stdout=subprocess.PIPE)
    assert (done.returncode, done.stdout, done.stderr) == run("lint", "sheets")


@pytest.mark.slow
def test_broken_pack_in_a_process(job: Path) -> None:
    set_level(job, "grave")
    done = started("lint", "sheets", stdout=subprocess.PIPE)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("house/own.yaml:8:12: error: `level` cannot be the text `grave`.")


@pytest.mark.parametrize("form", ["text", "sarif"])
def test_reader_that_has_gone(job: Path, form: str) -> None:
    """As behind ``| head``: nothing is complained of, and the status is still that of the findings."""
    read, write = os.pipe()
    os.close(read)
    try:
        done = started("lint", "sheets", "--format", form, stdout=write)
    finally:
        os.close(write)
    assert (done.returncode, done.stderr) == (1, "")


@pytest.mark.slow
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full device here")
def test_full_disk(job: Path) -> None:
    with open("/dev/full", "w") as full:
        done = started("lint", "sheets", stdout=full)
    assert done.returncode == 2
    assert done.stderr == "the report cannot be written to standard output: No space left on device\n"
    done = started("lint", "sheets", "--to", "/dev/full", stdout=subprocess.PIPE)
    assert (done.returncode, done.stderr) == (
        2,
        "/dev/full is not written: it is no ordinary file\n  Name a file.\n",
    )


@pytest.mark.parametrize(("form", "encoding", "name"), [("text", "latin-1", "größe-?"), ("sarif", "utf-8", "größe-Ω")])
def test_terminal_with_few_letters(job: Path, form: str, encoding: str, name: str) -> None:
    """A letter that the terminal lacks must not end the run; JSON is UTF-8 whatever the terminal (RFC 8259, 8.1)."""
    change(job, "press: straight-8", "press: größe-Ω")
    few = {"PYTHONIOENCODING": "latin-1"}
    done = started("lint", "sheets", "--format", form, stdout=subprocess.PIPE, env=few, encoding=encoding)
    assert (done.returncode, done.stderr) == (1, "")
    assert f"press {name} is not in the press register" in done.stdout


def test_closed_output(job: Path) -> None:
    line = f'"{sys.executable}" -m filmcheck lint sheets >&-'
    done = subprocess.run(["sh", "-c", line], capture_output=True, text=True, env=PYTHON, check=False, timeout=60)
    assert (done.returncode, done.stderr) == (1, "")
    line = f'"{sys.executable}" -m filmcheck lint none 2>&-'
    done = subprocess.run(["sh", "-c", line], capture_output=True, text=True, env=PYTHON, check=False, timeout=60)
    assert (done.returncode, done.stdout) == (2, "")
