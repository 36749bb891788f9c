"""Adhesive squeezed out at the edges of labels that lie under pressure in a roll."""

from __future__ import annotations

import math

from filmcheck.formulas.valid_range import require_above_zero, require_zero_or_more


def ooze_rim(caliper: float, pressure: float, time: float, viscosity: float, width: float) -> float:
    """Give the width of the rim of adhesive that stands out at each edge of a label, m.

    Equation: rim = b (h₀ − h) / (2 h₀), 1/h² = 1/h₀² + 2 p t / (η b²); for little flow p t h₀² / (2 η b)

    The rim is counted as thick as the adhesive was: thinner, it stands out further.
    caliper: h₀, caliper of the adhesive at the start, m, above 0.
    pressure: p, mean pressure on the label, Pa, 0 or more.
    time: t, time under pressure, s, 0 or more.
    viscosity: η, viscosity of the adhesive at its temperature and at so slow a flow, Pa s, above 0.
    width: b, width of the label, the shorter way out, m, above 0.
    Raises ValueError outside these ranges. A viscous strip, far longer than wide, no slip at the films.
    Source: squeeze film between long strips (Stefan; from memory, derived anew); volume is kept.

    >>> round(ooze_rim(18e-6, 60e3, 86400.0, 1e6, 0.050) * 1e6, 1)
    16.8
    """
    require_above_zero("m", caliper=caliper, width=width)
    require_zero_or_more("Pa", pressure=pressure)
    require_zero_or_more("s", time=time)
    require_above_zero("Pa s", viscosity=viscosity)
    spread = pressure * time * caliper**2 / (viscosity * width**2)
    # 1 − 1/√(1 + 2x) loses its digits where x is small, as it is for every ordinary roll.
    root = math.sqrt(1.0 + 2.0 * spread)
    return width / 2.0 * (2.0 * spread / (root * (1.0 + root)))
