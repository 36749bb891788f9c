"""A baseline: what is new fails, what is known does not, and a log survives an independent reader and writer."""

from __future__ import annotations

import json
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

SHEET = "sheets/film-label.yaml"
OTHER = "sheets/other.yaml"
TIGHT = ("tension: 46 N\n      control", "tension: 90 N\n      control")
TIGHTER = ("tension: 90 N\n      control", "tension: 100 N\n      control")
RULE = "unwind-tension-high"
PERMIT = f"deviations:\n  - {{rule: {RULE}, reason: trial, approved_by: quality, until: 2027-03-31}}\n"


@pytest.fixture
def known(ground, run: Callable) -> Callable[..., Path]:
    """Give a function that keeps the faults there now as the baseline."""

    def keep(*words: str) -> Path:
        done = run("lint", *(words or ("sheets",)), "--format", "sarif", "--to", "known.sarif")
        assert done.status in (0, 1), done.err
        return ground.folder / "known.sarif"

    return keep


@pytest.fixture
def states(log: Callable) -> Callable[..., list[tuple[str, str]]]:
    """Give a function that lints against the baseline and gives of each fault the rule and its state."""

    def stated(*words: str) -> list[tuple[str, str]]:
        results = log(*(words or ("sheets",)), "--baseline", "known.sarif")
        assert all("baselineState" not in result for result in results if result["kind"] != "fail")
        return sorted((one["ruleId"], one["baselineState"]) for one in results if one["kind"] == "fail")

    return stated


def state_of(states: list[tuple[str, str]], rule: str = RULE) -> list[str]:
    return [state for name, state in states if name == rule]


def test_new(ground, known, states, run: Callable) -> None:
    known()
    ground.change(SHEET, TIGHT)
    assert state_of(states()) == ["new"]
    done = run("lint", "sheets", "--baseline", "known.sarif")
    assert done.status == 1
    assert f"[{RULE}]" in done.out


def test_unchanged_does_not_count(ground, known, states, run: Callable) -> None:
    ground.change(SHEET, TIGHT)
    assert run("lint", "sheets").status == 1
    known()
    assert {state for _, state in states()} == {"unchanged"}
    done = run("lint", "sheets", "--baseline", "known.sarif", "--fail-from", "note")
    assert done.status == 0
    assert f"{SHEET}:20:16: {RULE}: The unwind pulls" in done.out[done.out.index("Known before, not counted") :]
    assert "No fault found beyond those that are accepted or known." in done.out


def test_only_what_is_new_counts(ground, known, run: Callable) -> None:
    ground.change(SHEET, TIGHT)
    known()
    ground.job("PG-2", name=OTHER)
    assert run("lint", "sheets", "--baseline", "known.sarif").status == 0
    ground.change(OTHER, ("job: PG-2", "job: PG-1001"))  # a doubled number, and nothing else
    done = run("lint", "sheets", "--baseline", "known.sarif")
    assert done.status == 1
    assert "[job-number-twice]" in done.out
    assert f"[{RULE}]" not in done.out


def test_absent(ground, known, states, run: Callable) -> None:
    ground.change(SHEET, TIGHT)
    known()
    ground.change(SHEET, (TIGHT[1], TIGHT[0]))
    assert state_of(states()) == ["absent"]
    done = run("lint", "sheets", "--baseline", "known.sarif")
    assert done.status == 0
    assert "gone        " in done.out
    assert f"{SHEET}:20:16: {RULE}: The unwind pulls" in done.out[done.out.index("no longer there") :]


def test_absent_is_not_said_by_a_run_that_did_not_look(ground, known, states) -> None:
    ground.change(SHEET, TIGHT)
    ground.job("PG-2", name=OTHER)
    known()
    assert state_of(states(OTHER)) == []
    assert state_of(states("sheets", "--share", "2/2")) == []
    ground.start_history()
    ground.change(OTHER, ("speed: 45 m/min", "speed: 44 m/min"))
    assert "absent" not in {state for _, state in states("sheets", "--since", "HEAD")}


