"""What a rule may work out: figures (``web.width``, ``its.setting``), quantities, and limits (``limit.lamp_share``).

Every expression is one node that works itself out on a job and puts itself into words. Dimensions are checked when
the pack is loaded; nothing here runs code. Sums and products are in ``arithmetic``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from filmcheck.figures.plain_names import kind_words, plain_name
from filmcheck.figures.wording import Units, amount_text, both_units, bounded, spoken_name
from filmcheck.judging.context import Context
from filmcheck.judging.phrases import Telling, limit_value
from filmcheck.judging.wording import place_in
from filmcheck.records.place import Place
from filmcheck.records.value import Figured, Missing, Need, Value
from filmcheck.units.quantity import Quantity
from filmcheck.units.quantity import exponents as exponents_of

Exponents = tuple[int, ...]
PURE: Exponents = (0, 0, 0, 0, 0)
TIME: Exponents = (0, 0, 1, 0, 0)

Asked = tuple[str, str]
"""Name of a figure, and the kind of thing that its ``its.`` or ``that.`` belongs to; none for a figure of the job."""


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


class Expression:
    """A node of arithmetic: what it comes to on a job, what it is made of, and its words."""

    __slots__ = ()
    sort: Sort
    is_declared = False
    """Whether its dimension was declared, and not found by multiplying."""
    tightness = 3
    """How tightly it binds its parts: 1 a sum, 2 a product, 3 what needs no brackets."""

    def work(self, context: Context) -> Figured:
        """Work it out on a job."""
        raise NotImplementedError

    @property
    def parts(self) -> tuple[Expression, ...]:
        """The expressions that it is made of."""
        return ()

    @property
    def names(self) -> tuple[str, ...]:
        """The figures that it asks for where it stands, each once."""
        return tuple(dict.fromkeys(name for part in self.parts for name in part.names))

    @property
    def limit_names(self) -> tuple[str, ...]:
        """The limits that it cites, each once."""
        return tuple(dict.fromkeys(name for part in self.parts for name in part.limit_names))

    @property
    def own_figures(self) -> tuple[OwnFigure, ...]:
        """The figures of a pack that it is worked out from, the innermost first, each once."""
        return tuple(dict.fromkeys(own for part in self.parts for own in part.own_figures))

    @property
    def size(self) -> int:
        """How many nodes it comes to when all that it is worked out from is written out."""
        return 1 + sum(part.size for part in self.parts)

    def asked(self, kind: str, outer: str) -> Iterator[Asked]:
        """Give the figures that it asks for, those of the things it gathers over included."""
        for part in self.parts:
            yield from part.asked(kind, outer)

    @property
    def source(self) -> str:
        """The expression as a pack writes it, in one line."""
        raise NotImplementedError

    def describe(self, telling: Telling) -> str:
        """Write it in plain words, without a job."""
        raise NotImplementedError

    def title(self, context: Context) -> str:
        """Name it on a job, without its amount."""
        raise NotImplementedError

    def amount(self, context: Context, units: Units) -> str:
        """Write what it comes to on a job."""
        return amount_text(self.work(context), self.sort.name, units)

    def with_numbers(self, context: Context, units: Units) -> str:
        """Write the arithmetic with the numbers of a job in place of the names."""
        return self.amount(context, units)

    def filled(self, context: Context, units: Units, unit: str = "", bound: str = "") -> str:
        """Write what it comes to within a rule's text. A bound rounds towards its safe side."""
        value = self.work(context)
        if bound and isinstance(value, Value):
            return bounded(value, self.sort.name, unit, bound)
        if unit or isinstance(value, Missing):
            return amount_text(value, self.sort.name, units, unit)
        if value.source is not None and self.is_declared:
            return value.source.text
        if self.sort.name == "line tension":
            first, second = both_units(value, "line tension", units).split(" = ")
            return f"{first} ({second})"
        return amount_text(value, self.sort.name, units)

    def bracketed(self, telling: Telling) -> str:
        """Describe it, in brackets where it is arithmetic."""
        return f"({self.describe(telling)})" if self.tightness < 3 else self.describe(telling)


