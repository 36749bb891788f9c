"""How stiffly a core stands against the pressure of the roll."""

from __future__ import annotations

from filmcheck.formulas.valid_range import require_above_zero, require_between, require_zero_or_more


def core_stiffness(modulus: float, inside_radius: float, outside_radius: float, poisson_ratio: float) -> float:
    """Give the radial stiffness of a core at its outside, Pa.

    Equation: E_c = E / [(r_o² + r_i²) / (r_o² − r_i²) − ν]

    It is the outside pressure over the share of its radius by which the core gives way.

    modulus: E, modulus of the core's material, Pa, above 0.
    inside_radius: r_i, inside radius, m, 0 (a solid core) or more, below r_o.
    outside_radius: r_o, outside radius, m, above 0.
    poisson_ratio: ν, no unit, 0 to 0.5.
    Raises ValueError outside these ranges. Isotropic tube in plane stress; a wound fibre core is not
    isotropic, so for it this is an estimate.
    Source: Lamé's thick tube under outside pressure (textbooks on elasticity).

    >>> round(core_stiffness(207e9, 0.0381, 0.04445, 0.3) / 1e9, 3)
    33.181
    """
    require_above_zero("Pa", modulus=modulus)
    require_zero_or_more("m", inside_radius=inside_radius)
    require_above_zero("m", outside_radius=outside_radius)
    require_between("", 0.0, 0.5, poisson_ratio=poisson_ratio)
    if not inside_radius < outside_radius:
        raise ValueError(
            f"inside radius is {inside_radius:g} m; it must be below the outside radius, {outside_radius:g} m"
        )
    outside, inside = outside_radius**2, inside_radius**2
    return modulus / ((outside + inside) / (outside - inside) - poisson_ratio)
