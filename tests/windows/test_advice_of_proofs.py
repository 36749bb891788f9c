"""The advice of every shipped rule that works a number out is followed: on the sheets of its own failing proofs.

A few cannot be cured on those sheets, for the register has no other entry there; they are spoiled on an example.
"""

from __future__ import annotations

import pytest
from benches import DAY, EXAMPLES, ready
from proof_sheets import computed, shipped, spoiled_by_proofs
from test_advice_holds import put, told

from filmcheck.judging.rule import Rule
from filmcheck.plant.plant import Sheet, type_text
from filmcheck.proving.proof import PROVING_DAY
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.judge_sheet import judge_sheet
from filmcheck.running.plant_context import PlantContext
from filmcheck.windows.written_in import edits_of

BY_NO_SET_POINT = {
    "ink-without-cure": "the path needs a lamp or a dryer",
    "lamp-cures-nothing": "the sheet must say what the lamp cures",
    "cure-minimum-unknown": "a trial at the press finds the number",
    "idlers-drag": "the idlers need to run free",
    "no-chill": "the path needs a chill roll",
    "snap-test-missing": "the sheet needs a check",
    "air-in-roll": "the machine needs a lay-on roller",
    "air-too-dry": "the air of the room needs water",
    "air-too-dry-for-paper": "the air of the room needs water",
    "air-too-damp": "the air of the room must be dried",
    "die-unhardened-long-run": "the plant needs another die",
    "booking-too-short": "the press must be booked for longer: its lamps are proved at this speed",
    "check-coverage": "the roll wants its checks, and fewer rolls would hide that",
    "die-life": "the plant needs another die; a shorter job is another order",
    "chill-roll-run-past": "the path needs a chill roll",
    "lanes-unslit": "the path needs a slitter, or the plant another machine for finishing",
}
"""Rules that work a number out, and why no value of a set-point cures what they find."""

ON_AN_EXAMPLE = {
    "roll-over-diameter": ("finishing.labels_per_roll", "9000"),
    "roll-too-soft": ("rewind.start_tension", "0.11 lbf/in"),
    "web-tension-low": ("nip infeed.tension", "12 N"),
    "die-for-other-laminate": ("tooling.die", "d-0398"),
    "print-die-repeat": ("tooling.print_cylinder", "p-88"),
}
PARTS = 8


def cured(rule: str, sheet: Sheet, context: PlantContext) -> int:
    """Follow the advice on what a rule finds; give how often there was some. What was found must be gone."""
    day = PROVING_DAY if context.plant is not ready(EXAMPLE).context.plant else DAY
    findings = judge_sheet(sheet, context, day).findings
    was, followed = told(findings), 0
    for finding in findings:
        if finding.rule == rule and finding.correction:
            after = type_text(put(sheet.text, finding.edits), sheet.file, "job-sheet")
            now = told(judge_as_is(after, context, day).findings)
            assert (rule, finding.address) not in now, (rule, finding.instead)
            assert not now.keys() - was.keys(), (rule, finding.instead)
            followed += 1
    return followed


EXAMPLE = next((EXAMPLES / "jobs/sound").glob("*3107*"))


@pytest.mark.sample(PARTS)
@pytest.mark.parametrize("part", range(PARTS))
def test_the_advice_of_each_rule_cures_what_it_finds(part: int) -> None:
    rules = [rule for rule in computed(shipped().rules) if rule.id not in BY_NO_SET_POINT]
    assert len(rules) > 5 * PARTS
    never = [rule.id for rule in rules[part::PARTS] if not followed(rule)]
    assert never == [], "no value cures them on any sheet here: say why under BY_NO_SET_POINT, or spoil an example"


def followed(rule: Rule) -> int:
    """Follow all advice on what a rule finds; give how often there was some."""
    count = sum(cured(rule.id, one.sheet, one.context) for one in spoiled_by_proofs(rule))
    if rule.id in ON_AN_EXAMPLE:
        made = ready(EXAMPLE)
        address, text = ON_AN_EXAMPLE[rule.id]
        at = next(point for point in made.points if point.address == address)
        spoiled = put(made.sheet.text, edits_of(made.sheet.text, made.sheet.file, at, text))
        count += cured(rule.id, type_text(spoiled, made.sheet.file, "job-sheet"), made.context)
    return count


@pytest.mark.slow
@pytest.mark.parametrize("rule", BY_NO_SET_POINT)
def test_no_set_point_cures_what_no_number_can(rule: str) -> None:
    (known,) = (one for one in computed(shipped().rules) if one.id == rule)
    for one in spoiled_by_proofs(known):
        findings = judge_sheet(one.sheet, one.context, PROVING_DAY).findings
        assert not [finding.correction for finding in findings if finding.rule == rule and finding.correction]
