"""Dew point of the room's air."""

from __future__ import annotations

import math

from filmcheck.formulas.valid_range import require_above_zero, require_between

ICE_POINT = 273.15
SLOPE, OFFSET = 17.62, 243.12
"""Constants of the Magnus equation over water, for °C (WMO-No. 8, from memory)."""


def dew_point(temperature: float, humidity: float) -> float:
    """Give the temperature at which the air of a room begins to wet a surface, K.

    Equation: γ = ln(RH) + 17.62 θ / (243.12 + θ); θ_d = 243.12 γ / (17.62 − γ), θ in °C

    temperature: temperature of the air, K, 233.15 to 333.15 (−40 to 60 °C).
    humidity: RH, relative humidity, no unit, above 0 to 1.
    Raises ValueError outside these ranges.
    Source: Magnus equation over water with the constants of WMO-No. 8 (from memory).

    >>> round(dew_point(297.15, 0.65) - 273.15, 1)
    17.0
    """
    require_between("K", 233.15, 333.15, temperature=temperature)
    require_above_zero("", humidity=humidity)
    require_between("", 0.0, 1.0, humidity=humidity)
    celsius = temperature - ICE_POINT
    gamma = math.log(humidity) + SLOPE * celsius / (OFFSET + celsius)
    return ICE_POINT + OFFSET * gamma / (SLOPE - gamma)
