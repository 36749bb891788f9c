"""Typed conditions: each is asked in a scene and comes to a verdict in three values."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple, Protocol

from filmcheck.figures.scopes import kinds_in
from filmcheck.judging.expression import Expression
from filmcheck.judging.scene import Scene
from filmcheck.judging.template import Template
from filmcheck.judging.verdict import (
    HOLDS,
    Evidence,
    Outcome,
    Verdict,
    conjunction,
    disjunction,
    negation,
)
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Missing, Value, number

SLACK = 1e-9
"""Relative: the same size written in two units may differ in the last digits and must get the same verdict."""


class Condition(Protocol):
    """What a rule asks."""

    def judge(self, scene: Scene) -> Outcome:
        """Come to a verdict."""


class Compared(NamedTuple):
    """One figure against another, or against a limit or literal."""

    left: Expression
    relation: str
    right: Expression

    def judge(self, scene: Scene) -> Outcome:
        """Compare both ends of both sides."""
        left, right = self.left.work(scene), self.right.work(scene)
        if isinstance(left, Missing) or isinstance(right, Missing):
            return _open(left, right)
        return Outcome(RELATIONS[self.relation](left, right), (Evidence(self, scene),))


class OneOf(NamedTuple):
    """A figure that is one of some words or amounts."""

    left: Expression
    choices: tuple[Expression, ...]

    def judge(self, scene: Scene) -> Outcome:
        """Compare with each choice."""
        left = self.left.work(scene)
        if isinstance(left, Missing):
            return _open(left)
        verdicts = []
        for choice in self.choices:
            right = choice.work(scene)
            if isinstance(right, Missing):
                return _open(right)
            verdicts.append(_equal(left, right))
        order = (Verdict.HOLDS, Verdict.REVIEW, Verdict.FAILS)
        return Outcome(next(verdict for verdict in order if verdict in verdicts), (Evidence(self, scene),))


class Near(NamedTuple):
    """A figure that is within a tolerance of another."""

    left: Expression
    right: Expression
    tolerance: Expression

    def judge(self, scene: Scene) -> Outcome:
        """Compare the difference with the tolerance."""
        parts = [part.work(scene) for part in (self.left, self.right, self.tolerance)]
        if any(isinstance(part, Missing) for part in parts):
            return _open(*parts)
        left, right, tolerance = (part for part in parts if isinstance(part, Value))
        least = max(0.0, number(left.low) - number(right.high), number(right.low) - number(left.high))
        most = max(abs(number(left.high) - number(right.low)), abs(number(left.low) - number(right.high)))
        return Outcome(_at_most(Value(least, most), tolerance), (Evidence(self, scene),))


class IsGiven(NamedTuple):
    """Whether a figure is there at all; cannot be told where the entry that would hold it is itself lacking."""

    left: Expression
    wanted: bool

    def judge(self, scene: Scene) -> Outcome:
        """Look whether it is known."""
        found = self.left.work(scene)
        if isinstance(found, Value):
            there = True
        elif found.is_absent:
            there = False
        else:
            return _open(found)
        return Outcome(Verdict.HOLDS if there is self.wanted else Verdict.FAILS, (Evidence(self, scene),))


class AllHold(NamedTuple):
    """Every part must hold. ``words`` say in the rule's own words what it means where they do not."""

    parts: tuple[Condition, ...]
    words: Template = ()

    def judge(self, scene: Scene) -> Outcome:
        """Join the parts."""
        outcome = conjunction(part.judge(scene) for part in self.parts)
        if not self.words or outcome.verdict not in (Verdict.FAILS, Verdict.REVIEW):
            return outcome
        return outcome._replace(evidence=(Evidence(self, scene), *outcome.evidence))


class EitherHolds(NamedTuple):
    """One part must hold."""

    parts: tuple[Condition, ...]

    def judge(self, scene: Scene) -> Outcome:
        """Join the parts."""
        return disjunction(part.judge(scene) for part in self.parts)


class Opposite(NamedTuple):
    """The part must not hold."""

    part: Condition

    def judge(self, scene: Scene) -> Outcome:
        """Turn the verdict about."""
        return negation(self.part.judge(scene))


class Anchor(NamedTuple):
    """A station that others are placed against: the one at hand, or the first or last of a kind."""

    which: str
    kind: str = ""

    def find(self, scene: Scene) -> Item | None:
        """Give the station, or None where the path has none."""
        if self.which == "this":
            return scene.item
        kinds = kinds_in(self.kind)
        found = [station for station in scene.figures.job.stations if station.kind in kinds]
        if not found:
            return None
        return found[0] if self.which == "first" else found[-1]

    @property
    def words(self) -> str:
        """Name the anchor."""
        return "it" if self.which == "this" else f"the {self.which} {self.kind}"


class Position(NamedTuple):
    """Where along the path a station must stand."""

    relation: str
    anchors: tuple[Anchor, ...]
    within: int | None = None

    def allows(self, number: int, at: list[int]) -> bool:
        """Whether the place with this number lies so to the anchors."""
        if self.relation == "between":
            return min(at) < number < max(at)
        away = number - at[0]
        if self.relation == "next_to":
            return abs(away) == 1
        near = self.within is None or abs(away) <= self.within
        return near and (away < 0 if self.relation == "before" else away > 0)


