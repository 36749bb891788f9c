"""Tests of one figure: against another, against a choice, within a tolerance, or whether it is given at all."""

from __future__ import annotations

from dataclasses import dataclass, replace

from filmcheck.figures.plain_names import truth_words
from filmcheck.figures.wording import Units
from filmcheck.judging.condition import Clause, Condition
from filmcheck.judging.context import Context
from filmcheck.judging.expression import Expression, Literal, Name
from filmcheck.judging.phrases import Telling, joined
from filmcheck.judging.relations import ON_DAYS, RELATIONS
from filmcheck.judging.verdict import (
    FAILS,
    HOLDS,
    OPEN,
    Evidence,
    Outcome,
    Verdict,
    lacking_outcome,
)
from filmcheck.records.place import Place
from filmcheck.records.value import Missing, Value, number
from filmcheck.units.quantity import DIMENSIONS, Quantity, parse_quantity


class FigureTest(Condition):
    """A test of a figure that joins no others."""

    __slots__ = ()
    left: Expression

    @property
    def expressions(self) -> tuple[Expression, ...]:
        return (self.left,)

    def explain(self, context: Context) -> Outcome:
        """Give the verdict, with the test itself as evidence or with what its figures lack."""
        verdict = self.decide(context)
        if verdict is OPEN:
            return lacking_outcome(expression.work(context) for expression in self.expressions)
        return Outcome(verdict, (Evidence(self, context),))

    def place(self, context: Context) -> Place | None:
        """Point at the thing at hand."""
        return context.item.place if context.item is not None else None

    def off(self, context: Context) -> float:
        """Give by how much the first two sides differ, as a share of the greater; 1 where they are no numbers."""
        sides = [side.work(context) for side in self.expressions[:2]]
        ends = [float(side.low) for side in sides if isinstance(side, Value) and isinstance(side.low, int | float)]
        return abs(ends[0] - ends[1]) / (max(map(abs, ends)) or 1.0) if len(ends) == 2 else 1.0


@dataclass(frozen=True, slots=True)
class Compared(FigureTest):
    """One figure against another, or against a limit or literal."""

    left: Expression
    relation: str
    right: Expression

    def decide(self, context: Context) -> Verdict:
        left = self.left.work(context)
        if left.__class__ is Missing:
            return OPEN
        right = self.right.work(context)
        if right.__class__ is Missing:
            return OPEN
        return RELATIONS[self.relation].compare(left, right)  # type: ignore[arg-type]  # both are values

    @property
    def expressions(self) -> tuple[Expression, ...]:
        return self.left, self.right

    def positive(self, holds: bool) -> Clause:
        """Turn not into equals, above into at most, below into at least."""
        flipped = {"not": "equals", "above": "at_most", "below": "at_least"}.get(self.relation)
        return (not holds, replace(self, relation=flipped)) if flipped else (holds, self)

    @property
    def about(self) -> Expression | None:
        return self.left if isinstance(self.right, Literal) else None

    @property
    def literals(self) -> tuple[Literal, ...]:
        return (self.right,) if isinstance(self.right, Literal) else ()

    def met_by(self, value: Value) -> bool:
        return any(RELATIONS[self.relation].compare(value, fixed.value) is HOLDS for fixed in self.literals)

    @property
    def source(self) -> str:
        return f"{self.left.source} {self.relation} {self.right.source}"

    def source_of(self, holds: bool) -> str:
        relation = RELATIONS[self.relation]
        word = (relation.words if holds else relation.opposite).removeprefix("is ")
        if self.relation == "equals":
            word = "is" if holds else "is not"
        return f"{self.left.source} {word} {self.right.source}"

    def describe(self, telling: Telling) -> str:
        """Write both sides with the relation; of a figure that is true or false, its own words."""
        left, right = self.left, self.right
        if isinstance(right, Name) and self.relation in ("equals", "not"):
            same = "is the same as" if self.relation == "equals" else "is another than"
            return f"{left.describe(telling)} {same} {right.describe(telling)}"
        if isinstance(left, Name) and isinstance(right, Literal) and isinstance(right.value.low, bool):
            wanted = right.value.low is (self.relation == "equals")
            known = truth_words(left.name, telling.kind_of(left.name))
            if known:
                return known[0] if wanted else known[1]
            return f"{left.describe(telling)} is {'yes' if wanted else 'no'}"
        return f"{left.describe(telling)} {self._of_days(RELATIONS[self.relation].words)} {right.describe(telling)}"

    def describe_opposite(self, telling: Telling) -> str:
        if isinstance(self.right, Literal):
            return Condition.describe_opposite(self, telling)
        words = self._of_days(RELATIONS[self.relation].opposite)
        return f"{self.left.describe(telling)} {words} {self.right.describe(telling)}"

    def _of_days(self, words: str) -> str:
        return ON_DAYS.get(words, words) if self.left.sort.name == "date" else words

    def reason(self, context: Context, units: Units) -> str:
        relation = self._of_days(f"is {RELATIONS[self.relation].wanted}").removeprefix("is ")
        wanted = f"{relation} {self.right.amount(context, units)}".strip()
        found = self.left.amount(context, self._as_written(units))
        return f"{self.left.title(context)} is {found}, wanted is {wanted}"

    def _as_written(self, units: Units) -> Units:
        """Show what was worked out in the unit of the rule's own quantity, so that both are compared at sight."""
        dimension = self.left.sort.name
        if isinstance(self.left, Name) or not isinstance(self.right, Literal) or dimension not in DIMENSIONS:
            return units
        wanted = parse_quantity(self.right.text, (dimension,))
        return {**units, dimension: wanted.unit} if isinstance(wanted, Quantity) and wanted.unit else units


