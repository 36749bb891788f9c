"""Texts of rules with figures in braces: ``{unwind.line_tension}``, ``{limit.x * web.width in N}``.

``{… in N, at most}`` rounds down and ``at least`` rounds up, so that who sets what is advised is inside the limit.
What stands in double brackets, ``[[ … ]]``, is left out where one of its figures is not known.

A figure that was worked out is told in the unit of what is written beside it, so that nobody has to convert: "takes
6500 ft, and what is planned holds 4895 ft". Where nothing is, it is told in the unit of the data that the text rests
on, unless some of these are written in the rule's own. What the plant prefers for a dimension comes first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from filmcheck.figures.own_unit import Cited, beneath, by_tens, cited, near, unit_of
from filmcheck.figures.wording import Units, sources
from filmcheck.judging.context import Context
from filmcheck.judging.expression import Expression
from filmcheck.judging.wording import place_in
from filmcheck.records.value import Missing
from filmcheck.units.quantity import DIMENSIONS

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


def fill(template: Template, context: Context, units: Units, reason: str = "") -> str:
    """Fill the fields on a job."""
    texts = []
    unknown = {part.group for part in template if part.group and _unknown(part, context)}
    beside = tuple(_beside(template, context))
    below = tuple(_below(template, context, units))
    for part in template:
        if part.group in unknown:
            continue
        if part.special == "it":
            texts.append(context.item.label if context.item else "")
        elif part.special == "reason":
            texts.append(reason)
        elif part.expression is not None:
            unit = _unit(part, part.expression, context, units, beside, below)
            texts.append(part.expression.filled(context, units, unit, part.bound))
        else:
            texts.append(part.text)
    return "".join(texts)


def _beside(template: Template, context: Context) -> Iterator[Cited]:
    for part in template:
        if part.expression is None or part.unit or not part.expression.is_declared:
            continue
        yield from cited(part.expression.work(context))


def _below(template: Template, context: Context, units: Units) -> Iterator[Cited]:
    """Give what is written of all that a text tells in units of the rule."""
    names = {
        name
        for part in template
        if part.unit and part.expression is not None and part.expression.sort.name not in {*units, "line tension"}
        for name in part.expression.names
    }
    return beneath(source for name in sorted(names) for source in sources(context.figures, *place_in(context, name)))


def _unit(
    part: Part,
    expression: Expression,
    context: Context,
    units: Units,
    beside: Sequence[Cited],
    below: Sequence[Cited],
) -> str:
    """Give the unit of the written quantity that is nearest in size, else the unit that the rule asks for.

    What is written keeps its own unit, what the plant prefers stays, and so does a unit that differs by tens alone.
    """
    value, dimension = expression.work(context), expression.sort.name
    if isinstance(value, Missing) or dimension in {*units, "line tension"}:
        return part.unit
    given = tuple(cited(value))
    told = near(value, dimension, () if given else beside)
    if told:
        plain = by_tens(told[0], part.unit or DIMENSIONS[dimension].unit, dimension)
        return part.unit if plain else told[0]
    asked_for = not part.unit or any(one in beside for one in given)
    return part.unit if asked_for else unit_of(value, dimension, below, part.unit)


def fields(template: Template) -> tuple[Expression, ...]:
    """Give the expressions of a text."""
    return tuple(part.expression for part in template if part.expression is not None)


def complete(template: Template, context: Context) -> bool:
    """Whether every field that must be filled can be on this job."""
    return not any(_unknown(part, context) for part in template if not part.group)


def _unknown(part: Part, context: Context) -> bool:
    return part.expression is not None and isinstance(part.expression.work(context), Missing)
