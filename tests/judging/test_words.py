"""The words of conditions, on purpose: in the reference, turned about, on a job, and in messages on a pack."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import pytest

from filmcheck.judging.condition import Condition
from filmcheck.judging.context import Context
from filmcheck.judging.joined import Opposite
from filmcheck.judging.phrases import Telling
from filmcheck.packs.arithmetic import AtHand
from filmcheck.packs.condition_reader import ConditionReader
from filmcheck.reading.nodes import Fault
from filmcheck.reading.text_file import decode
from filmcheck.reading.yaml_tree import read_tree
from filmcheck.records.value import exact


class Worded(NamedTuple):
    """A condition as a pack writes it, and its words."""

    written: str
    describe: str
    opposite: str
    source: str


def width(relation: str, words: str, opposite: str) -> Worded:
    return Worded(
        f"{{web.width: {{{relation}: web.length}}}}",
        f"the width of the web {words} the length of the web",
        f"the width of the web {opposite} the length of the web",
        f"web.width {relation} web.length",
    )


TABLE = [
    width("at_most", "is at most", "is above"),
    width("at_least", "is at least", "is below"),
    width("below", "is below", "is at least"),
    width("above", "is above", "is at most"),
    width("equals", "is the same as", "is not"),
    width("not", "is another than", "is"),
    Worded(
        "{web.width: {between: [200 mm, 300 mm]}}",
        "the width of the web is between 200 mm and 300 mm",
        "it is not so that the width of the web is between 200 mm and 300 mm",
        "web.width at_least 200 mm and web.width at_most 300 mm",
    ),
    Worded(
        "{web.width: {near: {to: 200 mm, within: 2 mm}}}",
        "the width of the web differs from 200 mm by at most 2 mm",
        "it is not so that the width of the web differs from 200 mm by at most 2 mm",
        "web.width near 200 mm",
    ),
    Worded(
        "{web.width: given}",
        "the width of the web is given",
        "it is not so that the width of the web is given",
        "web.width given",
    ),
    Worded(
        "{web.width: not given}",
        "the width of the web is not given",
        "it is not so that the width of the web is not given",
        "web.width not given",
    ),
    Worded(
        "{job.stage: [planned, running]}",
        "the stage of the job is planned or running",
        "the stage of the job is neither planned nor running",
        "job.stage one of planned, running",
    ),
    Worded(
        "{some: nip, before: first print}",
        "there is a nip before the first print unit",
        "there is no nip before the first print unit",
        "some nip",
    ),
    Worded(
        "{no: nip, after: last print, within: 2}",
        "there is no nip no more than 2 stations after the last print unit",
        "there is a nip no more than 2 stations after the last print unit",
        "no nip",
    ),
    Worded(
        "{when: {job.stage: running}, then: {web.width: {at_least: 200 mm}}}",
        "when the stage of the job is running, then the width of the web is at least 200 mm",
        "it is not so that (when the stage of the job is running, then the width of the web is at least 200 mm)",
        "when job.stage equals running then web.width at_least 200 mm",
    ),
    Worded(
        "{job.title: {begins_with: [Trial, Test]}}",
        "the title of the job begins with “Trial” or “Test”",
        "the title of the job does not begin with “Trial” or “Test”",
        "job.title begins_with Trial, Test",
    ),
    Worded(
        "{every: print, has: {some: nip, between: [previous lamp, this]}}",
        "for every print unit: there is a nip between the previous lamp or dryer and it",
        "it is not so that for every print unit: there is a nip between the previous lamp or dryer and it",
        "every print",
    ),
    Worded(
        "{some: nip, after: print 2}",
        "there is a nip after print unit 2",
        "there is no nip after print unit 2",
        "some nip",
    ),
    Worded(
        "{'first_of(finishing.speed, web.speed)': {at_most: 2 m/s}}",
        "the speed of the finishing step, or where that is not known the speed of the web is at most 2 m/s",
        "it is not so that the speed of the finishing step, or where that is not known the speed of the web"
        " is at most 2 m/s",
        "first_of(finishing.speed, web.speed) at_most 2 m/s",
    ),
    Worded(
        "{count: nip, at_least: 2}",
        "the number of nips is at least 2",
        "it is not so that the number of nips is at least 2",
        "count nip",
    ),
    Worded(
        "{every: nip, between: [first print, last print], has: {its.number: {above: 1}}}",
        "for every nip between the first print unit and the last print unit: the place along the path is above 1",
        "it is not so that for every nip between the first print unit and the last print unit:"
        " the place along the path is above 1",
        "every nip",
    ),
]


def read(written: str) -> Condition:
    faults: list[Fault] = []
    tree, _ = read_tree(decode(written.encode()))
    assert tree is not None
    condition = ConditionReader(faults.append).read(tree, AtHand({}))
    assert condition is not None, faults
    return condition


@pytest.mark.parametrize("row", TABLE, ids=lambda row: row.written)
def test_the_words_of_a_condition(row: Worded) -> None:
    condition = read(row.written)
    assert condition.describe(Telling({})) == row.describe
    assert Opposite(condition).describe(Telling({})) == row.opposite
    assert condition.source == row.source


REASONS = [
    ("{web.width: {at_most: 200 mm}}", "width of the web is 250 mm, wanted is at most 200 mm"),
    ("{web.width: {at_least: 300 mm}}", "width of the web is 250 mm, wanted is at least 300 mm"),
    ("{web.width: {below: 200 mm}}", "width of the web is 250 mm, wanted is below 200 mm"),
    ("{web.width: {above: 300 mm}}", "width of the web is 250 mm, wanted is above 300 mm"),
    ("{web.width: 300 mm}", "width of the web is 250 mm, wanted is 300 mm"),
    ("{web.width: {not: 250 mm}}", "width of the web is 250 mm, wanted is anything but 250 mm"),
    ("{web.width: {near: {to: 300 mm, within: 2 mm}}}", "width of the web is 250 mm, wanted is 300 mm within 2 mm"),
    ("{web.width: [200 mm, 300 mm]}", "width of the web is 250 mm, of 200 mm, 300 mm"),
    ("{web.width: not given}", "width of the web is given"),
    ("{web.length: given}", "length of the web is not given"),
    ("{some: dryer, after: first nip}", "no dryer after nip 1 (line 1)"),
    ("{no: nip, before: last print, within: 1}", "nip (line 1) before print 2 (line 1) within 1 station"),
    ("{count: nip, at_least: 2}", "1 nip, wanted is at least 2"),
]


@pytest.mark.parametrize(("written", "said"), REASONS, ids=[written for written, _ in REASONS])
def test_the_reason_on_a_job(make_context_of: Callable[..., Context], written: str, said: str) -> None:
    context = make_context_of({"web.width": exact(0.25)}, ["nip", "print"])
    condition = read(written)
    outcome = condition.explain(context)
    assert outcome.evidence
    assert outcome.evidence[0].condition.reason(outcome.evidence[0].context, {}) == said


@pytest.mark.parametrize(
    ("bound", "said"), [("at most", "249.4 mm"), ("at least", "249.5 mm")], ids=["at most", "at least"]
)
def test_advice_is_rounded_to_its_safe_side(make_context_of: Callable[..., Context], bound: str, said: str) -> None:
    from filmcheck.judging.template import fill
    from filmcheck.packs.template_reader import read_template

    context = make_context_of({"web.width": exact(0.24944)})
    assert fill(read_template(f"{{web.width in mm, {bound}}}", AtHand({})), context, {}) == said
