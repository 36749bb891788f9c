"""What the way adds to the tension: friction on fixed bars and stuck idlers, drag of live idlers."""

from __future__ import annotations

import math
from collections.abc import Sequence

from filmcheck.formulas.valid_range import require_between, require_paired, require_zero_or_more

HIGHEST_FRICTION = 5.0
HIGHEST_WRAP = 8.0 * math.pi


def capstan_ratio(friction: float, wrap: float, slant: float = 0.0) -> float:
    """Give how many times tighter the web leaves a fixed bar or a stuck idler than it came, no unit.

    Equation: F₂ / F₁ = e^(μ θ cos β)

    friction: μ, coefficient of sliding friction between web and bar, no unit, 0 to 5.
    wrap: θ, angle of contact around the round section of the bar, rad, 0 to 8π (four full turns).
    slant: β, angle between the web's direction and the plane square to the bar, rad, 0 to π/2; 0 for a bar square
        to the web, 45° for an ordinary turn bar.
    Raises ValueError outside these ranges. Air between web and bar lowers the ratio: this is the most.
    Source: Euler-Eytelwein on the web's own line over the cylinder, a helix of curvature cos²β / r over a length
    r θ / cos β; ASTM G143 measures μ by it on a square bar.

    >>> round(capstan_ratio(0.25, math.pi), 3)
    2.193
    >>> round(capstan_ratio(0.25, math.pi, math.pi / 4), 3)
    1.743
    """
    require_between("", 0.0, HIGHEST_FRICTION, friction=friction)
    require_between("rad", 0.0, HIGHEST_WRAP, wrap=wrap)
    require_between("rad", 0.0, math.pi / 2, slant=slant)
    return math.exp(friction * wrap * math.cos(slant))


def capstan_path_ratio(frictions: Sequence[float], wraps: Sequence[float]) -> float:
    """Give the capstan ratio of several fixed bars one after the other, no unit.

    Equation: F₂ / F₁ = Π e^(μᵢθᵢ) = e^(Σ μᵢθᵢ)

    frictions: μᵢ, friction of each bar in the order of the web, no unit, each 0 to 5.
    wraps: θᵢ, angle of contact on each bar, rad, each 0 to 8π; as many as frictions, at least one.
    Raises ValueError outside these ranges.
    Source: Euler-Eytelwein belt equation, applied bar by bar.

    >>> round(capstan_path_ratio([0.25, 0.25], [math.pi / 2, math.pi / 2]), 2)
    2.19
    """
    require_paired(frictions=frictions, wraps=wraps)
    return math.prod(capstan_ratio(friction, wrap) for friction, wrap in zip(frictions, wraps, strict=True))


def tension_after_bar(entering_tension: float, friction: float, wrap: float) -> float:
    """Give the tension after a fixed bar or a stuck idler; unit of entering_tension.

    Equation: F₂ = F₁ e^(μθ)

    entering_tension: F₁, tension before the bar, N (or N/m), 0 or more.
    friction: μ, coefficient of sliding friction, no unit, 0 to 5.
    wrap: θ, angle of contact, rad, 0 to 8π.
    Raises ValueError outside these ranges.
    Source: Euler-Eytelwein belt equation.

    >>> round(tension_after_bar(50.0, 0.25, math.pi), 1)
    109.7
    """
    require_zero_or_more("N", entering_tension=entering_tension)
    return entering_tension * capstan_ratio(friction, wrap)


def tension_after_idlers(entering_tension: float, drags: Sequence[float]) -> float:
    """Give the total tension after live idlers, N.

    Equation: F₂ = F₁ + Σ Fᵢ

    entering_tension: F₁, total tension before the first idler, N, 0 or more.
    drags: Fᵢ, drag of each idler as a force at its surface, N, each 0 or more; none leaves F₁ as it is.
    Raises ValueError outside these ranges. Holds at steady speed, without slip.
    Source: balance of forces on each idler.

    >>> tension_after_idlers(50.0, [0.5, 0.25, 0.25])
    51.0
    """
    require_zero_or_more("N", entering_tension=entering_tension)
    for number, drag in enumerate(drags, start=1):
        require_zero_or_more("N", **{f"drag of idler {number}": drag})
    return entering_tension + math.fsum(drags)
