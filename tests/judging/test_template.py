"""Texts of rules: figures in braces are shown as the sheet writes them, or worked out and shown in a unit."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmcheck.figures.figures import Figures
from filmcheck.judging.context import Context
from filmcheck.judging.limit import Limit
from filmcheck.judging.template import complete, fields, fill
from filmcheck.packs.arithmetic import AtHand
from filmcheck.packs.names import NameFaultError
from filmcheck.packs.template_reader import read_template
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import load_plant, read_sheet, type_text
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.place import Place, Span
from filmcheck.units.quantity import Quantity, parse_any

PROVING = shipped_folder("rules") / "proving"
NOWHERE = Place("rules.yaml", Span(1, 1, 1, 1))
AIR = parse_any("70 degC")
assert isinstance(AIR, Quantity)
LIMITS = {"air": Limit("air", AIR, "house", "", NOWHERE)}
WORDS = AtHand(LIMITS)
LAMP = WORDS.inside(("uv lamp",))


class Sound(NamedTuple):
    """The sound sheet, and its second lamp at hand."""

    job: Context
    lamp: Context


@pytest.fixture(scope="module")
def sound() -> Sound:
    sheet = read_sheet(PROVING / "sheets" / "film-label.yaml", "job-sheet")
    job, _ = resolve(sheet.record, sheet.file, load_plant(PROVING / "plant.yaml"))
    context = Context(Figures(job, date(2026, 11, 25)), LIMITS)
    return Sound(context, context.at(context.figures.things("uv lamp")[1]))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a web of {web.width}", "a web of 330 mm"),
        ("a web of {web.width}, that is {web.width in in}", "a web of 330 mm, that is 12.99 in"),  # 330 / 25.4
        ("at {unwind.tension}", "at 46 N"),  # of several dimensions: as it is written
        ("{web.width / layout.lanes in mm} each", "66 mm each"),
        ("{20 % of press.speed in m/min}", "30 m/min"),
        ("at most {limit.air}", "at most 70 degC"),
        ("on {preparation.ground.checked}", "on 2026-11-20"),
        ("{job.day - preparation.ground.checked in d} ago", "4 d ago"),
        ("a face of {face.material}", "a face of pp"),
        ("up to {finishing.diameter}", "up to (not known)"),
        ("{count(lamp)} lamps", "2 lamps"),
        ("nothing to fill", "nothing to fill"),
        ("", ""),
    ],
)
def test_fields_are_filled(sound: Sound, text: str, said: str) -> None:
    assert fill(read_template(text, WORDS), sound.job, {}) == said


def test_the_thing_at_hand_and_the_reason(sound: Sound) -> None:
    template = read_template("{it} at {its.setting}: {reason}", LAMP)
    assert fill(template, sound.lamp, {}, "too much") == "uv lamp 2 at 56 %: too much"


def test_the_unit_of_the_plant_is_taken_for_what_is_worked_out(sound: Sound) -> None:
    template = read_template("{web.width / layout.lanes}, of {web.width}", WORDS)
    assert fill(template, sound.job, {"length": "in"}) == "2.598 in, of 330 mm"


@pytest.mark.parametrize(
    ("text", "units", "said"),
    [
        ("{web.width / layout.lanes in mm}, of {web.width}", {}, "2.6 in, of 13 in"),  # 13 in / 5
        ("{web.width / layout.lanes in mm, at least}, of {web.width}", {}, "2.6 in, of 13 in"),
        ("{web.width / layout.lanes in mm}", {}, "2.6 in"),  # nothing beside it: as what it rests on, 13 in / 5
        ("{web.width in mm}", {}, "13 in"),
        ("{web.width - layout.label.across in mm}", {}, "270.2 mm"),  # 13 × 25.4 − 60: some of it is in mm
        ("{die.circumference in mm}", {}, "304.8 mm"),  # 96 × 25.4 / 8: gears go by the inch everywhere
        ("{web.width / layout.lanes in mm}", {"length": "mm"}, "66.04 mm"),  # 13 × 25.4 / 5
        ("{web.width / layout.lanes in mm}, of {web.width}", {"length": "mm"}, "66.04 mm, of 13 in"),
        ("{2 * liner.caliper}, of {web.width}", {}, "46 µm, of 13 in"),  # nobody tells a film in inches by its web
        ("{web.width in mm}, of {web.width}", {}, "330.2 mm, of 13 in"),  # asked for on purpose
        ("{2 * liner.caliper in mm}, of {liner.caliper}", {}, "0.046 mm, of 23 µm"),  # by tens alone
        ("{web.width - web.width in mm}, of {web.width}", {}, "0 mm, of 13 in"),
    ],
)
def test_what_is_worked_out_is_told_in_the_unit_written_beside_it(text: str, units: dict[str, str], said: str) -> None:
    path = PROVING / "sheets" / "film-label.yaml"
    sheet = type_text(path.read_text(encoding="utf-8").replace("330 mm", "13 in", 1), str(path), "job-sheet")
    job, _ = resolve(sheet.record, sheet.file, load_plant(PROVING / "plant.yaml"))
    context = Context(Figures(job, date(2026, 11, 25)), LIMITS)
    assert fill(read_template(text, WORDS), context, units) == said


@pytest.mark.parametrize(("text", "whole"), [("{web.width}", True), ("{finishing.diameter}", False), ("none", True)])
def test_whether_all_can_be_filled(sound: Sound, text: str, whole: bool) -> None:
    assert complete(read_template(text, WORDS), sound.job) is whole


def test_the_figures_of_a_text() -> None:
    template = read_template("{web.width} and {web.speed * [2 s] in m}", WORDS)
    assert [field.names for field in fields(template)] == [("web.width",), ("web.speed",)]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("{web.with}", "web.with is no known figure"),
        ("{}", "there is nothing between the braces"),
        ("{web.width", "braces in '{web.width' do not pair"),
        ("web.width}", "braces in 'web.width}' do not pair"),
        ("{it}", "{it} names the thing at hand, and there is none here"),
        ("{its.setting}", "its.setting has nothing to belong to here"),
        ("{web.width in N}", "N is no unit of length"),
        ("{layout.lanes in mm}", "a count has no unit mm"),
        ("{face.material in mm}", "a word has no unit mm"),
        ("{unwind.tension in N}", "an as written has no unit N"),
        (
            "{web.width * web.speed * web.speed}",
            "web.width * web.speed * web.speed comes to a dimension that has no name, so it cannot be shown",
        ),
    ],
)
def test_a_wrong_text_says_why(text: str, says: str) -> None:
    with pytest.raises(NameFaultError) as fault:
        read_template(text, WORDS)
    assert fault.value.says == says


@given(st.text(max_size=30))
def test_a_text_without_braces_and_brackets_stays_as_it_is(make_context_of, text: str) -> None:  # type: ignore[no-untyped-def]
    plain = text.translate(str.maketrans("{}[]", "()()"))
    assert fill(read_template(plain, WORDS), make_context_of(), {}) == plain