class Things(NamedTuple):
    """Every, some or no thing of a kind, or a count of them, with what each must be."""

    quantity: str
    kind: str
    where: Condition | None = None
    has: Condition | None = None
    position: Position | None = None
    relation: str = ""
    right: Expression | None = None

    def judge(self, scene: Scene) -> Outcome:
        """Judge the things one by one and join."""
        lack = scene.figures.lack(self.kind)
        if lack is not None:
            return _open(lack)
        things = self.placed(scene)
        if things is None:
            # Nothing to be before or after: the demand has no object, so it is met.
            return HOLDS
        if self.quantity == "count":
            return self._counted(things, scene)
        return self._quantified(things, scene)

    def placed(self, scene: Scene) -> list[Item] | None:
        """Give the things that stand where they are looked for; None where the path has no such place."""
        things = [thing for kind in kinds_in(self.kind) for thing in scene.figures.things(kind)]
        if self.position is None:
            return things
        found = [anchor.find(scene) for anchor in self.position.anchors]
        at = [item.number for item in found if item is not None]
        if len(at) < len(found):
            return None
        return [thing for thing in things if self.position.allows(thing.number, at)]

    def matching(self, scene: Scene) -> list[Item]:
        """Give the things that surely are what is looked for."""
        things = self.placed(scene) or []
        return [thing for thing in things if self._one(thing, scene, every=False).verdict is Verdict.HOLDS]

    def _quantified(self, things: list[Item], scene: Scene) -> Outcome:
        if self.quantity == "every":
            return conjunction(self._one(thing, scene, every=True) for thing in things)
        found = disjunction(self._one(thing, scene, every=False) for thing in things)
        wanted = found if self.quantity == "some" else negation(found)
        if wanted.verdict is Verdict.HOLDS:
            return HOLDS
        # The words of the failing demand are those of the whole, not of its parts.
        own = (Evidence(self, scene),)
        return wanted._replace(evidence=(*own, *wanted.evidence) if self.quantity == "no" else own)

    def _one(self, thing: Item, scene: Scene, *, every: bool) -> Outcome:
        inner = scene.at(thing)
        where = self.where.judge(inner) if self.where else HOLDS
        has = self.has.judge(inner) if self.has else HOLDS
        if every:
            # Where the thing is surely one of those meant, only what it must be can decide.
            return has if where.verdict is Verdict.HOLDS else disjunction((negation(where), has))
        joined = conjunction((where, has))
        return joined._replace(evidence=(*joined.evidence, Evidence(Here(), inner)))

    def _counted(self, things: list[Item], scene: Scene) -> Outcome:
        outcomes = [self._one(thing, scene, every=False) for thing in things]
        sure = sum(outcome.verdict is Verdict.HOLDS for outcome in outcomes)
        unsure = [outcome for outcome in outcomes if outcome.verdict in (Verdict.OPEN, Verdict.REVIEW)]
        right = self.right.work(scene) if self.right else Missing(())
        if isinstance(right, Missing):
            return _open(right)
        verdict = RELATIONS[self.relation](Value(sure, sure + len(unsure)), right)
        if verdict is Verdict.REVIEW:
            needs = tuple(need for outcome in unsure for need in outcome.needs)
            return Outcome(Verdict.OPEN if needs else verdict, (Evidence(self, scene),), needs)
        return Outcome(verdict, (Evidence(self, scene),))


class Here(NamedTuple):
    """Marks the thing that decided, so that a finding can point at it."""

    def judge(self, scene: Scene) -> Outcome:
        """Hold always."""
        return HOLDS


def _open(*figures: Figured) -> Outcome:
    needs = {need.name: need for figure in figures if isinstance(figure, Missing) for need in figure.needs}
    return Outcome(Verdict.OPEN, (), tuple(needs.values()))


def _slack(left: Value, right: Value) -> float:
    return SLACK * max(abs(number(left.high)), abs(number(right.high)))


def _at_most(left: Value, right: Value) -> Verdict:
    if left[1] <= right[0]:  # type: ignore[operator]  # both are numbers, or both are dates; the short way for most
        return Verdict.HOLDS
    slack = _slack(left, right)
    if number(left.high) <= number(right.low) + slack:
        return Verdict.HOLDS
    return Verdict.FAILS if number(left.low) > number(right.high) + slack else Verdict.REVIEW


def _below(left: Value, right: Value) -> Verdict:
    slack = _slack(left, right)
    if number(left.high) < number(right.low) - slack:
        return Verdict.HOLDS
    return Verdict.FAILS if number(left.low) >= number(right.high) - slack else Verdict.REVIEW


def _equal(left: Value, right: Value) -> Verdict:
    if isinstance(left.low, (str, bool)) or isinstance(right.low, (str, bool)):
        return Verdict.HOLDS if left.low == right.low else Verdict.FAILS
    slack = _slack(left, right)
    if number(left.low) > number(right.high) + slack or number(left.high) < number(right.low) - slack:
        return Verdict.FAILS
    return Verdict.HOLDS if left.exact and right.exact else Verdict.REVIEW


def _turned(verdict: Verdict) -> Verdict:
    return {Verdict.HOLDS: Verdict.FAILS, Verdict.FAILS: Verdict.HOLDS}.get(verdict, verdict)


RELATIONS: dict[str, Callable[[Value, Value], Verdict]] = {
    "at_most": _at_most,
    "at_least": lambda left, right: _at_most(right, left),
    "below": _below,
    "above": lambda left, right: _below(right, left),
    "equals": _equal,
    "not": lambda left, right: _turned(_equal(left, right)),
}
