"""Verdicts in Kleene's three values, with the borderline apart, and what each rests on."""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum
from typing import NamedTuple

from filmcheck.judging.scene import Scene
from filmcheck.records.value import Need


class Verdict(Enum):
    """What a condition comes to. ``REVIEW`` holds at one end of a range only: undecided, but with both numbers."""

    HOLDS = "holds"
    FAILS = "fails"
    OPEN = "open"
    REVIEW = "review"


class Evidence(NamedTuple):
    """A test that decided: the condition and the thing it was asked of, both to be put into words later."""

    condition: object
    scene: Scene


class Outcome(NamedTuple):
    """A verdict, the tests that decided it, and what was lacking."""

    verdict: Verdict
    evidence: tuple[Evidence, ...] = ()
    needs: tuple[Need, ...] = ()


HOLDS = Outcome(Verdict.HOLDS)
_OPPOSITE = {Verdict.HOLDS: Verdict.FAILS, Verdict.FAILS: Verdict.HOLDS}


def conjunction(outcomes: Iterable[Outcome]) -> Outcome:
    """All must hold: one that fails decides, else one that is open, else one that is borderline."""
    return _joined(outcomes, (Verdict.FAILS, Verdict.OPEN, Verdict.REVIEW), Verdict.HOLDS)


def disjunction(outcomes: Iterable[Outcome]) -> Outcome:
    """One must hold: one that holds decides, else one that is open, else one that is borderline."""
    return _joined(outcomes, (Verdict.HOLDS, Verdict.OPEN, Verdict.REVIEW), Verdict.FAILS)


def negation(outcome: Outcome) -> Outcome:
    """Turn holds and fails about; the undecided stays undecided."""
    return outcome._replace(verdict=_OPPOSITE.get(outcome.verdict, outcome.verdict))


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