def test_absent_ones_of_a_baseline_are_not_known(ground, known, states, run: Callable) -> None:
    """A fault that was gone in one run and comes back is new."""
    ground.change(SHEET, TIGHT)
    known()
    ground.change(SHEET, (TIGHT[1], TIGHT[0]))
    run("lint", "sheets", "--baseline", "known.sarif", "--format", "sarif", "--to", "next.sarif")
    ground.change(SHEET, TIGHT)
    (ground.folder / "next.sarif").rename(ground.folder / "known.sarif")
    assert state_of(states()) == ["new"]


def test_a_changed_number_is_a_new_fault(ground, known, states) -> None:
    ground.change(SHEET, TIGHT)
    known()
    ground.change(SHEET, TIGHTER)
    assert state_of(states()) == ["absent", "new"]


def line_moved(ground) -> None:
    ground.write(SHEET, "# one\n# two\n" + ground.read(SHEET))


def file_renamed(ground) -> None:
    (ground.folder / SHEET).rename(ground.folder / OTHER)


def folder_renamed(ground) -> None:
    (ground.folder / "sheets").rename(ground.folder / "jobs")
    ground.change("plant.yaml", ("[sheets]", "[jobs]"))


def keys_reordered(ground) -> None:
    web = next(line for line in ground.read(SHEET).splitlines(keepends=True) if line.startswith("web:"))
    ground.change(SHEET, (web, ""), ("tooling:", web + "tooling:"))
    ground.change(
        SHEET,
        ("      tension: 90 N\n      control: closed loop\n", "      control: closed loop\n      tension: 90 N\n"),
    )


def level_changed(ground) -> None:
    levels = f"levels: {{{RULE}: {{level: warning, reason: for now}}}}\n"
    ground.write("plant.yaml", ground.read("plant.yaml") + levels)


@pytest.mark.sample(3)
@pytest.mark.parametrize("move", [line_moved, file_renamed, folder_renamed, keys_reordered, level_changed])
def test_updated_is_still_known(ground, known, log, run: Callable, move: Callable) -> None:
    ground.change(SHEET, TIGHT, ("  - static control: {kind: active bar}\n  - nip", "  - nip"))
    known()
    move(ground)
    folder = "jobs" if move is folder_renamed else "sheets"
    results = log(folder, "--baseline", "known.sarif")
    faults = [one for one in results if one["kind"] == "fail" and not one["ruleId"].startswith(("entry-", "safety-"))]
    assert {one["baselineState"] for one in faults} <= {"updated", "unchanged"}
    assert [one["baselineState"] for one in faults if one["ruleId"] == RULE] == ["updated"]
    assert run("lint", folder, "--baseline", "known.sarif").status == 0


def test_lines_named_in_a_sentence_may_move(ground, known, states) -> None:
    """The sentence says "before print 1 (line 23)": the number of the line is no part of the fault."""
    text = ground.read(SHEET).replace("  - static control: {kind: active bar}\n", "")
    ground.write(SHEET, text)
    known()
    line_moved(ground)
    assert state_of(states(), "print-before-static-control") == ["updated"]


def test_twins_are_counted(ground, known, states) -> None:
    """Two faults that read alike: of three, two are known."""
    ground.job("PG-1001", name="sheets/a.yaml")
    known()
    assert state_of(states(), "job-number-twice") == ["unchanged"]
    ground.job("PG-1001", name="sheets/z.yaml")
    assert state_of(states(), "job-number-twice") == ["new", "unchanged"]


def test_what_was_accepted_and_no_longer_is_counts_as_new(ground, known, states, run: Callable) -> None:
    ground.change(SHEET, TIGHT)
    without = ground.read(SHEET)
    ground.write(SHEET, without + PERMIT)
    known()
    assert state_of(states()) == ["unchanged"]
    ground.write(SHEET, without)
    assert state_of(states()) == ["new"]
    assert run("lint", "sheets", "--baseline", "known.sarif").status == 1


def test_what_was_known_and_is_accepted_now_is_no_new_fault(ground, known, states) -> None:
    ground.change(SHEET, TIGHT)
    known()
    ground.write(SHEET, ground.read(SHEET) + PERMIT)
    assert state_of(states()) == ["unchanged"]


