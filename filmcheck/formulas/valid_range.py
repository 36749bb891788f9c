"""The range checks of the formulas: a value outside its range raises, it is never clamped.

They run several times for every figure, so they look at bare values, and at a name only where one is refused.
"""

from __future__ import annotations

import math
from collections.abc import Sequence, Sized

_INFINITE = math.inf


def _refuse(values: dict[str, float], value: float, unit: str, range_in_words: str) -> None:
    name = next(name for name, held in values.items() if held is value)
    shown = f"{value:g} {unit}".rstrip()
    raise ValueError(f"{name.replace('_', ' ')} is {shown}; it must be {range_in_words}")


def require_finite(unit: str, **values: float) -> None:
    """Raise ValueError for the first value that is not a finite number (``unit`` is for the message)."""
    for value in values.values():
        if not -_INFINITE < value < _INFINITE:
            _refuse(values, value, unit, "a finite number")


def require_above_zero(unit: str, **values: float) -> None:
    """Raise ValueError for the first value that is not finite and above zero."""
    for value in values.values():
        if not 0.0 < value < _INFINITE:
            _refuse(values, value, unit, f"above 0 {unit}".rstrip())


def require_zero_or_more(unit: str, **values: float) -> None:
    """Raise ValueError for the first value that is not finite and zero or more."""
    for value in values.values():
        if not 0.0 <= value < _INFINITE:
            _refuse(values, value, unit, f"0 {unit}".rstrip() + " or more")


def require_between(unit: str, low: float, high: float, **values: float) -> None:
    """Raise ValueError for the first value outside the closed range from ``low`` to ``high``."""
    for value in values.values():
        if not low <= value <= high:
            _refuse(values, value, unit, f"from {low:g} to {high:g} {unit}".rstrip())


def require_layers(unit: str, name: str, values: Sequence[float]) -> None:
    """Raise ValueError for the first layer whose value is not finite and above zero."""
    for number, value in enumerate(values, start=1):
        require_above_zero(unit, **{f"{name} of layer {number}": value})


def require_paired(**lists: Sized) -> None:
    """Raise ValueError unless the lists are of one length and hold something."""
    lengths = {name: len(values) for name, values in lists.items()}
    if len(set(lengths.values())) != 1 or 0 in lengths.values():
        counted = ", ".join(f"{count} {name.replace('_', ' ')}" for name, count in lengths.items())
        raise ValueError(f"found {counted}; there must be one of each for every layer or bar, and at least one")
