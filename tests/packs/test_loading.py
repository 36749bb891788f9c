"""The shipped packs stay quick to load: their text is one that the compiled YAML parser reads as the pure one does."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from filmcheck.packs.pack import load_packs
from filmcheck.packs.pack_files import pack_files
from filmcheck.reading.shipped import shipped_folder
from filmcheck.reading.yaml_events import READ_DIFFERENTLY
from filmcheck.reading.yaml_tree import read_tree

ruamel = pytest.importorskip("_ruamel_yaml", reason="there is no compiled parser here")


@pytest.mark.parametrize("path", pack_files([shipped_folder("rules")]), ids=lambda path: path.stem)
def test_no_shipped_pack_needs_the_slow_parser(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = path.read_text(encoding="utf-8")
    doubtful = READ_DIFFERENTLY.search(text)
    assert doubtful is None, f"line {text.count(chr(10), 0, doubtful.start()) + 1}: no colon behind a bracket, please"
    monkeypatch.setattr("filmcheck.reading.yaml_tree.LONGEST_FOR_PURE", 0)
    assert read_tree(text)[1] == ()


@pytest.mark.slow
def test_without_their_proofs_the_shipped_packs_hold_the_same_rules() -> None:
    files = pack_files([shipped_folder("rules")])
    proved, judging = load_packs(files), load_packs(files, to_prove=False)
    assert [replace(rule, cases=()) for rule in proved.rules] == list(judging.rules)
    assert proved.limits == judging.limits
