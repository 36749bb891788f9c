"""The cache runs nothing and is believed in nothing that this user's filmcheck has not sealed."""

from __future__ import annotations

import hashlib
import os
import pickle
import sqlite3
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

import filmcheck.running.cache_folder as cache_module
from filmcheck.running.cache_folder import cache_folder, code_mark
from filmcheck.running.sealed_file import _key, cache_key, is_sealed, seal

MARK = 32


class Trap:
    """What runs a program when it is unpickled."""

    def __init__(self, trace: Path) -> None:
        self.trace = trace

    def __reduce__(self) -> tuple[object, ...]:
        return os.mkdir, (str(self.trace),)


@pytest.fixture(autouse=True)
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give the folder of a key of the test's own."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    _key.cache_clear()
    yield tmp_path / "state/filmcheck"
    _key.cache_clear()


@pytest.fixture
def cache(tmp_path: Path) -> Path:
    return tmp_path / "cache"


@pytest.mark.sample(4)
@pytest.mark.parametrize("stem", ["rules", "plant"])
@pytest.mark.parametrize("words", [(), ("--no-cache",)])
def test_a_planted_pickle_is_not_run(
    plant: Path, run: Callable, cache: Path, tmp_path: Path, words: tuple[str, ...], stem: str
) -> None:
    first = run("lint", "jobs", *words)
    (kept,) = cache.glob(f"{stem}-*")
    payload = pickle.dumps(Trap(tmp_path / "it-ran"))
    for mark in (kept.read_bytes()[:MARK], hashlib.sha256(payload).digest(), b"\0" * MARK, seal(b"", payload)):
        kept.write_bytes(mark + payload)
        assert run("lint", "jobs", *words) == first
        assert not (tmp_path / "it-ran").exists()


@pytest.mark.slow
def test_a_cache_of_another_user_is_not_believed(plant: Path, run: Callable, cache: Path, state: Path) -> None:
    """As when a build service restores one that a stranger's change has filled."""
    first = run("lint", "jobs")
    (state / "cache-key").unlink()
    _key.cache_clear()
    theirs = {kept: kept.read_bytes() for kept in (*cache.glob("rules-*"), *cache.glob("plant-*"))}
    assert len(theirs) == 2
    assert run("lint", "jobs") == first
    for kept, before in theirs.items():
        assert kept.read_bytes() != before, "the form that another key had sealed was kept"


def test_an_edited_verdict_is_not_believed(plant: Path, run: Callable, cache: Path) -> None:
    (plant / "jobs/a.yaml").write_text((plant / "jobs/a.yaml").read_text() + "wrong: 1\n")
    first = run("lint", "jobs")
    assert first.status == 1
    with sqlite3.connect(cache / "verdicts.sqlite") as store:
        ((key, row),) = store.execute("SELECT key, row FROM verdicts").fetchall()
        plain = zlib.decompress(row[MARK:]).replace(b"error", b"note ")
        payload = zlib.compress(plain)
        for mark in (row[:MARK], hashlib.sha256(key + payload).digest(), seal(b"", key + payload)):
            store.execute("UPDATE verdicts SET row = ?", (mark + payload,))
            store.commit()
            assert run("lint", "jobs") == first


def test_the_key_is_the_users_alone(state: Path) -> None:
    key = cache_key()
    assert key is not None
    assert len(key) == 32
    assert (state / "cache-key").stat().st_mode & 0o777 == 0o600
    assert [path.name for path in state.iterdir()] == ["cache-key"]
    _key.cache_clear()
    assert cache_key() == key


@pytest.mark.sample(3)
@pytest.mark.parametrize("mode", [0o640, 0o604, 0o666])
def test_a_key_that_others_may_read_is_none(plant: Path, run: Callable, cache: Path, state: Path, mode: int) -> None:
    cache_key()
    before = set(cache.iterdir())
    (state / "cache-key").chmod(mode)
    _key.cache_clear()
    assert cache_key() is None
    assert run("lint", "jobs").status == 0
    assert set(cache.iterdir()) == before, "something was kept without a seal"


@pytest.mark.parametrize("spoil", ["short", "long", "link", "folder", "pipe"])
def test_a_spoilt_key_is_none(state: Path, tmp_path: Path, spoil: str) -> None:
    key = state / "cache-key"
    cache_key()
    content = key.read_bytes()
    key.unlink()
    if spoil in ("short", "long"):
        key.write_bytes(content[:-1] if spoil == "short" else content + b"x")
        key.chmod(0o600)
    elif spoil == "link":
        (tmp_path / "key").write_bytes(content)
        key.symlink_to(tmp_path / "key")
    else:
        key.mkdir() if spoil == "folder" else os.mkfifo(key, 0o600)
    _key.cache_clear()
    assert cache_key() is None


def test_the_seal_is_that_of_the_standard() -> None:
    """RFC 4231, 4.2 and 4.3: test cases 1 and 2 of HMAC with SHA-256."""
    assert seal(b"\x0b" * 20, b"Hi There").hex().startswith("b0344c61d8db38535ca8afceaf0bf12b")
    assert seal(b"Jefe", b"what do ya want for nothing?").hex().startswith("5bdcc146bf60754e6a042426089575c7")
    assert is_sealed(b"k", seal(b"k", b"x"), b"x")
    assert not is_sealed(b"k", seal(b"k", b"x"), b"y")


@pytest.mark.sample(3)
@pytest.mark.parametrize("place", [".", "jobs/.cache", "linked"])
def test_a_cache_folder_in_the_tree_is_refused(
    plant: Path, run: Callable, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, place: str
) -> None:
    (tmp_path / "linked").symlink_to(plant / "jobs")
    named = tmp_path / "linked/cache" if place == "linked" else plant / place
    monkeypatch.setenv("FILMCHECK_CACHE", str(named))
    before = sorted(plant.rglob("*"))
    assert cache_folder() is None
    assert run("lint", "jobs").status == 0
    assert sorted(plant.rglob("*")) == before


def test_a_link_in_the_place_of_the_verdicts_is_not_written_through(
    plant: Path, run: Callable, cache: Path, tmp_path: Path
) -> None:
    other = sqlite3.connect(tmp_path / "mine.sqlite")
    other.execute("CREATE TABLE mine (x)")
    other.commit()
    other.close()
    before = (tmp_path / "mine.sqlite").read_bytes()
    (cache / "verdicts.sqlite").symlink_to(tmp_path / "mine.sqlite")
    assert run("lint", "jobs").status == 0
    assert (tmp_path / "mine.sqlite").read_bytes() == before
    assert not (cache / "verdicts.sqlite").is_symlink()


def test_another_version_of_a_library_is_another_mark(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    marks = set()
    monkeypatch.syspath_prepend(tmp_path)
    for version in ("0.1", "0.2"):
        folder = tmp_path / f"Pint-{version}.dist-info"
        folder.mkdir()
        code_mark.cache_clear()
        marks.add(code_mark())
        folder.rmdir()
    code_mark.cache_clear()
    marks.add(code_mark())
    assert len(marks) == 3
    assert any(name.lower().startswith("pint-") for name in cache_module._library_versions())
