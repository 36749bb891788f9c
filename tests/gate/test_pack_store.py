"""The store of loaded packs: damaged, foreign, shared, edited, it gives the rules that the packs give, or gives way."""

from __future__ import annotations

import os
import pickle
import random
from collections.abc import Callable
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

import filmcheck.packs.pack as pack_module
import filmcheck.running.cache_folder
from filmcheck.packs.pack import load_packs
from filmcheck.packs.pack_files import pack_files
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.errors import PackError
from filmcheck.running.cache_folder import cache_folder, code_mark
from filmcheck.running.pack_store import RuleSet, rule_set

PACK = """\
pack: House
limits:
  house_speed: {value: 40 m/min, basis: house}
rules:
  - rule: too-fast-here
    title: Too fast here
    level: warning
    requires: {web.speed: {at_most: limit.house_speed}}
    says: The web runs at {web.speed}
    because: It flutters.
    proof:
      - {case: fast, sheet: own.yaml, verdict: fail, at: web.speed}
      - {case: slow, change: {web.speed: 30 m/min}, verdict: pass}
"""


class Rules:
    """The rules of a pack, as the store gives them, with how often the pack itself was loaded for them."""

    def __init__(self, folder: Path) -> None:
        self.file = folder / "house.yaml"
        self.loads = 0
        self.files: list[Path] = []

    def give(self) -> tuple[object, ...]:
        got = rule_set([self.file])
        return self.plain(got)

    @staticmethod
    def plain(got: RuleSet) -> tuple[object, ...]:
        (rule,) = got.rules
        return (
            rule.id,
            rule.level,
            rule.text,
            str(rule.place),
            repr(rule.requires),
            sorted(got.limits),
            repr(got.limits),
        )


@pytest.fixture
def rules(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Rules:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "own.yaml").write_text("job: O-1\n", encoding="utf-8")
    made = Rules(tmp_path)
    made.file.write_text(PACK, encoding="utf-8")
    real = pack_module.load_packs

    def counted(files: list[Path], **how: Any) -> object:
        made.loads += 1
        made.files = files
        return real(files, **how)

    monkeypatch.setattr(pack_module, "load_packs", counted)
    return made


def kept_form(cache: Path) -> Path:
    (kept,) = cache.glob("rules-*")
    return kept


def test_the_second_start_takes_the_kept_form(rules: Rules, cache: Path) -> None:
    assert rules.give() == rules.give()
    assert rules.loads == 1


def test_own_packs_are_loaded_onto_the_shipped_ones_and_give_what_all_together_give(rules: Rules, cache: Path) -> None:
    shipped = pack_files([shipped_folder("rules")])
    rule_set([*shipped, rules.file])
    rules.file.write_text(PACK.replace("40 m/min", "41 m/min"), encoding="utf-8")
    got, files = rule_set([*shipped, rules.file]), rules.files
    whole = load_packs([*shipped, rules.file], to_prove=False)
    assert files == [rules.file]
    assert [repr(rule) for rule in got.rules] == [repr(replace(rule, cases=())) for rule in whole.rules]
    assert {name: repr(limit) for name, limit in got.limits.items()} == {
        name: repr(limit) for name, limit in whole.limits.items()
    }


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("rule: too-fast-here", "rule: unwind-tension-high"),
        ("house_speed: {", "run_time_share: {"),
        ("because:", "follows: [unwind-tension-hihg]\n    because:"),
    ],
)
def test_what_own_packs_may_not_say_beside_the_shipped_ones(rules: Rules, cache: Path, old: str, new: str) -> None:
    files = [*pack_files([shipped_folder("rules")]), rules.file]
    rules.file.write_text(PACK.replace(old, new), encoding="utf-8")
    with pytest.raises(PackError) as together:
        load_packs(files, to_prove=False)
    with pytest.raises(PackError) as onto:
        rule_set(files)
    assert str(onto.value) == str(together.value)


@pytest.mark.parametrize("seed", range(40))
def test_flipped_bytes(rules: Rules, cache: Path, seed: int) -> None:
    first = rules.give()
    rng = random.Random(seed)  # noqa: S311  a seed, so that a failure comes again
    data = bytearray(kept_form(cache).read_bytes())
    for _ in range(rng.choice((1, 5, 50))):
        data[rng.randrange(len(data))] ^= rng.randrange(1, 256)
    kept_form(cache).write_bytes(data)
    assert rules.give() == first
    assert rules.loads == 2
    assert rules.give() == first
    assert rules.loads == 2, "the damaged form was not replaced"


def cut_short(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:200])


def emptied(path: Path) -> None:
    path.write_bytes(b"")


def a_text(path: Path) -> None:
    path.write_text("These are no rules, but a letter to the editor.\n" * 50, encoding="utf-8")


def a_foreign_pickle(path: Path) -> None:
    path.write_bytes(pickle.dumps({"rules": (), "limits": {}}))


def something_else_with_a_right_checksum(path: Path) -> None:
    """What our own code of another layout might leave."""
    mark = pickle.loads(path.read_bytes()[32:])[2]  # noqa: S301  written by the test itself
    payload = pickle.dumps({"rules": (), "limits": {}})
    path.write_bytes(sha256(mark + payload).digest() + payload)


