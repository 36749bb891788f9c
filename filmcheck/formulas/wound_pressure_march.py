"""The march that solves a wound roll in the limit of thin wraps; scaled, without units.

Scales: stress by the wound-on stress at the core, radius by the core radius, x = ln(r / rc), v = r p (force).
Hakiel's wrap equation, summed over all wraps above a radius, is the two-point problem

    v_xx = r (Γ(p) − F(x)),   Γ(p) = c ln(1 + p / k1)   (the stack law's ∫ Et / Er dp)
    v_x = e v − σ at the core (e = Et / Ec + ν),   v = 0 and v_x = −r σ at the surface

in which one source F(x), the same for every roll radius, stands for the history of winding. With u the
pressure rise by the next wrap times r (u_xx = Γ′(p) u, u_x = e u at the core), F at the surface X of a
growing roll is

    F(X) = σ (1 + u_x / u) + σ_x

so a march over X finds F: each step solves the two-point problem for the roll as it is, by Newton's
method for p and F(X) together. u comes free with the elimination, for Newton's matrix is the operator of
u. The second surface condition is not used; how far the solved roll misses it measures the error of the
whole march.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from filmcheck.formulas.wound_pressure_mesh import StepTable, step_table

_LAYER_SHARE = 0.25  # first mesh length as a share of the layer in which the surface pressure rises to k1
_FEWEST_STEPS = 9
_NEWTON_LIMIT = 12
_LAST_STEP_SHARE = 0.02  # the last step is the answer, the steps before only lead to it

Loads = tuple[list[float], list[float]]
Elimination = tuple[list[float], list[float], list[float]]


@dataclass(frozen=True, slots=True)
class ScaledRoll:
    """A roll in scaled terms: all that the march needs."""

    core: float  # e = Et / Ec + ν
    thickness: float  # ln(ro / rc)
    k1: float  # K1 / σ0
    c: float  # Et / (K2 σ0)
    taper: float
    linear: bool

    def stress(self, x: float) -> tuple[float, float]:
        """Wound-on stress at x and its slope in x."""
        if not self.taper:
            return 1.0, 0.0
        radius = math.exp(x)
        if self.linear:
            fall = self.taper / math.expm1(self.thickness)
            return 1.0 - fall * (radius - 1.0), -fall * radius
        return 1.0 - self.taper * (1.0 - 1.0 / radius), -self.taper / radius

    def expected_source(self, stress: float) -> float:
        """The part of F that follows the taper: Γ at a rough plateau pressure (hard plus soft winding)."""
        if not self.taper:
            return 0.0
        return self.c * math.log1p(stress * stress / (2.0 * self.c * self.k1) + stress / math.sqrt(self.c * self.k1))


@dataclass(frozen=True, slots=True)
class Profile:
    """A solved roll: nodes from core to surface."""

    radius: list[float]
    force: list[float]  # v = r p
    hoop: list[float]  # −v_x / r
    surface_miss: float  # share by which the hoop stress at the surface misses the wound-on stress


class _March:
    """The state carried from step to step; `source` is F less its expected part, 0 where not yet known."""

    def __init__(self, roll: ScaledRoll, ratio: float, tolerance: float) -> None:
        self.roll, self.ratio, self.tolerance = roll, ratio, tolerance
        layer = _LAYER_SHARE * min(roll.k1, math.sqrt(roll.k1 / roll.c), 1.0 / max(roll.core, 1.0))
        steps = math.log1p(roll.thickness / (2.0 * layer)) / math.log(ratio)
        self.steps = max(_FEWEST_STEPS, math.ceil(steps))
        self.unit = roll.thickness / 2.0 / (ratio**self.steps - 1.0)
        self.area = self.unit * self.unit
        depth = step_table(ratio, self.steps).depth
        self.grown = [math.exp(self.unit * y) for y in depth]
        self.source = [0.0] * (self.steps + 4)
        _, slope = roll.stress(0.0)
        self.source[0] = 1.0 + roll.core + slope - roll.expected_source(1.0)
        self.core_load = [self.area * (1.0 + roll.core + slope)]

    def expected_newest(self, k: int) -> float:
        """The newest source value, continued from those before."""
        s = self.source
        if k > 3:
            return 4.0 * (s[k - 1] + s[k - 3]) - 6.0 * s[k - 2] - s[k - 4]
        return (s[0], 2.0 * s[1] - s[0], 3.0 * (s[2] - s[1]) + s[0])[k - 1]


def _loads(march: _March, k: int, table: StepTable, radius: list[float]) -> Loads:
    """Load of the known source at every node, and of a newest source value of 1."""
    s, area, roll = march.source, march.area, march.roll
    thickness = 2.0 * march.unit * table.depth[k]
    newest_expected = roll.expected_source(roll.stress(thickness)[0])
    load, newest = march.core_load[:k], [0.0] * k
    places = [march.unit * table.depth[k], *(thickness - march.unit * y for y in table.depth[k - 1 :: -1])]
    for x, r, (first, a, b, c, d, last) in zip(places, radius[k:], (table.middle, *table.source), strict=True):
        known = a * s[first] + b * s[first + 1] + c * s[first + 2] + d * s[first + 3]
        if roll.taper:
            known += roll.expected_source(roll.stress(x)[0]) - last * newest_expected
        load.append(area * r * known)
        newest.append(area * r * last)
    return load, newest


def _bend(
    roll: ScaledRoll,
    area: float,
    force: list[float],
    radius: list[float],
    loads: Loads,
    source: float,
) -> tuple[list[float], list[float]]:
    """v_xx and its slope in v at every node (both times the squared mesh unit)."""
    k1, c, log1p = roll.k1, roll.c * area, math.log1p
    bend, slope = [], []
    for v, r, known, new in zip(force, radius, *loads, strict=True):
        p = v / r
        if p > 0.0:
            bend.append(c * r * log1p(p / k1) - known - new * source)
            slope.append(c / (k1 + p))
        else:  # only on the way to the solution: the law continued along its tangent
            bend.append(c * v / k1 - known - new * source)
            slope.append(c / k1)
    return bend, slope


def _eliminate(
    march: _March,
    table: StepTable,
    force: list[float],
    bend: list[float],
    slope: list[float],
    newest: list[float],
) -> Elimination:
    """Forward elimination from the core: correction_i = ratio_i correction_{i+1} + offset_i + rise_i ΔF."""
    h, unit, core = table.end, march.unit, march.roll.core
    pivot = -1.0 / h - unit * core - h / 3.0 * slope[0]
    rest = (force[1] - force[0]) / h - unit * (core * force[0] - 1.0) - h / 3.0 * bend[0] - h / 6.0 * bend[1]
    ratio = (h / 6.0 * slope[1] - 1.0 / h) / pivot
    offset = -rest / pivot
    rise = -(h / 3.0 * newest[0] + h / 6.0 * newest[1]) / pivot
    ratios, offsets, rises = [ratio], [offset], [rise]
    v, w, f, g, j, m, n, q = force[0], force[1], bend[0], bend[1], slope[0], slope[1], newest[0], newest[1]
    for (left, right, a, b, c), v_next, f_next, j_next, n_next in zip(
        table.rows, force[2:], bend[2:], slope[2:], newest[2:], strict=True
    ):
        low = left - a * j
        scale = -1.0 / (low * ratio - left - right - b * m)
        offset = scale * ((v_next - w) * right - (w - v) * left - a * f - b * g - c * f_next + low * offset)
        rise = scale * (a * n + b * q + c * n_next + low * rise)
        ratio = scale * (right - c * j_next)
        ratios.append(ratio)
        offsets.append(offset)
        rises.append(rise)
        v, w, f, g, j, m, n, q = w, v_next, g, f_next, m, j_next, q, n_next
    return ratios, offsets, rises


def _correct(
    march: _March,
    table: StepTable,
    force: list[float],
    radius: list[float],
    slope: list[float],
    parts: Elimination,
    surface: tuple[float, float],
    source: float,
) -> tuple[float, float]:
    """Back substitution: correct `force` in place; give the changes of source and (greatest) force."""
    fixed, by_source = [0.0], [0.0]
    u, d, e, gain, gain_by_source = 1.0, 0.0, 0.0, 0.0, 0.0
    inner = slice(-2, None, -1)
    for ratio, offset, rise, j, r, width in zip(
        *(part[::-1] for part in parts), slope[inner], radius[inner], table.width[inner], strict=True
    ):
        u *= ratio
        d = ratio * d + offset
        e = ratio * e + rise
        share = width * u * u * j * j / r
        gain -= share * d
        gain_by_source -= share * e
        fixed.append(d)
        by_source.append(e)
    h, area_c = table.end, march.area * march.roll.c
    growth = (1.0 - parts[0][-1]) / h + h / 3.0 * slope[-1] + h / 6.0 * slope[-2] * parts[0][-1]
    stress, stress_slope = surface
    miss = stress * (1.0 + (growth + gain / area_c) / march.unit) + stress_slope - source
    change = miss / (1.0 - stress * gain_by_source / (area_c * march.unit))
    moves = [d + change * e for d, e in zip(fixed, by_source, strict=True)][::-1]
    force[:] = [v + move for v, move in zip(force, moves, strict=True)]
    return change, max(max(moves), -min(moves))


def _step(march: _March, k: int, force: list[float], radius: list[float], loads: Loads) -> float:
    """Solve the roll of step `k` from the guess `force`, in place; record and give its source."""
    table, roll = step_table(march.ratio, k), march.roll
    surface = roll.stress(2.0 * march.unit * table.depth[k])
    expected = roll.expected_source(surface[0])
    source = march.expected_newest(k) + expected
    tolerance = march.tolerance if k < march.steps else march.tolerance * _LAST_STEP_SHARE
    for _ in range(_NEWTON_LIMIT):
        bend, slope = _bend(roll, march.area, force, radius, loads, source)
        parts = _eliminate(march, table, force, bend, slope, loads[1])
        change, move = _correct(march, table, force, radius, slope, parts, surface, source)
        source += change
        if move <= tolerance * max(force) and abs(change) <= tolerance * abs(source):
            break
    march.source[k] = source - expected
    march.core_load.append(loads[0][k] + loads[1][k] * source)
    return source


def _profile(march: _March, force: list[float], radius: list[float], bend: Sequence[float]) -> Profile:
    table, unit, k = step_table(march.ratio, march.steps), march.unit, march.steps
    slopes = [march.roll.core * force[0] - 1.0]
    for i, (a, b, c) in enumerate(table.left, start=1):
        by_chord = (force[i] - force[i - 1]) * table.rows[i - 1][0]
        slopes.append((by_chord + a * bend[i - 1] + b * bend[i] + c * bend[i + 1]) / unit)
    h = table.end
    slopes.append(((force[-1] - force[-2]) / h + h / 3.0 * bend[-1] + h / 6.0 * bend[-2]) / unit)
    hoop = [-s / r for s, r in zip(slopes, radius, strict=True)]
    wound = march.roll.stress(2.0 * unit * table.depth[k])[0]
    return Profile(radius, force, hoop, hoop[-1] / wound - 1.0)


def _grown(march: _March, k: int, force: list[float]) -> list[float]:
    """First guess for step `k`: the pressure of the step before, at the same depth below the surface.

    In the half at the core the force of the step before stays. The roll of the first step has two cells only.
    """
    grown = march.grown
    if k == 1:
        depth = march.unit * step_table(march.ratio, 1).depth[1]
        return [2.0 * depth, depth, 0.0]
    stretch = grown[k] / grown[k - 1]
    return [*force[:k], force[k - 1] * stretch, *(v * stretch * stretch for v in force[k - 1 :])]


def solve(roll: ScaledRoll, ratio: float = 1.6, tolerance: float = 0.05) -> Profile:
    """Solve a roll on a mesh of the given ratio (above 1, at most 2).

    Newton's method goes on with a step until its change is below the tolerance: the error then is its square.
    The caller judges `surface_miss`.
    """
    march = _March(roll, ratio, tolerance)
    grown = march.grown
    force: list[float] = []
    radius: list[float] = []
    loads: tuple[list[float], list[float]] = [], []
    source = 0.0
    for k in range(1, march.steps + 1):
        surface = grown[k] * grown[k]
        radius = grown[: k + 1] + [surface / g for g in grown[k - 1 :: -1]]
        force = _grown(march, k, force)
        loads = _loads(march, k, step_table(ratio, k), radius)
        source = _step(march, k, force, radius, loads)
    bend, _ = _bend(roll, march.area, force, radius, loads, source)
    return _profile(march, force, radius, bend)
