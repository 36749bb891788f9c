"""Advice on sheets with two and three faults at once, on a plant of inches, and beside faults that a permit accepts.

Each piece of advice is followed alone: its fault is gone, and nothing has come that was not there.
"""

from __future__ import annotations

import runpy
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

import pytest
from benches import DAY, EXAMPLES, PROVING, point, ready
from test_advice_holds import put, read, spoiled, told

from filmcheck.running.judge_sheet import judge_as_is, judge_sheet
from filmcheck.running.window_run import Ready, make_ready
from filmcheck.windows.written_in import edits_of

LONG = PROVING / "sheets/film-label.yaml"
SHORT = next((EXAMPLES / "jobs/sound").glob("*3101*"))
"""A sheet that leaves its settings to a set-up."""
CORPUS = runpy.run_path(str(Path(__file__).parents[1] / "corpus/sound_sheets.py"))


def with_faults(made: Ready, many: int, seed: int) -> Iterator[str]:
    """Give the sheet with several set-points put off, one after the other."""
    while True:
        text = made.sheet.text
        for _ in range(many):
            now = make_ready(read(made, text), made.context, DAY)
            seed += 1
            at, value = next(iter(spoiled(now, seed)))
            text = put(text, edits_of(text, made.sheet.file, at, value))
        yield text


def follow(made: Ready, text: str) -> int:
    """Follow each piece of advice on a sheet; give how many there were."""
    was = told(judge_as_is(read(made, text), made.context, DAY).findings)
    advised = [one for one in judge_sheet(read(made, text), made.context, DAY).findings if one.correction]
    for finding in advised:
        now = told(judge_as_is(read(made, put(text, finding.edits)), made.context, DAY).findings)
        assert (finding.rule, finding.address) not in now, finding.instead
        assert not now.keys() - was.keys(), finding.instead
    return len(advised)


def long_and_short(many: int, path: Path) -> object:
    return pytest.param(many, path, id=f"{many} faults on {path.stem[:10]}")


@pytest.mark.sample(4)
@pytest.mark.parametrize(("many", "path"), [long_and_short(many, path) for many in (2, 3) for path in (LONG, SHORT)])
def test_each_piece_of_advice_holds_beside_other_faults(many: int, path: Path) -> None:
    made = ready(path)
    assert sum(follow(made, text) for text in islice(with_faults(made, many, 100 * many), 5)) >= 5


