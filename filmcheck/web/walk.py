"""The web walked station by station, as data-flow analysis walks code: tension, temperature, charge, dust.

Pure: it takes what each element of the path does to the web and gives the web's state behind each.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, NamedTuple

from filmcheck.records.value import Figured, Missing, Need, Value, assumed, ends_over, lacking, number

CHARGES = ("unwind", "print", "varnish", "turn bar", "matrix strip", "nip", "web cleaner", "die cut")
"""Stations behind which a film web carries charge again: it was pulled off, rubbed or peeled."""


class Step(NamedTuple):
    """What one element does to the tension of the web: set it, multiply it, add to it."""

    label: str
    kind: str
    sets: tuple[Figured, Figured] | None = None
    multiplies: Figured | None = None
    adds: Figured | None = None


class Heat(NamedTuple):
    """What one element does to the temperature of the web: raise it, or draw it by a share to another one."""

    raises: Figured | None = None
    draws: tuple[Figured, Figured] | None = None


class State(NamedTuple):
    """The web behind an element. Tensions are the lowest and highest over the roll, per width."""

    lowest: Figured
    highest: Figured
    charged: bool = True
    clean: bool = False
    why: tuple[str, ...] = ()


def behind(step: Step, before: State) -> State:
    """Carry the state of the web over one element."""
    charged = step.kind in CHARGES or (before.charged and step.kind != "static control")
    clean = (before.clean or (step.kind == "web cleaner" and not before.charged)) and step.kind != "unwind"
    if step.sets is None and step.multiplies is None and step.adds is None:
        same = charged == before.charged and clean == before.clean
        return before if same else before._replace(charged=charged, clean=clean)
    lowest, highest = step.sets or (before.lowest, before.highest)
    why = (f"set at {step.label}",) if step.sets else before.why
    if step.multiplies is not None:
        lowest, highest = (combine(lambda a, b: a * b, end, step.multiplies) for end in (lowest, highest))
        why = (*why, f"multiplied at {step.label}")
    if step.adds is not None:
        lowest, highest = (combine(lambda a, b: a + b, end, step.adds) for end in (lowest, highest))
        why = (*why, f"raised by {step.label}")
    return State(lowest, highest, charged, clean, why)


def warmed(heat: Heat, before: Figured) -> Figured:
    """Carry the temperature of the web over one element."""
    if heat.raises is not None:
        return combine(lambda a, b: a + b, before, heat.raises)
    if heat.draws is not None:
        to, share = heat.draws
        return combine(lambda web, at, part: at + (1 - part) * (web - at), before, to, share)
    return before


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
