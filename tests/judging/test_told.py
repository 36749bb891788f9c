"""What a finding tells of its rule is what the pack says, read here by itself as plain YAML."""

from __future__ import annotations

import shutil
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from filmcheck import Finding, lint, lint_text
from filmcheck.run import Options

TOP = Path(__file__).parents[2]
JOBS = TOP / "examples/jobs"


@cache
def rules() -> dict[str, dict[str, Any]]:
    """Give the shipped rules as they are written, by id."""
    packs = [YAML(typ="base", pure=True).load(path) for path in sorted((TOP / "rules").glob("*.yaml"))]
    return {rule["rule"]: rule for pack in packs for rule in pack["rules"]}


@pytest.fixture(scope="module")
def found() -> list[Finding]:
    report = lint([JOBS / "spoiled"], Options(today=date(2026, 11, 26)))
    return [one for one in report.findings if one.rule in rules()]


def flat(text: str) -> str:
    return " ".join(text.split())


def test_a_fault_tells_why_and_with_what_caution_and_nothing_else_does(found: list[Finding]) -> None:
    kinds = {one.kind for one in found}
    assert kinds >= {"fail", "open"}
    for one in found:
        told = one.kind in ("fail", "review")
        assert flat(one.because) == (flat(rules()[one.rule].get("because", "")) if told else "")
        if told:
            assert flat(one.caution) == flat(rules()[one.rule].get("caution", ""))


def test_a_fault_has_the_level_of_its_rule(found: list[Finding]) -> None:
    for one in found:
        rule = rules()[one.rule]
        if one.kind != "fail":
            assert one.level == "none"
        elif "warning_where" not in rule:
            assert one.level == rule["level"]


@pytest.mark.parametrize(
    ("customer", "level"),
    [("thornapple-remedies", "warning"), ("mossgill-drinks", "error")],
)
def test_a_small_core_that_the_customer_asked_for_is_a_warning(customer: str, level: str) -> None:
    """The register has 3 in for one customer and 6 in for another; any other core than theirs is the plant's choice."""
    path = JOBS / "spoiled/qm-3206-three-inch-core-on-23-micron-liner.yaml"
    text = path.read_text(encoding="utf-8").replace("customer: thornapple-remedies", f"customer: {customer}")
    report = lint_text(text, path, Options(today=date(2026, 11, 26)))
    (one,) = [one for one in report.findings if one.rule == "small-core-thin-liner" and one.kind == "fail"]
    assert one.level == level


HOUSE = """\
pack: House
rules:
  - rule: house-speed
    title: The press runs fast
    level: note
    from_stage: planned
    requires: {web.speed: {at_most: 50 m/min}, web.width: {at_most: 400 mm}}
    says: The press runs at {web.speed}WIDTH
    because: It shakes.
    basis: house
    proof:
      - {case: fast, change: {web.speed: 60 m/min}, verdict: fail}
      - {case: slow, verdict: pass}
"""


@pytest.mark.parametrize(
    ("speed", "more", "says"),
    [
        ("60 m/min", "", "The press runs at 60 m/min"),
        ("45 to 55 m/min", "", "The press runs at 45 to 55 m/min"),
        ("45 to 55 m/min", " on {web.width}", "The press runs at 45 to 55 m/min on 330 mm"),
    ],
)
def test_what_is_borderline_is_told_with_its_numbers_once(tmp_path: Path, speed: str, more: str, says: str) -> None:
    shutil.copytree(TOP / "rules/proving", tmp_path / "plant")
    (tmp_path / "plant/house.yaml").write_text(HOUSE.replace("WIDTH", more), encoding="utf-8")
    settings, path = tmp_path / "plant/plant.yaml", tmp_path / "plant/sheets/film-label.yaml"
    text = settings.read_text("utf-8").replace("jobs: [sheets]", "jobs: [sheets]\nrules: [house.yaml]")
    settings.write_text(text, encoding="utf-8")
    sheet = path.read_text("utf-8").replace("speed: 45 m/min,", f"speed: {speed},")
    found = lint_text(sheet, path, Options(today=date(2026, 11, 26))).findings
    assert [one.says for one in found if one.rule == "house-speed"] == [says]
