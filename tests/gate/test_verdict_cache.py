"""The cache of verdicts changes no byte of a report, whatever has become of it, and never answers for what changed."""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import NamedTuple

import pytest
from runs import Ran, lint_here

import filmcheck.running.cache_folder
import filmcheck.running.verdict_cache
import filmcheck.running.workers
from filmcheck.running.cache_folder import cache_folder, code_mark

Run = Callable[..., "object"]

SPOILED = "jobs/spoiled.yaml"
PERMITS = """\
permits:
  - rule: cut-clearance
    reason: trial with a spare die
    approved_by: production
    granted: 2026-09-01
    until: 2027-12-31
"""


class Filled(NamedTuple):
    """A plant, what a run over it reports, without passes and with them, and a cache that knows it all.

    Beside it the same cache as a run leaves it that is killed: without passes, its last writes in a file beside it.
    """

    plant: Path
    cache: Path
    bare: Ran
    passes: Ran
    killed: Path


@pytest.fixture(scope="module")
def filled(made_plant: Path, tmp_path_factory: pytest.TempPathFactory) -> Filled:
    """Fill a cache once. It holds for every copy of the plant: names are relative to where a run begins.

    Beside the made sheets the plant has one whose defect hangs on its die, and one with an unknown stock.
    """
    room = tmp_path_factory.mktemp("filled")
    folder = room / "plant"
    shutil.copytree(made_plant, folder)
    demo = Path(__file__).parents[2] / "examples/jobs/spoiled"
    shutil.copy(demo / "qm-3213-die-built-for-paper.yaml", folder / SPOILED)
    shutil.copy(demo / "qm-3209-stock-name-with-swapped-figures.yaml", folder / "jobs/unknown.yaml")
    shutil.copy(demo.parent / "sound/qm-3101-planned-ginger-cordial.yaml", folder / "jobs/short.yaml")
    (folder / "permits.yaml").write_text(PERMITS, encoding="utf-8")
    change(folder / "plant.yaml", "jobs: [jobs]\n", "jobs: [jobs]\npermits: permits.yaml\n")
    (room / "cache").mkdir(mode=0o700)
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        patch.setenv("FILMCHECK_CACHE", str(room / "killed"))
        _leave_as_killed(room, patch)
        patch.setenv("FILMCHECK_CACHE", str(room / "cache"))
        return Filled(folder, room / "cache", lint_here(), lint_here(passes=True), room / "copy")


def _leave_as_killed(room: Path, patch: pytest.MonkeyPatch) -> None:
    """Fill a cache, and copy it before its writes are joined."""
    (room / "killed").mkdir(mode=0o700)

    def close_late(self: filmcheck.running.verdict_cache.VerdictCache) -> None:
        self._write()
        shutil.copytree(room / "killed", room / "copy")

    with patch.context() as late:
        late.setattr(filmcheck.running.verdict_cache.VerdictCache, "close", close_late)
        lint_here()


