"""Rewind tension that falls as the roll grows: the linear and the hyperbolic law.

"Taper 30 %" means two different things under the two laws, so the sheet must say which.
"""

from __future__ import annotations

from filmcheck.formulas.valid_range import require_above_zero, require_between, require_zero_or_more


def _require_build(start_tension: float, taper: float, core_radius: float) -> None:
    require_zero_or_more("N/m", start_tension=start_tension)
    require_between("", 0.0, 1.0, taper=taper)
    require_above_zero("m", core_radius=core_radius)


def _require_full_radius(core_radius: float, full_radius: float) -> None:
    require_above_zero("m", full_radius=full_radius)
    if not full_radius > core_radius:
        raise ValueError(f"full radius is {full_radius:g} m; it must be above the core radius, {core_radius:g} m")


def linear_taper_tension(
    start_tension: float, taper: float, radius: float, core_radius: float, full_radius: float
) -> float:
    """Give the rewind tension at a radius under linear taper; unit of start_tension.

    Equation: T′(r) = T′₀ [1 − p (r − r_c) / (R − r_c)]

    start_tension: T′₀, tension at the core, N/m (or N), 0 or more.
    taper: p, share of T′₀ lost at the full roll, no unit, 0 to 1.
    radius: r, radius asked about, m, from r_c to R.
    core_radius: r_c, outside radius of the core, m, above 0.
    full_radius: R, outside radius of the full roll, m, above r_c.
    Raises ValueError outside these ranges.
    Source: Lee, Kang, Kim, Shin, J. Mech. Sci. Technol. 23 (2009) 3036, from memory.

    >>> round(linear_taper_tension(140.0, 0.30, 0.125, 0.0461, 0.125), 1)
    98.0
    """
    _require_build(start_tension, taper, core_radius)
    _require_full_radius(core_radius, full_radius)
    require_between("m", core_radius, full_radius, radius=radius)
    return start_tension * (1.0 - taper * (radius - core_radius) / (full_radius - core_radius))


def hyperbolic_taper_tension(start_tension: float, taper: float, radius: float, core_radius: float) -> float:
    """Give the rewind tension at a radius under hyperbolic taper; unit of start_tension.

    Equation: T′(r) = T′₀ [1 − p (1 − r_c / r)]

    start_tension: T′₀, tension at the core, N/m (or N), 0 or more.
    taper: p, no unit, 0 to 1; 0 is constant tension, 1 is constant torque.
    radius: r, radius asked about, m, at least r_c.
    core_radius: r_c, outside radius of the core, m, above 0.
    Raises ValueError outside these ranges.
    Source: Lee, Kang, Kim, Shin, J. Mech. Sci. Technol. 23 (2009) 3036, from memory.

    >>> round(hyperbolic_taper_tension(140.0, 0.30, 0.125, 0.0461), 1)
    113.5
    """
    _require_build(start_tension, taper, core_radius)
    require_above_zero("m", radius=radius)
    if radius < core_radius:
        raise ValueError(f"radius is {radius:g} m; it must be at least the core radius, {core_radius:g} m")
    return start_tension * (1.0 - taper * (1.0 - core_radius / radius))


def linear_end_tension(start_tension: float, taper: float) -> float:
    """Give the tension at the full roll under linear taper; unit of start_tension.

    Equation: T′(R) = (1 − p) T′₀

    start_tension: T′₀, tension at the core, N/m (or N), 0 or more.
    taper: p, share of T′₀ lost at the full roll, no unit, 0 to 1.
    Raises ValueError outside these ranges.
    Source: the linear law at r = R.

    >>> round(linear_end_tension(140.0, 0.30), 1)
    98.0
    """
    require_zero_or_more("N/m", start_tension=start_tension)
    require_between("", 0.0, 1.0, taper=taper)
    return start_tension * (1.0 - taper)
