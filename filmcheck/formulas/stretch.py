"""Strain of the web from tension and heat, what it comes to per repeat, and its share of yield."""

from __future__ import annotations

from filmcheck.formulas.valid_range import (
    require_above_zero,
    require_between,
    require_finite,
    require_zero_or_more,
)


def tension_strain(line_tension: float, stiffness: float) -> float:
    """Give the elastic strain of the web under tension, no unit.

    Equation: ε = T′ / Σ Eᵢtᵢ

    line_tension: T′, line tension, N/m, 0 or more.
    stiffness: Σ Eᵢtᵢ, stiffness of the laminate per width at web temperature, N/m, above 0.
    Raises ValueError outside these ranges. Holds below yield: see share_of_yield.
    Source: Hooke's law.

    >>> round(tension_strain(138.0, 103500.0), 6)
    0.001333
    """
    require_zero_or_more("N/m", line_tension=line_tension)
    require_above_zero("N/m", stiffness=stiffness)
    return line_tension / stiffness


def stretch_per_repeat(strain: float, repeat: float) -> float:
    """Give the length that a strain adds to one repeat, m; negative where the web is shorter.

    Equation: ΔL = ε · repeat

    strain: ε, strain of the web, no unit, above −1 and at most 1.
    repeat: unstretched length of one repeat along the web, m, above 0.
    Raises ValueError outside these ranges.
    Source: definition of strain.

    >>> round(stretch_per_repeat(0.001, 0.381) * 1e6, 3)
    381.0
    """
    require_between("", -1.0, 1.0, strain=strain)
    require_above_zero("m", repeat=repeat)
    return strain * repeat


def thermal_strain(expansion: float, temperature_change: float, shrinkage: float = 0.0) -> float:
    """Give the strain of a web that is warmed without load, no unit.

    Equation: ε_T = α ΔT − s

    expansion: α, coefficient of linear expansion along the web, 1/K, any finite value.
    temperature_change: ΔT, rise of temperature, K, any finite value; negative where it cools.
    shrinkage: s, part of the length lost for good at that temperature (stock register), no unit, 0 to 1.
    Raises ValueError outside these ranges. α differs along and across the web and rises above the
    glass transition.
    Source: definition of the coefficient of linear expansion.

    >>> round(thermal_strain(17e-6, 30.0), 6)
    0.00051
    """
    require_finite("1/K", expansion=expansion)
    require_finite("K", temperature_change=temperature_change)
    require_between("", 0.0, 1.0, shrinkage=shrinkage)
    return expansion * temperature_change - shrinkage


def creep_back_length(strain_at_station: float, strain_relaxed: float, repeat: float) -> float:
    """Give the length by which locked-in strain shifts one repeat of labels on the liner, m.

    Equation: ΔL = (ε_station − ε_relaxed) · repeat

    strain_at_station: ε_station, strain at the hot, tensioned station, no unit, −1 to 1.
    strain_relaxed: ε_relaxed, strain that remains once the web has relaxed, no unit, −1 to 1.
    repeat: length of one repeat along the web, m, above 0.
    Raises ValueError outside these ranges. An estimate: how much relaxes depends on time and heat.
    Source: definition of strain; the use made of it is common practice, no source.

    >>> round(creep_back_length(0.0030, 0.0005, 0.3048) * 1e6, 1)
    762.0
    """
    require_between("", -1.0, 1.0, strain_at_station=strain_at_station, strain_relaxed=strain_relaxed)
    require_above_zero("m", repeat=repeat)
    return (strain_at_station - strain_relaxed) * repeat


def share_of_yield(stress: float, yield_stress: float) -> float:
    """Give the stress as a share of the yield stress, no unit (1 is yield).

    Equation: σ / σ_y

    stress: σ, stress in the layer, Pa, 0 or more.
    yield_stress: σ_y, yield stress of the layer at web temperature, Pa, above 0.
    Raises ValueError outside these ranges. This is the mean over the width: single lanes of a web can
    carry 3 to 5 times the mean (trade press).
    Source: definition.

    >>> share_of_yield(10e6, 100e6)
    0.1
    """
    require_zero_or_more("Pa", stress=stress)
    require_above_zero("Pa", yield_stress=yield_stress)
    return stress / yield_stress
