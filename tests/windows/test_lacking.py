"""What a sheet lacks and somebody sets is told with a value that was judged: written there, no rule fails."""

from __future__ import annotations

from dataclasses import replace

import pytest
from benches import DAY, EXAMPLES, ready
from test_advice_holds import told

from filmcheck.plant.plant import type_text
from filmcheck.records.finding import JUDGED, Finding
from filmcheck.reports.lacks import missing
from filmcheck.running.plant_context import judge_as_is, judge_sheet
from filmcheck.running.window_run import Ready

NARROW = next((EXAMPLES / "jobs/sound").glob("*3108*"))
"""A web of 310 mm on the small press, where 52 N, the example of the schema, is too much at the unwind."""

LACKS = [
    ("tension: 22.4 N", "unwind: tension"),
    ("tension: 27 N", "nip infeed: tension"),
    ("unwind_tension: 0.5 lbf/in", "finishing.unwind_tension"),
    ("taper: 35 %", "finishing.taper"),
    ("sample: 720 mm", "check snap (2): sample"),
]


def judged(made: Ready, text: str) -> tuple[Finding, ...]:
    return judge_sheet(type_text(text, made.sheet.file, "job-sheet"), made.context, DAY).findings


def written(findings: tuple[Finding, ...], name: str) -> set[str]:
    return {write for one in findings for lack, write in zip(one.waits_for, one.to_write, strict=False) if lack == name}


@pytest.mark.parametrize(("old", "name"), LACKS, ids=[name for _, name in LACKS])
def test_what_is_proposed_is_judged(old: str, name: str) -> None:
    made = ready(NARROW)
    key = old.partition(":")[0]
    lacking = made.sheet.text.replace(f"{old}", f"{key}: ", 1)
    assert lacking != made.sheet.text
    (proposed,) = written(judged(made, lacking), name)
    assert proposed.endswith(JUDGED)
    sheet = made.sheet.text.replace(old, proposed.removesuffix(JUDGED), 1)
    assert told(judge_as_is(type_text(sheet, made.sheet.file, "job-sheet"), made.context, DAY).findings) == {}


def test_the_schemas_example_would_not_have_held() -> None:
    made = ready(NARROW)
    sheet = made.sheet.text.replace("tension: 22.4 N", "tension: 52 N", 1)
    assert "unwind-tension-high" in {rule for rule, _ in told(judged(made, sheet))}
    (proposed,) = written(judged(made, made.sheet.text.replace("tension: 22.4 N", "tension: ", 1)), "unwind: tension")
    assert "52 N" not in proposed


def test_where_no_value_settles_it_none_is_proposed() -> None:
    """The dryer of this press is set in degrees, and the schema's example is a share: no rule could tell."""
    made = ready(NARROW)
    findings = judged(made, made.sheet.text.replace("setting: 49 degC", "setting: ", 1))
    assert written(findings, "dryer 1: setting") == {""}


def test_a_value_judged_on_one_job_is_not_told_of_two() -> None:
    made = ready(NARROW)
    findings = judged(made, made.sheet.text.replace("      tension: 22.4 N\n", "", 1))
    (lack,) = missing(findings)
    assert lack.says.endswith(f"there{JUDGED}")
    others = [replace(one, job="another", to_write=("tension: 40 N" + JUDGED,)) for one in findings]
    (both,) = missing([*findings, *others])
    assert both.says == "2 jobs lack unwind: tension"
