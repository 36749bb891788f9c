"""Conditions joined from others: all hold, either holds, one must not hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from math import prod
from typing import ClassVar

from filmcheck.figures.wording import Units
from filmcheck.judging.comparison import Compared
from filmcheck.judging.condition import Branches, Condition
from filmcheck.judging.context import Context
from filmcheck.judging.phrases import Telling, joined
from filmcheck.judging.template import Template, fill
from filmcheck.judging.verdict import (
    FAILS,
    HOLDS,
    OPEN,
    OPPOSITE,
    REVIEW,
    Evidence,
    Outcome,
    Verdict,
    conjunction,
    disjunction,
    negation,
)


class Joined(Condition):
    """Several parts, of which one can decide alone."""

    __slots__ = ()
    decisive: ClassVar[Verdict]
    otherwise: ClassVar[Verdict]
    """What it comes to where no part decides, and none leaves it undecided."""

    def decide(self, context: Context) -> Verdict:
        """Stop at the first part that decides."""
        decisive = self.decisive
        undecided = otherwise = self.otherwise
        for part in self.parts:
            verdict = part.decide(context)
            if verdict is otherwise:
                continue
            if verdict is decisive:
                return verdict
            if verdict is OPEN or undecided is otherwise:
                undecided = verdict
        return undecided

    def with_parts(self, parts: Sequence[Condition]) -> Condition:
        return replace(self, parts=tuple(parts))  # type: ignore[type-var]  # what joins is a dataclass

    def weaker(self) -> Iterator[tuple[str, Condition]]:
        for index, part in enumerate(self.parts):
            yield f"dropped: {part.source}", self.with_parts((*self.parts[:index], *self.parts[index + 1 :]))


@dataclass(frozen=True, slots=True)
class AllHold(Joined):
    """Every part must hold. ``words`` say in the rule's own words what it means where they do not."""

    decisive, otherwise = FAILS, HOLDS
    parts: tuple[Condition, ...] = field()
    words: Template = ()

    def explain(self, context: Context) -> Outcome:
        """Join the parts; own words come first."""
        outcome = conjunction(part.explain(context) for part in self.parts)
        if not self.words or outcome.verdict not in (FAILS, REVIEW):
            return outcome
        return outcome._replace(evidence=(Evidence(self, context), *outcome.evidence))

    def branches(self, holds: bool, most: int) -> Branches | None:
        """Every part in every way; of the opposite, any part's."""
        return _branches(self.parts, holds, most, every=holds)

    @property
    def source(self) -> str:
        return " and ".join(part.source for part in self.parts)

    def describe(self, telling: Telling) -> str:
        """Join the parts; a least and a most of one figure become a between."""
        if is_span(self.parts):
            low, high = (part for part in self.parts if isinstance(part, Compared))
            ends = f"{low.right.describe(telling)} and {high.right.describe(telling)}"
            return f"{low.left.describe(telling)} is between {ends}"
        return joined([part.grouped(telling) for part in self.parts], "and")

    def clauses(self, telling: Telling) -> tuple[str, ...]:
        told: list[str] = []
        parts = self.parts
        while parts:
            if is_span(parts[:2]):
                told.append(AllHold(parts[:2]).describe(telling))
                parts = parts[2:]
            else:
                told += parts[0].clauses(telling)
                parts = parts[1:]
        return tuple(told)

    def grouped(self, telling: Telling) -> str:
        """In brackets, unless it is one clause."""
        plain = len(self.parts) < 2 or is_span(self.parts)
        return self.describe(telling) if plain else f"({self.describe(telling)})"

    def reason(self, context: Context, units: Units) -> str:
        return fill(self.words, context, units)


