"""Peeling: the force that strips the matrix."""

from __future__ import annotations

import math

from filmcheck.formulas.valid_range import require_above_zero, require_between

LEAST_ANGLE = math.radians(10.0)


def stripping_force(work: float, width: float, angle: float) -> float:
    """Give the force that strips a web of this width off its liner, N.

    Equation: F = G w / (1 − cos θ)

    work: G, work of release, J/m², above 0.
    width: w, width that parts at one moment, m, above 0. Where the matrix parts over its full width, between two rows
        of labels, that is the width of the web.
    angle: θ, angle between the matrix and the liner, rad, 10° to 180°.
    Raises ValueError outside these ranges. Release is faster on a press than in a slow test, and mostly harder.
    Source: Rivlin 1944, Kendall 1975 (from memory).

    >>> round(stripping_force(8.0, 0.33, math.pi / 2), 2)
    2.64
    """
    require_above_zero("J/m²", work=work)
    require_above_zero("m", width=width)
    require_between("rad", LEAST_ANGLE, math.pi, angle=angle)
    return work * width / (1.0 - math.cos(angle))
