"""Cheap looks at the pressure in a wound roll, before the full solution: what is proved, what is estimated.

Proved for the model of `wound_pressure` (any core, any taper): `pressure_ceiling`.
Proved for a roll without a core wound at constant stress: `plateau_bounds`, which hold `plateau_pressure`.
Estimate only: `plateau_pressure` as the pressure of a real roll. It comes near between the two ends of a
thick roll wound at constant stress; near a core the pressure may be several times as high or much lower,
towards the surface it falls to nothing, and it is no bound on either side.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from filmcheck.formulas.valid_range import require_above_zero, require_between

_ODE_STEPS = 40
_ROOT_STEPS = 200
_ROOT_PRECISION = 1e-7


def pressure_ceiling(
    radius: float,
    *,
    core_radius: float,
    roll_radius: float,
    start_stress: float,
    taper: float = 0.0,
    taper_law: str = "linear",
) -> float:
    """Give a pressure that the roll cannot exceed at a radius, Pa; proved, needs no stack data.

    Equation: P(r) ≤ (1/r) ∫ σ(r′) dr′ from r to r_o

    radius: r, radius asked about, m, from r_c to r_o.
    core_radius: r_c, outside radius of the core, m, above 0.
    roll_radius: r_o, outside radius of the roll, m, above r_c.
    start_stress: σ₀, wound-on stress at the core (tension per width over thickness), Pa, above 0.
    taper: p, share lost, no unit, 0 to 1. taper_law: "linear" or "hyperbolic".
    Raises ValueError outside these ranges.
    Why: a wrap only ever loses tension to the wraps wound upon it, so the hoop stress stays below σ(r);
    the pressure carries the hoop stress of all wraps outside r. At the core, constant σ: σ₀ (r_o / r_c − 1).
    Source: balance of forces on the ring outside r.

    >>> round(pressure_ceiling(0.0508, core_radius=0.0508, roll_radius=0.05334, start_stress=6.894757e6))
    344738
    """
    require_above_zero("m", core_radius=core_radius, roll_radius=roll_radius)
    require_above_zero("Pa", start_stress=start_stress)
    require_between("m", core_radius, roll_radius, radius=radius)
    require_between("", 0.0, 1.0, taper=taper)
    wraps = roll_radius - radius
    if taper_law == "linear":
        middle = (radius + roll_radius) / 2.0 - core_radius
        return start_stress * wraps * (1.0 - taper * middle / (roll_radius - core_radius)) / radius
    if taper_law == "hyperbolic":
        logarithm = core_radius * math.log(roll_radius / radius)
        return start_stress * ((1.0 - taper) * wraps + taper * logarithm) / radius
    raise ValueError(f'taper law is "{taper_law}"; it must be "linear" or "hyperbolic"')


def _require_stack(start_stress: float, hoop_modulus: float, stack_k1: float, stack_k2: float) -> None:
    require_above_zero("Pa", start_stress=start_stress, hoop_modulus=hoop_modulus, stack_k1=stack_k1)
    require_above_zero("", stack_k2=stack_k2)


def _root(function: Callable[[float], float], low: float, high: float) -> float:
    """Root of a rising function between `low` (value below 0) and `high` (above 0), by the Illinois rule."""
    at_low, at_high = function(low), function(high)
    for _ in range(_ROOT_STEPS):
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        value = function(middle)
        if abs(value) <= _ROOT_PRECISION * (abs(at_low) + abs(at_high)) or high - low <= _ROOT_PRECISION * high:
            return middle
        if value > 0.0:
            high, at_high, at_low = middle, value, at_low / 2.0
        else:
            low, at_low, at_high = middle, value, at_high / 2.0
    raise ArithmeticError("the plateau pressure was not found")


def plateau_bounds(
    *, start_stress: float, hoop_modulus: float, stack_k1: float, stack_k2: float
) -> tuple[float, float]:
    """Give a lower and an upper bound of `plateau_pressure`, Pa.

    Equation: with W(P) = (E_t/K₂) [P − K₁ ln(1 + P/K₁)] − P²/2 and Q = ∫ q dP over 0 … P∞,
    σ²/2 = W(P∞) − 2 Q and 0 < Q < σ P∞ (q falls from σ to 0), so that W(P_low) = σ²/2 and
    W(P_high) − 2 σ P_high = σ²/2; where that has no solution, P_high is the pressure at which E_r = E_t.

    start_stress: σ, Pa, above 0. hoop_modulus: E_t, modulus of the web along its length, Pa, above 0.
    stack_k1: K₁, Pa, above 0. stack_k2: K₂, no unit, above 0.
    Raises ValueError outside these ranges, or if the stack gets stiffer than the web before it carries the
    stress: there is no plateau then.
    Source: integral of the equation under `plateau_pressure`.

    >>> low, high = plateau_bounds(start_stress=6e6, hoop_modulus=4.5e9, stack_k1=5e3, stack_k2=120.0)
    >>> round(low / 1e3), round(high / 1e3)
    (507, 754)
    """
    _require_stack(start_stress, hoop_modulus, stack_k1, stack_k2)
    per_strain = hoop_modulus / stack_k2
    stiffest = per_strain - stack_k1  # Er = Et here

    def work(pressure: float, share: float) -> float:
        stored = per_strain * (pressure - stack_k1 * math.log1p(pressure / stack_k1))
        return stored - pressure**2 / 2.0 - share * start_stress * pressure - start_stress**2 / 2.0

    def bound(share: float) -> float | None:
        half = (stiffest - share * start_stress) / 2.0
        spread = half * half - share * start_stress * stack_k1
        high = half + math.sqrt(spread) if spread > 0.0 else 0.0  # the work is greatest here
        if high <= 0.0 or work(high, share) <= 0.0:
            return None
        while work(high / 2.0, share) > 0.0:
            high /= 2.0
        return _root(lambda pressure: work(pressure, share), high / 2.0, high)

    low = bound(0.0)
    if low is None:
        raise _no_plateau(start_stress, hoop_modulus, stack_k1, stack_k2)
    return low, bound(2.0) or stiffest


def _no_plateau(start_stress: float, hoop_modulus: float, stack_k1: float, stack_k2: float) -> ValueError:
    return ValueError(
        f"start stress is {start_stress:g} Pa; it must be low enough for the stack "
        f"(K1 {stack_k1:g} Pa, K2 {stack_k2:g}) to stay softer than the web, {hoop_modulus:g} Pa"
    )


def _stress_for(plateau: float, per_strain: float, k1: float) -> float:
    """Wound-on stress whose plateau is `plateau`: q at P = 0, from q = z (P∞ − P) beside the plateau.

    The classical fourth-order Runge-Kutta rule in τ = ln(1 + P/K1), in which Γ is a straight line.
    """
    end = math.log1p(plateau / k1)
    start = end * (1.0 - 1e-4)

    def slope(tau: float, q: float) -> float:
        grown = k1 * math.exp(tau)
        pressure = grown - k1
        return grown * (2.0 + (per_strain * (tau - end) - pressure + plateau) / q)

    decay = math.sqrt(per_strain / (k1 + plateau)) - 1.0
    q = decay * (plateau - k1 * math.expm1(start))
    step = -start / _ODE_STEPS
    for i in range(_ODE_STEPS):
        tau = start + i * step
        first = slope(tau, q)
        second = slope(tau + step / 2.0, q + step / 2.0 * first)
        third = slope(tau + step / 2.0, q + step / 2.0 * second)
        last = slope(tau + step, q + step * third)
        q += step / 6.0 * (first + 2.0 * (second + third) + last)
    return q


def plateau_pressure(*, start_stress: float, hoop_modulus: float, stack_k1: float, stack_k2: float) -> float:
    """Give the pressure deep in a roll without a core, wound at constant stress, Pa.

    Equation: q dq/dP = 2 q + G(P) − G(P∞), q(0) = σ, q(P∞) = 0, G(P) = (E_t/K₂) ln(1 + P/K₁) − P;
    P∞ is found by shooting.

    start_stress: σ, Pa, above 0. hoop_modulus: E_t, Pa, above 0. stack_k1: K₁, Pa, above 0. stack_k2:
    K₂, above 0.
    Raises ValueError outside these ranges and where `plateau_bounds` does.
    What it tells of a real roll: see the head of this module. Source: similarity solution of Hakiel's
    equation.

    >>> round(plateau_pressure(start_stress=6e6, hoop_modulus=4.5e9, stack_k1=5e3, stack_k2=120.0) / 1e3, 2)
    586.35
    """
    low, high = plateau_bounds(
        start_stress=start_stress, hoop_modulus=hoop_modulus, stack_k1=stack_k1, stack_k2=stack_k2
    )
    per_strain = hoop_modulus / stack_k2
    high = min(high, (per_strain - stack_k1) * (1.0 - 1e-6))  # beside it q has no slope to start from
    if _stress_for(high, per_strain, stack_k1) <= start_stress:
        raise _no_plateau(start_stress, hoop_modulus, stack_k1, stack_k2)
    return _root(lambda plateau: _stress_for(plateau, per_strain, stack_k1) - start_stress, low, high)
