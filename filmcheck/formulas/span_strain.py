"""The strain that a web carries from one span to the next, and the tension that it makes there."""

from __future__ import annotations

from filmcheck.formulas.valid_range import (
    require_above_zero,
    require_between,
    require_zero_or_more,
)

LARGEST_SMALL_STRAIN = 0.05


def line_tension_in_span(
    before: float,
    stiffness_before: float,
    stiffness: float,
    draw: float = 0.0,
    thermal_strain: float = 0.0,
    shrinkage: float = 0.0,
) -> float:
    """Give the line tension of a span between two nips, N/m.

    Equation: T′ₖ = Sₖ [T′ₖ₋₁ / Sₖ₋₁ + dₖ − α(θₖ − θₖ₋₁) + sₖ]

    before: T′ₖ₋₁, line tension in the span before, N/m, 0 or more.
    stiffness_before: Sₖ₋₁, Σ Eᵢtᵢ of what carries the web in the span before, N/m, above 0.
    stiffness: Sₖ, Σ Eᵢtᵢ of what carries the web in this span, N/m, above 0.
    draw: dₖ, by how much the nip at the END of this span runs faster than the one at its beginning, no unit,
        −0.05 to 0.05.
    thermal_strain: α(θₖ − θₖ₋₁), how much longer the warmth of this span would make a slack web, no unit,
        −0.05 to 0.05. Warmth slackens a span whose ends run at set speeds.
    shrinkage: sₖ, irreversible shrinkage on the way to this span, no unit, −0.05 to 0.05. Shrinkage tightens it.
    A result below 0 says that the span would go slack, for a web cannot push. Raises ValueError outside these ranges.
    Steady state, small strains, no slip in the nips. A change settles after about (span length) / (web speed).
    Source: conservation of mass between nips, to first order, with Hooke's law; the additive form in the trade
    press: 0.5 % entering and 1 % draw give 1.5 %.

    >>> round(line_tension_in_span(133.33, 313.5e3, 313.5e3, draw=0.0003), 1)
    227.4
    >>> round(line_tension_in_span(133.33, 313.5e3, 313.5e3, draw=0.0003, thermal_strain=17e-6 * 10), 1)
    174.1
    """
    require_zero_or_more("N/m", before=before)
    require_above_zero("N/m", stiffness_before=stiffness_before, stiffness=stiffness)
    require_between(
        "",
        -LARGEST_SMALL_STRAIN,
        LARGEST_SMALL_STRAIN,
        draw=draw,
        thermal_strain=thermal_strain,
        shrinkage=shrinkage,
    )
    return stiffness * (before / stiffness_before + draw - thermal_strain + shrinkage)
