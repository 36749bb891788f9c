"""Pressure between the wraps of a centre-wound roll, in the limit of thin wraps.

Model: Hakiel, Tappi J. 70(5) (1987) 113-117, from memory, re-derived; stack law of Pfeiffer, E_r = K₂
(K₁ + P). For every added wrap, r² δP″ + 3 r δP′ − (E_t/E_r(P) − 1) δP = 0, with δP = σ h / r under the
new wrap and r δP′ = (E_t/E_c − 1 + ν) δP at the core. Grouping wraps raises the pressure (10 % on film
at 200 groups), so here they are not grouped: the limit h → 0 is solved (`wound_pressure_march`). Against
solutions on fine meshes the pressures are right within about 0.3 % for label stocks; `tension_miss` of a
result shows its own error.

What it is not: no measured roll from the literature has been matched, for none was found with its stack
data, and K₁, K₂ differ from stock to stock: they are for the plant to measure, by a stack test. No air
between the wraps, no nip, no heat, no creep of adhesive, no thick and thin lanes. For nip winding add
the nip's part to the wound-on stress.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass
from itertools import pairwise

from filmcheck.formulas.valid_range import require_above_zero, require_between
from filmcheck.formulas.wound_pressure_march import Profile, ScaledRoll, solve

# Meshes tried in turn, each with the miss up to which it is believed, from comparison with fine meshes.
_MESHES = ((1.6, 0.004), (1.3, 0.004), (1.15, 0.012))
_HIGHEST_TAPER = 0.9
_HIGHEST_STRAIN = 0.05
_HIGHEST_BUILD = 50.0
_SHARES = tuple(part / 8 for part in range(8))  # places in a cell at which the least hoop stress is looked for


@dataclass(frozen=True, slots=True)
class WoundRoll:
    """A wound roll: values at nodes from core to surface, SI units."""

    radii: tuple[float, ...]
    """m, rising, the first at the core, the last at the surface."""
    pressure: tuple[float, ...]
    """Pa, between the wraps."""
    hoop: tuple[float, ...]
    """Pa, stress along the web; below zero the wraps are pushed together and may buckle."""
    tension_miss: float
    """Share by which the surface hoop stress misses the wound-on stress: a sign of the error."""

    @property
    def core_pressure(self) -> float:
        """Pressure on the core, Pa."""
        return self.pressure[0]

    @property
    def greatest_pressure(self) -> float:
        """Greatest pressure at a node, Pa."""
        return max(self.pressure)

    def pressure_at(self, radius: float) -> float:
        """Pressure at a radius, Pa. Raises ValueError for a radius outside the roll."""
        cell, t, h = self._place(radius)
        return self._force(cell, t, h)[0] / radius

    def hoop_at(self, radius: float) -> float:
        """Hoop stress at a radius, Pa. Raises ValueError for a radius outside the roll."""
        return self._force(*self._place(radius))[1]

    def least_hoop(self) -> tuple[float, float]:
        """The least hoop stress, Pa, and the radius at which it stands, m: Hermite's cubic, as in `_force`."""
        forces = [r * p for r, p in zip(self.radii, self.pressure, strict=True)]
        found = [(self.hoop[-1], self.radii[-1])]
        for (r, r_next), (v, v_next), (s, s_next) in zip(*map(pairwise, (self.radii, forces, self.hoop)), strict=True):
            h = r_next - r
            rise = (v_next - v) / h
            linear, square = -6.0 * rise - 4.0 * s - 2.0 * s_next, 6.0 * rise + 3.0 * (s + s_next)
            found += [(s + t * (linear + t * square), r + h * t) for t in _SHARES]
        return min(found)

    def _place(self, radius: float) -> tuple[int, float, float]:
        require_between("m", self.radii[0], self.radii[-1], radius=radius)
        cell = min(bisect_right(self.radii, radius), len(self.radii) - 1) - 1
        h = self.radii[cell + 1] - self.radii[cell]
        return cell, (radius - self.radii[cell]) / h, h

    def _force(self, cell: int, t: float, h: float) -> tuple[float, float]:
        """r P, and its slope with the sign turned (the hoop stress), by Hermite's cubic in a cell."""
        start, end = (self.radii[i] * self.pressure[i] for i in (cell, cell + 1))
        rise = end - start
        first = -h * self.hoop[cell] - rise
        last = h * self.hoop[cell + 1] + rise
        s = 1.0 - t
        value = s * start + t * end + t * s * (s * first + t * last)
        slope = rise + (1.0 - 2.0 * t) * (s * first + t * last) + t * s * (last - first)
        return value, -slope / h


