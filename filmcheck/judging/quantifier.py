"""Every, some or no thing of a kind, or a count of them: stations of the path, checks, zones, lanes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from filmcheck.figures.plain_names import kind_words
from filmcheck.figures.scopes import LISTED, kinds_in
from filmcheck.figures.wording import Units
from filmcheck.judging.condition import Condition
from filmcheck.judging.context import Context
from filmcheck.judging.expression import Expression
from filmcheck.judging.phrases import Telling, article, joined, plural
from filmcheck.judging.position import Position
from filmcheck.judging.relations import RELATIONS
from filmcheck.judging.verdict import (
    FAILS,
    HELD,
    HOLDS,
    OPEN,
    OPPOSITE,
    REVIEW,
    Evidence,
    Outcome,
    Verdict,
    conjunction,
    disjunction,
    lacking_outcome,
    negation,
)
from filmcheck.plant.job import Item
from filmcheck.records.place import Place
from filmcheck.records.value import Missing, Value


@dataclass(frozen=True, slots=True)
class Things(Condition):
    """Every, some or no thing of a kind, or a count of them, with what each must be."""

    quantity: str
    kind: str
    where: Condition | None = None
    has: Condition | None = None
    position: Position | None = None
    relation: str = ""
    right: Expression | None = None

    def decide(self, context: Context) -> Verdict:
        if context.figures.lack(self.kind) is not None:
            return OPEN
        things = self.placed(context)
        if things is None:
            return HOLDS  # nothing to be before or after: the demand has no object, so it is met
        if self.quantity == "every":
            return self._every(things, context)
        if self.quantity == "count":
            return self._count(things, context)
        found = self._some(things, context)
        return OPPOSITE[found] if self.quantity == "no" else found

    def _every(self, things: Iterable[Item], context: Context) -> Verdict:
        where, has = self.where, self.has
        undecided = HOLDS
        for thing in things:
            inner = context.at(thing)
            meant = HOLDS if where is None else where.decide(inner)
            if meant is FAILS:
                continue
            verdict = HOLDS if has is None else has.decide(inner)
            if verdict is HOLDS:
                continue
            if meant is not HOLDS:  # it may not be one of those meant
                verdict = OPEN if OPEN in (meant, verdict) else REVIEW
            if verdict is FAILS:
                return FAILS
            if verdict is OPEN or undecided is HOLDS:
                undecided = verdict
        return undecided

    def _some(self, things: Iterable[Item], context: Context) -> Verdict:
        undecided = FAILS
        for thing in things:
            verdict = self._one(thing, context)
            if verdict is HOLDS:
                return HOLDS
            if verdict is OPEN or undecided is FAILS:
                undecided = verdict
        return undecided

    def _one(self, thing: Item, context: Context) -> Verdict:
        """Decide whether a thing is one of those looked for."""
        inner = context.at(thing)
        meant = HOLDS if self.where is None else self.where.decide(inner)
        if meant is FAILS:
            return FAILS
        verdict = HOLDS if self.has is None else self.has.decide(inner)
        if verdict is HOLDS or (verdict is REVIEW and meant is OPEN):
            return meant
        return verdict

    def _count(self, things: Iterable[Item], context: Context) -> Verdict:
        right = self.right.work(context) if self.right else Missing(())
        if isinstance(right, Missing):
            return OPEN
        verdicts = [self._one(thing, context) for thing in things]
        sure = verdicts.count(HOLDS)
        compared = RELATIONS[self.relation].compare(Value(sure, len(verdicts) - verdicts.count(FAILS)), right)
        return OPEN if compared is REVIEW and OPEN in verdicts else compared

    def placed(self, context: Context) -> list[Item] | None:
        """Give the things that stand where they are looked for; None where the path has no such place."""
        several = [context.figures.things(kind) for kind in kinds_in(self.kind)]
        if self.position is not None:
            at = self.position.found(context)
            if at is None:
                return None
            several = [self.position.among(things, at) for things in several]
        return [thing for things in several for thing in things]

    def matching(self, context: Context) -> list[Item]:
        """Give the things that surely are what is looked for."""
        return [thing for thing in self.placed(context) or [] if self._one(thing, context) is HOLDS]

    def explain(self, context: Context) -> Outcome:
        lack = context.figures.lack(self.kind)
        if lack is not None:
            return lacking_outcome([lack])
        things = self.placed(context)
        if things is None:
            return HELD
        if self.quantity == "count":
            return self._explain_count(things, context)
        if self.quantity == "every":
            return conjunction(self._explain_each(thing, context) for thing in things)
        found = disjunction(self._explain_one(thing, context) for thing in things)
        wanted = found if self.quantity == "some" else negation(found)
        if wanted.verdict is HOLDS:
            return HELD
        # The words of the failing demand are those of the whole, not of its parts.
        own = (Evidence(self, context),)
        return wanted._replace(evidence=(*own, *wanted.evidence) if self.quantity == "no" else own)

    def _explain_each(self, thing: Item, context: Context) -> Outcome:
        inner = context.at(thing)
        where = self.where.explain(inner) if self.where else HELD
        has = self.has.explain(inner) if self.has else HELD
        # Where the thing is surely one of those meant, only what it must be can decide.
        return has if where.verdict is HOLDS else disjunction((negation(where), has))

    def _explain_one(self, thing: Item, context: Context) -> Outcome:
        inner = context.at(thing)
        found = conjunction(part.explain(inner) for part in self.parts)
        return found._replace(evidence=(*found.evidence, Evidence(Here(), inner)))

    def _explain_count(self, things: list[Item], context: Context) -> Outcome:
        right = self.right.work(context) if self.right else Missing(())
        if isinstance(right, Missing):
            return lacking_outcome([right])
        outcomes = [self._explain_one(thing, context) for thing in things]
        needs = [need for outcome in outcomes if outcome.verdict in (OPEN, REVIEW) for need in outcome.needs]
        verdict = self._count(things, context)
        return Outcome(verdict, (Evidence(self, context),), tuple(needs) if verdict is OPEN else ())

    @property
    def parts(self) -> tuple[Condition, ...]:
        return tuple(part for part in (self.where, self.has) if part is not None)

    def with_parts(self, parts: Sequence[Condition]) -> Condition:
        rest = list(parts)
        where = rest.pop(0) if self.where is not None else None
        return replace(self, where=where, has=rest.pop(0) if self.has is not None else None)

    @property
    def expressions(self) -> tuple[Expression, ...]:
        return (self.right,) if self.right is not None else ()

    @property
    def steps_to(self) -> str:
        return self.kind

    def weaker(self) -> Iterator[tuple[str, Condition]]:
        """Drop where, has, the place, or how near it must be. Every without has would ask nothing."""
        if self.where is not None:
            yield f"where dropped: {self.where.source}", replace(self, where=None)
        if self.has is not None and self.quantity != "every":
            yield f"has dropped: {self.has.source}", replace(self, has=None)
        if self.position is not None:
            yield f"{self.position.relation} dropped in: {self.source}", replace(self, position=None)
            if self.position.within is not None:
                wider = replace(self, position=self.position._replace(within=None))
                yield f"within dropped in: {self.source}", wider

    @property
    def source(self) -> str:
        return f"{self.quantity} {self.kind}"

    def describe(self, telling: Telling) -> str:
        inner = telling.inside(self.kind)
        noun = kind_words(self.kind)
        at = f" {self.position.describe()}" if self.position else ""
        if self.quantity == "every":
            such = _such((self.where,), inner)
            return f"for every {noun}{at}{such}: {self.has.describe(inner) if self.has else ''}"
        such = _such((self.where, self.has), inner)
        if self.quantity == "count":
            right = self.right.describe(telling) if self.right else ""
            return f"the number of {plural(noun)}{at}{such} {RELATIONS[self.relation].words} {right}"
        return f"there is {'no' if self.quantity == 'no' else article(noun)} {noun}{at}{such}"

    def describe_opposite(self, telling: Telling) -> str:
        turned = {"some": "no", "no": "some"}.get(self.quantity)
        if turned is None:
            return Condition.describe_opposite(self, telling)
        return replace(self, quantity=turned).describe(telling)

    def reason(self, context: Context, units: Units) -> str:
        where = f" {self.position.reason(context)}" if self.position else ""
        if self.quantity == "some":
            return f"no {self.kind}{where}"
        found = self.matching(context)
        if self.quantity == "no":
            lines = ", ".join(f"line {thing.place.span.line}" for thing in found)
            return f"{self.kind}{f' ({lines})' if lines else ''}{where}"
        if self.right is None:
            return f"not every {self.kind}"
        wanted = f"{RELATIONS[self.relation].wanted} {self.right.amount(context, {})}".strip()
        return f"{len(found)} {self.kind}{'' if len(found) == 1 else 's'}{where}, wanted is {wanted}"

    def place(self, context: Context) -> Place | None:
        """Point at the station from which others were looked for; else at the list in which they should stand."""
        if self.quantity not in ("some", "count"):
            return None
        if self.position is None:
            listed = context.figures.job.sheet.fields.get(f"{self.kind}s") if self.kind in LISTED else None
            return listed.key_place if listed is not None else None
        station = self.position.anchors[0].find(context)
        return station.place if station is not None else None


@dataclass(frozen=True, slots=True)
class Here(Condition):
    """Marks the thing that decided, so that a finding can point at it."""


def _such(parts: tuple[Condition | None, ...], telling: Telling) -> str:
    told = [clause for part in parts if part is not None for clause in part.clauses(telling)]
    return f" such that {joined(told, 'and')}" if told else ""
