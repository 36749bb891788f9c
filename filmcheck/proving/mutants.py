"""Every way to drop or turn about one condition of a rule: a proof must notice each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from filmcheck.judging.condition import Condition
from filmcheck.judging.joined import Opposite
from filmcheck.judging.rule import Rule

Mutant = tuple[str, Condition, Rule]
"""What was done, to which condition, and the rule that came of it."""


def mutants(rule: Rule) -> Iterator[Mutant]:
    """Give the mutants of a rule, each with what was done to it."""
    if rule.requires is not None:
        for what, about, changed in _mutants(rule.requires):
            yield what, about, replace(rule, requires=changed)
    if rule.applies is not None:
        yield "applies dropped", rule.applies, replace(rule, applies=None)
        for what, about, changed in _mutants(rule.applies):
            yield what, about, replace(rule, applies=changed)


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