def rules_of_other_packs(path: Path) -> None:
    payload = pickle.dumps(({}, {}, b"another mark", pickle.dumps(())))
    path.write_bytes(sha256(b"another mark" + payload).digest() + payload)


def writable_by_all(path: Path) -> None:
    path.chmod(0o666)


SPOILERS = [
    *(cut_short, emptied, a_text, a_foreign_pickle, something_else_with_a_right_checksum, rules_of_other_packs),
    writable_by_all,
]


@pytest.mark.parametrize("spoil", SPOILERS)
def test_a_spoilt_form_is_passed_over_and_replaced(rules: Rules, cache: Path, spoil: Callable[[Path], None]) -> None:
    first = rules.give()
    spoil(kept_form(cache))
    assert rules.give() == rules.give() == first
    assert rules.loads == 2
    assert kept_form(cache).stat().st_mode & 0o022 == 0


def test_a_folder_in_its_place(rules: Rules, cache: Path) -> None:
    first = rules.give()
    kept = kept_form(cache)
    kept.unlink()
    kept.mkdir()
    assert rules.give() == first
    assert list(cache.iterdir()) == [kept], "what could not be moved into place was left lying"


@pytest.mark.parametrize(
    ("old", "new"),
    [("40 m/min", "41 m/min"), ("level: warning", "level: error"), ("pack: House", "# a line\npack: House")],
)
def test_an_edited_pack_is_loaded_anew(rules: Rules, cache: Path, old: str, new: str) -> None:
    first = rules.give()
    status = rules.file.stat()
    rules.file.write_text(PACK.replace(old, new), encoding="utf-8")
    os.utime(rules.file, ns=(status.st_atime_ns, status.st_mtime_ns))
    assert rules.give() != first
    rules.file.write_text(PACK, encoding="utf-8")
    assert rules.give() == first
    assert rules.loads == 2


def test_a_pack_that_was_broken_since_is_refused(rules: Rules, cache: Path) -> None:
    rules.give()
    rules.file.write_text(PACK.replace("web.speed:", "web.sped:"), encoding="utf-8")
    with pytest.raises(PackError):
        rules.give()


def test_a_sound_sheet_that_has_gone_is_told_where_it_is_to_prove_and_nowhere_else(rules: Rules, cache: Path) -> None:
    rules.give()
    Path("own.yaml").unlink()
    rules.give()
    with pytest.raises(PackError, match=r"no sound sheet own\.yaml"):
        load_packs([rules.file])


def test_a_pack_that_changes_while_it_is_loaded_is_not_kept(
    rules: Rules, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Marked, then changed, then loaded: the rules belong to another mark."""
    real = pack_module.load_packs

    def late(files: list[Path], **how: Any) -> object:
        rules.file.write_text(PACK.replace("40 m/min", "99 m/min"), encoding="utf-8")
        return real(files, **how)

    with monkeypatch.context() as patch:
        patch.setattr(pack_module, "load_packs", late)
        assert rule_set([rules.file]).mark == b"", "verdicts must not be kept for these rules"
    rules.file.write_text(PACK, encoding="utf-8")
    assert "99 m/min" not in str(rules.give())


def test_another_version_loads_anew(rules: Rules, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = rules.give()
    monkeypatch.setattr(filmcheck.running.cache_folder, "VERSION", "0.0.0")
    code_mark.cache_clear()
    try:
        assert rules.give() == first
        assert rules.loads == 2
    finally:
        code_mark.cache_clear()


def test_the_store_does_not_grow_without_end(rules: Rules, cache: Path) -> None:
    for speed in range(20):
        rules.file.write_text(PACK.replace("40 m/min", f"{41 + speed} m/min"), encoding="utf-8")
        rules.give()
    assert len(list(cache.iterdir())) == 12


def test_no_folder_no_store(rules: Rules, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FILMCHECK_CACHE", "")
    assert rules.give() == rules.give()
    assert (rules.loads, list(cache.iterdir())) == (2, [])


# --- the folder that both stores share


@pytest.mark.parametrize("mode", [0o777, 0o770, 0o702])
def test_a_folder_that_others_may_write_to_is_refused(cache: Path, mode: int) -> None:
    assert cache_folder() == cache
    cache.chmod(mode)
    assert cache_folder() is None


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can give a folder away")
def test_a_folder_of_somebody_else_is_refused(cache: Path) -> None:
    os.chown(cache, 65534, 65534)
    assert cache_folder() is None


def test_a_file_in_the_place_of_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    monkeypatch.setenv("FILMCHECK_CACHE", str(tmp_path / "file"))
    assert cache_folder() is None
    monkeypatch.setenv("FILMCHECK_CACHE", str(tmp_path / "file/below"))
    assert cache_folder() is None


def test_a_new_folder_is_for_us_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FILMCHECK_CACHE", str(tmp_path / "a/b"))
    assert cache_folder() == tmp_path / "a/b"
    assert (tmp_path / "a/b").stat().st_mode & 0o777 == 0o700
