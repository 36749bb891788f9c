"""The web walked station by station, as data-flow analysis walks code: temperature, charge, dust; ranges on the way.

Pure: it takes what each element of the path does to the web and gives the web's state behind each. The pull of the web
is walked span by span in ``spans``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, NamedTuple

from filmcheck.records.value import Figured, Missing, Need, Value, assumed, ends_over, lacking, number

CHARGES = ("unwind", "print", "varnish", "turn bar", "matrix strip", "web cleaner", "die cut", "laminate")
"""Stations behind which a film web carries charge again: it was pulled off, rubbed or peeled. A nip rolls and charges
little; a rule has a note on it where it stands behind the last static control."""


class Surface(NamedTuple):
    """The surface of the web behind an element: charged or neutral, what charged it last, whether it is clean."""

    charged: bool = True
    charged_by: str = ""
    clean: bool = False


def behind(kind: str, label: str, before: Surface) -> Surface:
    """Carry the surface of the web over one element."""
    clean = (before.clean or (kind == "web cleaner" and not before.charged)) and kind != "unwind"
    if kind in CHARGES:
        return Surface(True, label, clean)
    return before._replace(charged=False, clean=clean) if kind == "static control" else before._replace(clean=clean)


def drawn(before: Figured, to: Figured, share: Figured) -> Figured:
    """Carry the temperature of the web over an element that draws it by a share to another one."""
    return combine(lambda web, at, part: at + (1 - part) * (web - at), before, to, share)


def combine(work: Callable[..., float], *figures: Figured) -> Figured:
    """Work on figures end by end; missing ones make the result missing. Exact where monotone in each figure.

    What cannot be worked out, such as a tension that would push, is missing too, and says why.
    """
    lows: list[Any] = []
    assumes: tuple[str, ...] = ()
    is_exact = True
    for figure in figures:
        if isinstance(figure, Missing):
            return Missing(lacking(*figures))
        low, high, _, texts = figure
        lows.append(low)
        if low != high:
            is_exact = False
        if texts:
            assumes = tuple(dict.fromkeys((*assumes, *texts)))
    try:
        if is_exact:
            end = work(*lows)
            return Value(end, end, None, assumes)
        low, high = ends_over(work, [figure for figure in figures if isinstance(figure, Value)])
    except (ValueError, ZeroDivisionError, OverflowError) as fault:
        return Missing((Need("arithmetic", f"it cannot be worked out: {fault}"),))
    return Value(low, high, None, assumes)


def greatest(*figures: Figured) -> Figured:
    """Give the greatest of some figures; one alone is its own greatest, which the built-in does not grant."""
    return _extreme(max, figures)


def least(*figures: Figured) -> Figured:
    """Give the least of some figures."""
    return _extreme(min, figures)


def _extreme(pick: Callable[[Iterable[float]], float], figures: tuple[Figured, ...]) -> Figured:
    """Pick from the lower ends and from the upper ones: the extreme runs with each of the figures."""
    values = [figure for figure in figures if isinstance(figure, Value)]
    if len(values) < len(figures):
        return Missing(lacking(*figures))
    low, high = pick([number(value.low) for value in values]), pick([number(value.high) for value in values])
    return Value(low, high, None, assumed(values))
