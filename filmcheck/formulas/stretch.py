"""Strain of the web from tension and heat, and its share of yield."""

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


def shrinkage_by_heat(shrinkage: float, hottest: float, cold: float, highest: float) -> float:
    """Give how far a film has shrunk for good by the hottest that it was, no unit.

    Equation: s x, x = (θ − θ₀) / (θ_max − θ₀), from 0 to 1

    shrinkage: s, permanent shrinkage at θ_max, no unit, 0 to 1.
    hottest: θ, hottest temperature of the film on its way, K, above 0.
    cold: θ₀, temperature at which it has not shrunk, K, above 0.
    highest: θ_max, temperature at which s was measured, K, above θ₀.
    Raises ValueError outside these ranges. In proportion, which counts too much: films shrink little below their glass
    transition. An estimate of the most.
    Source: interpolation between the two ends of a data sheet; common practice, no source.

    >>> shrinkage_by_heat(0.001, 319.15, 295.15, 343.15)
    0.0005
    """
    require_between("", 0.0, 1.0, shrinkage=shrinkage)
    require_above_zero("K", hottest=hottest, cold=cold, highest=highest)
    if highest <= cold:
        raise ValueError(f"highest is {highest:g} K; it must be above cold, {cold:g} K")
    return shrinkage * min(1.0, max(0.0, (hottest - cold) / (highest - cold)))


def creep_back_length(strain: float, face_stays: float, liner_stays: float, shrunk: float, label: float) -> float:
    """Give how much more one layer of a label's length recovers than the other once cut, m.

    Equation: ΔL = (ε |r_l − r_f| + s) l

    strain: ε, strain of the web at the die, by pull and heat, no unit, −1 to 1.
    face_stays: r_f, share of it that stays in the face, no unit, 0 to 1.
    liner_stays: r_l, share of it that stays in the liner, no unit, 0 to 1.
    shrunk: s, shrinkage of the liner by heat on its way to the die, no unit, 0 to 1.
    label: l, length of the label along the web, m, above 0.
    Raises ValueError outside these ranges. The parts are added as if they had one direction: the most.
    Source: face island and liner are stretched alike at the die and recover each by its own share; an estimate.

    >>> round(creep_back_length(0.001, 0.0, 0.2, 0.0003, 0.1) * 1e6, 1)
    50.0
    """
    require_between("", -1.0, 1.0, strain=strain)
    require_between("", 0.0, 1.0, face_stays=face_stays, liner_stays=liner_stays, shrunk=shrunk)
    require_above_zero("m", label=label)
    return (abs(strain) * abs(liner_stays - face_stays) + shrunk) * label


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
