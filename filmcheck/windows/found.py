"""What a search found: the stretches of values that hold, and what ends them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from filmcheck.windows.set_points import SetPoint
from filmcheck.windows.trial import Key

Bad = frozenset[Key]
Excuse = Callable[[Bad], Bad]
"""Takes from what is bad that which need not hold."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Values that hold from ``low`` to ``high``, in parts of a step; the keys that end it, empty at the very end."""

    low: int
    high: int
    below: Bad
    above: Bad


@dataclass(frozen=True, slots=True)
class Found:
    """What judging found out about one set-point: where it holds, and what is bad at the values that were tried."""

    point: SetPoint
    stretches: tuple[Stretch, ...]
    tried: tuple[tuple[int, Bad], ...]
    choices: tuple[tuple[str, Bad], ...] = ()


def stretch_between(start: int, last: int, by_start: Bad, by: Bad) -> Stretch:
    """Make a stretch of two ends, in any order, each with what ends it there."""
    return Stretch(start, last, by_start, by) if start <= last else Stretch(last, start, by, by_start)


def common(bads: Iterable[Bad]) -> Bad:
    """Give what is bad at every value that was tried: the set-point does not move it."""
    found: Bad | None = None
    for bad in bads:
        found = bad if found is None else found & bad
    return found or frozenset()


def inward(stretch: Stretch, fine: int) -> tuple[int, int] | None:
    """Round the ends of a stretch inward to whole steps; None where no whole step lies within."""
    low, high = -(-stretch.low // fine) * fine, stretch.high // fine * fine
    return (low, high) if low <= high else None
