"""Corrections: only spans change, every one was judged, and a file is old or new, never else."""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import time
from pathlib import Path

import pytest
from benches import DAY, PROVING, ready
from click.testing import CliRunner

from filmcheck import lint
from filmcheck.cli.correct import correct_command
from filmcheck.records.errors import UseError
from filmcheck.records.finding import Edit
from filmcheck.reports.sarif import sarif_text
from filmcheck.running.correct_run import form_corrections, start_correcting, with_set_point, write_corrected
from filmcheck.windows.spans import SpanError, applied, quoted_alike

SHEET = PROVING / "sheets/film-label.yaml"
SOUND = SHEET.read_text(encoding="utf-8").replace("stage: released", "stage: running")
"""At a stage at which everything can still be set; of a job that has run no value is offered."""


@pytest.fixture
def plant(tmp_path: Path) -> Path:
    return Path(shutil.copytree(PROVING, tmp_path / "plant"))


def sheet_of(plant: Path, text: str, *, raw: bytes | None = None) -> Path:
    path = plant / "sheets/film-label.yaml"
    path.write_bytes(text.encode("utf-8") if raw is None else raw)
    return path


def run(path: Path, *options: str) -> tuple[int, str]:
    result = CliRunner().invoke(correct_command, [str(path), "--today", "2026-12-01", *options], standalone_mode=False)
    code = result.exception.code if isinstance(result.exception, SystemExit) else 0
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return int(code or 0), result.output


def offset(text: str, line: int, column: int) -> int:
    """Find an offset by counting line ends one by one: LF, CR LF and CR (YAML 1.2.2, 5.4)."""
    at = 0
    for _ in range(line - 1):
        ends = [end for end in (text.find("\n", at), text.find("\r", at)) if end >= 0]
        at = min(ends) + (2 if text[min(ends) : min(ends) + 2] == "\r\n" else 1)
    return at + column - 1


@pytest.mark.parametrize("times", [500, pytest.param(10_000, marks=pytest.mark.slow)])
def test_random_edits_leave_all_else_as_it_is(times: int) -> None:
    chance = random.Random(times)  # noqa: S311
    points = [at for at in ready(SHEET).points if not at.steps]
    for _ in range(times):
        text = chance.choice(
            [SOUND, SOUND.replace("\n", "\r\n"), SOUND.replace("#", "# µ \U0001f4c4 €"), SOUND + "# end"]
        )
        edits = [Edit(at.datum.place, f"{chance.randrange(9999)} N") for at in chance.sample(points, 3)]
        new = applied(text, edits)
        spans = sorted(
            (offset(text, s.line, s.column), offset(text, s.end_line, s.end_column), edit.text)
            for edit in edits
            for s in [edit.place.span]
        )
        was = now = 0
        for start, end, written in spans:
            kept = text[was:start]
            assert new[now : now + len(kept)] == kept
            now += len(kept)
            assert new[now : now + len(written)] == written
            now += len(written)
            was = end
        assert new[now:] == text[was:]


@pytest.mark.parametrize(
    ("old", "new", "want"),
    [
        ("46 N", "52 N", "52 N"),
        ('"46 N"', "52 N", '"52 N"'),
        ("'46 N'", "it's", "'it''s'"),
        ('"a"', 'b"\\', '"b\\"\\\\"'),
    ],
)
def test_quoting_stays(old: str, new: str, want: str) -> None:
    assert quoted_alike(old, new) == want


@pytest.mark.parametrize(("old", "new"), [("&t 46 N", "52 N"), ("*t", "52 N"), ("|\n 46 N", "52 N"), ("46 N", "a: b")])
def test_what_is_no_plain_value_is_left_alone(old: str, new: str) -> None:
    with pytest.raises(SpanError):
        quoted_alike(old, new)


STYLES = {
    "flow": ("nip: {name: infeed, tension: 46 N}", "nip: {name: infeed, tensoin: 46 N}"),
    "block": ("      control: closed loop\n", "      contrl: closed loop\n"),
    "comment": ("      control: closed loop\n", "      contrl: closed loop  # as the maker set it\n"),
}


