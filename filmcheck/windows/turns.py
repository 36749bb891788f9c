"""The values at which a rule that allows this or that turns: between two of them may lie a gap."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from filmcheck.judging.comparison import Compared
from filmcheck.judging.condition import Condition
from filmcheck.judging.context import Context
from filmcheck.judging.joined import EitherHolds, Opposite, WhenThen
from filmcheck.judging.judge import asked_of
from filmcheck.judging.rule import Rule
from filmcheck.records.value import Value
from filmcheck.units.quantity import convert
from filmcheck.windows.set_points import SetPoint

FORKS = EitherHolds, WhenThen, Opposite


def turns(point: SetPoint, rules: Iterable[Rule], base: Context) -> Iterator[float]:
    """Give the values, in the unit of the set-point, with which rules compare it within a choice."""
    for rule in rules if point.unit else ():
        tests = list(_forked(rule.requires)) if rule.requires is not None else []
        for here in asked_of(rule, base) if tests else ():
            for own, bound in ((test.left.work(here), test.right.work(here)) for test in tests):
                is_own = isinstance(own, Value) and own.source is not None and own.source.written is point.datum
                if is_own and isinstance(bound, Value) and isinstance(bound.low, float):
                    yield convert(bound.low, point.unit, point.dimension)


def _forked(node: Condition, within: bool = False) -> Iterator[Compared]:
    """Give the comparisons that stand within a choice and ask of the same thing as the whole."""
    within = within or isinstance(node, FORKS)
    if within and isinstance(node, Compared):
        yield node
    for part in node.parts if not node.steps_to else ():
        yield from _forked(part, within)
