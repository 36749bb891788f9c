"""How much a lamp warms the web. These are estimates: losses and the chill roll are left out."""

from __future__ import annotations

from filmcheck.formulas.valid_range import require_above_zero, require_between, require_zero_or_more


def lamp_temperature_rise(
    power_per_width: float, setting: float, absorbed: float, speed: float, areal_heat_capacity: float
) -> float:
    """Give the rise of web temperature under a lamp, K; an estimate.

    Equation: ΔT = a (s P′) / (v Σ ρᵢcᵢtᵢ)

    power_per_width: P′, radiated lamp power per width of web at full setting, W/m, 0 or more.
    setting: s, share of full power, no unit, 0 to 1.
    absorbed: a, share of the radiated power that the web takes up, no unit, 0 to 1.
    speed: v, web speed, m/s, above 0.
    areal_heat_capacity: Σ ρᵢcᵢtᵢ, heat capacity per area of web, J/(m² K), above 0.
    Raises ValueError outside these ranges. No losses, whole thickness at one temperature.
    Source: balance of energy on the web passing the lamp.

    >>> round(lamp_temperature_rise(10000.0, 0.6, 0.3, 0.75, 150.0), 1)
    16.0
    """
    require_zero_or_more("W/m", power_per_width=power_per_width)
    require_between("", 0.0, 1.0, setting=setting, absorbed=absorbed)
    require_above_zero("m/s", speed=speed)
    require_above_zero("J/(m² K)", areal_heat_capacity=areal_heat_capacity)
    return absorbed * setting * power_per_width / (speed * areal_heat_capacity)
