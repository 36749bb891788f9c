"""What is kept of a result and read back is the result, to the last field."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from filmcheck.plant.plant import load_plant, type_text
from filmcheck.running.judge_sheet import judge_sheet
from filmcheck.running.plain_results import Words, plain_result
from filmcheck.running.plant_context import make_context

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXTS = {
    "bare": "job: A-1\n",
    "nearly bare, with a key that is none": "job: A-1\nwrong: 1\n",
    "no sheet at all": "- 1\n",
    **{path.stem: path.read_text(encoding="utf-8") for path in sorted((EXAMPLES / "jobs").rglob("*.yaml"))},
}


@pytest.mark.parametrize("name", TEXTS)
@pytest.mark.sample(8)
def test_read_back_it_is_the_same(name: str) -> None:
    context = make_context(load_plant(EXAMPLES / "plant.yaml"))
    sheet = type_text(TEXTS[name], "jobs/a.yaml", "job-sheet")
    result = judge_sheet(sheet, context, date(2026, 11, 28), passes=True)
    back = Words().result(json.loads(json.dumps(plain_result(result))), "jobs/a.yaml")
    assert back == result
    assert [hash(one) for one in back.findings] == [hash(one) for one in result.findings]
