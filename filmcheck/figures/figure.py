"""What a figure is: a named quantity of a job, the routes by which it can be worked out, and what they may ask."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any, NamedTuple, Protocol, TypeVar

from filmcheck.plant.job import Item, Job
from filmcheck.records.value import Figured, Missing, Value
from filmcheck.web.spans import State

T = TypeVar("T")


class Ask(Protocol):
    """The figures of one job, as far as those see it that work out further ones."""

    @property
    def job(self) -> Job:
        """The job asked about."""

    @property
    def today(self) -> date:
        """The day on which filmcheck runs."""

    def __call__(self, name: str, item: Item | None = None) -> Figured:
        """Give a figure by name."""

    def things(self, kind: str) -> tuple[Item, ...]:
        """Give the things of a kind."""

    def once(self, name: str, work: Callable[[Ask], T]) -> T:
        """Give what the work comes to on this job, and do it only once."""

    def states(self) -> dict[Item, State]:
        """Give the state of the web behind each station."""

    def temperatures(self) -> dict[Item, Figured]:
        """Give the temperature of the web behind each station."""


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


def held(item: Item | None) -> Item:
    """Give the thing at hand. Raises KeyError where a figure of a thing is asked for outside of any."""
    if item is None:
        raise KeyError("a figure of a thing is asked for outside of any thing")
    return item


def known_or(found: Figured, unknown: Value | None) -> Figured:
    """Give a figure, or what counts where it simply is not known; one that is at fault is not made up for."""
    return unknown if unknown is not None and isinstance(found, Missing) and not found.is_spoiled else found
