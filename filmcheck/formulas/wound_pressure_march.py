"""The march that solves a wound roll in the limit of thin wraps; scaled, without units.

Scales: stress by K1, radius by the core radius, x = ln(r / rc), v = r p (force). Hakiel's wrap equation, summed
over all wraps above a radius, is the two-point problem

    v_xx = r (Γ(p) − F(x)),   Γ(p) = c ln(1 + p)   (the stack law's ∫ Et / Er dp, c = Et / (K2 K1))
    v_x = e v − σ at the core (e = Et / Ec + ν),   v = 0 and v_x = −r σ at the surface

in which one source F(x), the same for every roll radius, stands for the history of winding. With u the
pressure rise by the next wrap times r (u_xx = Γ′(p) u, u_x = e u at the core), F at the surface X of a
growing roll is

    F(X) = σ (1 + u_x / u) + σ_x

so a march over X finds F: each step solves the two-point problem for the roll as it is, by Newton's
method for v and F(X) together. u comes free with the elimination, for Newton's matrix is the operator of
u; and v depends on F(X) in a straight line, so both solutions are carried along, and F(X) follows at the
end. The second surface condition is not used; how far the solved roll misses it measures the error of the
whole march.

The loops over nodes run some five hundred times a roll, so they hold plain arithmetic on lists and nothing else.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from operator import mul
from typing import NamedTuple

from filmcheck.formulas.wound_pressure_mesh import Row, StepTable, step_table

_LAYER_SHARE = 0.25  # first mesh length as a share of the layer in which the surface pressure rises to k1
_FEWEST_STEPS = 9
_NEWTON_LIMIT = 12
_LAST_STEP_SHARE = 0.02  # the last step is the answer, the steps before only lead to it

Node = tuple[float, float, float, float, float]


class Loads(NamedTuple):
    """The load side of a step's equations, as far as it is known before the pressure."""

    known: list[float]
    """r F at every node but for the newest value of F."""
    newest: list[float]
    """r F at every node for a newest value of F of 1."""
    pushes: list[float]
    """`newest` over the hat of every node but the last."""


@dataclass(frozen=True, slots=True)
class ScaledRoll:
    """A roll in scaled terms: all that the march needs."""

    core: float  # e = Et / Ec + ν
    thickness: float  # ln(ro / rc)
    k1: float  # K1 / σ0
    c: float  # Et / (K2 σ0)
    taper: float
    linear: bool


@dataclass(frozen=True, slots=True)
class Profile:
    """A solved roll: nodes from core to surface, stress by the wound-on stress at the core."""

    radius: list[float]
    force: list[float]  # v = r p
    hoop: list[float]  # −v_x / r
    surface_miss: float  # share by which the hoop stress at the surface misses the wound-on stress


class _Winding:
    """The wound-on stress over the radius, and the part of F that follows it (times the squared mesh unit)."""

    def __init__(self, roll: ScaledRoll, area: float) -> None:
        start, c = 1.0 / roll.k1, roll.c / roll.k1
        self.taper, self.linear = roll.taper, roll.linear
        if self.linear:
            self.fall = start * self.taper / math.expm1(roll.thickness) if self.taper else 0.0
            self.level = start + self.fall
        else:
            self.fall = start * self.taper
            self.level = start - self.fall
        self.c, self.hard, self.soft = c * area, 1.0 / (2.0 * c), 1.0 / math.sqrt(c)

    def stress(self, radius: float) -> tuple[float, float]:
        """Wound-on stress at a radius and its slope in x."""
        if self.linear:
            return self.level - self.fall * radius, -self.fall * radius
        return self.level + self.fall / radius, -self.fall / radius

    def expected_sources(self, radii: Sequence[float]) -> list[float]:
        """The part of F that follows the taper: Γ at a rough plateau pressure (hard plus soft winding)."""
        if not self.taper:
            return [0.0] * len(radii)
        level, fall, c, hard, soft, log1p = self.level, self.fall, self.c, self.hard, self.soft, math.log1p
        if self.linear:
            return [c * log1p((s := level - fall * r) * (s * hard + soft)) for r in radii]
        return [c * log1p((s := level + fall / r) * (s * hard + soft)) for r in radii]