@pytest.fixture
def plant(filled: Filled, cache: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give a copy of the plant; the runs begin in it, with a cache that knows its rules and no verdict."""
    shutil.copytree(filled.plant, tmp_path / "plant")
    for kept in filled.cache.glob("rules-*"):
        shutil.copy2(kept, cache / kept.name)
    monkeypatch.chdir(tmp_path / "plant")
    return tmp_path / "plant"


@pytest.fixture
def bare(filled: Filled, cache: Path) -> Ran:
    """Give what a run over the plant reports, and let the cache know it."""
    shutil.copytree(filled.cache, cache, dirs_exist_ok=True)
    return filled.bare


def change(path: Path, old: str, new: str, after: str = "") -> None:
    before, mark, text = path.read_text(encoding="utf-8").rpartition(after) if after else ("", "", path.read_text())
    assert old in text
    path.write_text(before + mark + text.replace(old, new, 1), encoding="utf-8")


def change_die(plant: Path, old: str, new: str) -> None:
    """Change the entry of the die that the spoiled sheet names."""
    change(plant / "registers/tooling.yaml", old, new, after="  d-0398: ")


def on_top(path: Path) -> None:
    path.write_text("# one line more\n" + path.read_text(encoding="utf-8"), encoding="utf-8")


# --- the same bytes


@pytest.mark.sample(4)
@pytest.mark.parametrize("passes", [False, True])
@pytest.mark.parametrize("workers", [1, 2])
def test_no_cache_cold_and_warm_report_the_same(
    plant: Path, run_here: Run, passes: bool, workers: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(filmcheck.running.workers, "HANDFUL", 1)  # so that the small plant is spread, too
    bare = run_here(kept=False, passes=passes)
    cold, warm = (run_here(passes=passes, workers=workers) for _ in range(2))
    assert cold.reports == warm.reports == bare.reports
    assert (cold.fresh, warm.fresh) == (bare.fresh, 0)


def test_a_cache_of_another_version_is_passed_over(
    plant: Path, bare: Ran, run_here: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(filmcheck.running.cache_folder, "VERSION", "0.0.0")
    code_mark.cache_clear()
    try:
        assert run_here() == bare
    finally:
        code_mark.cache_clear()


def flips(path: Path, seed: int) -> None:
    rng = random.Random(seed)  # noqa: S311  a seed, so that a failure comes again
    data = bytearray(path.read_bytes())
    for _ in range(rng.choice((1, 3, 30, 300))):
        data[rng.randrange(len(data))] ^= rng.randrange(1, 256)
    path.write_bytes(data)


@pytest.mark.sample(5)
@pytest.mark.parametrize("seed", range(20))
def test_flipped_bytes_change_nothing(plant: Path, bare: Ran, run_here: Run, cache: Path, seed: int) -> None:
    flips(cache / "verdicts.sqlite", seed)
    assert run_here().reports == bare.reports


def test_flipped_bytes_within_the_kept_rows_are_noticed(plant: Path, bare: Ran, run_here: Run, cache: Path) -> None:
    """The file stays a sound one to SQLite; only the checksum of the row can tell."""
    with sqlite3.connect(cache / "verdicts.sqlite") as store:
        for key, row in store.execute("SELECT key, row FROM verdicts").fetchall():
            spoilt = row[:-9] + bytes([row[-9] ^ 1]) + row[-8:]
            store.execute("UPDATE verdicts SET row = ? WHERE key = ?", (spoilt, key))
    store.close()
    assert run_here() == bare


def test_rows_that_were_swapped_are_noticed(plant: Path, bare: Ran, run_here: Run, cache: Path) -> None:
    with sqlite3.connect(cache / "verdicts.sqlite") as store:
        rows = store.execute("SELECT key, row FROM verdicts ORDER BY key").fetchall()
        for (key, _), (_, row) in zip(rows, rows[1:] + rows[:1], strict=True):
            store.execute("UPDATE verdicts SET row = ? WHERE key = ?", (row, key))
    store.close()
    assert run_here() == bare


@pytest.mark.sample(5)
@pytest.mark.parametrize("seed", range(20))
def test_a_damaged_log_of_writes_changes_nothing(
    plant: Path, filled: Filled, run_here: Run, cache: Path, seed: int
) -> None:
    """A run that was killed leaves its last writes in a file beside, which SQLite reads at the next start."""
    shutil.copytree(filled.killed, cache, dirs_exist_ok=True)
    assert (cache / "verdicts.sqlite-wal").stat().st_size > 1000
    flips(cache / "verdicts.sqlite-wal", seed)
    assert run_here().reports == filled.bare.reports


def cut_short(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:5000])


def emptied(path: Path) -> None:
    path.write_bytes(b"")


def a_text(path: Path) -> None:
    path.write_text("These are no verdicts, but a letter to the editor.\n" * 50, encoding="utf-8")


def a_foreign_database(path: Path) -> None:
    path.unlink()
    with sqlite3.connect(path) as store:
        store.execute("CREATE TABLE birds (name TEXT)")
    store.close()


def a_foreign_layout(path: Path) -> None:
    path.unlink()
    with sqlite3.connect(path) as store:
        store.execute("CREATE TABLE verdicts (sheet TEXT, verdict TEXT, rest TEXT)")
    store.close()


def texts_for_rows(path: Path) -> None:
    with sqlite3.connect(path) as store:
        store.execute("UPDATE verdicts SET row = CAST(x'ff41' AS TEXT)")
    store.close()


def writable_by_all(path: Path) -> None:
    path.chmod(0o666)


@pytest.mark.sample(3)
@pytest.mark.parametrize(
    "spoil", [cut_short, emptied, a_text, a_foreign_database, a_foreign_layout, texts_for_rows, writable_by_all]
)
def test_a_spoilt_file_changes_nothing_and_is_replaced(
    plant: Path, bare: Ran, run_here: Run, cache: Path, spoil: Callable
) -> None:
    spoil(cache / "verdicts.sqlite")
    after = [run_here() for _ in range(3)]
    assert {each.reports for each in after} == {bare.reports}
    assert after[0].fresh == bare.fresh
    assert after[2].fresh == 0
    assert (cache / "verdicts.sqlite").stat().st_mode & 0o022 == 0


def a_folder(path: Path) -> None:
    path.mkdir()


def a_pipe(path: Path) -> None:
    os.mkfifo(path)


@pytest.mark.parametrize("what", [a_folder, a_pipe])
def test_something_else_in_the_place_of_the_file(
    plant: Path, bare: Ran, run_here: Run, cache: Path, what: Callable
) -> None:
    (cache / "verdicts.sqlite").unlink()
    what(cache / "verdicts.sqlite")
    assert run_here() == run_here() == bare


def test_a_locked_file_is_not_waited_for_long(plant: Path, bare: Ran, run_here: Run, cache: Path) -> None:
    other = sqlite3.connect(cache / "verdicts.sqlite", isolation_level=None)
    other.execute("PRAGMA locking_mode=EXCLUSIVE")
    other.execute("BEGIN EXCLUSIVE")
    try:
        on_top(plant / SPOILED)
        assert run_here().reports == run_here(kept=False).reports != bare.reports
    finally:
        other.close()


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="no right is lacking to root")
@pytest.mark.parametrize("mode", [0o500, 0o000])
def test_a_folder_without_rights(plant: Path, run_here: Run, cache: Path, mode: int) -> None:
    bare = run_here(kept=False)
    cache.chmod(mode)
    try:
        assert run_here() == bare
    finally:
        cache.chmod(0o700)


@pytest.mark.sample(3)
@pytest.mark.parametrize("where", ["connect", "open", "write"])
def test_a_lacking_right_changes_nothing(
    plant: Path, filled: Filled, run_here: Run, where: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As above, where the tests run as one whom no right is lacking."""

    def refuse(*args: object, **more: object) -> None:
        raise sqlite3.OperationalError("unable to open database file")

    if where == "connect":
        monkeypatch.setattr(filmcheck.running.verdict_cache.sqlite3, "connect", refuse)
    elif where == "open":
        real_open = os.open

        def open_others(path: object, *more: object) -> int:
            if str(path).endswith("verdicts.sqlite"):
                raise PermissionError(13, "Permission denied")
            return real_open(path, *more)

        monkeypatch.setattr(filmcheck.running.verdict_cache.os, "open", open_others)
    else:
        real = sqlite3.connect
        monkeypatch.setattr(
            filmcheck.running.verdict_cache.sqlite3,
            "connect",
            lambda path, timeout: real(f"file:{path}?mode=ro", uri=True),
        )
    assert run_here() == run_here() == filled.bare


# --- never stale


def new_setting(plant: Path) -> None:
    change(plant / SPOILED, "setting: 58 %", "setting: 99 %")


def new_setting_at_the_same_time(plant: Path) -> None:
    """As a tool does that restores the times of the files it writes."""
    status = (plant / SPOILED).stat()
    new_setting(plant)
    os.utime(plant / SPOILED, ns=(status.st_atime_ns, status.st_mtime_ns))


def sheet_lines_moved(plant: Path) -> None:
    on_top(plant / SPOILED)


def sheet_renamed(plant: Path) -> None:
    (plant / SPOILED).rename(plant / "jobs/renamed.yaml")


def sheet_gone(plant: Path) -> None:
    (plant / SPOILED).unlink()


def entry_changed(plant: Path) -> None:
    change_die(plant, "run_out: 2 µm", "run_out: 3 µm")


def entry_otherwise_written(plant: Path) -> None:
    change_die(plant, "run_out: 2 µm", "run_out: 0.002 mm")


def register_lines_moved(plant: Path) -> None:
    on_top(plant / "registers/tooling.yaml")


def keys_of_an_entry_swapped(plant: Path) -> None:
    """The entry begins and ends where it did, and says what it said; the numbers cited stand on other lines."""
    teeth, pitch = "    teeth: 88\n", "    pitch: 1/8 in\n"
    change_die(plant, teeth + pitch, pitch + teeth)


def keys_moved_along_a_line(plant: Path) -> None:
    change_die(plant, "run_out: 2 µm", "run_out:   2 µm")


def near_name_added(plant: Path) -> None:
    with (plant / "registers/stocks.yaml").open("a", encoding="utf-8") as stocks:
        stocks.write("pp50-clear-film33:\n  name: One more\n")


def unknown_name_now_known(plant: Path) -> None:
    change(plant / "registers/stocks.yaml", "pp50-clear-film23:", "pp50-clear-film32:")


def set_up_changed(plant: Path) -> None:
    change(plant / "registers/set-ups.yaml", "uv lamp: {setting: 58 %", "uv lamp: {setting: 56 %")


def set_up_lines_moved(plant: Path) -> None:
    on_top(plant / "registers/set-ups.yaml")


def register_broken(plant: Path) -> None:
    (plant / "registers/tooling.yaml").write_text("dies: {\n", encoding="utf-8")


def register_gone(plant: Path) -> None:
    (plant / "registers/tooling.yaml").unlink()


def register_not_named(plant: Path) -> None:
    change(plant / "plant.yaml", "  tooling: registers/tooling.yaml\n", "")


def limit_changed(plant: Path) -> None:
    change(plant / "plant.yaml", "value: 0.9 lbf/in", "value: 0.2 lbf/in")


def preferred_unit_changed(plant: Path) -> None:
    change(plant / "plant.yaml", "line tension: N/m", "line tension: lbf/in")


def settings_lines_moved(plant: Path) -> None:
    on_top(plant / "plant.yaml")


def house_pack_changed(plant: Path) -> None:
    change(plant / "house-rules/press-roll-handling.yaml", "level: error", "level: note")


def house_pack_lines_moved(plant: Path) -> None:
    on_top(plant / "house-rules/press-roll-handling.yaml")


def house_pack_not_used(plant: Path) -> None:
    change(plant / "plant.yaml", "rules: [house-rules]", "rules: [house-rules/hot-air-on-birch.yaml]")


def permit_ended(plant: Path) -> None:
    change(plant / "permits.yaml", "until: 2027-12-31", "until: 2026-01-31")


def permit_lines_moved(plant: Path) -> None:
    on_top(plant / "permits.yaml")


def permit_gone(plant: Path) -> None:
    (plant / "permits.yaml").write_text("permits: []\n", encoding="utf-8")


EDITS = [
    *(new_setting, new_setting_at_the_same_time, sheet_lines_moved, sheet_renamed, sheet_gone),
    *(entry_changed, entry_otherwise_written, register_lines_moved, keys_of_an_entry_swapped, keys_moved_along_a_line),
    *(set_up_changed, set_up_lines_moved),
    *(near_name_added, unknown_name_now_known, register_broken, register_gone, register_not_named),
    *(limit_changed, preferred_unit_changed, settings_lines_moved, permit_ended, permit_lines_moved, permit_gone),
    *(house_pack_changed, house_pack_lines_moved, house_pack_not_used),
]


@pytest.mark.sample(100)
@pytest.mark.parametrize("edit", EDITS)
def test_what_changed_is_judged_anew(plant: Path, filled: Filled, bare: Ran, run_here: Run, edit: Callable) -> None:
    edit(plant)
    after = run_here(passes=True)
    assert after.reports == run_here(passes=True, kept=False).reports
    assert after.sarif != filled.passes.sarif, "the edit shows nowhere, so it tests nothing"
    assert run_here(passes=True) == replace(after, fresh=0)


@pytest.mark.sample(3)
@pytest.mark.parametrize("edit", [near_name_added, entry_changed, new_setting])
def test_only_what_changed_is_judged_anew(plant: Path, bare: Ran, run_here: Run, edit: Callable) -> None:
    edit(plant)
    assert 1 <= run_here().fresh < run_here(kept=False).fresh


@pytest.mark.slow
def test_a_sheet_without_a_date_is_judged_anew_on_another_day(plant: Path, run_here: Run) -> None:
    days = (date(2026, 12, 1), date(2028, 12, 1), date(2026, 12, 1))
    change(plant / SPOILED, "\ndate: ", "\n# date: ")
    bare = [run_here(kept=False, today=day).reports for day in days]
    assert bare[0] != bare[1]
    kept = [run_here(today=day) for day in days]
    assert [each.reports for each in kept] == bare
    assert [each.fresh > 0 for each in kept] == [True, True, True]
    assert kept[1].fresh < kept[0].fresh, "sheets with a date hold on any day"


@pytest.mark.slow
def test_what_was_kept_without_passes_does_not_answer_with_them(plant: Path, bare: Ran, run_here: Run) -> None:
    assert run_here(passes=True).reports == run_here(passes=True, kept=False).reports


@pytest.mark.slow
def test_names_are_those_seen_from_where_the_run_begins(
    plant: Path, bare: Ran, run_here: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(plant.parent)
    assert run_here(Path("plant")).reports == run_here(Path("plant"), kept=False).reports


def test_a_sheet_that_changes_while_it_is_judged_is_not_kept(plant: Path, run_here: Run) -> None:
    """Marked, then changed, then judged, then changed back: the verdict belongs to neither."""
    sheets = sorted((plant / "jobs").rglob("*.yaml"))
    texts = {path: path.read_bytes() for path in sheets}

    def meddle(done: int) -> None:
        for path, text in texts.items():
            path.write_bytes(text if done == len(sheets) else text.replace(b"setting: 5", b"setting: 9"))

    run_here(after=meddle)
    for path, text in texts.items():
        path.write_bytes(text)
    assert run_here().reports == run_here(kept=False).reports


def test_the_older_half_goes_where_too_much_is_kept(
    plant: Path, bare: Ran, run_here: Run, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(filmcheck.running.verdict_cache, "MOST", 1000)
    on_top(plant / SPOILED)
    run_here()
    with sqlite3.connect(cache / "verdicts.sqlite") as store:
        (left,) = store.execute("SELECT count(*) FROM verdicts").fetchone()
    store.close()
    assert abs(left - (2 * bare.fresh + 1) / 2) <= 1, "kept were those without passes, those with, and the new one"
    assert run_here().reports == run_here(kept=False).reports


# --- whose folder it is


def test_a_folder_that_others_may_write_to_is_refused(plant: Path, run_here: Run, cache: Path) -> None:
    cache.chmod(0o777)
    assert cache_folder() is None
    assert run_here() == run_here()
    assert [path.name for path in cache.iterdir() if not path.name.startswith("rules-")] == []


def test_a_sheet_on_which_a_proof_is_built_may_go(plant: Path, bare: Ran, run_here: Run) -> None:
    (plant / "house-rules/sheets/on-alder.yaml").unlink()
    assert run_here().reports == run_here(kept=False).reports
