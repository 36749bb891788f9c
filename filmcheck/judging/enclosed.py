"""Comparisons of figures that are dear to work out, decided by their bounds where these tell enough."""

from __future__ import annotations

from dataclasses import dataclass

from filmcheck.figures.lookups import is_enclosed
from filmcheck.judging.comparison import Compared
from filmcheck.judging.context import Context
from filmcheck.judging.expression import Expression, Name
from filmcheck.judging.relations import RELATIONS
from filmcheck.judging.verdict import REVIEW, Verdict
from filmcheck.records.value import Value


@dataclass(frozen=True, slots=True)
class ComparedByBounds(Compared):
    """A comparison whose left side has bounds. What they decide, the figure itself would decide alike."""

    left: Name

    def decide(self, context: Context) -> Verdict:
        """Compare the bounds, and the figure itself only where they leave the verdict open."""
        bounds = context.figures.bounds(self.left.name, context.item)
        right = self.right.work(context) if bounds is not None else None
        if bounds is not None and isinstance(right, Value):
            verdict = RELATIONS[self.relation].compare(bounds, right)
            if verdict is not REVIEW:
                return verdict
        return Compared.decide(self, context)


def compared(left: Expression, relation: str, right: Expression) -> Compared:
    """Make the comparison of two expressions."""
    if isinstance(left, Name) and is_enclosed(left.name):
        return ComparedByBounds(left, relation, right)
    return Compared(left, relation, right)
