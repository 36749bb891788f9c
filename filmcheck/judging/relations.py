"""The six relations between two values: how ranges compare, and the words of each."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from filmcheck.judging.verdict import FAILS, HOLDS, OPPOSITE, REVIEW, Verdict
from filmcheck.records.value import Value, number

SLACK = 1e-9
"""Relative: the same size written in two units may differ in the last digits and must get the same verdict."""


class Relation(NamedTuple):
    """How two values compare, and the words for it."""

    compare: Callable[[Value, Value], Verdict]
    words: str
    """In the reference: the speed *is at most* 80 m/min."""
    opposite: str
    """Where it must not hold."""
    wanted: str
    """On a job: wanted is *at most* 80 m/min."""


_TOLD = (str, bool)
"""What is equal or not, without a more or less."""


def _slack(left: Value, right: Value) -> float:
    return SLACK * max(abs(number(left.high)), abs(number(right.high)))


def _at_most(left: Value, right: Value) -> Verdict:
    if left[1] <= right[0]:  # type: ignore[operator]  # both are numbers, or both are dates; the short way for most
        return HOLDS
    slack = _slack(left, right)
    if number(left.high) <= number(right.low) + slack:
        return HOLDS
    return FAILS if number(left.low) > number(right.high) + slack else REVIEW


def _below(left: Value, right: Value) -> Verdict:
    slack = _slack(left, right)
    if number(left.high) < number(right.low) - slack:
        return HOLDS
    return FAILS if number(left.low) >= number(right.high) - slack else REVIEW


def _equal(left: Value, right: Value) -> Verdict:
    a, b = left[0], right[0]
    if a.__class__ in _TOLD or b.__class__ in _TOLD:
        return HOLDS if a == b else FAILS
    if a == b == left[1] == right[1]:
        return HOLDS  # the short way for most that are equal
    slack = _slack(left, right)
    if number(left.low) > number(right.high) + slack or number(left.high) < number(right.low) - slack:
        return FAILS
    return HOLDS if left.exact and right.exact else REVIEW


ON_DAYS = {
    "is at most": "is no later than",
    "is at least": "is no earlier than",
    "is below": "is before",
    "is above": "is after",
}
"""The words of a relation between two days."""
RELATIONS = {
    "at_most": Relation(_at_most, "is at most", "is above", "at most"),
    "at_least": Relation(lambda left, right: _at_most(right, left), "is at least", "is below", "at least"),
    "below": Relation(_below, "is below", "is at least", "below"),
    "above": Relation(lambda left, right: _below(right, left), "is above", "is at most", "above"),
    "equals": Relation(_equal, "is", "is not", ""),
    "not": Relation(lambda left, right: OPPOSITE[_equal(left, right)], "is not", "is", "anything but"),
}
