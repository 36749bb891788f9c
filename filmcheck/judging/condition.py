"""What every condition can do: decide, explain, tell its parts and figures, and put itself into words.

Walks over conditions (needs, mutants, contradictions, checks at loading) go over ``parts`` and ``expressions``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from filmcheck.figures.wording import Units
from filmcheck.judging.context import Context
from filmcheck.judging.expression import Asked, Expression, Literal
from filmcheck.judging.phrases import Telling
from filmcheck.judging.verdict import Outcome, Verdict
from filmcheck.records.place import Place
from filmcheck.records.value import Value

Clause = tuple[bool, "Condition"]
"""A test that joins no others, and whether it must hold."""

Branches = list[tuple[Clause, ...]]
"""Ways to meet a condition, each as the tests that must all come out so."""


class Condition:
    """One node of a rule."""

    __slots__ = ()

    # judging

    def decide(self, context: Context) -> Verdict:
        """Come to a verdict, as cheaply as can be."""
        raise NotImplementedError

    def explain(self, context: Context) -> Outcome:
        """Come to the same verdict with the evidence for it; asked only where the rule does not hold."""
        raise NotImplementedError

    # structure

    @property
    def parts(self) -> tuple[Condition, ...]:
        """The conditions that it is made of."""
        return ()

    def with_parts(self, parts: Sequence[Condition]) -> Condition:
        """Give the same condition made of other parts."""
        return self

    @property
    def steps_to(self) -> str:
        """The kind of thing that ``its.`` means in the parts; none where it means what it means here."""
        return ""

    @property
    def expressions(self) -> tuple[Expression, ...]:
        """What it compares."""
        return ()

    def asked(self, kind: str, outer: str = "") -> Iterator[Asked]:
        """Give the figures that it asks for, in their order; some more than once."""
        for expression in self.expressions:
            yield from expression.asked(kind, outer)
        within = (self.steps_to, kind) if self.steps_to else (kind, outer)
        for part in self.parts:
            yield from part.asked(*within)

    def every_node(self) -> Iterator[Condition]:
        """Give the condition and all below it."""
        yield self
        for part in self.parts:
            yield from part.every_node()

    def weaker(self) -> Iterator[tuple[str, Condition]]:
        """Give the condition without one of its demands, for each of them, with what was dropped."""
        return iter(())

    # whether a job can meet it

    def branches(self, holds: bool, most: int) -> Branches | None:
        """Give every way to meet the condition, or its opposite; None where there are more ways than ``most``."""
        return [(self.positive(holds),)]

    def positive(self, holds: bool) -> Clause:
        """Give the test without a negation of its own, and whether that must hold."""
        return holds, self

    @property
    def about(self) -> Expression | None:
        """The figure, where the test sets one figure against fixed words or amounts only."""
        return None

    @property
    def literals(self) -> tuple[Literal, ...]:
        """The fixed words and amounts that it is set against."""
        return ()

    def met_by(self, value: Value) -> bool:
        """Whether the test holds where its figure has this value."""
        return False

    # words

    @property
    def source(self) -> str:
        """The condition in one line, close to how a pack writes it."""
        return ""

    def source_of(self, holds: bool) -> str:
        """The condition or its opposite in one line."""
        return self.source if holds else f"not {self.source}"

    def describe(self, telling: Telling) -> str:
        """Write it in one sentence, without capital and full stop."""
        raise NotImplementedError

    def describe_opposite(self, telling: Telling) -> str:
        """Write that it must not hold."""
        return f"it is not so that {self.grouped(telling)}"

    def clauses(self, telling: Telling) -> tuple[str, ...]:
        """Write it as the clauses that must all hold."""
        return (self.describe(telling),)

    def grouped(self, telling: Telling) -> str:
        """Describe it, in brackets where it is joined itself, so that the reader sees what belongs together."""
        return self.describe(telling)

    def reason(self, context: Context, units: Units) -> str:
        """Say on a job why it came out as it did, with the numbers."""
        return ""

    def place(self, context: Context) -> Place | None:
        """Give where the test points when no datum of the job sheet stands behind it."""
        return None
