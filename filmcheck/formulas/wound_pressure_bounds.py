"""Proved bounds of the pressure in a wound roll, at a fiftieth of the cost of the pressure itself.

Terms and scales are those of `wound_pressure_march`: stress by K1, radius by the core radius, x = ln(r / rc), X at the
surface, v = r p, Γ(p) = c ln(1 + p), e = Et / Ec + ν.

Order. A wrap adds u = ∂v/∂X, with u_xx = Γ′(p) u, u_x = e u at the core, u = r σ at the surface. By the maximum
principle u ≥ 0, and u grows with σ, as e falls, and as Γ′ falls, so with p. Hence the same winding at more tension, or
on a stiffer core, presses harder everywhere; and a w that starts from nothing and grows by z = ∂w/∂X with
z_xx ≥ Γ′(w/r) z, z_x ≥ e z at the core and z ≤ r σ at the surface stays below v: v is the fixed point of the map from
a pressure to the sum of its wraps, which keeps order, and the iterates that start from w rise to v.

Floor. Let ψ″ = Γ(ψ) − Γ(y), ψ(0) = 0, ψ(∞) = y: a flat stack wound at s, s² / 2 = c (y − ln(1 + y)), s = ψ′(0). Put
w = r ψ(X − x). Then z_xx − Γ′ z = r (ψ′ − 2 ψ″) ≥ 0, for ψ rises and bends down. With g² = Γ′(y) = c / (1 + y) and
Γ concave, Γ(y) − Γ(ψ) ≥ g² (y − ψ), hence ψ′ ≥ g (y − ψ) and −ψ″ ≥ g ψ′; so z_x − e z = r ((1 − e) ψ′ − ψ″) ≥ 0 at
the core as long as e ≤ 1 + g. So p ≥ ψ(X − x) ≥ y (1 − exp(−g (X − x))), where s is at most the tension of every wrap
up to X. A softer core is met by a lower y, for which g = e − 1. X may be any radius between: wraps outside only add.

Ceiling. Take σ as that of the first wrap throughout, and e as at most 1 + g: both only raise p. Summed over the wraps
v_xx = r (Γ(p) − F), v_x = e v − σ at the core, F = σ (1 + u_x/u) at the surface of the roll that ended there. As p ≥ ψ,
u there rises no steeper than z does: u_x/u ≤ 1 − ψ″(0)/ψ′(0) = 1 + Γ(y)/σ, and F ≤ 2σ + Γ(y). By the maximum principle
v lies below any w ≥ 0 with w_xx ≤ r (Γ(w/r) − 2σ − Γ(y)) and w_x ≤ e w − σ at the core. Such is w = r P + b with
Γ(P) − P ≥ 2σ + Γ(y) and b″ = Γ(P + b) − Γ(P), b(∞) = 0, since r ≥ 1 and Γ is concave; and at the core, where
b′² = 2 c (1 + P) ((1 + t) ln(1 + t) − t) ≥ c (1 + P) t² / (1 + t/3), t = b / (1 + P), if that makes
−b′ ≥ σ + (1 − e) P. Nothing in the roll is pressed harder than P + b at the core.

Source: derived, no source; maximum and comparison principles as in Protter and Weinberger, Maximum Principles in
Differential Equations (1967), chapter 1 (from memory). The last inequality on t is Bennett's against Bernstein's.
"""

from __future__ import annotations

import math
from functools import cached_property

from filmcheck.formulas.valid_range import require_between
from filmcheck.formulas.wound_pressure import require_soft_stack, require_wound_roll

SOLVER_ERROR = 0.03
"""Share by which the bounds are widened: `wound_pressure` itself may err by half of it at its worst."""
_HIGHEST_TAPER = 0.6
_HIGHEST_BUILD = 20.0
_NEWTON_STEPS = 2
_SMALL = 1e-4
_WOUND = (0.15, 0.35, 0.65, 1.0)
"""Shares of the build after which a floor is sought: what is wound later is wound at less tension."""
_MOST_SOURCE = 100.0


