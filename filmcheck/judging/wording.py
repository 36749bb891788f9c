"""Puts what a rule asked for into words: the arithmetic behind it and its places."""

from __future__ import annotations

from collections.abc import Iterable

from filmcheck.figures.wording import Units, add_lines, sources
from filmcheck.judging.context import ITS, THAT, Context
from filmcheck.plant.job import Item
from filmcheck.records.finding import Related


def place_in(context: Context, name: str) -> tuple[str, Item | None]:
    """Give the name and thing under which the figures keep what a rule calls by this name."""
    if name.startswith(THAT):
        return ITS + name[len(THAT) :], context.outer
    return context.figures.owned(name, context.item)


def arithmetic(context: Context, names: Iterable[str], units: Units) -> tuple[str, ...]:
    """Give the arithmetic lines of the figures that a rule asked for, the innermost first, each once."""
    lines: dict[str, None] = {}
    for name in names:
        add_lines(context.figures, *place_in(context, name), units, lines, 0)
    return tuple(lines)


def related(context: Context, names: Iterable[str]) -> tuple[Related, ...]:
    """Give the places of all data behind some figures."""
    found: dict[object, Related] = {}
    for name in names:
        for source in sources(context.figures, *place_in(context, name)):
            found.setdefault(source.place, Related(source.place, f"{source.name}: {source.text}"))
    return tuple(found.values())
