"""What a change touches, in a real history: the sheets it changes, and every sheet that it changes the ground under."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

SHEET = "sheets/film-label.yaml"
JOBS = ("sheets/pg-2.yaml", "sheets/pg-3.yaml", "sheets/pg-4.yaml")
PAPER = "sheets/paper.yaml"
SPOILT = ("for_liner_caliper: 23 µm", "for_liner_caliper: 62 µm")
"""A change of the one die that makes it cut through the liner on every job that names it."""
PACK = """\
pack: House
rules:
  - rule: too-fast-here
    title: Too fast here
    level: error
    requires: {web.speed: {at_most: 40 m/min}}
    says: The web runs at {web.speed}
    because: It flutters.
    basis: common practice
    proof:
      - {case: fast, verdict: fail, at: web.speed}
      - {case: slow, change: {web.speed: 30 m/min}, verdict: pass}
"""


@pytest.fixture
def history(ground):
    """Give the plant with three jobs on the film die, one that names no die, and its first commit."""
    (ground.folder / SHEET).unlink()
    for number, name in enumerate(JOBS, 2):
        ground.job(f"PG-{number}", name=name)
    ground.job("PG-9", ("die: d-96-film23, ", ""), ("customer: six-inch\n", ""), name=PAPER)
    ground.start_history()
    return ground


@pytest.fixture
def linted(run: Callable) -> Callable[..., list[str]]:
    """Give a function that lints and gives the job sheets that were judged, by the SARIF log."""
    import json

    def sheets(*words: str) -> list[str]:
        done = run("lint", *words, "--format", "sarif")
        assert done.status in (0, 1), done.err
        artifacts = json.loads(done.out)["runs"][0]["artifacts"]
        files = [one["location"]["uri"] for one in artifacts if "analysisTarget" in one.get("roles", ())]
        return [file for file in files if file.startswith(("sheets/", "new/"))]

    return sheets


# --- the register change that no job file shows


def test_a_register_change_that_spoils_three_jobs(history, run: Callable, linted: Callable, told: Callable) -> None:
    history.change("registers/tooling.yaml", SPOILT)
    assert history.git("status", "--porcelain") == " M registers/tooling.yaml\n"
    assert linted("sheets", "--since", "HEAD") == list(JOBS)
    faults = told("sheets", "--since", "HEAD")
    assert {file for rule, file in faults if rule == "cut-clearance"} == set(JOBS)
    assert run("lint", "sheets", "--since", "HEAD").status == 1


def test_the_register_named_as_commit_hooks_name_it(history, run: Callable, linted: Callable, told: Callable) -> None:
    history.change("registers/tooling.yaml", SPOILT)
    history.git("add", "--all")
    assert linted("registers/tooling.yaml") == list(JOBS)
    assert {file for rule, file in told("registers/tooling.yaml") if rule == "cut-clearance"} == set(JOBS)
    assert run("lint", "registers/tooling.yaml").status == 1


def test_a_commit_ago(history, linted: Callable) -> None:
    history.change("registers/tooling.yaml", SPOILT)
    history.commit()
    assert linted("sheets", "--since", "HEAD") == []
    assert linted("sheets", "--since", "HEAD~1") == list(JOBS)


def test_a_register_named_after_its_commit_touches_all_that_name_an_entry_of_it(history, linted: Callable) -> None:
    """As a hook run over a range of commits names it: against what it changed is then not known."""
    history.change("registers/tooling.yaml", SPOILT)
    history.commit()
    assert linted("registers/tooling.yaml") == sorted([*JOBS, PAPER])


def test_only_the_entries_that_changed_count(history, linted: Callable) -> None:
    history.change("registers/customers.yaml", ("core: 6 in", "core: 3 in"))
    assert linted("sheets", "--since", "HEAD") == list(JOBS)
    history.git("checkout", "--quiet", ".")
    history.change("registers/stocks.yaml", ("yield: 50 MPa", "yield: 40 MPa"))  # the paper stock, which none names
    assert linted("sheets", "--since", "HEAD") == []
    assert linted("registers/stocks.yaml") == []


def test_a_changed_set_up_touches_the_sheets_that_name_it(history, linted: Callable) -> None:
    history.change("plant.yaml", ("registers:\n", "registers:\n  set_ups: registers/set-ups.yaml\n"))
    register = history.folder / "registers/set-ups.yaml"
    register.write_text("fast: {web: {speed: 45 m/min}}\nslow: {web: {speed: 30 m/min}}\n")
    for name, set_up in zip(JOBS, ("fast", "slow"), strict=False):
        history.change(name, ("\nweb:", f"\nset_up: {set_up}\nweb:"))
    history.git("add", "--all")
    history.commit()
    history.change("registers/set-ups.yaml", ("45 m/min", "44 m/min"))
    assert linted("sheets", "--since", "HEAD") == [JOBS[0]]
    assert linted("registers/set-ups.yaml") == [JOBS[0]]


def test_a_mapping_touches_no_sheet(history, linted: Callable) -> None:
    history.change("plant.yaml", ("registers:\n", "mappings: [mappings]\nregisters:\n"))
    (history.folder / "mappings").mkdir()
    (history.folder / "mappings/book.yaml").write_text("columns: {Job: {field: job}}\n")
    history.git("add", "--all")
    history.commit()
    (history.folder / "mappings/book.yaml").write_text("columns: {Number: {field: job}}\n")
    assert linted("sheets", "--since", "HEAD") == []


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("registers/tooling.yaml", "dies:\n", "# a comment\n\ndies:\n"),
        ("registers/customers.yaml", "  core: 6 in\n  core_wall: 8 mm\n", "  core_wall: 8 mm\n  core: 6 in\n"),
        ("registers/finishing.yaml", "table-1:", "table-2:"),
    ],
)
def test_what_changes_no_entry_touches_nothing(history, linted: Callable, file: str, old: str, new: str) -> None:
    history.change(file, (old, new))
    assert linted("sheets", "--since", "HEAD") == []
    assert linted(file) == []


ENTRIES = [
    ("taken out", ("  d-96-film23:\n", "  d-97:\n")),
    ("added", ("dies:\n", "dies:\n  d-1: {teeth: 96}\n")),
    ("broken", ("dies:\n", "dies: [\n")),
]


@pytest.mark.parametrize(("what", "change"), ENTRIES)
def test_entries_that_come_and_go(history, linted: Callable, what: str, change: tuple[str, str]) -> None:
    history.change(JOBS[0], ("die: d-96-film23", "die: d-1"))
    history.commit()
    history.change("registers/tooling.yaml", change)
    want = {"taken out": list(JOBS[1:]), "added": [JOBS[0]], "broken": sorted([*JOBS, PAPER])}
    assert linted("sheets", "--since", "HEAD") == want[what]


@pytest.mark.parametrize("how", ["deleted", "moved away", "moved to an ignored place"])
def test_a_register_that_is_gone(history, run: Callable, linted: Callable, how: str) -> None:
    file = history.folder / "registers/customers.yaml"
    if how == "deleted":
        file.unlink()
    elif how == "moved away":
        history.git("mv", "registers/customers.yaml", "registers/clients.yaml")
    else:
        history.write(".gitignore", "kept/\n")
        history.commit()
        (history.folder / "kept").mkdir()
        file.rename(history.folder / "kept/customers.yaml")
        history.git("add", "--all")
    assert linted("sheets", "--since", "HEAD") == list(JOBS)
    assert run("lint", "sheets", "--since", "HEAD").status == 1


# --- what touches every sheet


def settings(history) -> None:
    history.write("plant.yaml", history.read("plant.yaml") + "# a word\n")


def pack(history) -> None:
    history.write("house/own.yaml", PACK + "# a word\n")


def pack_gone(history) -> None:
    (history.folder / "house/more.yaml").unlink()


def permits(history) -> None:
    history.write("permits.yaml", "permits: []\n")


@pytest.mark.slow
@pytest.mark.parametrize("change", [settings, pack, pack_gone, permits])
def test_settings_packs_and_permits_touch_every_sheet(history, linted: Callable, change: Callable) -> None:
    more = PACK.replace("too-fast-here", "much-too-fast-here")
    history.write("house/own.yaml", PACK)
    history.write("house/more.yaml", more)
    history.write("permits.yaml", "permits:\n")
    history.write("plant.yaml", history.read("plant.yaml") + "rules: [house]\npermits: permits.yaml\n")
    history.commit()
    assert linted("sheets", "--since", "HEAD") == []
    change(history)
    assert linted("sheets", "--since", "HEAD") == sorted([*JOBS, PAPER])
    if change is not pack_gone:
        named = {settings: "plant.yaml", pack: "house/own.yaml", permits: "permits.yaml"}[change]
        assert linted(named) == sorted([*JOBS, PAPER])


@pytest.mark.slow
def test_settings_that_are_gone_leave_their_sheets_to_the_plant_above(history, linted: Callable) -> None:
    inner = history.folder / "sheets/inner"
    inner.mkdir()
    (inner / "plant.yaml").write_text("plant: Inner\n", encoding="utf-8")
    history.job("PG-7", name="sheets/inner/a.yaml")
    history.commit()
    (inner / "plant.yaml").unlink()
    assert linted("sheets", "--since", "HEAD") == ["sheets/inner/a.yaml"]


# --- sheets


def test_nothing_changed(history, run: Callable, linted: Callable) -> None:
    assert linted("sheets", "--since", "HEAD") == []
    assert run("lint", "sheets", "--since", "HEAD").status == 0


@pytest.mark.parametrize("staged", [False, True])
def test_changed_new_and_renamed_sheets(history, linted: Callable, staged: bool) -> None:
    history.change(JOBS[0], ("speed: 45 m/min", "speed: 44 m/min"))
    history.job("PG-8", name="sheets/größe 8.yaml")
    (history.folder / JOBS[1]).rename(history.folder / "sheets/renamed.yaml")
    (history.folder / JOBS[2]).unlink()
    if staged:
        history.git("add", "--all")
    from urllib.parse import unquote

    found = [unquote(file) for file in linted("sheets", "--since", "HEAD")]
    assert sorted(found) == sorted([JOBS[0], "sheets/größe 8.yaml", "sheets/renamed.yaml"])


def test_ignored_files_are_no_change(history, linted: Callable) -> None:
    history.write(".gitignore", "sheets/tmp/\n")
    history.commit()
    history.job("PG-8", name="sheets/tmp/a.yaml")
    assert linted("sheets", "--since", "HEAD") == []


def test_a_branch_and_a_tag(history, linted: Callable) -> None:
    history.git("tag", "--annotate", "--message", "x", "v1")
    history.git("branch", "old")
    history.change(JOBS[0], ("speed: 45 m/min", "speed: 44 m/min"))
    history.commit()
    for revision in ("v1", "old", "HEAD^", "HEAD~1", history.git("rev-parse", "v1^{commit}").strip()[:10]):
        assert linted("sheets", "--since", revision) == [JOBS[0]]


@pytest.mark.slow
def test_from_another_folder_and_through_a_link(history, linted: Callable, run, monkeypatch, tmp_path: Path) -> None:
    history.change("registers/tooling.yaml", SPOILT)
    (tmp_path / "link").symlink_to(history.folder)
    for folder, path in ((tmp_path, "ground/sheets"), (tmp_path, "link/sheets"), (history.folder / "sheets", ".")):
        monkeypatch.chdir(folder)
        done = run("lint", path, "--since", "HEAD")
        assert (done.status, done.out.count("[cut-clearance]")) == (1, 3)
        assert "3 files, 3 jobs judged" in done.out


def test_a_plant_in_a_part_of_a_repository(history, linted: Callable, run, tmp_path: Path, monkeypatch) -> None:
    """And registers that lie above the plant."""
    shutil.rmtree(history.folder / ".git")
    whole = tmp_path / "whole"
    whole.mkdir()
    history.folder.rename(whole / "plant")
    (whole / "plant/registers").rename(whole / "registers")
    history.folder = whole / "plant"
    history.write("plant.yaml", history.read("plant.yaml").replace(" registers/", " ../registers/"))
    history.folder = whole
    history.start_history()
    monkeypatch.chdir(whole)
    monkeypatch.setenv("FILMCHECK_ALSO_READ", str(whole / "registers"))
    history.change("registers/tooling.yaml", SPOILT)
    done = run("lint", "plant/sheets", "--since", "HEAD")
    assert (done.status, done.out.count("[cut-clearance]")) == (1, 3)
    assert "3 files, 3 jobs judged" in done.out


# --- what a change does to jobs that it does not touch


def test_a_new_sheet_is_held_against_all_jobs(history, run: Callable, linted: Callable, told: Callable) -> None:
    history.job("PG-3", name="sheets/a-new.yaml")
    assert linted("sheets", "--since", "HEAD") == ["sheets/a-new.yaml"]
    assert ("job-number-twice", JOBS[1]) in told("sheets", "--since", "HEAD")
    assert run("lint", "sheets", "--since", "HEAD").status == 1


def test_what_others_have_on_each_other_is_not_told(history, told: Callable) -> None:
    history.job("PG-3", name="sheets/z.yaml")
    history.commit()
    history.change(JOBS[0], ("speed: 45 m/min", "speed: 44 m/min"))
    rules = {rule for rule, _ in told("sheets", "--since", "HEAD")}
    assert not rules & {"job-number-twice", "entry-unused"}


# --- what git does not know


@pytest.mark.parametrize("revision", ["nonsense", "", "-x", "--all", "--output=stolen", "HEAD:plant.yaml", "a b", "\n"])
def test_a_revision_that_git_does_not_know(history, run: Callable, revision: str) -> None:
    done = run("lint", "sheets", f"--since={revision}")
    assert (done.status, done.out) == (2, "")
    assert done.err.startswith("git cannot tell what has changed: ")
    assert "Give a revision that git knows." in done.err
    assert not (history.folder / "stolen").exists()


def test_no_repository(ground, run: Callable, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(ground.folder.parent))
    done = run("lint", "sheets", "--since", "HEAD")
    assert (done.status, done.out) == (2, "")
    assert "not a git repository" in done.err


def test_a_draft_that_git_does_not_keep_stops_no_commit_of_others(history, linted: Callable, told: Callable) -> None:
    """What the hook is handed is the register alone; a copied sheet with the same number lies beside."""
    (history.folder / "sheets/draft.yaml").write_bytes((history.folder / JOBS[0]).read_bytes())
    assert linted("registers/tooling.yaml", "plant.yaml") == sorted([*JOBS, PAPER])
    assert "job-number-twice" not in {rule for rule, _ in told("registers/tooling.yaml", "plant.yaml")}
    history.git("add", "sheets")
    assert "job-number-twice" in {rule for rule, _ in told("registers/tooling.yaml", "plant.yaml")}


def test_no_commit_yet(ground, run: Callable, linted: Callable) -> None:
    ground.git("init", "--quiet")
    assert run("lint", "sheets", "--since", "HEAD").status == 2
    assert linted("registers/tooling.yaml") == [SHEET]


def test_no_git(history, run: Callable, linted: Callable, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(history.folder / "none"))
    done = run("lint", "sheets", "--since", "HEAD")
    assert (done.status, done.out) == (2, "")
    assert "git is not there" in done.err
    assert linted("registers/customers.yaml") == list(JOBS)


def test_a_register_named_outside_of_git_touches_all_that_name_an_entry_of_it(ground, linted: Callable) -> None:
    if os.path.exists(ground.folder.parent / ".git"):
        pytest.skip("the folder for tests lies in a repository")
    ground.job("PG-2", ("customer: six-inch\n", ""), name="sheets/none.yaml")
    assert linted("registers/customers.yaml") == [SHEET]
