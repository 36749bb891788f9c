"""Energy stored as charge on a conductor: a person, or a roller without ground.

Not for the film itself: there the kind of discharge decides, not C V²/2. What is safe is for qualified
people to say.
"""

from __future__ import annotations

import math

from filmcheck.formulas.valid_range import require_above_zero, require_finite, require_zero_or_more


def stored_energy(capacitance: float, voltage: float) -> float:
    """Give the energy that a charged conductor can let go in one spark, J.

    Equation: W = ½ C V²

    capacitance: C, capacitance of the conductor to ground, F, 0 or more.
    voltage: V, voltage to ground, V, finite; its sign does not matter.
    Raises ValueError outside these ranges.
    Source: energy of a capacitor (textbooks on electricity; used so by IEC TS 60079-32-1, from memory).

    >>> round(stored_energy(100e-12, 10e3) * 1000, 3)
    5.0
    """
    require_zero_or_more("F", capacitance=capacitance)
    require_finite("V", voltage=voltage)
    return 0.5 * capacitance * voltage**2


def voltage_for_energy(energy: float, capacitance: float) -> float:
    """Give the voltage at which a charged conductor stores an energy, V.

    Equation: V = √(2 W / C)

    energy: W, energy, for example the least that ignites a vapour, J, 0 or more.
    capacitance: C, capacitance of the conductor to ground, F, above 0.
    Raises ValueError outside these ranges.
    Source: energy of a capacitor, solved for the voltage.

    >>> round(voltage_for_energy(0.24e-3, 100e-12), 1)
    2190.9
    """
    require_zero_or_more("J", energy=energy)
    require_above_zero("F", capacitance=capacitance)
    return math.sqrt(2.0 * energy / capacitance)
