"""Windows against checked values, and against a scan that judges every value by all rules."""

from __future__ import annotations

import shutil
from decimal import Decimal
from pathlib import Path

import pytest
from benches import DAY, EXAMPLES, PROVING, point, proving_copy, ready, sampled

from filmcheck.figures.figures import Figures
from filmcheck.judging.context import Context
from filmcheck.judging.judge import judge_job
from filmcheck.judging.verdict import FAILS
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import type_text
from filmcheck.records.finding import Finding
from filmcheck.running.judge_sheet import judge_as_is, judge_sheet
from filmcheck.running.window_run import Ready, make_ready
from filmcheck.windows.search import Search
from filmcheck.windows.set_points import SetPoint, replaced
from filmcheck.windows.spans import applied
from filmcheck.windows.trial import Trial
from filmcheck.windows.window import pair_map, pairs, window_of
from filmcheck.windows.written_in import edits_of

SOUND = sorted((EXAMPLES / "jobs/sound").glob("*.yaml"))
SHEET = PROVING / "sheets/film-label.yaml"


def judged(made: Ready, at: SetPoint, text: str) -> set[tuple[str, str]]:
    """Judge by all rules, in the way in which a lint does, with another text at a set-point."""
    datum = at.with_text(text)
    assert datum is not None
    job, _ = resolve(replaced(made.sheet.record, at.path, datum), made.sheet.file, made.context.plant)
    found: list[Finding] = judge_job(Figures(job, DAY), made.context.rules, made.context.house)
    return {(each.rule, each.address) for each in found if each.kind in ("fail", "review")}


def test_rewind_against_checked_values(tmp_path: Path) -> None:
    """K11 of the project's check values: 60 kPa on the core at 0.763 lbf/in, 10 kPa in the body at 0.264 lbf/in.

    Worked by an independent march of the same model (scipy), S 313.5 kN/m, 91 um, K1 20 kPa, K2 70.
    """
    settings = """limits:
  core_pressure_most: {value: 60 kPa, basis: a check value}
  rewind_start_least: {value: 0.1 lbf/in, basis: out of the way}
  rewind_start_most: {value: 5 lbf/in, basis: out of the way}
"""
    # pi (0.25² − 0.1684²) / 4 / 91 um = 294.67 m of web make a roll of 250 mm on a core of 152.4 + 2 × 8 mm.
    sheet = {"length: 4200 m": "length: 294.67 m", "rolls: 2}": "rolls: 1}"}
    path = proving_copy(tmp_path, sheet, {"modulus: 2.0 GPa": "modulus: 4.2 GPa", "k2: 60": "k2: 70"}, settings)
    made = ready(path)
    at = point(made, "rewind.start_tension")
    search = Search(made.bench, at, finer=100)
    search.rules = {rule: search.rules[rule] for rule in ("core-pressure-high", "roll-too-soft")}
    # The finished roll has a tension of its own, so it does not move.
    ends = [(search.part * one.low, search.part * one.high, one) for one in search.run().stretches]
    assert len(ends) == 1
    low, high, stretch = ends[0]
    assert float(low) == pytest.approx(0.264, abs=0.001)
    assert float(high) == pytest.approx(0.763, abs=0.001)
    assert {key[0] for key in stretch.below} == {"roll-too-soft"}
    assert {key[0] for key in stretch.above} == {"core-pressure-high"}


SCANNED = ["unwind.tension", "rewind.start_tension", "rewind.taper", "uv lamp 1.setting", "layout.lanes", "web.width"]


@pytest.mark.sample(3)
@pytest.mark.parametrize("address", SCANNED)
def test_window_against_a_scan_of_all_rules(address: str) -> None:
    """Whole steps around the sheet's own value, each judged by every rule: the window must say the same of each."""
    made = ready(SHEET)
    at = point(made, address)
    search = Search(made.bench, at)
    stretches = search.run().stretches
    standing = judged(made, at, at.datum.text)
    own = Decimal(repr(round(at.own, 6)))
    for n in range(-25, 26):
        value = own + at.step * n
        if value <= 0:
            continue
        bad = judged(made, at, at.text_of(value)) - standing
        parts = value / search.part
        inside = any(one.low <= parts <= one.high for one in stretches)
        assert inside == (not bad), (at.text_of(value), bad)


