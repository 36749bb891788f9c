"""Draw between two driven nips: what a difference in speed does to strain and tension."""

from __future__ import annotations

from filmcheck.formulas.valid_range import (
    require_above_zero,
    require_between,
    require_finite,
    require_zero_or_more,
)

LARGEST_SMALL_DRAW = 0.05


def draw_ratio(speed_in: float, speed_out: float) -> float:
    """Give the draw between two nips, no unit (0.01 is 1 %); negative where the second runs slower.

    Equation: (v₂ − v₁) / v₁

    speed_in: v₁, surface speed of the first nip, m/s, above 0.
    speed_out: v₂, surface speed of the second nip, m/s, above 0.
    Raises ValueError outside these ranges.
    Source: definition; the trade press gives 100 to 101 m/min as 1 %.

    >>> round(draw_ratio(100.0, 101.0), 6)
    0.01
    """
    require_above_zero("m/s", speed_in=speed_in, speed_out=speed_out)
    return (speed_out - speed_in) / speed_in


def strain_after_draw(strain_in: float, speed_in: float, speed_out: float) -> float:
    """Give the strain after a draw, exactly, no unit.

    Equation: 1 + ε₂ = (1 + ε₁) v₂ / v₁

    strain_in: ε₁, strain of the web entering, no unit, above −1.
    speed_in: v₁, surface speed of the first nip, m/s, above 0.
    speed_out: v₂, surface speed of the second nip, m/s, above 0.
    Raises ValueError outside these ranges. Holds at steady speed and without slip.
    Source: the same mass passes each nip in each second (steady strain transport).

    >>> round(strain_after_draw(0.005, 1.00, 1.01), 7)
    0.01505
    """
    require_finite("", strain_in=strain_in)
    if strain_in <= -1.0:
        raise ValueError(f"strain in is {strain_in:g}; it must be above -1")
    return strain_in + (1.0 + strain_in) * draw_ratio(speed_in, speed_out)


def tension_after_draw(line_tension_in: float, stiffness: float, speed_in: float, speed_out: float) -> float:
    """Give the line tension after a draw, N/m.

    Equation: T′₂ = T′₁ + (Σ Eᵢtᵢ) (v₂ − v₁) / v₁

    line_tension_in: T′₁, line tension before the first nip, N/m, 0 or more.
    stiffness: Σ Eᵢtᵢ, stiffness of the laminate per width, N/m, above 0.
    speed_in: v₁, surface speed of the first nip, m/s, above 0.
    speed_out: v₂, surface speed of the second nip, m/s, above 0, within 5 % of speed_in.
    Raises ValueError outside these ranges, and where the web would go slack (result below 0), since a
    web cannot push. Holds for small strains, steady speed, no slip.
    Source: steady strain transport to first order with Hooke's law.

    >>> round(tension_after_draw(100.0, 103500.0, 1.000, 1.001), 1)
    203.5
    """
    require_zero_or_more("N/m", line_tension_in=line_tension_in)
    require_above_zero("N/m", stiffness=stiffness)
    draw = draw_ratio(speed_in, speed_out)
    require_between("", -LARGEST_SMALL_DRAW, LARGEST_SMALL_DRAW, draw=draw)
    tension = line_tension_in + stiffness * draw
    require_zero_or_more("N/m", line_tension_after_the_draw=tension)
    return tension
