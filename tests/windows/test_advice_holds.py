"""Advice is followed on sound sheets that were spoiled at random: what it cures is gone, and nothing new has come.

The edits are applied here by plain arithmetic on code points, not by the code that makes them.
"""

from __future__ import annotations

import random
import shutil
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from itertools import islice
from pathlib import Path
from typing import NamedTuple

import pytest
from benches import DAY, EXAMPLES, PROVING, ready, sampled
from machines import Machines

from filmcheck.plant.plant import Sheet, type_text
from filmcheck.records.finding import Edit, Finding
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.judge_sheet import judge_sheet
from filmcheck.running.window_run import Ready, make_ready
from filmcheck.windows.set_points import SetPoint
from filmcheck.windows.written_in import edits_of

SOUND = [PROVING / "sheets/film-label.yaml", *sorted((EXAMPLES / "jobs/sound").glob("*.yaml"))]
EACH = 3
"""Spoiled sheets with advice to follow that are made of each sound one in a usual run; ``long_run.py`` makes more."""


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
    while True:
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
    return {(one.rule, one.address): one.kind for one in findings if one.kind in ("fail", "review", "open")}


def read(made: Ready, text: str) -> Sheet:
    return type_text(text, made.sheet.file, "job-sheet")


class Tally(NamedTuple):
    """What was followed: sheets with a fault, advice by rule, and steps beyond the edge."""

    sheets: list[str]
    rules: Counter[str]
    beyond: list[str]


def follow(made: Ready, seed: int, each: int, tally: Tally) -> list[object]:
    """Spoil a sheet, follow all advice, and give what does not hold: a fault that stays, a new one, an idle edge."""
    wrong: list[object] = []
    for at, text in islice(spoiled(made, seed), 20 * each):
        if each <= 0:
            break
        changed = put(made.sheet.text, edits_of(made.sheet.text, made.sheet.file, at, text))
        bad = read(made, changed)
        before = judge_sheet(bad, made.context, DAY).findings
        tally.sheets.extend([text] if any(one.kind == "fail" for one in before) else [])
        was = told(before)
        each -= any(one.correction for one in before)
        for finding in before:
            if not finding.correction:
                continue
            tally.rules[finding.rule] += 1
            now = told(judge_as_is(read(made, put(changed, finding.edits)), made.context, DAY).findings)
            value = finding.correction.partition(" = ")[2]
            cured = (finding.rule, finding.address) not in now and not {one for one in now if one not in was}
            if value not in finding.instead or not cured:
                wrong.append((at.address, text, finding.instead))
            short = one_step_short(make_ready(bad, made.context, DAY), finding)
            if short:
                tally.beyond.append(value)
                now = told(judge_as_is(read(made, put(changed, short)), made.context, DAY).findings)
                if not {one for one, kind in now.items() if kind in ("fail", "review")}:
                    wrong.append((at.address, text, finding.instead, short[0].text))
    return wrong


def one_step_short(made: Ready, finding: Finding) -> tuple[Edit, ...]:
    """Give the edits of a value one step back towards what the sheet says; none where there is no such value."""
    name, _, value = finding.correction.partition(" = ")
    at = next(one for one in made.points if one.address == name)
    if at.choices or " to " in value:
        return ()
    advised, own = Decimal(value.split()[0]), Decimal(repr(round(at.own, 9)))
    if abs(advised - own) <= at.step:
        return ()
    short = at.text_of(advised + at.step * (1 if own > advised else -1))
    return edits_of(made.sheet.text, made.sheet.file, at, short)


@pytest.mark.sample(7)
@pytest.mark.parametrize("number", range(len(SOUND)), ids=[path.stem[:10] for path in SOUND])
def test_advice_followed_cures_and_a_step_beyond_its_edge_a_fault_is_back(number: int) -> None:
    tally = Tally([], Counter(), [])
    assert follow(ready(SOUND[number]), number, EACH, tally) == []
    assert tally.rules, SOUND[number]


BOUND = ("unwind.tension", "rewind.start_tension", "web.speed", "tooling.print_cylinder")
"""Set-points that a machine bounds: those of a usual run."""


