"""The figures that house packs define, as lines beside those of the catalogue."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from filmcheck.figures.figure_lines import amount_of, figures_among, inputs_among, told_needs, uncarried
from filmcheck.figures.wording import Units
from filmcheck.judging.context import Context
from filmcheck.judging.expression import Expression, LimitName, Name, OwnFigure
from filmcheck.judging.rule import Rule
from filmcheck.records.figure_line import FigureLine
from filmcheck.records.finding import Related
from filmcheck.records.value import Missing
from filmcheck.units.quantity import DIMENSIONS


def own_figure_lines(rules: Iterable[Rule], context: Context, units: Units, part: str = "") -> tuple[FigureLine, ...]:
    """Work out the figures of packs that some rule uses, each once; with a ``part`` those with it in their name."""
    found = {(own.name, own.place): own for rule in rules for own in _own_figures(rule)}
    listed = [own for own in found.values() if part.casefold() in own.name.casefold()]
    return tuple(_line(own, context, units) for own in listed)


def _own_figures(rule: Rule) -> Iterator[OwnFigure]:
    nodes = [node for condition in rule.conditions for node in condition.every_node()]
    expressions: list[Expression] = [expression for node in nodes for expression in node.expressions]
    expressions += [part.expression for part in (*rule.says, *rule.instead) if part.expression is not None]
    for expression in expressions:
        yield from expression.own_figures


def _line(own: OwnFigure, context: Context, units: Units) -> FigureLine:
    value = own.work(context)
    known = not isinstance(value, Missing)
    dimension = own.sort.name
    operands = tuple(_operands(own.formula))
    used = uncarried(context.figures, [one.name for one in operands if isinstance(one, Name)], None) if known else []
    limits = [
        Related(context.limits[one.name].place, f"limit {one.name}") for one in operands if isinstance(one, LimitName)
    ]
    return FigureLine(
        name=own.name,
        of="",
        dimension=dimension,
        unit=DIMENSIONS[dimension].unit if dimension in DIMENSIONS else "",
        meaning=own.meaning,
        formula=own.formula.source,
        source=f"house pack, {own.place}",
        amount=amount_of(value, dimension, units),
        arithmetic=own.working(context, units),
        inputs=(*inputs_among(context.figures, used), *limits) if known else (),
        rests_on=(
            *figures_among(context.figures, used),
            *dict.fromkeys(one.name for one in operands if isinstance(one, OwnFigure)),
        ),
        assumes=() if isinstance(value, Missing) else value.assumes,
        missing=told_needs(value),
    )


def _operands(expression: Expression) -> Iterator[Expression]:
    """Give what an expression is worked out of; a figure of the pack as itself, not by what it comes from."""
    if isinstance(expression, OwnFigure) or not expression.parts:
        yield expression
    else:
        for part in expression.parts:
            yield from _operands(part)
