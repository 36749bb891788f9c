"""What a figure is: a named quantity of a job, and the routes by which it can be worked out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from filmcheck.figures.asking import Ask
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured

PLAIN_DIMENSIONS = ("word", "date", "truth", "number")
"""Dimensions of figures that are no physical quantity."""


class Default(NamedTuple):
    """A need that has an answer of last resort; using it is an assumption and is named as one."""

    name: str
    value: Any
    assumes: str


class Route(NamedTuple):
    """One way to a figure: what it needs, the function of those needs, and the arithmetic as a text with fields.

    Plain arithmetic is written once, as a text (``calculated``), which then stands in place of the function.

    A route that depends on the path or on a choice is given as ``asks`` instead, and asks for its needs itself.
    A need may end in ``:dimension``, and then counts only where the sheet gave it in that dimension. With ``size``
    the figure is the size of what ``work`` gives with a sign: a range across zero then begins at zero.
    """

    needs: tuple[str | Default, ...]
    work: Callable[..., Any] | str
    arithmetic: str = ""
    asks: Callable[[Ask, Item | None], Figured] | None = None
    size: bool = False


class Figure(NamedTuple):
    """A figure of the catalogue. Routes are tried in their order; the first whose needs are known is taken.

    Ranges are carried by working out every end of every uncertain need, which is exact for what is monotone in
    each need, as all formulas here are; a size is not, and its route says so. The formula may be left empty where the
    arithmetic says it.
    """

    name: str
    dimension: str
    meaning: str
    formula: str
    source: str
    routes: tuple[Route, ...]


def one_route(
    needs: tuple[str | Default, ...], work: Callable[..., Any], arithmetic: str = "", *, size: bool = False
) -> tuple[Route, ...]:
    """Make the routes of a figure that has only one."""
    return (Route(needs, work, arithmetic, None, size),)


def asked(asks: Callable[[Ask, Item | None], Figured], arithmetic: str = "", needs: tuple[str, ...] = ()) -> Route:
    """Make a route that asks for its needs itself; those named serve to explain it."""
    return Route(needs, _no_work, arithmetic, asks)


def _no_work() -> None:
    """Stand where a route has a function of its own."""
