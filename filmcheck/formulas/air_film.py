"""Air dragged in between web and roll, or web and bar. An indication only; how fast it leaks out
again at the edges is a function of its own.

Two variants are in use and must not be mixed: with web and roll at equal speed the speeds add up to
2 v, which gives the factor 12; on a standing bar only the web moves, which gives the factor 6.
"""

from __future__ import annotations

import math

from filmcheck.formulas.valid_range import require_above_zero, require_zero_or_more

FOIL_BEARING_FACTOR = 0.643


def air_film_in_roll(radius: float, viscosity: float, speed: float, line_tension: float) -> float:
    """Give the thickness of air dragged in where web and roll run at equal speed, m.

    Equation: h = 0.643 r (12 η v / T′)^(2/3)

    radius: r, outside radius of the roll, m, above 0.
    viscosity: η, viscosity of air, Pa s, above 0 (about 1.8e-5 at room temperature).
    speed: v, speed of web and roll surface, m/s, 0 or more.
    line_tension: T′, line tension, N/m, above 0.
    Raises ValueError outside these ranges. Smooth, tight, wide web; no leakage, so this is the most.
    Source: Knox and Sweeney, Ind. Eng. Chem. Process Des. Dev. 10 (1971) 201, from memory; the factor
    0.643 follows from the foil-bearing equation.

    >>> round(air_film_in_roll(0.050, 1.81e-5, 100 / 60, 150.0) * 1e6, 3)
    5.784
    """
    return _air_film(radius, 12.0 * viscosity, viscosity, speed, line_tension)


def _air_film(radius: float, drag: float, viscosity: float, speed: float, line_tension: float) -> float:
    require_above_zero("m", radius=radius)
    require_above_zero("Pa s", viscosity=viscosity)
    require_zero_or_more("m/s", speed=speed)
    require_above_zero("N/m", line_tension=line_tension)
    return FOIL_BEARING_FACTOR * radius * math.pow(drag * speed / line_tension, 2.0 / 3.0)


def air_leak_time(
    viscosity: float, width: float, line_tension: float, radius: float, film: float, gap_left: float
) -> float:
    """Give the time in which air leaks out sideways from under the outer turn of a roll, s; 0 where little is in it.

    Equation: t = η w² / (2 p) · (1/h₂² − 1/h₁²), p = T′ / R

    viscosity: η, viscosity of air, Pa s, above 0 (about 1.81e-5 at room temperature).
    width: w, width of the roll, m, above 0.
    line_tension: T′, line tension at the outside, N/m, above 0.
    radius: R, outside radius of the roll, m, above 0.
    film: h₁, thickness of air dragged in, m, above 0.
    gap_left: h₂, thickness at which the turns touch, m, above 0.
    Raises ValueError outside these ranges. Smooth surfaces: rough ones and printed edges let the air out sooner.
    Source: Reynolds squeeze film between long strips, for a constant pressure.

    >>> round(air_leak_time(1.81e-5, 0.050, 86.0, 0.125, 23.66e-6, 3e-6), 1)
    3.6
    """
    require_above_zero("Pa s", viscosity=viscosity)
    require_above_zero("m", width=width, radius=radius, film=film, gap_left=gap_left)
    require_above_zero("N/m", line_tension=line_tension)
    if film <= gap_left:
        return 0.0
    pressure = line_tension / radius
    return viscosity * width**2 / (2.0 * pressure) * (1.0 / gap_left**2 - 1.0 / film**2)
