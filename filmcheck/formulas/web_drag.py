"""What the way adds to the tension: friction on fixed bars and stuck idlers, drag of live idlers."""

from __future__ import annotations

import math
from collections.abc import Sequence

from filmcheck.formulas.valid_range import require_between, require_zero_or_more

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