@pytest.mark.sample(5)
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("style", STYLES)
def test_a_key_is_spelled_and_nothing_else_changes(plant: Path, style: str, mark: bytes, ends: str) -> None:
    sound, wrong = STYLES[style]
    assert sound in SOUND
    text = SOUND.replace(sound, wrong, 1).replace("\n", ends)
    path = sheet_of(plant, "", raw=mark + text.encode())
    code, shown = run(path)
    assert code == 1
    assert "\n-" in shown
    assert "\n+" in shown
    assert path.read_bytes() == mark + text.encode()
    assert run(path, "--yes")[0] == 0
    right = wrong.replace("tensoin", "tension").replace("contrl", "control")
    assert path.read_bytes() == mark + SOUND.replace(sound, right, 1).replace("\n", ends).encode()
    before = path.read_bytes()
    run(path, "--yes")
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("old", "new"),
    [("45 m/min", "45 m/mni"), ("die: d-96-film23", "die: d-96-flim23"), ("press: straight-8", "press: strait-8")],
)
def test_units_and_names_are_spelled(plant: Path, old: str, new: str) -> None:
    assert old in SOUND
    path = sheet_of(plant, SOUND.replace(old, new, 1))
    run(path, "--yes")
    assert path.read_text(encoding="utf-8") == SOUND


def test_what_guards_people_is_not_corrected(plant: Path) -> None:
    text = SOUND.replace("unwind: 0.4 ohm", "unwind: 0.4 Ohmm", 1)
    assert text != SOUND
    path = sheet_of(plant, text)
    run(path, "--yes")
    assert path.read_text(encoding="utf-8") == text


def test_a_set_point_is_written_only_by_name(plant: Path) -> None:
    text = SOUND.replace("setting: 58 %", "setting: 90 %", 1)
    path = sheet_of(plant, text)
    code, shown = run(path, "--yes")
    assert code == 1
    assert "uv lamp 1.setting" in shown
    assert path.read_text(encoding="utf-8") == text
    run(path, "--set", "uv lamp 1.setting")
    now = path.read_text(encoding="utf-8")
    assert now == text.replace("setting: 90 %", "setting: 59 %", 1)
    assert [one.rule for one in lint([path]).findings if one.kind == "fail"] == []
    run(path, "--set", "uv lamp 1.setting")
    assert path.read_text(encoding="utf-8") == now


def test_what_a_set_up_says_is_corrected_on_the_sheet(tmp_path: Path) -> None:
    home = Path(shutil.copytree(PROVING.parents[1] / "examples", tmp_path / "plant"))
    register = home / "registers/set-ups.yaml"
    said = register.read_text(encoding="utf-8").replace("uv lamp: {setting: 58 %", "uv lamp: {setting: 90 %", 1)
    register.write_text(said, encoding="utf-8")
    path = next((home / "jobs/sound").glob("*3101*"))
    text = path.read_text(encoding="utf-8").replace("\n", "\r\n")
    path.write_bytes(text.encode())
    run(path, "--set", "uv lamp 1.setting")
    now = text.replace("{setting: 57 %}}", "{setting: 57 %}, uv lamp 1: {setting: 59 %}}")
    assert path.read_bytes() == now.encode()
    assert register.read_text(encoding="utf-8") == said
    run(path, "--set", "uv lamp 1.setting")
    assert path.read_bytes() == now.encode()


ANCHORS = {
    "an anchor elsewhere": (
        "chill roll: &cold {temperature: 18 degC}",
        "chill roll: *cold",
        "setting: 90 %",
        "setting: 59 %",
    ),
    "the anchor's own value": ("chill roll: &cold {temperature: 8 degC}", "chill roll: *cold", "8 degC", "14 degC"),
}


