"""Sums, products, choices and gatherings: expressions made of others, reckoned with both ends of every range."""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from filmcheck.figures.plain_names import kind_words
from filmcheck.figures.scopes import kinds_in
from filmcheck.figures.wording import Units
from filmcheck.judging.context import Context
from filmcheck.judging.expression import TIME, Asked, Expression, Literal, Sort
from filmcheck.judging.phrases import Telling, joined, plural
from filmcheck.records.value import Figured, Missing, Need, Value, assumed, ends_over, exact, lacking, number

DAY = 86400.0

_RECKON: dict[str, Callable[[float, float], float]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "/": operator.truediv,
}
_IN_REFERENCE = {"+": "+", "-": "−", "*": "×", "/": "/"}
_IN_REASON = {"+": "+", "-": "−", "*": "×", "/": "÷"}
_CHOICES = {"size": "the size of", "least": "the lesser of", "greatest": "the greater of"}
_GATHERED = {"sum": "the sum of", "least": "the least of", "greatest": "the greatest of"}


@dataclass(frozen=True, slots=True)
class Binary(Expression):
    """Two expressions joined by + − × ÷."""

    sign: str
    left: Expression
    right: Expression
    sort: Sort

    @property
    def tightness(self) -> int:  # type: ignore[override]  # it depends on the sign
        """1 for a sum, 2 for a product."""
        return 1 if self.sign in "+-" else 2

    def work(self, context: Context) -> Figured:
        left, right = self.left.work(context), self.right.work(context)
        if isinstance(left, Missing) or isinstance(right, Missing):
            return Missing(lacking(left, right))
        if self._is_age:
            return exact((number(left.low) - number(right.low)) * DAY)
        return _reckon(_RECKON[self.sign], left, right)

    @property
    def _is_age(self) -> bool:
        return self.left.sort.name == "date" and self.sort.name == "time" and self.sort.exponents == TIME

    @property
    def parts(self) -> tuple[Expression, ...]:
        return self.left, self.right

    @property
    def source(self) -> str:
        """Both sides, in brackets where the order of reckoning needs them."""
        return self._joined(self.left.source, self.right.source, self.sign)

    def describe(self, telling: Telling) -> str:
        """Write it with its signs, in brackets where they are needed; the difference of two dates as a time."""
        left, right = self.left, self.right
        if self._is_age:
            return f"the time from {right.describe(telling)} to {left.describe(telling)}"
        if isinstance(left, Literal) and left.text.endswith(" of"):
            return f"{left.text} {right.bracketed(telling)}"
        return self._joined(left.describe(telling), right.describe(telling), _IN_REFERENCE[self.sign])

    def with_numbers(self, context: Context, units: Units) -> str:
        if self._is_age:
            return self.amount(context, units)
        left, right = (part.with_numbers(context, units) for part in self.parts)
        return f"{left} {right}" if left.endswith(" of") else self._joined(left, right, _IN_REFERENCE[self.sign])

    def _joined(self, left: str, right: str, sign: str) -> str:
        """Join the texts of both sides by the sign, with the brackets that the order of reckoning needs."""
        before = f"({left})" if self.left.tightness < self.tightness else left
        loose = self.right.tightness < self.tightness + (self.sign in "-/")
        return f"{before} {sign} {f'({right})' if loose else right}"

    def title(self, context: Context) -> str:
        return f"{self.left.title(context)} {_IN_REASON[self.sign]} {self.right.title(context)}"


@dataclass(frozen=True, slots=True)
class Call(Expression):
    """The least or greatest of some expressions, or the size of one."""

    function: str
    parts: tuple[Expression, ...] = field()
    sort: Sort

    def work(self, context: Context) -> Figured:
        values = [part.work(context) for part in self.parts]
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
    def source(self) -> str:
        return f"{self.function}({', '.join(part.source for part in self.parts)})"

    def with_numbers(self, context: Context, units: Units) -> str:
        return f"{self.function} of {', '.join(part.with_numbers(context, units) for part in self.parts)}"

    def describe(self, telling: Telling) -> str:
        return f"{_CHOICES[self.function]} {joined([part.bracketed(telling) for part in self.parts], 'and')}"

    def title(self, context: Context) -> str:
        return f"{self.function} of {', '.join(part.title(context) for part in self.parts)}"


@dataclass(frozen=True, slots=True)
class FirstOf(Expression):
    """The first of some expressions that the job has the data for; what is at fault is no reason to take the next."""

    parts: tuple[Expression, ...] = field()
    sort: Sort

    def work(self, context: Context) -> Figured:
        worked: list[Figured] = []
        for part in self.parts:
            figure = part.work(context)
            if isinstance(figure, Value) or not figure.is_absent:
                return figure
            worked.append(figure)
        return Missing(lacking(*worked[:1]))

    @property
    def source(self) -> str:
        return f"first_of({', '.join(part.source for part in self.parts)})"

    def describe(self, telling: Telling) -> str:
        return ", or where that is not known ".join(part.bracketed(telling) for part in self.parts)

    def title(self, context: Context) -> str:
        """Name the one that is taken; the first where none is."""
        return self._taken(context).title(context)

    def with_numbers(self, context: Context, units: Units) -> str:
        return self._taken(context).with_numbers(context, units)

    def _taken(self, context: Context) -> Expression:
        return next((part for part in self.parts if isinstance(part.work(context), Value)), self.parts[0])


@dataclass(frozen=True, slots=True)
class Over(Expression):
    """A count of things, or the sum, least or greatest of one field over all things of a kind."""

    function: str
    kind: str
    field: Expression | None
    sort: Sort

    def work(self, context: Context) -> Figured:
        lack = context.figures.lack(self.kind)
        if lack is not None:
            return lack
        things = [thing for kind in kinds_in(self.kind) for thing in context.figures.things(kind)]
        if self.field is None:
            return exact(len(things))
        values = [self.field.work(context.at(thing)) for thing in things]
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
    def size(self) -> int:
        return 2

    def asked(self, kind: str, outer: str) -> Iterator[Asked]:
        """Give the field that is gathered, of its own kind of thing."""
        if self.field is not None:
            yield from self.field.asked(self.kind, kind)

    @property
    def source(self) -> str:
        field = f".{self.field.source}" if self.field is not None else ""
        return f"{self.function}({self.kind}{field.replace('.its', '')})"

    def describe(self, telling: Telling) -> str:
        noun = kind_words(self.kind)
        if self.field is None:
            return f"the number of {plural(noun)}"
        field = self.field.describe(telling.inside(self.kind))
        return f"{_GATHERED[self.function]} {field.removeprefix('its ')} over every {noun}"

    def title(self, context: Context) -> str:
        if self.field is None:
            return f"number of {self.kind}s"
        field = self.field.names[0].partition(".")[2].replace("_", " ").replace(".", " ")
        return f"{self.function} of {field} over each {self.kind}"


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
