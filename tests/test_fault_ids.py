"""Every fault that reading and resolving can tell has a rule of its own, so that a report can say why it matters."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from filmcheck.packs.pack import load_packs
from filmcheck.packs.pack_files import pack_files
from filmcheck.reading.shipped import shipped_folder

SOURCE = Path(__file__).parents[1] / "filmcheck"
ROOMS = ("reading", "plant", "judging", "packs", "running/plant_context.py", "running/judge_as_is.py")
HYPHENATED = re.compile(r"[a-z]+(-[a-z]+)+")
NO_FAULTS = {
    "pack-broken": "stops the run, and no report is written",
    "job-sheet": "a schema",
    "rule-pack": "a schema",
    "film-label": "the proving sheet",
    "set-up": "a stage",
}
"""Hyphenated texts of the source that are no faults of a sheet, and what each is instead."""

LEVELS = {"merge-key": "warning", "tag-not-known": "warning", "safety-loosened": "note"}
"""Faults of reading and of the settings that leave the rest of the file as its writer meant it."""


def hyphenated_texts(room: str) -> set[str]:
    """Give every text in the code of a room that is written like the id of a rule."""
    found = set()
    place = SOURCE / room
    for path in [place] if place.is_file() else sorted(place.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and HYPHENATED.fullmatch(node.value):
                found.add(node.value)
    return found


def fault_ids() -> set[str]:
    return set().union(*map(hyphenated_texts, ROOMS)) - NO_FAULTS.keys()


@pytest.fixture(scope="module")
def rules() -> dict[str, tuple[str, str]]:
    """Who finds each shipped rule, and its level."""
    loaded = load_packs(pack_files([shipped_folder("rules")]))
    return {rule.id: (rule.found_by, rule.level) for rule in loaded.rules}


def test_the_search_finds_ids_in_every_form_of_code() -> None:
    # A call, a word passed on to a method, a dictionary of ids, a call by a short name.
    assert {"yaml-broken", "key-twice", "unit-missing", "settings-wrong"} <= fault_ids()


@pytest.mark.parametrize("fault", sorted(fault_ids()))
def test_a_fault_has_a_rule_that_says_who_finds_it(fault: str, rules: dict[str, tuple[str, str]]) -> None:
    assert fault in rules, f"no pack has a rule {fault}"
    assert rules[fault][0] != "judging", f"rule {fault} does not say who finds it"


def test_no_rule_waits_for_a_fault_that_nothing_tells(rules: dict[str, tuple[str, str]]) -> None:
    found_elsewhere = {name for name, (found_by, _) in rules.items() if found_by != "judging"}
    assert found_elsewhere == fault_ids()


@pytest.mark.parametrize(("fault", "level"), LEVELS.items())
def test_a_fault_that_spoils_nothing_else_is_no_error(
    fault: str, level: str, rules: dict[str, tuple[str, str]]
) -> None:
    assert rules[fault][1] == level


@pytest.mark.sample(3)
@pytest.mark.parametrize("word", NO_FAULTS)
def test_an_exception_is_still_in_the_code(word: str) -> None:
    assert word in set().union(*map(hyphenated_texts, ROOMS))
