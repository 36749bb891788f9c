"""House rules in YAML alone: rules of many forms are all proved, and together they use every word of the language."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from ruamel.yaml import YAML

from filmcheck.cli.rules import rules_command
from filmcheck.judging.rule import VERDICTS
from filmcheck.judging.rule_head import STAGES
from filmcheck.packs.arithmetic import CHOOSING, GATHERING
from filmcheck.packs.condition_reader import JOINERS, OWN_WORDS, TESTS, THINGS_KEYS
from filmcheck.reading.shipped import shipped_schema
from filmcheck.running.figure_run import work_out

FOLDERS = [
    Path(__file__).parent / name
    for name in ("house_rules", "more_house_rules", "third_house_rules", "fourth_house_rules")
]
"""Each is a house of its own: what one forbids, another may not care about."""
FILES = sorted(path for folder in FOLDERS for path in folder.glob("*.yaml"))
PACKS: list[dict[str, Any]] = [YAML(typ="safe").load(path) for path in FILES]
RULES: list[dict[str, Any]] = [rule for pack in PACKS for rule in pack["rules"]]
STRETCH = """\
pack: Trial
figures:
  house.stretch: {is: rewind.line_start_tension / laminate.stiffness, meaning: Stretch at the core.}
  house.wall: {is: 8 mm, meaning: Wall of our cores.}
  house.spread: {is: (house.stretch - 2 * house.stretch) * (web.width - house.wall), meaning: Nothing of use.}
rules:
  - rule: trial-spread
    title: A trial
    level: note
    from_stage: planned
    requires: {house.stretch: {at_most: 0.2 %}}
    says: "{house.spread}"
    because: So.
    basis: trial
    proof:
      - {case: as it is, verdict: pass}
      - {case: hard, change: {rewind.start_tension: 3 lbf/in}, verdict: fail}