@dataclass(frozen=True, slots=True)
class EitherHolds(Joined):
    """One part must hold."""

    decisive, otherwise = HOLDS, FAILS
    parts: tuple[Condition, ...] = field()

    def explain(self, context: Context) -> Outcome:
        return disjunction(part.explain(context) for part in self.parts)

    def branches(self, holds: bool, most: int) -> Branches | None:
        """Any part in any way; of the opposite, every part's."""
        return _branches(self.parts, holds, most, every=not holds)

    @property
    def source(self) -> str:
        return " or ".join(part.source for part in self.parts)

    def describe(self, telling: Telling) -> str:
        return f"either {joined([part.grouped(telling) for part in self.parts], 'or')}"

    def grouped(self, telling: Telling) -> str:
        return f"({self.describe(telling)})" if len(self.parts) > 1 else self.describe(telling)


@dataclass(frozen=True, slots=True)
class WhenThen(Condition):
    """Where the first holds, the second must. Where the first does not, nothing is asked."""

    when: Condition
    then: Condition

    def decide(self, context: Context) -> Verdict:
        """Ask what must hold only where it matters."""
        when = self.when.decide(context)
        if when is FAILS:
            return HOLDS
        then = self.then.decide(context)
        if then is HOLDS or when is HOLDS:
            return then
        return OPEN if OPEN in (when, then) else REVIEW

    def explain(self, context: Context) -> Outcome:
        """Where it surely matters, only what must hold decides; else both do."""
        when, then = (part.explain(context) for part in self.parts)
        return then if when.verdict is HOLDS else disjunction((negation(when), then))

    @property
    def parts(self) -> tuple[Condition, ...]:
        return self.when, self.then

    def with_parts(self, parts: Sequence[Condition]) -> Condition:
        return WhenThen(*parts)

    def weaker(self) -> Iterator[tuple[str, Condition]]:
        """Drop when, so that then must always hold; drop then, so that when must never."""
        yield f"when dropped: {self.when.source}", self.then
        yield f"then dropped: {self.then.source}", Opposite(self.when)

    def branches(self, holds: bool, most: int) -> Branches | None:
        return EitherHolds((Opposite(self.when), self.then)).branches(holds, most)

    @property
    def source(self) -> str:
        return f"when {self.when.source} then {self.then.source}"

    def describe(self, telling: Telling) -> str:
        then = joined(list(self.then.clauses(telling)), "and")
        return f"when {joined(list(self.when.clauses(telling)), 'and')}, then {then}"

    def grouped(self, telling: Telling) -> str:
        return f"({self.describe(telling)})"


@dataclass(frozen=True, slots=True)
class Opposite(Condition):
    """The part must not hold."""

    part: Condition

    def decide(self, context: Context) -> Verdict:
        return OPPOSITE[self.part.decide(context)]

    def explain(self, context: Context) -> Outcome:
        return negation(self.part.explain(context))

    @property
    def parts(self) -> tuple[Condition, ...]:
        return (self.part,)

    def with_parts(self, parts: Sequence[Condition]) -> Condition:
        return Opposite(parts[0])

    def branches(self, holds: bool, most: int) -> Branches | None:
        return self.part.branches(not holds, most)

    @property
    def source(self) -> str:
        return f"not ({self.part.source})"

    def describe(self, telling: Telling) -> str:
        return self.part.describe_opposite(telling)


def is_span(parts: tuple[Condition, ...]) -> bool:
    """Whether two comparisons give one figure a least and a most."""
    low, high = parts if len(parts) == 2 else (None, None)
    if not (isinstance(low, Compared) and isinstance(high, Compared)):
        return False
    return low.left == high.left and (low.relation, high.relation) == ("at_least", "at_most")


def _branches(parts: tuple[Condition, ...], holds: bool, most: int, *, every: bool) -> Branches | None:
    found = [part.branches(holds, most) for part in parts]
    known = [part for part in found if part is not None]
    if len(known) < len(found):
        return None
    if not every:
        return [branch for part in known for branch in part]
    if prod(map(len, known)) > most:
        return None
    return [tuple(atom for branch in way for atom in branch) for way in product(*known)]
