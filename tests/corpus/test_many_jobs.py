"""Every rule is in the table of many plausible jobs, or it is on record why it never speaks there."""

from __future__ import annotations

import runpy
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from filmcheck.packs.pack_files import pack_files
from filmcheck.reading.shipped import shipped_folder
from filmcheck.running import judge_sheet
from filmcheck.running.pack_store import rule_set

HERE = Path(__file__).parent
TABLE = (HERE / "many_jobs.txt").read_text("utf-8")
WHY: dict[str, Any] = YAML(typ="safe").load(HERE / "many_jobs_why.yaml")
NEVER = Counter(rule for group in WHY["never"] for rule in group["rules"])
OFTEN = 5.0
"""Share of jobs, or of plants, in per cent, above which a rule owes an explanation."""
SAMPLE = 60


def shares() -> dict[str, float]:
    """Give by rule the greatest of its three shares: of faults, of doubts, of plants."""
    rows = (line.split() for line in TABLE.splitlines()[3:])
    return {rule: max(map(float, numbers)) for rule, *numbers in rows}


def judged(monkeypatch: pytest.MonkeyPatch, count: int) -> tuple[Any, str]:
    """Draw jobs anew; give what they were told, and the table of it."""
    monkeypatch.setattr(judge_sheet, "judge_sheet", judge_sheet.judge_sheet)  # the draw puts another in its place
    maker = runpy.run_path(str(HERE / "many_jobs.py"))
    made = maker["judged"](count)
    return made, maker["table"](made)


def test_every_rule_is_in_the_table_or_explained() -> None:
    known = {rule.id for rule in rule_set([*pack_files([shipped_folder("rules")])]).rules}
    assert known - shares().keys() - NEVER.keys() == set(), (
        "say in tests/corpus/many_jobs_why.yaml, under never, why they never speak, or draw anew: .ci/renew --all"
    )
    assert (shares().keys() | NEVER.keys()) - known == set()


def test_what_never_spoke_is_not_in_the_table_and_is_explained_once() -> None:
    assert shares().keys() & NEVER.keys() == set()
    assert [rule for rule, times in NEVER.items() if times > 1] == []


def test_what_speaks_often_is_explained() -> None:
    assert {rule for rule, share in shares().items() if share > OFTEN} == WHY["often"].keys()


def test_a_sample_of_the_draw_speaks_as_the_table_says(monkeypatch: pytest.MonkeyPatch) -> None:
    made, _ = judged(monkeypatch, SAMPLE)
    assert len(made.jobs) == SAMPLE
    spoken = {rule for told in (*made.jobs, *made.plants) for rule in told}
    assert len(spoken) >= 10
    assert spoken - shares().keys() == set()


@pytest.mark.slow
def test_the_table_is_what_the_draw_gives_now(monkeypatch: pytest.MonkeyPatch) -> None:
    assert judged(monkeypatch, int(TABLE.split()[0]))[1] == TABLE
