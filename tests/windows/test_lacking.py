"""What a sheet lacks and somebody sets is told with a value that was judged: written there, no rule fails."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from benches import DAY, EXAMPLES, ready
from test_advice_holds import told

from filmcheck.plant.plant import type_text
from filmcheck.records.finding import Finding
from filmcheck.reports.lacks import missing
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.judge_sheet import judge_sheet
from filmcheck.running.window_run import Ready

NARROW = next((EXAMPLES / "jobs/sound").glob("*3108*"))
"""A web of 310 mm on the small press, where 52 N, the example of the schema, is too much at the unwind."""

LACKS = [
    ("tension: 22.4 N", "unwind: tension"),
    ("tension: 27 N", "nip infeed: tension"),
    ("unwind_tension: 0.5 lbf/in", "finishing.unwind_tension"),
    ("taper: 35 %", "finishing.taper"),
    ("sample: 720 mm", "check snap (2): sample"),
    ("setting: 49 degC", "dryer 1: setting"),
]


def text_of(made: Ready, stage: str = "set-up") -> str:
    """Give the sheet at another stage, without the results that it then cannot have."""
    return made.sheet.text.replace("stage: released", f"stage: {stage}").partition("results:")[0]


def judged(made: Ready, text: str) -> tuple[Finding, ...]:
    return judge_sheet(type_text(text, made.sheet.file, "job-sheet"), made.context, DAY).findings


def written(made: Ready, text: str, name: str) -> str:
    told = judged(made, text)
    (found,) = {write for one in told for lack, write in zip(one.waits_for, one.to_write, strict=False) if lack == name}
    return found


@pytest.mark.parametrize(("old", "name"), LACKS, ids=[name for _, name in LACKS])
def test_what_is_proposed_is_judged(old: str, name: str) -> None:
    made = ready(NARROW)
    sound, key = text_of(made), old.partition(":")[0]
    lacking = sound.replace(old, f"{key}: ", 1)
    proposed = re.fullmatch(r"write `(.+)` there, with which no rule fails", written(made, lacking, name))
    assert proposed
    assert proposed[1].split()[-1] == old.split()[-1], "it is told in the unit of the sheet"
    sheet = type_text(sound.replace(old, proposed[1], 1), made.sheet.file, "job-sheet")
    assert told(judge_as_is(sheet, made.context, DAY).findings) == told(judged(made, sound))


def test_the_schemas_example_would_not_have_held() -> None:
    made = ready(NARROW)
    sound = text_of(made)
    wrong = told(judged(made, sound.replace("tension: 22.4 N", "tension: 52 N", 1)))
    assert "unwind-tension-high" in {rule for rule, _ in wrong}
    assert "52 N" not in written(made, sound.replace("tension: 22.4 N", "tension: ", 1), "unwind: tension")


def test_where_no_value_settles_it_none_is_proposed() -> None:
    """The dryers of this press are set in degrees, and the schema's example is a share: no rule could tell."""
    made = ready(NARROW)
    none = re.sub(r"setting: \d+ degC", "setting: ", text_of(made))
    assert written(made, none, "dryer 1: setting") == ""


@pytest.mark.parametrize(
    ("stage", "press_is_past", "finishing_is_past"),
    [("planned", False, False), ("running", True, False), ("finishing", True, False), ("released", True, True)],
)
def test_what_was_set_already_is_asked_for(stage: str, press_is_past: bool, finishing_is_past: bool) -> None:
    made = ready(NARROW)
    sound = text_of(made, stage)
    press = written(made, sound.replace("tension: 22.4 N", "tension: ", 1), "unwind: tension")
    finishing = written(made, sound.replace("unwind_tension: 0.5 lbf/in", "", 1), "finishing.unwind_tension")
    assert (press == "write what was set there, as `tension: …`") is press_is_past
    assert (finishing == "write what was set there, as `unwind_tension: …`") is finishing_is_past


def test_a_value_judged_on_one_job_is_not_told_of_two() -> None:
    made = ready(NARROW)
    findings = judged(made, text_of(made).replace("      tension: 22.4 N\n", "", 1))
    (lack,) = [one for one in missing(findings) if one.text == "unwind: tension"]
    assert lack.says.endswith("there, with which no rule fails")
    others = [replace(one, job="another", to_write=("write `tension: 40 N` there",)) for one in findings]
    (both,) = [one for one in missing([*findings, *others]) if one.text == "unwind: tension"]
    assert both.says == "2 jobs lack unwind: tension"