"""
NOT_FOR_HOUSES = {"found_by", "settings_text"}
"""Words of rules that stand for faults which reading finds: a house writes none of these."""

FORMS = {
    "thing at hand": r"\bits\.",
    "thing around it": r"\bthat\.",
    "station at hand": r": this\b",
    "first of a kind": r"\bfirst [a-z]",
    "last of a kind": r"\blast [a-z]",
    "limit": r"\blimit\.",
    "share": r"\d % of ",
    "quantity in arithmetic": r"\[\d[^\]]*[a-zµ]\]",
    "sum of figures": r"[a-z.)\]] \+ [a-z(\[]",
    "difference": r"[a-z.] - [a-z]",
    "product": r"[a-z.] \* [a-z]",
    "quotient": r"[a-z.] / [a-z]",
    "unit in a text": r"\{[^}]+ in [a-zµ%A-Z/]+\}",
    "name of the thing in a text": r"\{it\}",
    "reason in a text": r"\{reason\}",
    "text left out where not known": r"\[\[.*\]\]",
    "date": r": \d{4}-\d\d-\d\d\b",
    "one of a list": r"(one_of|none_of): \[",
    "not given": r": not given",
    "least over things": r"least\(zone\.",
    "greatest over things": r"greatest\(zone\.",
    "least of two": r"least\([^)]*,",
    "greatest of two": r"greatest\([^)]*,",
}


def keys(node: Any) -> Iterator[str]:
    """Give every key below a node."""
    if isinstance(node, dict):
        for key, value in node.items():
            yield str(key)
            yield from keys(value)
    elif isinstance(node, list):
        for item in node:
            yield from keys(item)


def schema_keys(part: dict[str, Any]) -> Iterator[str]:
    """Give every key that the schema of packs names."""
    for key, inner in part.get("properties", {}).items():
        yield key
        yield from schema_keys(inner)
    for word in ("items", "additionalProperties"):
        if isinstance(part.get(word), dict):
            yield from schema_keys(part[word])


def form(node: Any) -> str:
    """Give a condition without its names and values: what is left is its form."""
    words = {*THINGS_KEYS, *TESTS, *JOINERS, OWN_WORDS, "to"}
    if isinstance(node, dict):
        parts = [f"{key if key in words else form(key)}: {form(value)}" for key, value in node.items()]
        return f"{{{', '.join(sorted(parts))}}}"
    if isinstance(node, list):
        return f"[{', '.join(form(item) for item in node)}]"
    called = re.findall(r"\b[a-z]+(?=\()| [-+*/] |% of|^its\.|^that\.|^limit\.", str(node))
    return " ".join(["name" if re.search(r"[a-z]\.[a-z]", str(node)) else "value", *called])


@pytest.mark.sample(4)
@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_all_are_proved(folder: Path) -> None:
    result = CliRunner().invoke(rules_command, ["prove", str(folder)])
    assert result.output.splitlines()[-1].endswith(": all proved"), result.output
    assert result.exit_code == 0


def test_they_are_many_and_of_different_form() -> None:
    assert len({form(rule.get("requires") or rule["no_other_job"]) for rule in RULES}) >= 35


def test_each_fails_passes_and_cannot_tell() -> None:
    verdicts = {rule["rule"]: {case["verdict"] for case in rule["proof"]} for rule in RULES}
    # What asks whether a datum or a station is there always has an answer.
    whether_given = {"trial-released", "trial-number-on-customer", "chill-after-each-lamp"}
    assert {name for name, seen in verdicts.items() if not seen >= {"fail", "pass", "open"}} == whether_given


def test_none_needs_python() -> None:
    assert [path.name for folder in FOLDERS for path in folder.iterdir() if path.suffix != ".yaml"] == []


@pytest.mark.parametrize("word", sorted({*THINGS_KEYS, *TESTS, *JOINERS, OWN_WORDS, "to", "first", "last"}))
def test_every_word_of_conditions_occurs(word: str) -> None:
    used = {*keys([[rule.get("applies"), rule.get("requires")] for rule in RULES])}
    texts = " ".join(path.read_text(encoding="utf-8") for path in FILES)
    assert word in used or (word in ("first", "last") and re.search(rf"\b{word} [a-z]", texts))


@pytest.mark.parametrize("word", sorted(set(schema_keys(shipped_schema("rule-pack"))) - NOT_FOR_HOUSES))
def test_every_word_of_packs_occurs(word: str) -> None:
    assert word in set(keys(PACKS))


@pytest.mark.parametrize("function", sorted({*CHOOSING, *GATHERING}))
def test_every_function_occurs(function: str) -> None:
    assert any(f"{function}(" in path.read_text(encoding="utf-8") for path in FILES)


@pytest.mark.parametrize("verdict", VERDICTS)
def test_every_verdict_occurs(verdict: str) -> None:
    assert any(case["verdict"] == verdict for rule in RULES for case in rule["proof"])


@pytest.mark.parametrize("stage", STAGES)
def test_every_stage_occurs(stage: str) -> None:
    assert any(rule["from_stage"] == stage for rule in RULES)


@pytest.mark.parametrize("name", FORMS)
def test_every_form_occurs(name: str) -> None:
    assert any(re.search(FORMS[name], path.read_text(encoding="utf-8")) for path in FILES)


def test_a_figure_of_the_house_is_worked_out_beside_the_others() -> None:
    sheet = Path(__file__).parents[2] / "examples/jobs/sound/qm-3103-set-up-hand-cream.yaml"
    told = {line.name: line for line in work_out(sheet).figures}
    own, roll = told["press_roll.mass_with_core"], told["rewind.roll_mass"]
    assert own.formula == "rewind.roll_mass + limit.press_core"
    assert own.arithmetic.endswith(f"+ 2.5 kg = {own.amount.text if own.amount else ''}")
    assert own.amount is not None
    assert roll.amount is not None
    assert own.amount.low == pytest.approx(roll.amount.low + 2.5)  # type: ignore[operator]
    assert [place.text for place in own.inputs] == ["limit press_core"]
    assert own.rests_on == ("rewind.roll_mass",)


@pytest.mark.slow
def test_a_figure_of_the_house_says_what_it_rests_on_and_what_is_assumed(tmp_path: Path) -> None:
    plant = shutil.copytree(Path(__file__).parents[2] / "examples", tmp_path / "plant")
    (plant / "house-rules" / "stretch.yaml").write_text(STRETCH, encoding="utf-8")
    told = {line.name: line for line in work_out(plant / "jobs/sound/qm-3103-set-up-hand-cream.yaml").figures}
    stretch, spread, wall = (told[f"house.{name}"] for name in ("stretch", "spread", "wall"))
    assert stretch.rests_on == ("laminate.stiffness",)
    assert [place.text for place in stretch.inputs] == ["rewind: start_tension: 0.6 lbf/in"]  # only carried over
    assert stretch.assumes == told["laminate.stiffness"].assumes != ()
    assert spread.formula == "(house.stretch - 2 * house.stretch) * (web.width - house.wall)"
    assert spread.rests_on == ("house.stretch", "house.wall")
    assert [place.text for place in spread.inputs] == ["web.width: 310 mm"]
    assert (wall.amount and wall.amount.text, wall.arithmetic) == ("8 mm", "")  # nothing is reckoned
