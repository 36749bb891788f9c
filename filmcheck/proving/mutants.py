"""Every way to drop or turn about one condition of a rule: a proof must notice each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from filmcheck.judging.conditions import (
    AllHold,
    Condition,
    EitherHolds,
    Opposite,
    Things,
)
from filmcheck.judging.rule import Rule
from filmcheck.packs.short_words import words

Mutant = tuple[str, Rule]


def mutants(rule: Rule) -> Iterator[Mutant]:
    """Give the mutants of a rule, each with what was done to it."""
    if rule.requires is not None:
        yield from _of(rule.requires, lambda c: replace(rule, requires=c), whole=True)
    if rule.applies is not None:
        yield "applies dropped", replace(rule, applies=None)
        yield from _of(rule.applies, lambda c: replace(rule, applies=c), whole=True)


def _of(condition: Condition, put: Callable[[Condition], Rule], *, whole: bool = False) -> Iterator[Mutant]:
    yield f"turned about: {words(condition)}", put(Opposite(condition))
    if isinstance(condition, (AllHold, EitherHolds)):
        yield from _of_parts(condition, put)
    elif isinstance(condition, Opposite):
        yield from _of(condition.part, lambda c: put(Opposite(c)))
    elif isinstance(condition, Things):
        yield from _of_things(condition, put)


def _of_parts(condition: AllHold | EitherHolds, put: Callable[[Condition], Rule]) -> Iterator[Mutant]:
    for index, part in enumerate(condition.parts):
        before, after = condition.parts[:index], condition.parts[index + 1 :]
        yield f"dropped: {words(part)}", put(type(condition)((*before, *after)))

        def with_part(
            changed: Condition, before: tuple[Condition, ...] = before, after: tuple[Condition, ...] = after
        ) -> Rule:
            return put(type(condition)((*before, changed, *after)))

        yield from _of(part, with_part)


def _of_things(condition: Things, put: Callable[[Condition], Rule]) -> Iterator[Mutant]:
    for name in ("where", "has"):
        inner: Condition | None = getattr(condition, name)
        if inner is not None:
            if not (name == "has" and condition.quantity == "every"):
                yield f"{name} dropped: {words(inner)}", put(_without(condition, name))
            yield from _of(inner, lambda c, name=name: put(condition._replace(**{name: c})))  # type: ignore[misc]
    if condition.position is not None:
        yield f"{condition.position.relation} dropped in: {words(condition)}", put(condition._replace(position=None))
        if condition.position.within is not None:
            wider = condition.position._replace(within=None)
            yield f"within dropped in: {words(condition)}", put(condition._replace(position=wider))


def _without(condition: Things, name: str) -> Things:
    return condition._replace(where=None) if name == "where" else condition._replace(has=None)
