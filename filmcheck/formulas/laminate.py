"""Sums over the layers of a laminate: caliper, stiffness, mass, heat capacity, and the share of one layer."""

from __future__ import annotations

import math
from collections.abc import Sequence

from filmcheck.formulas.valid_range import require_layers, require_paired


def laminate_thickness(thicknesses: Sequence[float]) -> float:
    """Give the caliper of the laminate, m.

    Equation: t = Σ tᵢ

    thicknesses: tᵢ, caliper of each layer, m, each above 0, at least one.
    Raises ValueError outside these ranges.
    Source: definition.

    >>> round(laminate_thickness([50e-6, 18e-6, 23e-6]) * 1e6, 3)
    91.0
    """
    require_paired(thicknesses=thicknesses)
    require_layers("m", "thickness", thicknesses)
    return math.fsum(thicknesses)


def laminate_stiffness(moduli: Sequence[float], thicknesses: Sequence[float]) -> float:
    """Give the stiffness of the laminate along the web, per width, N/m.

    Equation: Σ Eᵢ tᵢ

    moduli: Eᵢ, modulus of each layer along the web at web temperature, Pa, each above 0.
    thicknesses: tᵢ, caliper of each layer, m, each above 0; as many as moduli, at least one.
    Raises ValueError outside these ranges. Adhesive layers add next to nothing and may be left out.
    Source: layers side by side share one strain (rule of mixtures, Voigt).

    >>> round(laminate_stiffness([4.5e9], [23e-6]))
    103500
    """
    require_paired(moduli=moduli, thicknesses=thicknesses)
    require_layers("Pa", "modulus", moduli)
    require_layers("m", "thickness", thicknesses)
    return math.fsum(modulus * thickness for modulus, thickness in zip(moduli, thicknesses, strict=True))


def bending_stiffness(moduli: Sequence[float], thicknesses: Sequence[float]) -> float:
    """Give the bending stiffness of bonded layers, per width, N m.

    Equation: Σ Eᵢ [tᵢ³/12 + tᵢ (zᵢ − z₀)²], z₀ = Σ Eᵢ tᵢ zᵢ / Σ Eᵢ tᵢ, zᵢ the middle of layer i

    moduli: Eᵢ, modulus of each layer along the web, Pa, each above 0, in the order in which they lie.
    thicknesses: tᵢ, caliper of each layer, m, each above 0; as many as moduli, at least one.
    Raises ValueError outside these ranges. Layers do not slide on each other, which soft adhesive lets them: the most.
    Source: bending of layered beams, plane sections stay plane.

    >>> round(bending_stiffness([2e9, 2e9], [30e-6, 20e-6]) / (2e9 * 50e-6**3 / 12), 9)
    1.0
    """
    stiffness = laminate_stiffness(moduli, thicknesses)
    middles = [math.fsum(thicknesses[:number]) + t / 2 for number, t in enumerate(thicknesses)]
    layers = list(zip(moduli, thicknesses, middles, strict=True))
    neutral = math.fsum(modulus * t * z for modulus, t, z in layers) / stiffness
    return math.fsum(modulus * (t**3 / 12 + t * (z - neutral) ** 2) for modulus, t, z in layers)


def areal_mass(densities: Sequence[float], thicknesses: Sequence[float]) -> float:
    """Give the mass of the laminate per area, kg/m².

    Equation: Σ ρᵢ tᵢ

    densities: ρᵢ, density of each layer, kg/m³, each above 0.
    thicknesses: tᵢ, caliper of each layer, m, each above 0; as many as densities, at least one.
    Raises ValueError outside these ranges.
    Source: definition of density.

    >>> round(areal_mass([1395.0], [23e-6]) * 1000, 1)
    32.1
    """
    require_paired(densities=densities, thicknesses=thicknesses)
    require_layers("kg/m³", "density", densities)
    require_layers("m", "thickness", thicknesses)
    return math.fsum(density * thickness for density, thickness in zip(densities, thicknesses, strict=True))


def areal_heat_capacity(
    densities: Sequence[float], specific_heats: Sequence[float], thicknesses: Sequence[float]
) -> float:
    """Give the heat that warms one area of laminate by one kelvin, J/(m² K).

    Equation: Σ ρᵢ cᵢ tᵢ

    densities: ρᵢ, density of each layer, kg/m³, each above 0.
    specific_heats: cᵢ, specific heat of each layer, J/(kg K), each above 0.
    thicknesses: tᵢ, caliper of each layer, m, each above 0; as many of each, at least one.
    Raises ValueError outside these ranges.
    Source: definition of specific heat.

    >>> round(areal_heat_capacity([1395.0], [1200.0], [23e-6]), 2)
    38.5
    """
    require_paired(densities=densities, specific_heats=specific_heats, thicknesses=thicknesses)
    require_layers("kg/m³", "density", densities)
    require_layers("J/(kg K)", "specific heat", specific_heats)
    require_layers("m", "thickness", thicknesses)
    layers = zip(densities, specific_heats, thicknesses, strict=True)
    return math.fsum(density * heat * thickness for density, heat, thickness in layers)