@dataclass(frozen=True, slots=True)
class Name(Expression):
    """A figure."""

    name: str
    sort: Sort
    is_declared = True

    def work(self, context: Context) -> Figured:
        """Ask for the figure. Most are known already: those are taken in one step."""
        name, figures, item = self.name, context[0], context[2]  # to unpack it all takes longer
        head = name[:4]
        if head == "that":
            head, name, item = "its.", f"its.{name[5:]}", context[3]
        key = (name, item) if head == "its." else name
        found = figures.known.get(key)
        return figures.work_out(key, name, item) if found is None else found

    @property
    def names(self) -> tuple[str, ...]:
        return (self.name,)

    def asked(self, kind: str, outer: str) -> Iterator[Asked]:
        """Give the figure with the kind of thing that it belongs to."""
        yield self.name, Telling({}, kind, outer).kind_of(self.name)

    @property
    def source(self) -> str:
        return self.name

    def describe(self, telling: Telling) -> str:
        owner = f"the {kind_words(telling.outer).partition(' (')[0]} at hand" if self.name[:5] == "that." else ""
        name = plain_name(self.name, telling.kind_of(self.name), owner)
        return name if name.startswith("its ") else f"the {name}"

    def title(self, context: Context) -> str:
        return spoken_name(*place_in(context, self.name))


@dataclass(frozen=True, slots=True)
class Literal(Expression):
    """A quantity, number or word as written."""

    value: Value
    sort: Sort
    text: str
    is_declared = True

    def work(self, context: Context) -> Figured:
        return self.value

    @property
    def source(self) -> str:
        return self.text

    def describe(self, telling: Telling) -> str:
        return self.text

    def title(self, context: Context) -> str:
        return self.text

    def amount(self, context: Context, units: Units) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class LimitName(Expression):
    """A limit, by its name."""

    name: str
    sort: Sort
    is_declared = True

    def work(self, context: Context) -> Figured:
        """Give the limit's value; from its table where it has one."""
        limit = context.limits[self.name]
        if not limit.by:
            return limit.plain_figure
        word = context.ask(limit.by)
        if isinstance(word, Missing):
            return word
        found = limit.figures.get(str(word.low), limit.plain_figure)
        if isinstance(found, Missing):
            says = f"limit {self.name} has no value for {limit.by} {word.low}"
            return Missing((Need(f"limit {self.name}", says, limit.place),))
        return found

    @property
    def limit_names(self) -> tuple[str, ...]:
        return (self.name,)

    @property
    def source(self) -> str:
        return f"limit.{self.name}"

    def describe(self, telling: Telling) -> str:
        return f"the limit “{self.name.replace('_', ' ')}” ({limit_value(telling.limits[self.name])})"

    def title(self, context: Context) -> str:
        return f"limit {self.name.replace('_', ' ')}"


@dataclass(frozen=True, slots=True)
class OwnFigure(Expression):
    """A figure that a pack defines. It is worked out once a job, however often rules and other figures use it."""

    name: str
    place: Place
    sort: Sort
    formula: Expression = field(compare=False)
    meaning: str = field(default="", compare=False)

    @property
    def tightness(self) -> int:  # type: ignore[override]  # its words are those of its formula
        """That of its formula."""
        return self.formula.tightness

    def work(self, context: Context) -> Figured:
        """Work the formula out, once a job."""
        return context.figures.once(f"{self.name} of {self.place}", lambda _: self.formula.work(context))

    @property
    def parts(self) -> tuple[Expression, ...]:
        return (self.formula,)

    @property
    def own_figures(self) -> tuple[OwnFigure, ...]:
        return (*self.formula.own_figures, self)

    @property
    def size(self) -> int:
        return self.formula.size

    def working(self, context: Context, units: Units) -> str:
        """Write how it was worked out on a job, ``86.2 kg + 2.5 kg = 88.7 kg``; empty where nothing is reckoned."""
        value = self.work(context)
        if isinstance(value, Missing) or not self.formula.parts:
            return ""
        return f"{self.formula.with_numbers(context, units)} = {both_units(value, self.sort.name, units)}"

    @property
    def source(self) -> str:
        return self.name

    def describe(self, telling: Telling) -> str:
        return self.formula.describe(telling)

    def title(self, context: Context) -> str:
        return self.name.replace(".", " ").replace("_", " ")


def literal(quantity: Quantity) -> Literal:
    """Make an expression of a quantity."""
    return Literal(Value(quantity.low, quantity.high), sort_of(quantity.dimension), quantity.text)