def values_of(at: SetPoint) -> tuple[str, ...]:
    """Give values and names that can stand at a set-point, the sheet's own far and near."""
    return at.choices or tuple(at.text_of(Decimal(repr(round(at.own * by, 4)))) for by in (0.5, 1.7))


@pytest.mark.parametrize("path", sampled(SOUND, [0]), ids=lambda path: path.stem[:7])
def test_a_trial_says_what_judging_all_anew_says(path: Path) -> None:
    """What is not worked out again when a value is tried, and what is not asked again, must be the same with it."""
    made = ready(path)
    bench, moved = made.bench, 0
    for at in made.points[:: 1 if path != SOUND[0] else 3]:
        looking = bench.looking_at(at)
        for text in values_of(at):
            datum = at.with_text(text)
            if datum is None:
                continue
            written = applied(made.sheet.text, edits_of(made.sheet.text, made.sheet.file, at, text))
            sheet = type_text(written, made.sheet.file, "job-sheet")
            job, _ = resolve(sheet.record, sheet.file, made.context.plant)
            anew = Trial(Context(Figures(job, DAY), made.context.house.limits)).all(bench.owed)
            others = {key: verdict for key, verdict in bench.base.items() if key[0] not in looking}
            assert {**others, **bench.trial([(at, datum)]).all(looking.values())} == anew, (at.address, text)
            moved += anew != bench.base
    assert moved > 8


def test_a_range_on_the_sheet_has_a_window_that_holds_for_all_of_it(tmp_path: Path) -> None:
    made = ready(proving_copy(tmp_path, {"tension: 46 N\n": "tension: 44 to 54 N\n"}, {}))
    at = point(made, "rewind.start_tension")
    window = window_of(made.bench, at)
    assert window.inside
    own = point(made, "unwind.tension")
    for end in ("44 N", "54 N"):
        for reach in window.reaches:
            for text in (reach.set_low, reach.set_high):
                one, other = own.with_text(end), at.with_text(text)
                assert one is not None
                assert other is not None
                said = made.bench.trial([(own, one), (at, other)]).all(Search(made.bench, at).rules.values())
                assert not [key for key, verdict in said.items() if verdict.value == "fails"], (end, text)


def test_an_empty_window_names_the_two_demands_that_meet(tmp_path: Path) -> None:
    home = Path(shutil.copytree(EXAMPLES, tmp_path / "plant"))
    path = next((home / "jobs/spoiled").glob("*3201*"))
    text = path.read_text(encoding="utf-8")
    assert "      control: brake alone" in text
    # Of several parent rolls all but the last are emptied.
    path.write_text(text.replace("      control: brake alone", "      rolls: 2\n      control: brake alone"), "utf-8")
    made = ready(path)
    window = window_of(made.bench, point(made, "unwind.tension"), made.points)
    assert window.reaches == ()
    assert [demand.rule for demand in window.meeting] == ["unwind-tension-high", "brake-out-of-range"]
    # 0.9 lbf/in on 330 mm is 52.0 N, over a growth of 900 / 168.4: 9.73 N; the brake holds 15 N and more.
    assert window.meeting[0].holds == "up to 9.7 N"
    assert window.meeting[1].holds == "from 15 N"
    # Each stands where somebody can look it up, and a loop takes the growth away.
    register = (home / "registers/presses.yaml").read_text(encoding="utf-8").splitlines()
    places = [demand.place for demand in window.meeting]
    assert all(places)
    assert "value: 0.9 lbf/in" in (home / "plant.yaml").read_text("utf-8").splitlines()[places[0].span.line - 1]
    assert "brake_range: 15 to 400 N" in register[places[1].span.line - 1]
    # One roll is not run down: 4200 m of 91 um leave 568.7 mm of it, and 52.0 N × 568.7 / 900 are 32.9 N.
    opened = [(one.address, one.wanted, one.then) for one in window.openings]
    assert opened == [("unwind.control", "closed loop", ""), ("unwind.rolls", "1", "32 N")]
    control = window_of(made.bench, point(made, "unwind.control"))
    assert [choice.name for choice in control.choices if not choice.bad] == ["closed loop"]


FLUTTER = """
pack: house
rules:
  - rule: web-flutters-here
    title: The web flutters at this speed
    level: error
    from_stage: planned
    requires: {either: [{web.speed: {at_most: 36.5 m/min}}, {web.speed: {at_least: 40 m/min}}]}
    says: At {web.speed} the web flutters in front of the die
    because: Flutter moves the print under the die.
    basis: house
    proof: [{case: at rest, change: {web.speed: 38 m/min}, verdict: fail}, {case: as it is, verdict: pass}]
"""