@dataclass(frozen=True, slots=True)
class OneOf(FigureTest):
    """A figure that is one of some words or amounts."""

    left: Expression
    choices: tuple[Expression, ...]

    def decide(self, context: Context) -> Verdict:
        left = self.left.work(context)
        if isinstance(left, Missing):
            return OPEN
        undecided = FAILS
        for choice in self.choices:
            right = choice.work(context)
            verdict = OPEN if isinstance(right, Missing) else RELATIONS["equals"].compare(left, right)
            if verdict is HOLDS:
                return HOLDS
            if verdict is OPEN or undecided is FAILS:
                undecided = verdict
        return undecided

    @property
    def expressions(self) -> tuple[Expression, ...]:
        return (self.left, *self.choices)

    @property
    def about(self) -> Expression | None:
        return self.left if len(self.literals) == len(self.choices) else None

    @property
    def literals(self) -> tuple[Literal, ...]:
        return tuple(choice for choice in self.choices if isinstance(choice, Literal))

    def met_by(self, value: Value) -> bool:
        """Whether it may be one of the choices."""
        return any(RELATIONS["equals"].compare(value, fixed.value) is not FAILS for fixed in self.literals)

    @property
    def source(self) -> str:
        return f"{self.left.source} one of {', '.join(choice.source for choice in self.choices)}"

    def describe(self, telling: Telling) -> str:
        return f"{self.left.describe(telling)} is {self._listed(telling)}"

    def describe_opposite(self, telling: Telling) -> str:
        if len(self.choices) == 1:
            return f"{self.left.describe(telling)} is not {self.choices[0].describe(telling)}"
        return f"{self.left.describe(telling)} is neither {self._listed(telling).replace(' or ', ' nor ')}"

    def _listed(self, telling: Telling) -> str:
        return joined([choice.describe(telling) for choice in self.choices], "or")

    def reason(self, context: Context, units: Units) -> str:
        choices = ", ".join(choice.amount(context, units) for choice in self.choices)
        return f"{self.left.title(context)} is {self.left.amount(context, units)}, of {choices}"


