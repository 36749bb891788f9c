"""Whether the wraps of a roll hold: what friction can carry at a radius against what is asked.

Friction is taken as dry. Adhesive between the wraps creeps under a lasting load, so for label stock
that is stored long these figures are an indication only.
"""

from __future__ import annotations

import math

from filmcheck.formulas.valid_range import require_above_zero, require_zero_or_more


def torque_capacity(pressure: float, friction: float, width: float, radius: float) -> float:
    """Give the torque that friction can carry between two wraps at a radius, N m.

    Equation: M(r) = 2π μ w r² p(r)

    pressure: p, pressure between the wraps at r, Pa, 0 or more.
    friction: μ, coefficient of friction of the web on itself, no unit, 0 or more.
    width: w, width of the roll, m, above 0.
    radius: r, radius asked about, m, above 0.
    Raises ValueError outside these ranges.
    Source: Coulomb friction summed over the cylinder of radius r.

    >>> round(torque_capacity(60e3, 0.3, 0.1, 0.0461), 3)
    24.036
    """
    require_zero_or_more("Pa", pressure=pressure)
    require_zero_or_more("", friction=friction)
    require_above_zero("m", width=width, radius=radius)
    return 2.0 * math.pi * friction * width * radius**2 * pressure


def torque_asked_terms(
    total_tension: float,
    web_acceleration: float,
    areal_mass: float,
    width: float,
    thickness: float,
    outside_diameter: float,
) -> tuple[float, float]:
    """Give the torque asked of the wraps of a roll at every radius r, as two terms A, N m, and B, N/m³.

    Equation: M(r) = F D/2 + J(r) α = A − B r⁴, A = F D/2 + B (D/2)⁴, B = π q w α / (2 t), α = 2 a / D

    total_tension: F, force along the web, N, 0 or more.
    web_acceleration: a, size of the change of web speed, m/s², 0 or more.
    areal_mass: q, mass of the web per area, kg/m², 0 or more; 0 leaves the inertia out.
    width: w, width of the roll, m, above 0.
    thickness: t, caliper of everything that is wound, m, above 0.
    outside_diameter: D, outside diameter of the roll at that moment, m, above 0.
    Raises ValueError outside these ranges. The two add where a core drive speeds a rewind up or a core brake stops
    an unwind; the other way round J α relieves, so this sum is the worst case. r runs from the core to D/2.
    Source: Newton's law for rotation (trade press: torque = tension × radius + inertia × acceleration), with the
    inertia J(r) of the wraps outside r put in: a thick ring of mass q w L, which leaves a polynomial in r⁴.

    >>> constant, by_fourth_power = torque_asked_terms(52.0, 0.5, 0.11, 0.33, 91e-6, 0.9)
    >>> round(constant - by_fourth_power * 0.0842**4, 2)
    51.91
    """
    require_zero_or_more("N", total_tension=total_tension)
    require_zero_or_more("m/s²", web_acceleration=web_acceleration)
    require_zero_or_more("kg/m²", areal_mass=areal_mass)
    require_above_zero("m", width=width, thickness=thickness, outside_diameter=outside_diameter)
    turning = 2.0 * web_acceleration / outside_diameter
    by_fourth_power = math.pi * areal_mass * width * turning / (2.0 * thickness)
    pulled = total_tension * outside_diameter / 2.0
    return pulled + by_fourth_power * (outside_diameter / 2.0) ** 4, by_fourth_power
