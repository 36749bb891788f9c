"""Ordinary arithmetic on figures: what a rule may work out, with every dimension checked when the pack is loaded.

Names are figures (``web.width``), fields of the thing at hand (``its.setting``), or limits (``limit.lamp_share``).
A quantity stands in brackets (``[12 mm]``); ``20 % of press.speed`` is a share. Nothing here runs code.
"""

from __future__ import annotations

import operator
from collections.abc import Callable
from functools import lru_cache
from typing import NamedTuple

from filmcheck.figures.scopes import kinds_in
from filmcheck.judging.limit import Limit
from filmcheck.judging.scene import Scene
from filmcheck.records.finding import Related
from filmcheck.records.place import Place
from filmcheck.records.value import Figured, Missing, Need, Source, Value, assumed, ends_over, exact, lacking, number
from filmcheck.units.quantity import Quantity
from filmcheck.units.quantity import exponents as exponents_of

Exponents = tuple[int, ...]
PURE: Exponents = (0, 0, 0, 0, 0)
TIME: Exponents = (0, 0, 1, 0, 0)
DAY = 86400.0


class Sort(NamedTuple):
    """What an expression gives: an amount with exponents, or a word, date or truth value."""

    name: str
    exponents: Exponents | None

    @property
    def is_amount(self) -> bool:
        """Whether it can be reckoned with."""
        return self.exponents is not None


def sort_of(dimension: str) -> Sort:
    """Give the sort of a figure of this dimension."""
    if dimension == "number":
        return Sort("count", PURE)
    if dimension in ("word", "date", "truth"):
        return Sort(dimension, None)
    return Sort(dimension, tuple(exponents_of(dimension)))


class Name(NamedTuple):
    """A figure."""

    name: str
    sort: Sort

    def work(self, scene: Scene) -> Figured:
        """Ask for the figure."""
        return scene.ask(self.name)

    @property
    def names(self) -> tuple[str, ...]:
        """The figures asked for."""
        return (self.name,)


class Literal(NamedTuple):
    """A quantity, number or word as written."""

    value: Value
    sort: Sort
    text: str

    def work(self, scene: Scene) -> Figured:
        """Give what was written."""
        return self.value

    @property
    def names(self) -> tuple[str, ...]:
        """No figures."""
        return ()


class LimitName(NamedTuple):
    """A limit, by its name."""

    name: str
    sort: Sort

    def work(self, scene: Scene) -> Figured:
        """Give the limit's value; from its table where it has one."""
        limit = scene.limits[self.name]
        return self.of(limit, scene.ask(limit.by) if limit.by else None)

    def of(self, limit: Limit, word: Figured | None) -> Figured:
        """Give the limit's value for the word that its table goes by."""
        quantity = limit.value
        if word is not None:
            if isinstance(word, Missing):
                return word
            quantity = limit.table.get(str(word.low), quantity)
            if quantity is None:
                says = f"limit {self.name} has no value for {limit.by} {word.low}"
                return Missing((Need(f"limit {self.name}", says, limit.place),))
        if quantity is None:
            return Missing(())
        return _limit_value(self.name, quantity, limit.place)

    @property
    def names(self) -> tuple[str, ...]:
        """No figures."""
        return ()


class Binary(NamedTuple):
    """Two expressions joined by + − × ÷."""

    sign: str
    left: Expression
    right: Expression
    sort: Sort

    def work(self, scene: Scene) -> Figured:
        """Reckon with both ends of each side."""
        return self.of(self.left.work(scene), self.right.work(scene))

    def of(self, left: Figured, right: Figured) -> Figured:
        """Join what the two sides came to."""
        if isinstance(left, Missing) or isinstance(right, Missing):
            return Missing(lacking(left, right))
        if self.sort == Sort("time", TIME) and self.left.sort.name == "date":
            return exact((number(left.low) - number(right.low)) * DAY)
        return _reckon(_SIGNS[self.sign], left, right)

    @property
    def names(self) -> tuple[str, ...]:
        """The figures of both sides."""
        return (*self.left.names, *self.right.names)


class Call(NamedTuple):
    """The least or greatest of some expressions, or the size of one."""

    function: str
    inner: tuple[Expression, ...]
    sort: Sort

    def work(self, scene: Scene) -> Figured:
        """Work out what is within, then choose."""
        values = [part.work(scene) for part in self.inner]
        needs = lacking(*values)
        if needs:
            return Missing(needs)
        known = [value for value in values if isinstance(value, Value)]
        if self.function == "size":
            ends = sorted(abs(number(end)) for end in (known[0].low, known[0].high))
            crosses = number(known[0].low) < 0 < number(known[0].high)
            return Value(0.0 if crosses else ends[0], ends[1], None, known[0].assumes)
        return _chosen(self.function, known)

    @property
    def names(self) -> tuple[str, ...]:
        """The figures within."""
        return tuple(name for part in self.inner for name in part.names)


class Over(NamedTuple):
    """A count of things, or the sum, least or greatest of one field over all things of a kind."""

    function: str
    kind: str
    field: Expression | None
    sort: Sort

    def work(self, scene: Scene) -> Figured:
        """Gather over the things of the kind."""
        lack = scene.figures.lack(self.kind)
        if lack is not None:
            return lack
        things = [thing for kind in kinds_in(self.kind) for thing in scene.figures.things(kind)]
        if self.field is None:
            return exact(len(things))
        values = [self.field.work(scene.at(thing)) for thing in things]
        needs = lacking(*values)
        if needs:
            return Missing(needs)
        known = [value for value in values if isinstance(value, Value)]
        if self.function == "sum":
            ends = sum(number(v.low) for v in known), sum(number(v.high) for v in known)
            return Value(*ends, None, assumed(known))
        if not known:
            return Missing((Need(self.kind, f"the job has no {self.kind}"),))
        return _chosen(self.function, known)

    @property
    def names(self) -> tuple[str, ...]:
        """Fields of the things gathered belong to no one thing at hand."""
        return ()


Expression = Name | Literal | LimitName | Binary | Call | Over

_SIGNS: dict[str, Callable[[float, float], float]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "/": operator.truediv,
}


def _reckon(work: Callable[[float, float], float], left: Value, right: Value) -> Figured:
    try:
        if left.low == left.high and right.low == right.high:
            result = work(number(left.low), number(right.low))
            return Value(result, result, None, assumed([left, right]))
        low, high = ends_over(lambda a, b: work(number(a), number(b)), (left, right))
    except (ZeroDivisionError, OverflowError):
        return Missing((Need("arithmetic", "the arithmetic divides by zero on this job"),))
    if work is operator.truediv and number(right.low) < 0 < number(right.high):
        return Missing((Need("arithmetic", "the arithmetic divides by a range that holds zero"),))
    return Value(low, high, None, assumed([left, right]))


def _chosen(function: str, values: list[Value]) -> Value:
    pick = min if function == "least" else max
    ends = pick(number(value.low) for value in values), pick(number(value.high) for value in values)
    return Value(*ends, None, assumed(values))


@lru_cache(maxsize=4096)
def _limit_value(name: str, quantity: Quantity, place: Place) -> Value:
    return Value(quantity.low, quantity.high, Source(f"limit {name}", Related(place, quantity.text)))


def literal(quantity: Quantity) -> Literal:
    """Make an expression of a quantity."""
    return Literal(Value(quantity.low, quantity.high), sort_of(quantity.dimension), quantity.text)
