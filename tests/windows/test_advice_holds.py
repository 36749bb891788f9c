"""Advice is followed on sound sheets that were spoiled at random: what it cures is gone, and nothing new has come.

The edits are applied here by plain arithmetic on code points, not by the code that makes them.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from decimal import Decimal

import pytest
from benches import DAY, EXAMPLES, PROVING, ready

from filmcheck.plant.plant import Sheet, type_text
from filmcheck.records.finding import Edit, Finding
from filmcheck.running.plant_context import judge_as_is, judge_sheet
from filmcheck.running.window_run import Ready
from filmcheck.windows.set_points import SetPoint

SOUND = [PROVING / "sheets/film-label.yaml", *sorted((EXAMPLES / "jobs/sound").glob("*.yaml"))]
EACH = 12
"""Spoiled sheets made of each sound one in a usual run; the seed is fixed, so that a failure comes again."""


def put(text: str, edits: tuple[Edit, ...]) -> str:
    """Apply edits of one line each, the last first."""
    rows = text.split("\n")
    for edit in sorted(edits, key=lambda edit: edit.place.span, reverse=True):
        span = edit.place.span
        assert span.line == span.end_line
        row = rows[span.line - 1]
        rows[span.line - 1] = row[: span.column - 1] + edit.text + row[span.end_column - 1 :]
    return "\n".join(rows)


def spoiled(made: Ready, seed: int) -> Iterator[tuple[SetPoint, str]]:
    """Give a set-point with another value, so far off that rules may mind."""
    chance = random.Random(seed)  # noqa: S311
    points = [at for at in made.points if not at.settable.asked_for]
    for _ in range(EACH):
        at = chance.choice(points)
        if at.choices:
            others = [name for name in at.choices if name != at.datum.text]
            if others:
                yield at, chance.choice(others)
        else:
            times = chance.choice([0.05, 0.3, 0.6, 0.8, 0.95, 1.05, 1.2, 1.6, 3, 12])
            steps = int(Decimal(repr(at.own * times)) / at.step)
            yield at, at.text_of(at.step * max(steps, 1))


def told(findings: tuple[Finding, ...]) -> dict[tuple[str, str], str]:
    return {(one.rule, one.address): one.kind for one in findings if one.kind in ("fail", "open", "review")}


def read(made: Ready, text: str) -> Sheet:
    return type_text(text, made.sheet.file, "job-sheet")


@pytest.mark.parametrize("number", range(len(SOUND)), ids=[path.stem[:10] for path in SOUND])
def test_advice_followed_cures_and_brings_nothing_new(number: int) -> None:
    made = ready(SOUND[number])
    followed = 0
    for at, text in spoiled(made, number):
        changed = put(made.sheet.text, (Edit(at.datum.place, text),))
        bad = read(made, changed)
        before = judge_sheet(bad, made.context, DAY).findings
        for finding in before:
            if not finding.correction:
                continue
            assert finding.correction.partition(" = ")[2] in finding.instead
            after = judge_as_is(read(made, put(changed, finding.edits)), made.context, DAY).findings
            was, now = told(before), told(after)
            assert (finding.rule, finding.address) not in now, (at.address, text, finding.instead)
            assert {one for one in now if one not in was} == set(), (at.address, text, finding.instead)
            followed += 1
    assert followed, SOUND[number]


@pytest.mark.parametrize("number", range(len(SOUND)), ids=[path.stem[:10] for path in SOUND])
def test_one_step_short_of_the_advice_the_fault_is_still_there(number: int) -> None:
    """A step back towards what the sheet said: something that the advice cured is back, or another fault."""
    made = ready(SOUND[number])
    for at, text in spoiled(made, number):
        changed = put(made.sheet.text, (Edit(at.datum.place, text),))
        before = judge_sheet(read(made, changed), made.context, DAY).findings
        for finding in before:
            name, _, value = finding.correction.partition(" = ")
            point = next((one for one in made.points if one.address == name), None)
            if point is None or point.choices or " to " in value:
                continue
            advised = Decimal(value.split()[0])
            own = Decimal(text.split()[0]) if point.address == at.address else Decimal(repr(round(point.own, 9)))
            if abs(advised - own) <= point.step:
                continue
            short = advised + point.step * (1 if own > advised else -1)
            edits = (Edit(finding.edits[0].place, point.text_of(short)),)
            now = told(judge_as_is(read(made, put(changed, edits)), made.context, DAY).findings)
            bad = {one for one, kind in now.items() if kind in ("fail", "review")}
            assert bad, (at.address, text, finding.instead)


def test_a_sound_sheet_gets_no_advice() -> None:
    for path in SOUND[:4]:
        made = ready(path)
        found = judge_sheet(made.sheet, made.context, DAY).findings
        assert [one.correction for one in found if one.correction] == []