@pytest.mark.parametrize("number", sampled(list(range(len(SOUND))), [1]))
def test_no_advice_is_outside_of_what_brake_press_machine_and_gears_can_do(number: int) -> None:
    """Set-points are put far off, one by one, and what is advised is held against the registers."""
    made = ready(SOUND[number])
    names = {at.address: at.datum.text for at in made.points if at.settable.links or at.address == "web.width"}
    home = next(folder for folder in SOUND[number].parents if (folder / "plant.yaml").exists())
    machines = Machines(home, names, names["web.width"])
    advised, against = set(), []
    for at in made.points:
        if number == 1 and at.address not in BOUND:
            continue
        own = Decimal(repr(at.own))
        far = at.choices or [at.text_of(max((own * by // at.step) * at.step, at.step)) for by in (Decimal("0.1"), 8)]
        for text in far:
            spoiled = put(made.sheet.text, edits_of(made.sheet.text, made.sheet.file, at, text))
            for finding in judge_sheet(read(made, spoiled), made.context, DAY).findings:
                address, _, value = finding.correction.partition(" = ")
                if address and at.address not in ("press", "finishing.machine"):
                    advised.add(address)
                    against += machines.cannot(address, value)
    assert against == []
    assert len(advised) >= (3 if number == 1 else 8)


def test_a_value_that_a_short_sheet_takes_over_is_written_on_the_sheet(tmp_path: Path) -> None:
    home = Path(shutil.copytree(EXAMPLES, tmp_path / "plant"))
    register = home / "registers/set-ups.yaml"
    text = register.read_text(encoding="utf-8")
    assert "uv lamp: {setting: 58 %" in text
    register.write_text(text.replace("uv lamp: {setting: 58 %", "uv lamp: {setting: 90 %"), encoding="utf-8")
    made = ready(next((home / "jobs/sound").glob("*3101*")))
    before = judge_sheet(made.sheet, made.context, DAY).findings
    (finding,) = (one for one in before if one.rule == "lamp-above-need")
    assert "write settings: {uv lamp 1: {setting: 59 %}} on this sheet" in finding.instead
    after = read(made, put(made.sheet.text, finding.edits))
    assert "settings: {uv lamp 2: {setting: 57 %}, uv lamp 1: {setting: 59 %}}" in after.text
    assert "lamp-above-need" not in {one for one, _ in told(judge_as_is(after, made.context, DAY).findings)}


def test_a_sound_sheet_gets_no_advice() -> None:
    for path in SOUND[:4]:
        made = ready(path)
        found = judge_sheet(made.sheet, made.context, DAY).findings
        assert [one.correction for one in found if one.correction] == []


@pytest.mark.parametrize("width", ["310 mm", "12 in", "420 mm"])
def test_of_widths_one_in_which_the_stock_is_kept_is_advised(width: str) -> None:
    """Five lanes take 322 mm and the press 370 mm; the stock is kept in 250, 330 and 410 mm."""
    made = ready(next((EXAMPLES / "jobs/sound").glob("*3107*")))
    text = made.sheet.text.replace("width: 330 mm", f"width: {width}", 1)
    before = judge_sheet(read(made, text), made.context, DAY).findings
    (finding,) = (one for one in before if one.rule == "layout-over-width")
    assert "set the web width to 330 mm (the stock is kept in it; " in finding.instead
    assert put(text, finding.edits) == made.sheet.text


KNOWN = [
    ("unwind-tension-high", "tension: 46 N\n", "tension: 90 N\n"),
    ("unwind-tension-high", "control: closed loop", "control: brake alone"),
    ("unwind-tension-climbs", "control: closed loop", "control: brake alone"),
    ("brake-out-of-range", "tension: 46 N\n", "tension: 500 N\n"),
    ("brake-out-of-range", "tension: 46 N\n", "tension: 9 N\n"),
    ("web-tension-high", "infeed, tension: 46 N", "infeed, tension: 350 N"),
    ("web-tension-low", "infeed, tension: 46 N", "infeed, tension: 12 N"),
    ("tension-rises-along-path", "infeed, tension: 46 N", "infeed, tension: 110 N"),
    ("web-tension-above-need", "infeed, tension: 46 N", "infeed, tension: 70 N"),
    ("lamp-above-need", "unit: 1, setting: 58 %", "unit: 1, setting: 90 %"),
    ("snap-sample-short", "sample: 620 mm", "sample: 310 mm"),
    ("snap-strips-few", "strips: 5", "strips: 3"),
    ("layout-over-width", "width: 330 mm", "width: 310 mm"),
    ("rewind-tension-range", "start_tension: 0.8 lbf/in", "start_tension: 1.3 lbf/in"),
    ("rewind-tension-range", "start_tension: 0.7 lbf/in", "start_tension: 0.3 lbf/in"),
    ("small-core-thin-liner", "  core: 6 in\n", "  core: 3 in\n"),
]


@pytest.mark.sample(5)
@pytest.mark.parametrize(("rule", "old", "new"), KNOWN, ids=[f"{rule} {new.strip()}" for rule, _, new in KNOWN])
def test_faults_that_one_value_brings_are_cured_by_one_value(rule: str, old: str, new: str) -> None:
    made = ready(SOUND[0])
    text = made.sheet.text.replace(old, new, 1)
    assert text != made.sheet.text
    found = [one for one in judge_sheet(read(made, text), made.context, DAY).findings if one.rule == rule]
    assert found
    assert all(one.correction for one in found if one.kind == "fail")
    for one in found:
        now = told(judge_as_is(read(made, put(text, one.edits)), made.context, DAY).findings)
        assert not one.edits or (rule, one.address) not in now
