"""A plant of one press in inches and one in metric units: its sheets are told nothing, faults made on them each once.

Sheets and faults were written as a hurried planner writes them, before filmcheck read them. What it told wrongly then
was mended; which rules lead is what it tells now, judged by hand.
"""

from __future__ import annotations

import re
import shutil
from datetime import date
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from filmcheck import Options, lint, text_report
from filmcheck.reports.led import told_apart

PLANT = Path(__file__).with_name("mixed_plant")
OPTIONS = Options(today=date(2026, 11, 28))
FAULTS = YAML(typ="safe").load(PLANT / "faults.yaml")


def test_no_sheet_is_told_more_than_a_note() -> None:
    every = lint([PLANT / "jobs"], OPTIONS).findings
    told = [one for one in every if one.kind == "fail" and one.level in ("error", "warning") and one.permit is None]
    assert [(str(one.place), one.rule) for one in told] == []
    assert {(one.job, one.rule) for one in every if one.permit} == {("CL-516", "small-core-thin-liner")}


@pytest.mark.sample(8)
@pytest.mark.parametrize("case", FAULTS, ids=lambda case: str(case["fault"]))
def test_each_of_several_faults_is_told_once(case: dict[str, list[list[str]]], tmp_path: Path) -> None:
    plant = Path(shutil.copytree(PLANT, tmp_path / "plant"))
    for file, old, new in case["edits"]:
        text = (plant / file).read_text(encoding="utf-8")
        assert old in text
        (plant / file).write_text(text.replace(old, new), encoding="utf-8")
    sheets = sorted({plant / file for file, _, _ in case["edits"] if file.startswith("jobs/")})
    report = lint(sheets, OPTIONS)
    faults = [each for each in told_apart(report.findings) if each.head.kind == "fail" and each.level != "note"]
    assert sorted({each.head.rule for each in faults}) == case["lead"]
    assert "Traceback" not in text_report(report)
    # A sheet in inches is told of no newton, and one in millimetres of no pound, unless it speaks of them itself.
    first = sheets[0].read_text(encoding="utf-8")
    others = r"\d lbf\b(?!/in)" if re.search(r"\d mm\b", first) else r"\d N\b(?!/m| m)"
    told = [each.head.says for each in faults if re.search(others, each.head.says)]
    assert told == [] or re.search(others, first)
