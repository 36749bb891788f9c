"""Bounds of figures of the wound rolls: most rolls are so far from every limit that bounds of the pressure tell it.

A bound stands for the figure where it decides a comparison, and nowhere else: what is printed is always the figure.
Where a roll's data are ranges, or the model might not hold, there is none.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from filmcheck.figures.figure import Default
from filmcheck.figures.wound import NEEDS, Winding, model_terms
from filmcheck.figures.wound_slip import OUTER_SHARE, SLIP_NEEDS, slip_case, torque_terms
from filmcheck.formulas.ooze import ooze_rim
from filmcheck.formulas.wound_pressure_bounds import PressureBounds

_PARTS = 4

Ends = tuple[float, float]


class Bounds(NamedTuple):
    """Between what a figure lies, in SI units, from needs that are all exact; the work raises where nobody can tell."""

    needs: tuple[str | Default, ...]
    work: Callable[..., Ends]


@lru_cache(maxsize=4)  # the rolls of a job are asked for by several rules
def _bounds(winding: Winding) -> PressureBounds:
    return PressureBounds(**model_terms(winding))


def _core_pressure(*x: float) -> Ends:
    return 0.0, _bounds(Winding(*x)).most  # type: ignore[arg-type]  # one of the needs is the word of the taper law


def _body_pressure(*x: float) -> Ends:
    winding = Winding(*x)  # type: ignore[arg-type]  # as above
    bounds = _bounds(winding)
    return bounds.least_at((winding.core_diameter + winding.full_diameter) / 4), bounds.most


def _slip_margin(*x: float) -> Ends:
    """Bound the weakest radius from below part by part of the roll, and from above by what the core carries."""
    winding, pull = slip_case(*x)
    grip, asked, falls = torque_terms(winding, pull)
    core, build = winding.core_diameter / 2, (winding.full_diameter - winding.core_diameter) / 2
    bounds = _bounds(winding)
    ends = [core + (1 - OUTER_SHARE) * build * part / _PARTS for part in range(_PARTS + 1)]
    held = min(inner**2 * bounds.least_at(outer) for inner, outer in pairwise(ends))
    return grip * held / asked, grip * core**2 * bounds.most / (asked - falls * core**4)


def _ooze(caliper: float, time: float, viscosity: float, width: float, *x: float) -> Ends:
    most = _bounds(Winding(*x)).most  # type: ignore[arg-type]  # as above
    return 0.0, ooze_rim(caliper, most, time, viscosity, width)


BOUNDS = {
    "wound_roll.core_pressure": Bounds(NEEDS, _core_pressure),
    "wound_roll.body_pressure": Bounds(NEEDS, _body_pressure),
    "wound_roll.slip_margin": Bounds(SLIP_NEEDS, _slip_margin),
    "finished_roll.ooze": Bounds(
        ("adhesive.caliper", "finishing.in_stock", "adhesive.viscosity", "label.narrower_side", *NEEDS), _ooze
    ),
}
"""By the name of the figure."""
