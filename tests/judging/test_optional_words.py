"""What stands in double brackets in a rule's text is left out where one of its figures is not known."""

from __future__ import annotations

from typing import Any, NamedTuple

import pytest

from filmcheck.judging.context import Context
from filmcheck.judging.template import complete, fill
from filmcheck.packs.arithmetic import AtHand
from filmcheck.packs.names import NameFaultError
from filmcheck.packs.template_reader import read_template
from filmcheck.records.value import Missing, Need, Value, exact

WORDS = AtHand({})


class Some(NamedTuple):
    """Stands for figures of which some are known."""

    known: dict[str, Value]

    def work_out(self, _key: str, name: str, _item: None) -> Missing:
        return Missing((Need(name, name),))

    def __call__(self, name: str, _item: None) -> Missing:
        return Missing((Need(name, name),))

    def owned(self, name: str, item: None) -> tuple[str, None]:
        return name, item


def knowing(known: dict[str, float]) -> Context:
    figures: Any = Some({name: exact(amount) for name, amount in known.items()})
    return Context(figures, {})


BOTH = knowing({"web.width": 0.33, "web.length": 4200.0})
WIDTH = knowing({"web.width": 0.33})
TEXT = "a web of {web.width in mm}[[, {web.length in m} long]] runs"


@pytest.mark.parametrize(
    ("context", "said"),
    [(BOTH, "a web of 330 mm, 4200 m long runs"), (WIDTH, "a web of 330 mm runs")],
)
def test_unknown_part_is_left_out(context, said) -> None:
    assert fill(read_template(TEXT, WORDS), context, {}) == said


def test_each_part_stands_for_itself() -> None:
    text = "[[{web.length in m}]][[{web.width in mm}]]"
    assert fill(read_template(text, WORDS), WIDTH, {}) == "330 mm"


@pytest.mark.parametrize(
    ("text", "context", "whole"),
    [(TEXT, WIDTH, True), (TEXT, knowing({}), False), ("{web.length in m}", WIDTH, False)],
)
def test_only_what_must_be_known_makes_a_text_incomplete(text, context, whole) -> None:
    assert complete(read_template(text, WORDS), context) is whole


@pytest.mark.parametrize("text", ["[[{web.width}", "{web.width}]]", "[[a]] b]]"])
def test_open_brackets_are_a_fault(text) -> None:
    with pytest.raises(NameFaultError) as caught:
        read_template(text, WORDS)
    assert caught.value.says == f"double brackets are not closed in '{text}'"