def require_wound_roll(
    core_radius: float,
    roll_radius: float,
    start_stress: float,
    taper: float,
    taper_law: str,
    hoop_modulus: float,
    core_stiffness: float,
    poisson: float,
) -> None:
    """Raise ValueError for a roll out of the model's range; arguments as in `wound_pressure`."""
    require_above_zero("m", core_radius=core_radius, roll_radius=roll_radius)
    require_above_zero("Pa", start_stress=start_stress, hoop_modulus=hoop_modulus)
    if not core_stiffness > 0.0:  # infinite is a rigid core
        raise ValueError(f"core stiffness is {core_stiffness:g} Pa; it must be above 0 Pa")
    require_between("", 0.0, _HIGHEST_TAPER, taper=taper)
    require_between("", 0.0, 0.5, poisson=poisson)
    require_between("Pa", 0.0, _HIGHEST_STRAIN * hoop_modulus, start_stress=start_stress)
    if not core_radius < roll_radius <= _HIGHEST_BUILD * core_radius:
        raise ValueError(
            f"roll radius is {roll_radius:g} m; it must be above the core radius, {core_radius:g} m, "
            f"and at most {_HIGHEST_BUILD:g} times as large"
        )
    if taper_law not in ("linear", "hyperbolic"):
        raise ValueError(f'taper law is "{taper_law}"; it must be "linear" or "hyperbolic"')


def require_soft_stack(pressure: float, hoop_modulus: float, stack_k1: float, stack_k2: float) -> None:
    """Raise ValueError where a pressure, Pa, makes the stack stiffer than the web, all in Pa, K₂ without unit."""
    stiffest = stack_k2 * (stack_k1 + pressure)
    if stiffest > hoop_modulus:
        raise ValueError(
            f"stack modulus is {stiffest:g} Pa at the greatest pressure, {pressure:g} Pa; "
            f"it must be at most the web's modulus, {hoop_modulus:g} Pa"
        )


def _solved(roll: ScaledRoll) -> Profile:
    """Solve on the coarsest mesh whose own error sign is small."""
    for ratio, believed in _MESHES:
        profile = solve(roll, ratio)
        if abs(profile.surface_miss) <= believed:
            return profile
    raise ValueError(
        f"the wound pressure did not settle: the surface misses its tension by {profile.surface_miss:.1%}; "
        "taper, roll radius over core radius or K1 over start stress must be lower"
    )


def _wound_roll(profile: Profile, core_radius: float, roll_radius: float, stress: float) -> WoundRoll:
    inner = (r * core_radius for r in profile.radius[1:-1])
    return WoundRoll(
        radii=(core_radius, *inner, roll_radius),  # the ends exactly as given, not through a logarithm
        pressure=tuple(v / r * stress for v, r in zip(profile.force, profile.radius, strict=True)),
        hoop=tuple(s * stress for s in profile.hoop),
        tension_miss=profile.surface_miss,
    )


def wound_pressure(
    *,
    core_radius: float,
    roll_radius: float,
    start_stress: float,
    taper: float = 0.0,
    taper_law: str = "linear",
    hoop_modulus: float,
    core_stiffness: float,
    stack_k1: float,
    stack_k2: float,
    poisson: float = 0.01,
) -> WoundRoll:
    """Give pressure and hoop stress in a wound roll; stack law E_r = K₂ (K₁ + P).

    core_radius: r_c, outside radius of the core, m, above 0.
    roll_radius: r_o, outside radius of the roll, m, above r_c, at most 50 r_c.
    start_stress: σ₀, wound-on stress at the core: tension over width and thickness, Pa, above 0, at most
    0.05 E_t.
    taper: p, no unit, 0 to 0.9. taper_law: "linear", σ₀ [1 − p (r − r_c)/(r_o − r_c)], or
    "hyperbolic", σ₀ [1 − p (1 − r_c/r)].
    hoop_modulus: E_t, modulus of the web along its length, Pa, above 0.
    core_stiffness: E_c, outside pressure over the share by which the core's radius gives way, Pa, above 0;
    `math.inf` is a rigid core. See `core_tube`.
    stack_k1: K₁, Pa, above 0. stack_k2: K₂, no unit, above 0.
    poisson: ν of the web through its thickness, no unit, 0 to 0.5; it has little effect.
    Raises ValueError outside these ranges; if the stack becomes stiffer than the web at the pressures
    found, for a stack test does not reach there; and if the solution does not settle. Source: this module's head.

    >>> roll = wound_pressure(core_radius=0.0461, roll_radius=0.125, start_stress=6e6, hoop_modulus=4.5e9,
    ...     core_stiffness=0.5e9, stack_k1=5e3, stack_k2=120.0)
    >>> round(roll.core_pressure / 1e3)
    603
    """
    require_wound_roll(core_radius, roll_radius, start_stress, taper, taper_law, hoop_modulus, core_stiffness, poisson)
    require_above_zero("Pa", stack_k1=stack_k1)
    require_above_zero("", stack_k2=stack_k2)
    profile = _solved(
        ScaledRoll(
            core=hoop_modulus / core_stiffness + poisson,
            thickness=math.log(roll_radius / core_radius),
            k1=stack_k1 / start_stress,
            c=hoop_modulus / (stack_k2 * start_stress),
            taper=taper,
            linear=taper_law == "linear",
        )
    )
    roll = _wound_roll(profile, core_radius, roll_radius, start_stress)
    require_soft_stack(roll.greatest_pressure, hoop_modulus, stack_k1, stack_k2)
    return roll