class PressureBounds:
    """What the pressure in one wound roll can be, as `wound_pressure` would find it."""

    def __init__(
        self,
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
    ) -> None:
        """Take what `wound_pressure` takes, in the same units.

        Raises ValueError where that would, and also where no bound is known: for a taper above 0.6, a roll above 20
        times its core, and a stack that might be stiffer than the web at the highest pressure that can be. Elsewhere
        `wound_pressure` has always been seen to settle.
        """
        require_wound_roll(
            core_radius, roll_radius, start_stress, taper, taper_law, hoop_modulus, core_stiffness, poisson
        )
        require_between("Pa", 1e-9 * hoop_modulus, hoop_modulus, stack_k1=stack_k1)
        require_between("", 1e-9, 1e9, stack_k2=stack_k2)
        require_between("", 0.0, _HIGHEST_TAPER, taper=taper)
        require_between("m", core_radius, _HIGHEST_BUILD * core_radius, roll_radius=roll_radius)
        self._core_radius, self._roll_radius = core_radius, roll_radius
        self._taper, self._linear = taper, taper_law == "linear"
        self._k1, self._start = stack_k1, start_stress / stack_k1
        self._c = hoop_modulus / (stack_k2 * stack_k1)
        self._core = hoop_modulus / core_stiffness + poisson
        self.most = self._ceiling() * stack_k1 * (1.0 + SOLVER_ERROR)
        """Pa, not less than the pressure at any radius."""
        require_soft_stack(self.most, hoop_modulus, stack_k1, stack_k2)

    def least_at(self, radius: float) -> float:
        """Pa, not more than the pressure at a radius of the roll, in m, nor than that at any radius further in."""
        at = math.log(radius)
        floors = [y * -math.expm1(g * (at - surface)) for surface, y, g in self._waves if surface > at]
        return max(floors, default=0.0) * self._k1 * (1.0 - SOLVER_ERROR)

    @cached_property
    def _waves(self) -> list[tuple[float, float, float]]:
        """Plane waves that stay below the pressure: ln of the radius from which each runs inwards, y and g."""
        made = []
        inner, build = self._core_radius, self._roll_radius - self._core_radius
        softest = self._core - 1.0
        for share in _WOUND if self._taper else (1.0,):
            surface = inner + build * share
            stress = self._start * (1.0 - self._taper * (share if self._linear else 1.0 - inner / surface))
            y = _plateau(stress * stress / (2.0 * self._c))
            if softest > 0.0:
                y = min(y, self._c / (softest * softest) - 1.0)
            if y > 0.0:
                made.append((math.log(surface), y, math.sqrt(self._c / (1.0 + y))))
        return made

    def _ceiling(self) -> float:
        start, c = self._start, self._c
        y = _plateau(start * start / (2.0 * c))
        core = min(self._core, 1.0 + math.sqrt(c / (1.0 + y)))
        source = (2.0 * start + c * math.log1p(y)) / c
        highest = 1.5 * math.expm1(min(source, _MOST_SOURCE))
        plateau = math.expm1(source + highest / c) if source + highest / c <= _MOST_SOURCE else math.inf
        if plateau > highest:  # else Γ(P) − P is at least the source
            raise ValueError("no bound of the pressure is known where the stack is about as stiff as the web")
        push = max(0.0, start + (1.0 - core) * plateau)
        k = push * push / (c * (1.0 + plateau))
        return plateau + (1.0 + plateau) * (k / 6.0 + math.sqrt(k * k / 36.0 + k))


def _plateau(m: float) -> float:
    """Give the y above 0 of y − ln(1 + y) = m, m above 0: Newton's method, from above, where it cannot overshoot.

    >>> round(_plateau(1 - math.log(2)), 12)
    1.0
    """
    root = math.sqrt(2.0 * m)
    if m < _SMALL:
        return root + m * 2.0 / 3.0
    y = root + m
    for _ in range(_NEWTON_STEPS):
        y -= (y - math.log1p(y) - m) * (1.0 + y) / y
    return y
