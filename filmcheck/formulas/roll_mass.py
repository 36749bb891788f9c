"""Mass and moment of inertia of a roll."""

from __future__ import annotations

from filmcheck.formulas.valid_range import require_above_zero, require_zero_or_more


def roll_mass(areal_mass: float, length: float, width: float, core_mass: float = 0.0) -> float:
    """Give the mass of a roll, kg.

    Equation: m = q L w + m_core

    areal_mass: q, mass of the web per area, kg/m², above 0.
    length: L, length of web on the roll, m, 0 or more.
    width: w, width of the roll, m, above 0.
    core_mass: m_core, mass of the core, kg, 0 or more.
    Raises ValueError outside these ranges.
    Source: definition of mass per area.

    >>> round(roll_mass(0.110, 4200.0, 0.330), 2)
    152.46
    """
    require_above_zero("kg/m²", areal_mass=areal_mass)
    require_zero_or_more("m", length=length)
    require_above_zero("m", width=width)
    require_zero_or_more("kg", core_mass=core_mass)
    return areal_mass * length * width + core_mass


def roll_inertia(mass: float, outside_diameter: float, inside_diameter: float) -> float:
    """Give the moment of inertia of the wraps between two diameters about the roll's axis, kg m².

    Equation: J = m (D² + d²) / 8

    mass: m, mass between the two diameters, kg, 0 or more.
    outside_diameter: D, m, above 0 and at least d.
    inside_diameter: d, m, 0 or more.
    Raises ValueError outside these ranges.
    Source: moment of inertia of a uniform thick ring (textbooks on mechanics).

    >>> roll_inertia(8.0, 1.0, 0.0)
    1.0
    """
    require_zero_or_more("kg", mass=mass)
    require_above_zero("m", outside_diameter=outside_diameter)
    require_zero_or_more("m", inside_diameter=inside_diameter)
    if outside_diameter < inside_diameter:
        raise ValueError(
            f"outside diameter is {outside_diameter:g} m; it must be at least the inside diameter, "
            f"{inside_diameter:g} m"
        )
    return mass * (outside_diameter**2 + inside_diameter**2) / 8.0
