"""An unwind brake of constant torque: its tension climbs as the roll runs down."""

from __future__ import annotations

from filmcheck.formulas.valid_range import require_above_zero, require_zero_or_more


def brake_tension(start_tension: float, start_diameter: float, diameter: float) -> float:
    """Give the tension that a brake of constant torque pulls at a roll diameter; unit of start_tension.

    Equation: F(D) = F₀ D₀ / D

    start_tension: F₀, tension at the start diameter, N (or N/m), 0 or more.
    start_diameter: D₀, roll diameter at which F₀ was set, m, above 0.
    diameter: D, roll diameter asked about, m, above 0.
    Raises ValueError outside these ranges. Holds at steady speed, with a torque that does not change.
    Source: F = M/r with M constant (statics).

    >>> round(brake_tension(52.0, 0.900, 0.1684), 1)
    277.9
    """
    require_zero_or_more("N", start_tension=start_tension)
    require_above_zero("m", start_diameter=start_diameter, diameter=diameter)
    return start_tension * start_diameter / diameter


def brake_crossing_diameter(start_tension: float, start_diameter: float, limit_tension: float) -> float:
    """Give the roll diameter, m, below which a brake of constant torque pulls more than a limit.

    Equation: D× = F₀ D₀ / F_limit

    start_tension: F₀, tension at the start diameter, N (or N/m), above 0.
    start_diameter: D₀, roll diameter at which F₀ was set, m, above 0.
    limit_tension: F_limit, tension not to be passed, same unit as F₀, above 0.
    A result above D₀ says that the limit is passed from the start; one below the core outside
    diameter says that it is never passed.
    Raises ValueError outside these ranges.
    Source: F = M/r with M constant (statics), solved for the diameter.

    >>> round(brake_crossing_diameter(52.0, 0.900, 57.75), 4)
    0.8104
    """
    require_above_zero("N", start_tension=start_tension, limit_tension=limit_tension)
    require_above_zero("m", start_diameter=start_diameter)
    return start_tension * start_diameter / limit_tension