# --- what is no baseline

TOOL = {"driver": {"name": "filmcheck"}}
FAULT = {"ruleId": "x", "message": {"text": "x"}}
UNFIT = [
    (b"", "it is no JSON"),
    (b'{"runs": [', "it is no JSON"),
    (b"\xff\xfe\x00", "it is no JSON"),
    (b"[" * 100_000, "it is no JSON"),
    (b"[]", "it is no SARIF log: it has no runs"),
    (b'"runs"', "it is no SARIF log"),
    (b'{"runs": {}}', "it is no SARIF log"),
    ({"runs": [{"tool": {"driver": {"name": "other"}}, "results": [FAULT]}]}, "it is the log of another tool"),
    ({"runs": [{"tool": {"driver": {"name": "other"}}, "results": []}]}, "it is the log of another tool"),
    ({"runs": [{"tool": [], "results": [FAULT]}]}, "it is the log of another tool"),
    ({"runs": [1]}, "it is the log of another tool"),
    ({"runs": [{"tool": TOOL, "results": [FAULT]}]}, "has no mark to know it by"),
    ({"runs": [{"tool": TOOL, "results": [{**FAULT, "partialFingerprints": {"a": "b"}}]}]}, "has no mark"),
]


@pytest.mark.parametrize(("content", "says"), UNFIT)
def test_what_cannot_be_used_is_refused(ground, run: Callable, content: Any, says: str) -> None:
    raw = content if isinstance(content, bytes) else json.dumps(content).encode()
    (ground.folder / "known.sarif").write_bytes(raw)
    done = run("lint", "sheets", "--baseline", "known.sarif")
    assert (done.status, done.out) == (2, "")
    assert done.err.startswith("the baseline known.sarif cannot be used: ")
    assert says in done.err
    assert "filmcheck lint JOBS --format sarif --to baseline.sarif" in done.err


@pytest.mark.parametrize("name", ["none.sarif", "sheets"])
def test_no_file_at_all(ground, run: Callable, name: str) -> None:
    done = run("lint", "sheets", "--baseline", name)
    assert (done.status, done.out) == (2, "")
    assert name in done.err


ODD = [
    {},
    {"locations": 1, "message": 2, "level": 3, "suppressions": 4},
    {"locations": [{}], "message": {"text": ["x"]}},
    {"locations": [{"physicalLocation": {"artifactLocation": 1, "region": {"startLine": -1, "startColumn": "x"}}}]},
    {"locations": [{"logicalLocations": [{"fullyQualifiedName": 7}]}], "suppressions": [{}]},
]


@pytest.mark.parametrize("odd", ODD)
def test_odd_parts_of_a_log_are_borne(ground, states, odd: dict) -> None:
    result = {"ruleId": "web-too-hot", **odd, "partialFingerprints": {"filmcheckAddress/v1": "0" * 64}}
    ground.write("known.sarif", json.dumps({"runs": [{"tool": TOOL, "results": [result]}]}))
    assert ("web-too-hot", "absent") in states()


def test_a_log_without_faults_knows_nothing(ground, known, states) -> None:
    ground.write("known.sarif", json.dumps({"version": "2.1.0", "runs": [{"tool": TOOL, "results": []}]}))
    assert {state for _, state in states()} == {"new"}


# --- through independent readers and writers


