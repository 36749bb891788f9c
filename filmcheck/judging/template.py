"""Texts of rules with figures in braces: ``{unwind.line_tension}``, ``{limit.x * web.width in N}``.

``{… in N, at most}`` rounds down and ``at least`` rounds up, so that who sets what is advised is inside the limit.
What stands in double brackets, ``[[ … ]]``, is left out where one of its figures is not known.

A figure that was worked out is told in the unit of what is written beside it, so that nobody has to convert: "takes
6500 ft, and what is planned holds 4895 ft". Where nothing is, it is told in the unit of the data that the text rests
on, unless some of these are written in the rule's own. What the plant prefers for a dimension comes first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import log10
from typing import NamedTuple

from filmcheck.figures.wording import Units, sources
from filmcheck.judging.context import Context
from filmcheck.judging.expression import Expression
from filmcheck.judging.wording import place_in
from filmcheck.plant.record import Datum
from filmcheck.records.value import Figured, Missing, Source, Value, number
from filmcheck.units.quantity import DIMENSIONS, Quantity, factor

SPECIAL = ("it", "reason")
"""Fields that are no figures: the thing at hand, and the evaluator's own words for the verdict."""


BOUNDS = ("at most", "at least")
"""Words behind a unit that say which way to round."""


class Part(NamedTuple):
    """A piece of text, or a field to fill. Parts with a ``group`` stand together, and only where all are known."""

    text: str
    expression: Expression | None = None
    unit: str = ""
    special: str = ""
    group: int = 0
    bound: str = ""


Template = tuple[Part, ...]

LIKE = 100
"""How many times larger or smaller a size may be than what is written beside it and still be told in its unit."""


_OF_GEARS = (".pitch", ".module")


class Cited(NamedTuple):
    """A quantity that a text cites as it is written: of which dimension, its size in SI, and its unit."""

    dimension: str
    size: float
    unit: str


def fill(template: Template, context: Context, units: Units, reason: str = "") -> str:
    """Fill the fields on a job."""
    texts = []
    unknown = {part.group for part in template if part.group and _unknown(part, context)}
    cited = tuple(_cited(template, context))
    beneath = tuple(_beneath(template, context, units))
    for part in template:
        if part.group in unknown:
            continue
        if part.special == "it":
            texts.append(context.item.label if context.item else "")
        elif part.special == "reason":
            texts.append(reason)
        elif part.expression is not None:
            unit = _unit(part, part.expression, context, units, cited, beneath)
            texts.append(part.expression.filled(context, units, unit, part.bound))
        else:
            texts.append(part.text)
    return "".join(texts)


def _cited(template: Template, context: Context) -> Iterator[Cited]:
    for part in template:
        if part.expression is None or part.unit or not part.expression.is_declared:
            continue
        yield from _of_value(part.expression.work(context))


def _of_value(value: Figured) -> Iterator[Cited]:
    if isinstance(value, Value) and value.source is not None:
        yield from _written(value.source)


def _written(source: Source) -> Iterator[Cited]:
    content = source.written.content if isinstance(source.written, Datum) else None
    if isinstance(content, Quantity):
        yield Cited(content.dimension, content.high, content.unit)


def _beneath(template: Template, context: Context, units: Units) -> Iterator[Cited]:
    """Give what is written of all that a text tells in units of the rule. Gears go by the inch in metric plants too."""
    names = {
        name
        for part in template
        if part.unit and part.expression is not None and part.expression.sort.name not in {*units, "line tension"}
        for name in part.expression.names
    }
    found = (source for name in sorted(names) for source in sources(context.figures, *place_in(context, name)))
    for source in {source.place: source for source in found}.values():
        if not source.name.endswith(_OF_GEARS):
            yield from _written(source)


def _unit(
    part: Part,
    expression: Expression,
    context: Context,
    units: Units,
    cited: Sequence[Cited],
    beneath: Sequence[Cited],
) -> str:
    """Give the unit of the written quantity that is nearest in size, else the unit that the rule asks for.

    What is written keeps its own unit, what the plant prefers stays, and so does a unit that differs by tens alone.
    """
    value, dimension = expression.work(context), expression.sort.name
    if isinstance(value, Missing) or dimension in {*units, "line tension"}:
        return part.unit
    given = tuple(_of_value(value))
    beside = _near(value, dimension, () if given else cited)
    if beside:
        plain = _by_tens(beside[0], part.unit or DIMENSIONS[dimension].unit, dimension)
        return part.unit if plain else beside[0]
    near = _near(value, dimension, beneath)
    asked_for = not part.unit or any(one in cited for one in given)
    if asked_for or not near or any(_by_tens(unit, part.unit, dimension) for unit in near):
        return part.unit
    return near[0]


def _near(value: Value, dimension: str, written: Sequence[Cited]) -> list[str]:
    """Give the units of what is written that is of like size, the nearest first."""
    apart = [(_apart(one.size, number(value.high)), one.unit) for one in written if one.dimension == dimension]
    return [unit for far, unit in sorted(apart) if far < LIKE]


def _by_tens(one: str, other: str, dimension: str) -> bool:
    """Whether two units differ by a power of ten."""
    tens = log10(factor(one, dimension) / factor(other, dimension))
    return abs(tens - round(tens)) < 1e-9


def _apart(one: float, other: float) -> float:
    """How many times larger one size is than another; without end where a sign or a nought stands between."""
    return max(one / other, other / one) if one * other > 0 else float("inf")


def fields(template: Template) -> tuple[Expression, ...]:
    """Give the expressions of a text."""
    return tuple(part.expression for part in template if part.expression is not None)


def complete(template: Template, context: Context) -> bool:
    """Whether every field that must be filled can be on this job."""
    return not any(_unknown(part, context) for part in template if not part.group)


def _unknown(part: Part, context: Context) -> bool:
    return part.expression is not None and isinstance(part.expression.work(context), Missing)