class _March:
    """The state carried from step to step; `source` is F less its expected part, 0 where not yet known.

    F and c are kept times the squared mesh unit, so that v_xx stands for differences over mesh units.
    """

    def __init__(self, roll: ScaledRoll, ratio: float, tolerance: float) -> None:
        self.core, self.ratio, self.tolerance = roll.core, ratio, tolerance
        layer = _LAYER_SHARE * min(roll.k1, math.sqrt(roll.k1 / roll.c), 1.0 / max(roll.core, 1.0))
        steps = math.log1p(roll.thickness / (2.0 * layer)) / math.log(ratio)
        self.steps = max(_FEWEST_STEPS, math.ceil(steps))
        self.unit = roll.thickness / 2.0 / (ratio**self.steps - 1.0)
        self.area = self.unit * self.unit
        h = self.end = step_table(ratio, 1).end
        self.core_row: Row = (1.0, 1.0 / h + self.unit * roll.core, 1.0 / h, 0.0, h / 3.0, h / 6.0, h / 2.0)
        self.grown = [math.exp(self.unit * y) for y in step_table(ratio, self.steps).depth]
        self.winding = _Winding(roll, self.area)
        self.c = self.winding.c
        self.start, slope = self.winding.stress(1.0)
        self.pull = self.unit * self.start
        source = self.area * (self.start * (1.0 + roll.core) + slope)
        self.source = [0.0] * (self.steps + 4)
        self.source[0] = source - self.winding.expected_sources((1.0,))[0]
        self.core_load = [source]

    def expected_newest(self, k: int) -> float:
        """The newest source value, continued from those before."""
        s = self.source
        if k > 3:
            return 4.0 * (s[k - 1] + s[k - 3]) - 6.0 * s[k - 2] - s[k - 4]
        return (s[0], 2.0 * s[1] - s[0], 3.0 * (s[2] - s[1]) + s[0])[k - 1]


def _loads(march: _March, k: int, table: StepTable, radius: list[float]) -> Loads:
    """Give the loads of step `k`. The newest value of F bears on the outer half only."""
    outer = radius[k:]
    expected = march.winding.expected_sources(outer)
    march.source[k] = -expected[-1]  # F less its expected part, where F is not there yet
    known, newest = march.core_load[:k], [0.0] * k
    for first, weights, newest_weights in table.source:
        s, t, u, v = march.source[first : first + 4]
        at = len(known) - k
        nodes = zip(outer[at:], weights, expected[at:], strict=False)
        known += [r * (a * s + b * t + c * u + d * v + e) for r, (a, b, c, d), e in nodes]
        newest += map(mul, outer[at:], newest_weights)
    inner = max(1, k - 1)  # the first node inside with load in its hat
    hats = zip(table.outer_hats, newest[inner - 1 :], newest[inner:], newest[inner + 1 :], strict=False)
    pushes = [a * n + b * q + c * m for (a, b, c), n, q, m in hats]
    return Loads(known, newest, [march.end / 6.0 * newest[1], *[0.0] * (inner - 1), *pushes])


def _tangent(c: float, force: float, radius: float) -> tuple[float, float]:
    """Slope of r Γ in v and its value at v = 0, along the tangent at `force` (c: of Γ, times the mesh unit squared).

    Below zero (only on the way to the solution) the law is continued along its tangent at zero.
    """
    if force <= 0.0:
        return c, 0.0
    p = force / radius
    slope = c / (1.0 + p)
    return slope, radius * (c * math.log1p(p) - slope * p)


def _eliminate(
    march: _March, rows: Sequence[Row], force: list[float], radius: list[float], loads: Loads
) -> tuple[list[Node], float, float]:
    """Forward elimination from the core, v_i = ratio_i v_{i+1} + offset_i + rise_i F, about the guess `force`.

    Gives ratio, offset, rise, the node's weight in the change of u, and the guess, for every node but the last;
    and the slope of v_xx in v at the last two.
    """
    c, log1p, (known, _, pushes) = march.c, math.log1p, loads
    v, r = force[0], radius[0]
    m, g = _tangent(c, v, r)
    g -= known[0]
    offset = march.pull  # hands on the tension of the first wrap as if there were a node before the core
    j = f = ratio = rise = 0.0
    nodes = []
    for (left, both, right, a, b, d, width), v_next, r_next, load, push in zip(
        rows, force[1:], radius[1:], known[1:], pushes, strict=True
    ):
        if v_next > 0.0:  # as in `_tangent`
            p = v_next / r_next
            slope = c / (1.0 + p)
            rest = r_next * (c * log1p(p) - slope * p) - load
        else:
            slope, rest = c, -load
        low = left - a * j
        scale = 1.0 / (both + b * m - low * ratio)
        offset = scale * (low * offset - a * f - b * g - d * rest)
        rise = scale * (low * rise + push)
        ratio = scale * (right - d * slope)
        nodes.append((ratio, offset, rise, width * m * m / r, v))
        v, r, f, g, j, m = v_next, r_next, g, rest, m, slope
    return nodes, j, m