@dataclass(frozen=True, slots=True)
class BeginsWith(FigureTest):
    """A word that begins with one of some texts."""

    left: Expression
    texts: tuple[str, ...]

    def decide(self, context: Context) -> Verdict:
        """Look at the first letters, capitals told apart."""
        left = self.left.work(context)
        if isinstance(left, Missing):
            return OPEN
        return HOLDS if str(left.low).startswith(self.texts) else FAILS

    @property
    def _quoted(self) -> str:
        return joined([f"“{text}”" for text in self.texts], "or")

    @property
    def source(self) -> str:
        return f"{self.left.source} begins_with {', '.join(self.texts)}"

    def describe(self, telling: Telling) -> str:
        return f"{self.left.describe(telling)} begins with {self._quoted}"

    def describe_opposite(self, telling: Telling) -> str:
        return f"{self.left.describe(telling)} does not begin with {self._quoted}"

    def reason(self, context: Context, units: Units) -> str:
        found = self.left.amount(context, units)
        return f"{self.left.title(context)} is {found}, wanted is one that begins with {self._quoted}"


@dataclass(frozen=True, slots=True)
class Near(FigureTest):
    """A figure that is within a tolerance of another."""

    left: Expression
    right: Expression
    tolerance: Expression

    def decide(self, context: Context) -> Verdict:
        worked = [part.work(context) for part in self.expressions]
        known = [part for part in worked if isinstance(part, Value)]
        if len(known) < len(worked):
            return OPEN
        left, right, tolerance = known
        least = max(0.0, number(left.low) - number(right.high), number(right.low) - number(left.high))
        most = max(abs(number(left.high) - number(right.low)), abs(number(left.low) - number(right.high)))
        return RELATIONS["at_most"].compare(Value(least, most), tolerance)

    @property
    def expressions(self) -> tuple[Expression, ...]:
        return self.left, self.right, self.tolerance

    @property
    def source(self) -> str:
        return f"{self.left.source} near {self.right.source}"

    def describe(self, telling: Telling) -> str:
        left, right, tolerance = (part.describe(telling) for part in self.expressions)
        return f"{left} differs from {right} by at most {tolerance}"

    def reason(self, context: Context, units: Units) -> str:
        found, wanted, within = (part.amount(context, units) for part in self.expressions)
        return f"{self.left.title(context)} is {found}, wanted is {wanted} within {within}"


@dataclass(frozen=True, slots=True)
class IsGiven(FigureTest):
    """Whether a figure is there at all; cannot be told where the entry that would hold it is itself lacking."""

    left: Expression
    wanted: bool

    def decide(self, context: Context) -> Verdict:
        found = self.left.work(context)
        if isinstance(found, Value):
            return HOLDS if self.wanted else FAILS
        if not found.is_absent:
            return OPEN
        return FAILS if self.wanted else HOLDS

    def positive(self, holds: bool) -> Clause:
        return (holds, self) if self.wanted else (not holds, IsGiven(self.left, wanted=True))

    @property
    def about(self) -> Expression | None:
        return self.left

    @property
    def source(self) -> str:
        return self.source_of(holds=True)

    def source_of(self, holds: bool) -> str:
        return f"{self.left.source} {'given' if self.wanted is holds else 'not given'}"

    def describe(self, telling: Telling) -> str:
        known = truth_words(self.left.names[0], telling.kind_of(self.left.names[0])) if self.left.names else None
        if known:
            return f"it is {'said' if self.wanted else 'not said'} whether {known[0]}"
        return f"{self.left.describe(telling)} is {'given' if self.wanted else 'not given'}"

    def reason(self, context: Context, units: Units) -> str:
        return f"{self.left.title(context)} is {'not ' if self.wanted else ''}given"

    def place(self, context: Context) -> Place | None:
        found = self.left.work(context)
        return found.needs[0].place if isinstance(found, Missing) and found.needs else None
