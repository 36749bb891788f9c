"""The figures that house packs define, as lines beside those of the catalogue."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from filmcheck.figures.figure_lines import amount_of, told_needs
from filmcheck.figures.wording import Units
from filmcheck.judging.context import Context
from filmcheck.judging.expression import Expression, OwnFigure
from filmcheck.judging.rule import Rule
from filmcheck.judging.wording import related
from filmcheck.records.figure_line import FigureLine
from filmcheck.records.finding import Related
from filmcheck.records.value import Missing
from filmcheck.units.quantity import DIMENSIONS


def own_figure_lines(rules: Iterable[Rule], context: Context, units: Units, part: str = "") -> tuple[FigureLine, ...]:
    """Work out the figures of packs that some rule uses, each once; with a ``part``, those that have it in their name.

    Figures of a thing at hand are shown in findings only: by themselves they have none to be of.
    """
    found = {(own.name, own.place): own for rule in rules for own in _own_figures(rule) if own.names}
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
    limits = [Related(context.limits[name].place, f"limit {name}") for name in own.limit_names]
    return FigureLine(
        name=own.name,
        of="",
        dimension=dimension,
        unit=DIMENSIONS[dimension].unit if dimension in DIMENSIONS else "",
        meaning=own.meaning,
        formula=_formula(own),
        source=f"house pack, {own.place}",
        amount=amount_of(value, dimension, units),
        arithmetic=own.working(context, units),
        inputs=(*related(context, own.names), *limits) if known else (),
        missing=told_needs(value),
    )


def _formula(own: OwnFigure) -> str:
    """Write the formula as the pack does, without the brackets that a sum bears within another."""
    text = own.formula.source
    inner = text[1:-1]
    return inner if text.startswith("(") and text.endswith(")") and not {"(", ")"} & set(inner) else text