@pytest.fixture(scope="module")
def inches(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make the sound sheets of the plant of inches."""
    folder = tmp_path_factory.mktemp("corpus")
    CORPUS["make_plants"](folder)
    return folder / "inch/jobs"


@pytest.mark.slow
@pytest.mark.parametrize("job", ["i06", "i12"])
def test_each_piece_of_advice_holds_on_a_plant_of_inches(inches: Path, job: str) -> None:
    made = ready(inches / f"{job}.yaml")
    assert sum(follow(made, text) for text in islice(with_faults(made, 2, 7), 5)) >= 3


def test_a_gap_that_misses_the_repeat_is_mended_itself_and_the_ordered_label_is_left(inches: Path) -> None:
    """In inches a label and its gap come to the repeat of a die in thousandths: 3.3740 in and 0.1260 in are 3.5 in."""
    made = ready(inches / "i01.yaml")
    around = float(made.sheet.text.partition("label: {around: ")[2].partition(" in")[0])
    assert "gap: {around: 0.1260 in" in made.sheet.text
    text = made.sheet.text.replace("gap: {around: 0.1260 in", "gap: {around: 0.131 in", 1)
    (finding,) = (one for one in judge_sheet(read(made, text), made.context, DAY).findings if one.rule == "die-repeat")
    point, _, value = finding.correction.partition(" = ")
    assert point == "layout.gap.around"
    eighths = (around + float(value.removesuffix(" in"))) * 8
    assert eighths == pytest.approx(round(eighths), abs=8 * 0.002)
    assert follow(made, text)


def test_advice_beside_what_a_permit_accepts_leaves_the_permit_in_use() -> None:
    made = ready(LONG)
    text = made.sheet.text.replace("      tension: 46 N\n", "      tension: 90 N\n", 1)
    rules = {one.rule for one in judge_as_is(read(made, text), made.context, DAY).findings if one.kind == "fail"}
    permit = "  - {{rule: {}, approved_by: head of quality, granted: 2026-01-20, until: 2027-12-31, reason: tried}}\n"
    permitted = text.rstrip() + "\ndeviations:\n" + "".join(map(permit.format, sorted(rules)))
    both = permitted.replace("setting: 58 %", "setting: 90 %", 1)
    found = judge_sheet(read(made, both), made.context, DAY).findings
    assert {one.rule for one in found if one.permit} == rules
    assert {one.correction for one in found if one.correction} == {"uv lamp 1.setting = 59 %"}
    assert follow(made, both) == 1


NEAR = (
    ("core-not-customers", "core: 6 in", "core: 7 in", "finishing.core = 6 in"),
    ("count-disagrees", "labels_per_roll: 2500", "labels_per_roll: 125", "finishing.labels_per_roll = 2500"),
)
"""Faults of what is to be near another figure, from values that lie far off it on both sides of what is tried first."""


@pytest.mark.parametrize(("rule", "old", "new", "advised"), NEAR, ids=[one[0] for one in NEAR])
def test_what_is_to_be_near_is_found_and_advised_as_asked(rule: str, old: str, new: str, advised: str) -> None:
    """The customers' core and number of labels, which the sound sheet has: none beside it within the tolerance."""
    made = ready(next((EXAMPLES / "jobs/sound").glob("*3107*")))
    before, finishing, after = made.sheet.text.partition("\nfinishing:")
    assert after.count(old) == 1
    text = before + finishing + after.replace(old, new)
    (finding,) = (one for one in judge_sheet(read(made, text), made.context, DAY).findings if one.rule == rule)
    assert finding.correction == advised
    assert follow(made, text)


FOUND = (
    ("inch/jobs/i01", "die-repeat", "layout.label.around", "4.385 in", "layout.label.around = 3.374 in"),
    ("inch/jobs/i11", "station-not-on-press", "press", "mercury", "press = foil"),
    ("metric/jobs/m08", "die-repeat", "layout.label.around", "55.55 mm", "layout.label.around = 79.35 mm"),
    ("metric/jobs/m22", "stain-check-on-film", "stock", "pp60-film30", "stock = paper80-glassine60"),
    ("metric/jobs/m06", "roll-below-core", "unwind.roll.diameter", "150 mm", "unwind.roll.diameter = 440 mm"),
)
"""One set-point put off, and what the rule that minds it says to set.

All but the last go back to what the sound sheet has. Of the last the brake alone holds its torque: a smaller roll is
run down to a smaller diameter by the same job, so its pull climbs too high (unwind-tension-climbs) where 500 mm pass.
"""


@pytest.mark.parametrize(("job", "rule", "address", "value", "advised"), FOUND, ids=[" ".join(at[:2]) for at in FOUND])
def test_a_set_point_put_off_is_advised_itself(
    inches: Path, job: str, rule: str, address: str, value: str, advised: str
) -> None:
    made = ready(inches.parents[1] / f"{job}.yaml")
    text = put(made.sheet.text, edits_of(made.sheet.text, made.sheet.file, point(made, address), value))
    found = [one for one in judge_sheet(read(made, text), made.context, DAY).findings if one.rule == rule]
    assert {one.correction for one in found} == {advised}
    assert follow(made, text)


def test_values_that_hold_each_by_itself_alone_say_so(inches: Path) -> None:
    """The speed is put up and a lamp down: more lamp or less speed cures, and both are too much."""
    made = ready(inches.parents[1] / "metric/jobs/m19.yaml")
    text = made.sheet.text
    for address, value in (("web.speed", "65 m/min"), ("uv lamp 1.setting", "39.9 %")):
        text = put(text, edits_of(text, made.sheet.file, point(made, address), value))
    found = [one for one in judge_sheet(read(made, text), made.context, DAY).findings if one.correction]
    edits = {one.correction: one.edits for one in found}
    assert len(edits) == 2
    both = put(text, tuple(edit for some in edits.values() for edit in some))
    assert told(judge_as_is(read(made, both), made.context, DAY).findings)
    assert all("Set this one alone and judge again" in one.instead for one in found)
    assert follow(made, text) == len(found)
