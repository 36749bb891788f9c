"""Routes of plain arithmetic, stated once: the line that a report prints, with names where the numbers go.

``calculated("web.length / web.speed")`` is a whole route. What it needs are its names, in their order; its function is
the text itself, compiled when a job first asks for it; a figure without a formula of its own is told by it in words.
Signs: + − × / ² ³ √( ) π ⌈ ⌉; a quantity stands in brackets, ``[60 µm]``; ``|…|`` around the whole is a size, and
``the greater of … and …`` a choice.
"""

from __future__ import annotations

import operator
import re
from collections.abc import Callable
from functools import lru_cache
from math import ceil, pi, sqrt
from string import ascii_lowercase
from typing import Any

from filmcheck.figures.figure import Default, Figure, Route
from filmcheck.figures.plain_names import plain_name
from filmcheck.figures.scopes import parsed
from filmcheck.units.quantity import Quantity, parse_any

_NAME = re.compile(r"[a-z][a-z_]*(?:\.[a-z][a-z0-9_]*)+(?::[a-z]+(?: [a-z]+)*)?")
"""A figure, with the dimension in which it must be given: ``its.tension:line tension``."""

_QUANTITY = re.compile(r"\[([^]]+)\]")
_CHOICE = re.compile("the (greater|less) of (.+) and (.+)")
_CHOOSE = {"greater": "max", "less": "min"}
_SIGNS = str.maketrans({"×": "*", "−": "-", "²": "**2", "³": "**3", "√": "sqrt", "π": "pi", "⌈": "ceil(", "⌉": ")"})
_WORDS = {"sqrt": sqrt, "pi": pi, "ceil": ceil, "max": max, "min": min, "__builtins__": {}}
_COMMON: dict[str, Callable[..., Any]] = {
    "a": lambda a: a,
    "a + b": operator.add,
    "a - b": operator.sub,
    "a * b": operator.mul,
    "a / b": operator.truediv,
}
"""What most routes come to: nothing to compile."""


def calculated(text: str, *defaults: Default, first: str = "") -> Route:
    """Make a route of its arithmetic; ``defaults`` stand in for needs of the same name that a job lacks.

    A finding points at what the first need rests on: that is the ``first``, where it is not the first of the text.
    """
    assumed: dict[str, str | Default] = {default.name: default for default in defaults}
    names = sorted(dict.fromkeys(_NAME.findall(text)), key=lambda name: name != first)
    line = _QUANTITY.sub(r"\1", _NAME.sub(r"{\g<0>}", text))
    return Route(tuple([assumed.get(name, name) for name in names]), text, line, None, text[0] == "|")


def by_definition(name: str, dimension: str, meaning: str, text: str, *defaults: Default) -> Figure:
    """Make a figure whose arithmetic is its own definition, and tells its formula."""
    return Figure(name, dimension, meaning, "", "definition", (calculated(text, *defaults),))


def function_of(route: Route) -> Callable[..., Any]:
    """Give the function of a route's needs, in their order; of one that gives a size, with its sign."""
    if not isinstance(route.work, str):
        return route.work
    names = [need if isinstance(need, str) else need.name for need in route.needs]
    letters = dict(zip(names, ascii_lowercase, strict=False))
    code = _NAME.sub(lambda name: letters[name[0]], route.work.strip("|"))
    code = _CHOICE.sub(lambda choice: f"{_CHOOSE[choice[1]]}({choice[2]}, {choice[3]})", code)
    code = _QUANTITY.sub(lambda quantity: repr(_amount(quantity[1])), code.translate(_SIGNS))
    return _COMMON.get(code) or _compiled(", ".join(letters.values()), code)


@lru_cache(maxsize=1024)
def _compiled(parameters: str, code: str) -> Callable[..., Any]:
    made: Callable[..., Any] = eval(f"lambda {parameters}: {code}", _WORDS)  # noqa: S307  # the catalogue's own text
    return made


def _amount(text: str) -> float:
    quantity = parse_any(text)
    if not isinstance(quantity, Quantity):
        raise ValueError(f"[{text}] is no quantity")
    return quantity.low


def formula_of(figure: Figure) -> str:
    """Give the formula of a figure, else the arithmetic of its first route in words: 'label around + gap around'."""
    text = figure.routes[0].work
    if figure.formula or not isinstance(text, str):
        return figure.formula
    kind = parsed(figure.name).kind
    words = _NAME.sub(lambda name: plain_name(name[0].partition(":")[0], kind).removeprefix("its "), text)
    return _QUANTITY.sub(r"\1", words)
