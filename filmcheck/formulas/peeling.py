"""Peeling: work of release, force to strip the matrix, strength of the matrix, radius of the peel plate."""

from __future__ import annotations

import math

from filmcheck.formulas.valid_range import require_above_zero, require_between, require_whole

LEAST_ANGLE = math.radians(10.0)


def release_work(line_force: float, angle: float = math.pi) -> float:
    """Give the work to part adhesive and release coating, J/m².

    Equation: G = (P / b) (1 − cos θ); at 180° that is 2 P / b

    line_force: P / b, force of a release test per width of its strip, N/m, above 0.
    angle: θ, angle of the test, rad, 10° to 180°.
    Raises ValueError outside these ranges. The strip neither stretches nor bends elastically.
    Source: Rivlin 1944, Kendall 1975 (from memory).

    >>> round(release_work(0.10 / 0.025), 6)
    8.0
    """
    require_above_zero("N/m", line_force=line_force)
    require_between("rad", LEAST_ANGLE, math.pi, angle=angle)
    return line_force * (1.0 - math.cos(angle))


def stripping_force(work: float, width: float, angle: float) -> float:
    """Give the force that strips a web of this width off its liner, N.

    Equation: F = G w / (1 − cos θ)

    work: G, work of release, J/m², above 0.
    width: w, width that parts at one moment, m, above 0. Where the matrix parts over its full width, between two rows
        of labels, that is the width of the web.
    angle: θ, angle between the matrix and the liner, rad, 10° to 180°.
    Raises ValueError outside these ranges. Release is faster on a press than in a slow test, and mostly harder.
    Source: Rivlin 1944, Kendall 1975 (from memory).

    >>> round(stripping_force(8.0, 0.33, math.pi / 2), 2)
    2.64
    """
    require_above_zero("J/m²", work=work)
    require_above_zero("m", width=width)
    require_between("rad", LEAST_ANGLE, math.pi, angle=angle)
    return work * width / (1.0 - math.cos(angle))


def strip_strength(strength: float, width: float, caliper: float) -> float:
    """Give the force at which a strip of the matrix breaks, N.

    Equation: F = σ_b w t

    strength: σ_b, tensile strength of the face, Pa, above 0.
    width: w, width of the strip, m, above 0.
    caliper: t, caliper of the face, m, above 0.
    Raises ValueError outside these ranges. A clean cut: a nick breaks sooner. The adhesive carries nothing.
    Source: definition of tensile strength.

    >>> round(strip_strength(100e6, 0.003, 50e-6), 6)
    15.0
    """
    require_above_zero("Pa", strength=strength)
    require_above_zero("m", width=width, caliper=caliper)
    return strength * width * caliper


def force_per_strip(force: float, strips: float) -> float:
    """Give the share of a stripping force on each of the strips that run along the web, N.

    Equation: F / n

    force: F, force on the whole matrix, N, above 0.
    strips: n, strips along the web that share it: gaps between lanes and trims, a whole number from 1.
    Raises ValueError outside these ranges. They share it alike.
    Source: balance of forces.

    >>> force_per_strip(2.64, 6)
    0.44
    """
    require_above_zero("N", force=force)
    require_whole(strips=strips)
    return force / strips


def peel_plate_radius(modulus: float, caliper: float, work: float) -> float:
    """Give the radius of a peel plate below which a label leaves its liner by itself, m.

    Equation: r = √(E t³ / (24 G))

    modulus: E, elastic modulus of the face along the web, Pa, above 0.
    caliper: t, caliper of the face, m, above 0.
    work: G, work of release, J/m², above 0.
    Raises ValueError outside these ranges. The bending energy E t³/(24 r²) of the face alone against G.
    Source: energy balance of an elastic strip bent around a radius (beam theory).

    >>> round(peel_plate_radius(2e9, 50e-6, 8.0) * 1000, 2)
    1.14
    """
    require_above_zero("Pa", modulus=modulus)
    require_above_zero("m", caliper=caliper)
    require_above_zero("J/m²", work=work)
    return math.sqrt(modulus * caliper**3 / (24.0 * work))