def test_a_window_with_a_gap(tmp_path: Path) -> None:
    """No shipped rule leaves a gap on any sheet of the examples; a speed at which the web swings is a real one."""
    path = proving_copy(tmp_path, {}, {}, "rules: [house.yaml]\n")
    (tmp_path / "plant/house.yaml").write_text(FLUTTER, encoding="utf-8")
    made = ready(path)
    at = point(made, "web.speed")
    window = window_of(made.bench, at)
    assert window.inside
    assert (window.reaches[0].set_high, window.reaches[1].set_low) == ("36 m/min", "40 m/min")
    assert {one.rule for reach in window.reaches for one in (*reach.below, *reach.above)} >= {"web-flutters-here"}
    for value in range(30, 48):
        held = any(Decimal(one.low.split()[0]) <= value <= Decimal(one.high.split()[0]) for one in window.reaches)
        assert held == (not judged(made, at, f"{value} m/min")), value


def test_names_of_a_register_come_nearest_first() -> None:
    """The magnetic cylinders of the examples have 64, 80, 88, 96, 100 and 112 teeth."""
    at = point(ready(SOUND[0]), "tooling.magnetic_cylinder")
    assert at.datum.text == "m-96"
    assert at.choices == ("m-96", "m-100", "m-88", "m-80", "m-112", "m-64")


def test_a_map_tells_every_rule_that_fails_in_a_cell() -> None:
    made = ready(next((EXAMPLES / "jobs/sound").glob("*3104*")))
    told = 0
    for across, down in list(pairs(made.points))[1:3]:
        drawn = pair_map(made.bench, across, down)
        known = dict(drawn.legend)
        assert len(known) == len(drawn.legend)
        for low, row in zip(drawn.down_values, drawn.rows, strict=True):
            for text, letter in list(zip(drawn.across_values, row, strict=True))[::4]:
                values = [(point, point.with_text(value)) for point, value in ((across, text), (down, low))]
                said = made.bench.trial([(point, datum) for point, datum in values if datum]).all(made.bench.owed)
                fails = {key[0] for key, verdict in said.items() if verdict.value == "fails"}
                assert fails == {demand.rule for demand in known.get(letter, ())}, (across.address, text, low)
                told += len(fails) > 1
    assert told


def test_a_station_is_counted_along_the_press_where_a_short_sheet_names_it() -> None:
    """The set-up leaves chill rolls 3 and 5 of the press out, so that the third of the path is number 4."""
    at = point(ready(next((EXAMPLES / "jobs/sound").glob("*3102*"))), "chill roll (3 of 3).temperature")
    assert at.steps == ("settings", "chill roll 4", "temperature")


def test_stations_that_an_alias_joins_are_set_together_and_told_together() -> None:
    """An alias repeats the node of its anchor (YAML 1.2.2, 7.1): who writes the anchor anew sets both chill rolls."""
    sound = ready(SHEET)
    own = "chill roll: {temperature: 18 degC}"
    text = sound.sheet.text.replace(own, "chill roll: &cold {temperature: 8 degC}", 1).replace(own, "chill roll: *cold")
    made = make_ready(type_text(text, sound.sheet.file, "job-sheet"), sound.context, DAY)
    at = point(made, "chill roll (1 of 2).temperature")
    moved = set()
    for value in ("5 degC", "12 degC", "30 degC"):
        datum = at.with_text(value)
        assert datum is not None
        changed = type_text(text.replace("temperature: 8 degC", f"temperature: {value}"), made.sheet.file, "job-sheet")
        anew = judge_as_is(changed, made.context, DAY).findings
        looking = made.bench.looking_at(at)
        said = made.bench.trial([(at, datum)]).all(looking.values())
        fails = {key for key, verdict in said.items() if verdict is FAILS}
        assert fails == {(one.rule, one.thing) for one in anew if one.kind == "fail" and one.rule in looking}
        moved |= fails
    assert {label for _, label in moved} >= {"chill roll (1 of 2)", "chill roll (2 of 2)"}
    (told, also) = (one for one in judge_sheet(made.sheet, made.context, DAY).findings if one.correction)
    assert "set the temperature of chill roll (1 of 2) and chill roll (2 of 2) to 14 degC" in told.instead
    assert also.correction == told.correction
