"""Size of a roll: outside diameter and length."""

from __future__ import annotations

import math

from filmcheck.formulas.valid_range import require_above_zero, require_zero_or_more


def _require_roll(outside_diameter: float, core_outside_diameter: float, thickness: float) -> None:
    require_above_zero("m", core_outside_diameter=core_outside_diameter, thickness=thickness)
    require_above_zero("m", outside_diameter=outside_diameter)
    if outside_diameter < core_outside_diameter:
        raise ValueError(
            f"outside diameter is {outside_diameter:g} m; it must be at least the core outside diameter, "
            f"{core_outside_diameter:g} m"
        )


def roll_length(outside_diameter: float, core_outside_diameter: float, thickness: float) -> float:
    """Give the length of web on a roll, m.

    Equation: L = π (D² − d²) / (4 t)

    outside_diameter: D, outside diameter of the roll, m, at least d.
    core_outside_diameter: d, outside diameter of the core (bore + 2 wall), m, above 0.
    thickness: t, caliper of everything that is wound, m, above 0.
    Raises ValueError outside these ranges. No air between the wraps and no compression.
    Source: equal areas of the roll's side and of the web's edge; the exact spiral agrees far within 0.1 %.

    >>> round(roll_length(0.250, 0.0922, 23e-6), 2)
    1843.95
    """
    _require_roll(outside_diameter, core_outside_diameter, thickness)
    ring = (outside_diameter - core_outside_diameter) * (outside_diameter + core_outside_diameter)
    return math.pi * ring / (4.0 * thickness)


def diameter_left(outside_diameter: float, core_outside_diameter: float, length: float, thickness: float) -> float:
    """Give the diameter of a roll after a length of web has been taken off it, m; at least that of its core.

    Equation: D_end = √(D₀² − 4 t L / π), and d once the roll is empty

    outside_diameter: D₀, outside diameter at the start, m, at least d.
    core_outside_diameter: d, outside diameter of the core (bore + 2 wall), m, above 0.
    length: L, length of web taken off, m, 0 or more.
    thickness: t, caliper of everything that is wound, m, above 0.
    Raises ValueError outside these ranges. A roll cannot give more than it holds: then it ends at its core.
    Source: equal areas of the roll's side and of the web's edge.

    >>> round(diameter_left(0.900, 0.1684, 1200.0, 91e-6) * 1000, 1)
    819.1
    >>> diameter_left(0.900, 0.1684, 1e6, 91e-6)
    0.1684
    """
    _require_roll(outside_diameter, core_outside_diameter, thickness)
    require_zero_or_more("m", length=length)
    left = outside_diameter**2 - 4.0 * thickness * length / math.pi
    return max(core_outside_diameter, math.sqrt(max(0.0, left)))
