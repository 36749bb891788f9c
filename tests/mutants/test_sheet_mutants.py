"""Of each mutant of a sound sheet that is not noticed, a list says why; all are tried in ``test_silent_entries.py``."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

sys.path.insert(0, str(Path(__file__).parent))

from sheet_mutants import Mutant, demo_bench, tried

LINES: list[dict[str, Any]] = YAML(typ="safe").load(Path(__file__).with_name("silent.yaml"))
SHARE = 0.04
"""Share of the mutants that the quick test draws, always the same ones: all take some two minutes."""
Tried = Sequence[tuple[Mutant, set[str]]]


def explained(mutant: Mutant, line: dict[str, Any]) -> bool:
    return (
        mutant.field == line["field"]
        and mutant.edit in line["edit"]
        and line.get("only", mutant.stage) in (mutant.stage, mutant.liner)
    )


def unexplained(found: Tried) -> set[tuple[str, str, str]]:
    silent = (mutant for mutant, rules in found if not rules)
    return {(one.sheet, one.field, one.edit) for one in silent if not any(explained(one, line) for line in LINES)}


def test_every_silent_mutant_of_a_sample_is_explained() -> None:
    found = list(tried(demo_bench(), SHARE))
    assert len(found) > 100
    assert unexplained(found) == set()


def fitting(line: dict[str, Any], edit: str) -> Iterator[Mutant]:
    """Give the mutants of which a line speaks, those of the last sheets first: they say most."""
    bench = demo_bench()
    for name in reversed(bench.sheets):
        made = bench.mutants(name, lambda field, how: field == line["field"] and how == edit)
        yield from (mutant for mutant in made if explained(mutant, line))


@pytest.mark.sample(4)
@pytest.mark.parametrize("line", LINES, ids=lambda line: f"{line['field']} {line.get('only', '')}".strip())
def test_every_line_explains_a_mutant_that_is_silent(line: dict[str, Any]) -> None:
    for edit in line["edit"]:
        assert any(not demo_bench().notices(mutant) for mutant in fitting(line, edit)), edit