def _substitute(
    march: _March, nodes: list[Node], slope_below: float, slope: float, surface: tuple[float, float]
) -> tuple[list[float], float]:
    """Back substitution: give force and source, for the wound-on stress and its slope at the surface.

    slope, slope_below: of v_xx in v at the last node and at the one before.
    """
    parts = [(0.0, 0.0)]
    u, d, e, gain, gain_by_source = 1.0, 0.0, 0.0, 0.0, 0.0
    for ratio, offset, rise, weight, v in reversed(nodes):
        u *= ratio
        d = ratio * d + offset
        e = ratio * e + rise
        share = weight * u * u
        gain += share * (v - d)
        gain_by_source -= share * e
        parts.append((d, e))
    h, last = march.end, nodes[-1][0]
    growth = (1.0 - last) / h + h / 3.0 * slope + h / 6.0 * slope_below * last
    stress = march.unit * surface[0]
    source = stress * (march.unit + growth + gain / march.c) + march.area * surface[1]
    source /= 1.0 - stress * gain_by_source / march.c
    return [d + source * e for d, e in reversed(parts)], source


def _move(force: list[float], guess: list[float]) -> float:
    """Give the greatest move of a node."""
    return max([abs(v - old) for v, old in zip(force, guess, strict=True)])


def _step(
    march: _March, k: int, table: StepTable, force: list[float], radius: list[float], loads: Loads
) -> tuple[list[float], float]:
    """Solve the roll of step `k` from the guess `force`; record its source, and give force and source."""
    surface = march.winding.stress(radius[-1])
    rows = [march.core_row, *table.rows]
    expected = -march.source[k]
    source = march.expected_newest(k) + expected
    tolerance = march.tolerance if k < march.steps else march.tolerance * _LAST_STEP_SHARE
    for _ in range(_NEWTON_LIMIT):
        guess, guessed = force, source
        nodes, slope_below, slope = _eliminate(march, rows, guess, radius, loads)
        force, source = _substitute(march, nodes, slope_below, slope, surface)
        if abs(source - guessed) <= tolerance * abs(source):
            most = tolerance * max(force)
            if abs(force[k - 1] - guess[k - 1]) <= most and _move(force, guess) <= most:  # that node moves most often
                break
    march.source[k] = source - expected
    march.core_load.append(loads.known[k] + loads.newest[k] * source)
    return force, source


def _bend(march: _March, force: list[float], radius: list[float], loads: Loads, source: float) -> list[float]:
    """v_xx at every node, times the squared mesh unit."""
    bend = []
    for v, r, known, newest in zip(force, radius, loads.known, loads.newest, strict=True):
        slope, rest = _tangent(march.c, v, r)
        bend.append(slope * v + rest - known - newest * source)
    return bend


def _profile(march: _March, force: list[float], radius: list[float], bend: Sequence[float], k1: float) -> Profile:
    table, unit = step_table(march.ratio, march.steps), march.unit
    slopes = [march.core * force[0] - march.start]
    for i, (a, b, c) in enumerate(table.left, start=1):
        by_chord = (force[i] - force[i - 1]) * table.rows[i - 1][0]
        slopes.append((by_chord + a * bend[i - 1] + b * bend[i] + c * bend[i + 1]) / unit)
    h = march.end
    slopes.append(((force[-1] - force[-2]) / h + h / 3.0 * bend[-1] + h / 6.0 * bend[-2]) / unit)
    hoop = [-s / r * k1 for s, r in zip(slopes, radius, strict=True)]
    wound = march.winding.stress(radius[-1])[0] * k1
    return Profile(radius, [v * k1 for v in force], hoop, hoop[-1] / wound - 1.0)


def _grown(march: _March, k: int, force: list[float]) -> list[float]:
    """First guess for step `k`: the pressure of the step before, at the same depth below the surface.

    In the half at the core the force of the step before stays. The roll of the first step has two cells only.
    """
    grown = march.grown
    if k == 1:
        first = march.start * march.unit * step_table(march.ratio, 1).depth[1]
        return [2.0 * first, first, 0.0]
    stretch = grown[k] / grown[k - 1]
    square = stretch * stretch
    return [*force[:k], force[k - 1] * stretch, *[v * square for v in force[k - 1 :]]]


def solve(roll: ScaledRoll, ratio: float = 1.6, tolerance: float = 0.05) -> Profile:
    """Solve a roll on a mesh of the given ratio (above 1, at most 2).

    Newton's method goes on with a step until its change is below the tolerance: the error then is its square.
    The caller judges `surface_miss`.
    """
    march = _March(roll, ratio, tolerance)
    grown = march.grown
    force: list[float] = []
    for k in range(1, march.steps + 1):
        table = step_table(ratio, k)
        surface = grown[k] * grown[k]
        radius = [*grown[: k + 1], *[surface / g for g in grown[k - 1 :: -1]]]
        loads = _loads(march, k, table, radius)
        force, source = _step(march, k, table, _grown(march, k, force), radius, loads)
    return _profile(march, force, radius, _bend(march, force, radius, loads, source), roll.k1)
