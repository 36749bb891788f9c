"""Every way to drop or turn about one condition of a rule: a proof must notice each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from filmcheck.judging.condition import Condition
from filmcheck.judging.expression import Literal, sort_of
from filmcheck.judging.joined import Opposite
from filmcheck.judging.rule import OtherJobs, Rule
from filmcheck.records.value import exact

Mutant = tuple[str, object, Rule]
"""What was done, to which condition, and the rule that came of it."""
EVER = Literal(exact(1e9), sort_of("time"), "1e9 s")


def mutants(rule: Rule) -> Iterator[Mutant]:
    """Give the mutants of a rule, each with what was done to it."""
    if rule.requires is not None:
        for what, about, changed in _mutants(rule.requires):
            yield what, about, replace(rule, requires=changed)
    if rule.beside is not None:
        yield from ((what, at, replace(rule, beside=beside)) for what, at, beside in _beside(rule.beside))
    if rule.applies is not None:
        yield "applies dropped", rule.applies, replace(rule, applies=None)
        for what, about, changed in _mutants(rule.applies):
            yield what, about, replace(rule, applies=changed)
    if rule.warning_where is not None:
        yield "warning_where dropped", rule.warning_where, replace(rule, warning_where=None)
        for what, about, changed in _mutants(rule.warning_where):
            yield what, about, replace(rule, warning_where=changed)


def _beside(beside: OtherJobs) -> Iterator[tuple[str, object, OtherJobs]]:
    """Drop what the other job must not share, on which side it stands, how near, and which are meant."""
    if beside.not_same:
        yield f"dropped: not_same {beside.not_same}", beside, replace(beside, not_same="")
    if beside.side:
        yield f"dropped: {beside.side} this", beside, replace(beside, side="")
    yield f"dropped: within {beside.within.source}", beside, replace(beside, within=EVER)
    if beside.where is not None:
        yield f"where dropped: {beside.where.source}", beside.where, replace(beside, where=None)
        for what, about, changed in _mutants(beside.where):
            yield what, about, replace(beside, where=changed)


def _mutants(condition: Condition) -> Iterator[tuple[str, Condition, Condition]]:
    """Turn the condition about, drop each of its demands, and do the same to each of its parts."""
    yield f"turned about: {condition.source}", condition, Opposite(condition)
    parts = condition.parts
    for what, weaker in condition.weaker():
        dropped = next((part for part in parts if what.endswith(f"dropped: {part.source}")), condition)
        yield what, dropped, weaker
    for index, part in enumerate(parts):
        for what, about, changed in _mutants(part):
            yield what, about, condition.with_parts((*parts[:index], changed, *parts[index + 1 :]))
