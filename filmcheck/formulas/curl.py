"""Curl of two layers that were joined while one was stretched more than the other."""

from __future__ import annotations

from collections.abc import Sequence

from filmcheck.formulas.valid_range import require_above_zero, require_finite, require_layers, require_paired


def curvature_of_two(strain_apart: float, moduli: Sequence[float], thicknesses: Sequence[float]) -> float:
    """Give the curvature of two layers that are let go after they were joined flat, 1/m; towards the upper above 0.

    Equation: κ = 6 Δε (1 + m)² / (h [3 (1 + m)² + (1 + m n) (m² + 1/(m n))]), m = t₂/t₁, n = E₂/E₁, h = t₁ + t₂

    strain_apart: Δε, how much more the upper layer was stretched than the one under it, no unit, any finite value.
    moduli: E₁ and E₂, modulus of the layer under it and of the upper one, Pa, each above 0.
    thicknesses: t₁ and t₂, their calipers, m, each above 0.
    Raises ValueError outside these ranges. Elastic layers, small strains, joined without slip; far from the edges.
    Source: Timoshenko 1925, Analysis of bi-metal thermostats, eq. 4, with Δε in place of (α₂ − α₁) ΔT.

    >>> round(curvature_of_two(0.001, [2e9, 2e9], [50e-6, 50e-6]), 3)
    15.0
    """
    require_paired(moduli=moduli, thicknesses=thicknesses)
    if len(moduli) != 2:
        raise ValueError(f"{len(moduli)} layers are given; it must be two")
    require_layers("Pa", "modulus", moduli)
    require_layers("m", "thickness", thicknesses)
    require_finite("", strain_apart=strain_apart)
    m, n = thicknesses[1] / thicknesses[0], moduli[1] / moduli[0]
    stiff = 3 * (1 + m) ** 2 + (1 + m * n) * (m**2 + 1 / (m * n))
    return 6 * strain_apart * (1 + m) ** 2 / (sum(thicknesses) * stiff)


def rise_of_ends(curvature: float, length: float) -> float:
    """Give how far the ends of a curled strip rise above its middle, m; below 0 they go down.

    Equation: κ L² / 8

    curvature: κ, 1/m, any finite value.
    length: L, length of the strip, m, above 0.
    Raises ValueError outside these ranges. For rises small against the length.
    Source: Timoshenko 1925, deflection of a strip: a flat circular arc.

    >>> round(rise_of_ends(10.0, 0.1) * 1e3, 3)
    12.5
    """
    require_finite("1/m", curvature=curvature)
    require_above_zero("m", length=length)
    return curvature * length**2 / 8