@pytest.mark.parametrize("case", ANCHORS)
def test_beside_anchors_a_value_is_written_and_nothing_else_changes(plant: Path, case: str) -> None:
    """What an alias repeats changes with its anchor, and is judged so."""
    first, second, old, new = ANCHORS[case]
    text = SOUND.replace("chill roll: {temperature: 18 degC}", first, 1)
    text = text.replace("chill roll: {temperature: 18 degC}", second, 1)
    text = text.replace("setting: 58 %", old, 1) if "setting" in old else text
    path = sheet_of(plant, text)
    address = "uv lamp 1.setting" if "setting" in old else "chill roll (1 of 2).temperature"
    assert "lamp-above-need" in run(path)[1] or "chill-below-dew-point" in run(path)[1]
    run(path, "--set", address)
    assert path.read_bytes() == text.replace(old, new, 1).encode()
    assert "nothing to correct" in run(path)[1]


def test_an_alias_is_not_written_over(plant: Path) -> None:
    text = SOUND.replace("setting: 58 %", "setting: &high 58 %", 1)
    text = text.replace("setting: 56 %, cure_minimum: 52 %", "setting: *high , cure_minimum: 40 %", 1)
    path = sheet_of(plant, text)
    assert "path/uv lamp 2/lamp-above-need" in {one.address for one in lint([path]).findings if one.kind == "fail"}
    run(path, "--set", "uv lamp 2.setting")
    assert path.read_bytes() == text.encode()


def test_the_fixes_in_sarif_are_the_same_bytes(plant: Path) -> None:
    """Applied as SARIF 2.1.0 has it (3.57, 3.30): regions in code points, the end exclusive."""
    text = SOUND.replace("setting: 58 %", "setting: 90 %", 1).replace("#", "# \U0001f4c4 é", 1)
    path = sheet_of(plant, text)
    log = json.loads(sarif_text(lint([path])))
    fixes = [result["fixes"] for result in log["runs"][0]["results"] if "fixes" in result]
    assert fixes
    change = fixes[0][0]["artifactChanges"][0]
    (only,) = change["replacements"]
    region = only["deletedRegion"]
    start = offset(text, region["startLine"], region["startColumn"])
    end = offset(text, region["endLine"], region["endColumn"])
    fixed = text[:start] + only["insertedContent"]["text"] + text[end:]
    run(path, "--set", "uv lamp 1.setting")
    assert path.read_bytes() == fixed.encode()


def test_a_link_is_not_written_through(plant: Path) -> None:
    path = sheet_of(plant, SOUND)
    link = plant / "sheets/link.yaml"
    link.symlink_to(path)
    with pytest.raises(UseError, match="link"):
        start_correcting(link, DAY)


def test_a_sheet_outside_of_every_plant_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "sheet.yaml"
    path.write_text(SOUND, encoding="utf-8")
    with pytest.raises(UseError, match="plant"):
        start_correcting(path, DAY)


def test_a_sheet_that_changed_meanwhile_is_left(plant: Path) -> None:
    path = sheet_of(plant, SOUND.replace("control: closed", "contrl: closed", 1))
    last = list(form_corrections(start_correcting(path, DAY)))[-1][1]
    path.write_text(SOUND + "# mine\n", encoding="utf-8")
    with pytest.raises(UseError, match="changed meanwhile"):
        write_corrected(last)
    assert path.read_text(encoding="utf-8") == SOUND + "# mine\n"


@pytest.mark.slow
@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a process that can be killed at any time")
def test_two_hundred_kills_leave_the_old_or_the_new(plant: Path) -> None:
    text = SOUND.replace("setting: 58 %", "setting: 90 %", 1)
    path = sheet_of(plant, text)
    ready_to_write = with_set_point(start_correcting(path, DAY), "uv lamp 1.setting")
    assert ready_to_write is not None
    old, new = text.encode(), ready_to_write.sheet.text.encode()
    chance = random.Random(3)  # noqa: S311
    seen = {old: 0, new: 0}
    whole = 0.004  # how long a child takes that is left alone; the machine may have other work
    for turn in range(222):
        path.write_bytes(old)
        started = time.perf_counter()
        child = os.fork()
        if child == 0:
            try:
                write_corrected(ready_to_write)
            finally:
                os._exit(0)
        if turn % 10:
            time.sleep(chance.random() * 1.5 * whole)
            os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        whole = whole if turn % 10 else time.perf_counter() - started
        seen[path.read_bytes()] += 1
    assert sum(seen.values()) == 222
    assert all(seen.values()), seen
