"""Most mutants of sound sheets are noticed, and of each that is not a list says why."""

from __future__ import annotations

import sys
from fnmatch import fnmatchcase
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

sys.path.insert(0, str(Path(__file__).parent))

from sheet_mutants import Mutant, demo_bench, tried

WHY: list[dict[str, Any]] = YAML(typ="safe", pure=True).load(Path(__file__).with_name("silent.yaml"))
SHARE = 0.15
"""Share of the mutants that the test draws: all take some two minutes."""
LEAST_NOTICED = 0.88
"""Own figure, of the day on which it was measured: it may only rise."""
MOST_WAITING = 0.01
"""Own figure as well: it may only fall."""

Tried = list[tuple[Mutant, set[str]]]


@pytest.fixture(scope="module")
def drawn() -> Tried:
    return list(tried(demo_bench(), SHARE))


def reasons(mutant: Mutant) -> list[dict[str, Any]]:
    return [
        line
        for line in WHY
        if fnmatchcase(mutant.field, line["field"])
        and fnmatchcase(mutant.edit, line["edit"])
        and line.get("only", mutant.stage) in (mutant.stage, mutant.liner)
    ]


def test_most_mutants_are_noticed(drawn: Tried) -> None:
    assert sum(bool(rules) for _, rules in drawn) / len(drawn) >= LEAST_NOTICED


def test_every_silent_mutant_is_explained(drawn: Tried) -> None:
    unexplained = {(mutant.field, mutant.edit) for mutant, rules in drawn if not rules and not reasons(mutant)}
    assert unexplained == set()


def test_few_silent_mutants_wait_for_a_rule(drawn: Tried) -> None:
    waiting = [mutant for mutant, rules in drawn if not rules and all(line.get("waits") for line in reasons(mutant))]
    assert len(waiting) / len(drawn) <= MOST_WAITING
