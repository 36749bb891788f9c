"""Whatever a short sheet lacks can be written as it is proposed: the next run then finds it there."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from filmcheck.records.finding import WRITE, Finding
from filmcheck.reports.lacks import lacks
from filmcheck.run import Options, lint

EXAMPLES = Path(__file__).parents[2] / "examples"
BARE = """\
job: T-1
title: All to be written
stage: planned
date: 2026-12-03
first_film_job: false
press: alder
stock: pp50-clear-film23
customer: mossgill-drinks
tooling: {die: d-0412, magnetic_cylinder: m-96, anvil: a-alder, print_cylinder: p-96}
path: as press
"""


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    shutil.copytree(EXAMPLES, tmp_path / "plant", ignore=shutil.ignore_patterns("jobs"))
    (tmp_path / "plant" / "jobs").mkdir()
    path = tmp_path / "plant" / "jobs" / "bare.yaml"
    path.write_text(BARE)
    return path


def open_findings(sheet: Path) -> list[Finding]:
    found = lint([sheet], Options(today=date(2026, 11, 25))).findings
    assert [f.says for f in found if f.rule in ("key-unknown", "value-wrong", "name-unknown", "key-twice")] == []
    return [finding for finding in found if finding.kind == "open"]


def merge(into: dict[str, Any], more: dict[str, Any]) -> None:
    for key, value in more.items():
        if isinstance(value, dict) and isinstance(into.get(key), dict):
            merge(into[key], value)
        else:
            into.setdefault(key, value)


def test_all_that_a_bare_sheet_lacks_is_written_as_proposed(sheet: Path) -> None:
    """Each proposal is laid at the top of the sheet or, where its group is there by now, within that group."""
    for _ in range(6):
        told = [lack for lack in lacks(open_findings(sheet)) if lack.write]
        assert [lack.place for lack in told if "/jobs/bare.yaml:" not in lack.place] == []
        if not told:
            break
        tree = YAML(typ="safe").load(sheet.read_text())
        lines = sheet.read_text().splitlines()
        for lack in told:
            key = lines[int(lack.place.rsplit(":", 2)[1]) - 1].partition(":")[0].strip()
            judged = lack.write.startswith(WRITE)  # a value that was judged stands within its sentence
            piece = YAML(typ="safe").load(lack.write.split("`")[1] if judged else lack.write)
            groups = {**tree.get("settings", {}), **tree}
            merge(groups[key] if isinstance(groups.get(key), dict) else tree, piece)
        with sheet.open("w") as stream:
            YAML().dump(tree, stream)
    assert told == []