def copied(source: Path, target: Path) -> None:
    """Load and write by sarif-tools, in a process of its own, for it may warn."""
    line = [sys.executable, "-W", "ignore", "-m", "sarif", "copy", "--output", str(target), str(source)]
    done = subprocess.run(line, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


BY_OBJECTS = """
import json, sys
import attr
import sarif_om

def read(cls, data):
    names = {a.metadata.get("schema_property_name", a.name): a.name for a in attr.fields(cls)}
    return cls(**{names[key]: value for key, value in data.items()})

def write(thing):
    fields = attr.fields(type(thing))
    pairs = ((a.metadata["schema_property_name"], getattr(thing, a.name), a.default) for a in fields)
    return {name: value for name, value, default in pairs if value is not None and value != default}

log = json.load(open(sys.argv[1], encoding="utf-8"))
for run in log["runs"]:
    run["results"] = [write(read(sarif_om.Result, result)) for result in run["results"]]
json.dump(log, open(sys.argv[2], "w", encoding="utf-8"))
"""


def by_objects(source: Path, target: Path) -> None:
    """Load the results into objects of sarif-om, made from a draft of the standard's schema, and write those.

    The draft has another word for the status of a suppression, so those stay plain.
    """
    line = [sys.executable, "-W", "ignore", "-c", BY_OBJECTS, str(source), str(target)]
    done = subprocess.run(line, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.fixture
def all_sorts(ground, known, run: Callable) -> Path:
    """Give a log that holds every state, and permits of both kinds."""
    ground.change(SHEET, TIGHT, ("humidity: 50 %", "humidity: 20 %"))
    known()
    wide = "permits:\n  - {rule: print-before-static-control, reason: trial, approved_by: works, until: 2027-01-31}\n"
    ground.change("plant.yaml", ("jobs: [sheets]", "jobs: [sheets]\npermits: permits.yaml"))
    ground.write("permits.yaml", wide)
    text = ground.read(SHEET).replace("  - static control: {kind: active bar}\n", "").replace("20 %}", "50 %}")
    ground.write(SHEET, "# a line on top\n" + text + PERMIT)
    words = ("--baseline", "known.sarif", "--format", "sarif", "--to", "sorts.sarif", "--fail-from", "never")
    assert run("lint", "sheets", *words).status == 0
    return ground.folder / "sorts.sarif"


DEFAULTS = {"kind": "fail", "level": "warning"}
"""What a reader takes where a result has none (SARIF 2.1.0, 3.27.9 and 3.27.10)."""


def kept_parts(path: Path) -> Counter[str]:
    """Give of each result what a baseline rests on: mark, rule, state, permits. Defaults are those of the standard."""
    names = ("ruleId", "kind", "level", "baselineState", "partialFingerprints", "suppressions")
    runs = json.loads(path.read_text(encoding="utf-8"))["runs"]
    return Counter(
        json.dumps({name: one.get(name, DEFAULTS.get(name)) for name in names}, sort_keys=True)
        for run in runs
        for one in run["results"]
    )


def test_the_log_holds_every_sort(all_sorts: Path) -> None:
    results = json.loads(all_sorts.read_text(encoding="utf-8"))["runs"][0]["results"]
    assert {one.get("baselineState") for one in results if one["kind"] == "fail"} == {
        *("new", "unchanged", "updated", "absent"),
    }
    kinds = {each["kind"] for one in results for each in one.get("suppressions", ())}
    assert kinds == {"inSource", "external"}


@pytest.mark.slow
@pytest.mark.parametrize("through", [copied, by_objects])
def test_states_and_permits_survive(all_sorts: Path, through: Callable[[Path, Path], None]) -> None:
    if through is by_objects:
        pytest.importorskip("sarif_om")
    target = all_sorts.with_name("again.sarif")
    through(all_sorts, target)
    assert kept_parts(target) == kept_parts(all_sorts)


@pytest.mark.slow
@pytest.mark.parametrize("through", [copied, by_objects])
def test_a_log_written_by_another_is_a_baseline(ground, all_sorts: Path, states, run, through: Callable) -> None:
    if through is by_objects:
        pytest.importorskip("sarif_om")
    through(all_sorts, ground.folder / "known.sarif")
    assert {state for _, state in states()} == {"unchanged"}
    assert run("lint", "sheets", "--baseline", "known.sarif").status == 0


def test_the_independent_reader_counts_as_the_text_does(all_sorts: Path) -> None:
    """sarif-tools leaves suppressed and, with a filter, absent results out; here its plain count of levels is asked."""
    line = [sys.executable, "-W", "ignore", "-m", "sarif", "summary", str(all_sorts)]
    done = subprocess.run(line, capture_output=True, text=True, check=True)
    results = json.loads(all_sorts.read_text(encoding="utf-8"))["runs"][0]["results"]
    assert f"error: {sum(one['level'] == 'error' for one in results)}" in done.stdout
