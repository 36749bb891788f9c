"""Every way to drop or turn about one condition of a rule: a proof must notice each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from filmcheck.judging.condition import Condition
from filmcheck.judging.joined import Opposite
from filmcheck.judging.rule import Rule

Mutant = tuple[str, Rule]


def mutants(rule: Rule) -> Iterator[Mutant]:
    """Give the mutants of a rule, each with what was done to it."""
    if rule.requires is not None:
        for what, changed in _mutants(rule.requires):
            yield what, replace(rule, requires=changed)
    if rule.applies is not None:
        yield "applies dropped", replace(rule, applies=None)
        for what, changed in _mutants(rule.applies):
            yield what, replace(rule, applies=changed)


def _mutants(condition: Condition) -> Iterator[tuple[str, Condition]]:
    """Turn the condition about, drop each of its demands, and do the same to each of its parts."""
    yield f"turned about: {condition.source}", Opposite(condition)
    yield from condition.weaker()
    parts = condition.parts
    for index, part in enumerate(parts):
        for what, changed in _mutants(part):
            yield what, condition.with_parts((*parts[:index], changed, *parts[index + 1 :]))
