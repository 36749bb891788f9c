"""Verdicts in Kleene's three values, with the borderline apart, and what each rests on."""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum
from typing import NamedTuple, Protocol

from filmcheck.figures.wording import Units
from filmcheck.judging.context import Context
from filmcheck.judging.expression import Expression
from filmcheck.records.place import Place
from filmcheck.records.value import Figured, Missing, Need


class Verdict(Enum):
    """What a condition comes to. ``REVIEW`` holds at one end of a range only: undecided, but with both numbers."""

    HOLDS = "holds"
    FAILS = "fails"
    OPEN = "open"
    REVIEW = "review"


HOLDS, FAILS, OPEN, REVIEW = Verdict.HOLDS, Verdict.FAILS, Verdict.OPEN, Verdict.REVIEW
OPPOSITE = {HOLDS: FAILS, FAILS: HOLDS, OPEN: OPEN, REVIEW: REVIEW}


class Decisive(Protocol):
    """What a condition that decided can tell on a job."""

    @property
    def expressions(self) -> tuple[Expression, ...]:
        """What it compares."""

    def reason(self, context: Context, units: Units) -> str:
        """Say why it came out as it did."""

    def place(self, context: Context) -> Place | None:
        """Give where it points without a datum."""


class Evidence(NamedTuple):
    """A test that decided: the condition and the thing it was asked of, both to be put into words later."""

    condition: Decisive
    context: Context

    @property
    def names(self) -> list[str]:
        """The figures that the test asks for, in the order in which it names them."""
        return [name for expression in self.condition.expressions for name in expression.names]


class Outcome(NamedTuple):
    """A verdict, the tests that decided it, and what was lacking."""

    verdict: Verdict
    evidence: tuple[Evidence, ...] = ()
    needs: tuple[Need, ...] = ()


HELD = Outcome(HOLDS)


def conjunction(outcomes: Iterable[Outcome]) -> Outcome:
    """All must hold: one that fails decides, else one that is open, else one that is borderline."""
    return _joined(outcomes, (FAILS, OPEN, REVIEW), HOLDS)


def disjunction(outcomes: Iterable[Outcome]) -> Outcome:
    """One must hold: one that holds decides, else one that is open, else one that is borderline."""
    return _joined(outcomes, (HOLDS, OPEN, REVIEW), FAILS)


def negation(outcome: Outcome) -> Outcome:
    """Turn holds and fails about; the undecided stays undecided."""
    return outcome._replace(verdict=OPPOSITE[outcome.verdict])


def lacking_outcome(figures: Iterable[Figured]) -> Outcome:
    """Leave a test open, with all that its figures lack."""
    needs = {need.name: need for figure in figures if isinstance(figure, Missing) for need in figure.needs}
    return Outcome(OPEN, (), tuple(needs.values()))


def _joined(outcomes: Iterable[Outcome], order: tuple[Verdict, ...], otherwise: Verdict) -> Outcome:
    seen = tuple(outcomes)
    for verdict in order:
        deciding = [outcome for outcome in seen if outcome.verdict is verdict]
        if deciding:
            return _gathered(verdict, deciding)
    return _gathered(otherwise, seen)


def _gathered(verdict: Verdict, outcomes: Iterable[Outcome]) -> Outcome:
    evidence: list[Evidence] = []
    needs: dict[str, Need] = {}
    for outcome in outcomes:
        evidence += outcome.evidence
        for need in outcome.needs:
            needs.setdefault(need.name, need)
    return Outcome(verdict, tuple(evidence), tuple(needs.values()))
