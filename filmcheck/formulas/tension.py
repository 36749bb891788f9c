"""Tension of the web: total force, force per width, stress, and the torque that makes it."""

from __future__ import annotations

from filmcheck.formulas.valid_range import require_above_zero, require_zero_or_more


def line_tension(total_tension: float, width: float) -> float:
    """Give the tension per width of web, N/m.

    Equation: T′ = F / w

    total_tension: F, force along the web, N, 0 or more.
    width: w, width of web, m, above 0.
    Raises ValueError outside these ranges.
    Source: definition of force per width (NIST SP 811, B.8 converts lbf/in to N/m).

    >>> round(line_tension(52.0, 0.330), 2)
    157.58
    """
    require_zero_or_more("N", total_tension=total_tension)
    require_above_zero("m", width=width)
    return total_tension / width


def total_tension(line_tension: float, width: float) -> float:
    """Give the total tension of the web, N.

    Equation: F = T′ w

    line_tension: T′, force per width, N/m, 0 or more.
    width: w, width of web, m, above 0.
    Raises ValueError outside these ranges.
    Source: definition of force per width.

    >>> round(total_tension(175.0, 0.330), 2)
    57.75
    """
    require_zero_or_more("N/m", line_tension=line_tension)
    require_above_zero("m", width=width)
    return line_tension * width


def line_tension_from_stress(stress: float, thickness: float) -> float:
    """Give the tension per width that a web stress means, N/m.

    Equation: T′ = σ t

    stress: σ, mean stress over the cross-section, Pa, 0 or more.
    thickness: t, caliper of the web, m, above 0.
    Raises ValueError outside these ranges.
    Source: definition of mean stress. Shows what "psi" comes to where lbf/in was meant.

    >>> round(line_tension_from_stress(6894.757, 0.00013), 4)
    0.8963
    """
    require_zero_or_more("Pa", stress=stress)
    require_above_zero("m", thickness=thickness)
    return stress * thickness


def web_stress(line_tension: float, thickness: float) -> float:
    """Give the mean stress in the web, Pa.

    Equation: σ = T′ / t

    line_tension: T′, force per width, N/m, 0 or more.
    thickness: t, caliper of the web, m, above 0.
    Raises ValueError outside these ranges.
    Source: definition of mean stress. A single layer of a laminate carries another share: see laminate.

    >>> round(web_stress(175.126835, 23.368e-6))
    7494301
    """
    require_zero_or_more("N/m", line_tension=line_tension)
    require_above_zero("m", thickness=thickness)
    return line_tension / thickness


def total_tension_from_torque(torque: float, radius: float) -> float:
    """Give the total tension that a brake or drive torque makes at the outside of a roll, N.

    Equation: F = M / r

    torque: M, at the roll's axis, N m, 0 or more.
    radius: r, outside radius of the roll at that moment, m, above 0.
    Raises ValueError outside these ranges. Holds at steady speed; inertia is left out.
    Source: statics of a roll; the trade press gives 100 N m on a 200 mm roll as 1000 N.

    >>> total_tension_from_torque(100.0, 0.100)
    1000.0
    """
    require_zero_or_more("N m", torque=torque)
    require_above_zero("m", radius=radius)
    return torque / radius


def torque_from_total_tension(total_tension: float, radius: float) -> float:
    """Give the torque at a roll's axis that holds a total tension, N m.

    Equation: M = F r

    total_tension: F, force along the web, N, 0 or more.
    radius: r, outside radius of the roll at that moment, m, above 0.
    Raises ValueError outside these ranges. Holds at steady speed; inertia is left out.
    Source: statics of a roll.

    >>> torque_from_total_tension(50.0, 0.150)
    7.5
    """
    require_zero_or_more("N", total_tension=total_tension)
    require_above_zero("m", radius=radius)
    return total_tension * radius
