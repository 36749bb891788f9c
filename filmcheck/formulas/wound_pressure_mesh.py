"""Number tables of the mesh on which the wound-pressure march runs; pure geometry, no material in them.

The mesh coordinate is x = ln(r / rc) in units of a length a that the march chooses. Step k of the march
holds a roll of thickness X_k = 2 y_k, y_j = ratio^j − 1, with nodes y_0 … y_k counted from the core and
the same mirrored from the surface: fine at both ends, where the pressure bends, and coarse in the
plateau. Because the nodes of one step are nodes of the next, a profile passes on without interpolation.

An integral of a function against the hat of a node is taken through the three nodes around it by a
parabola in ln(1 + y), not in y: the function in question is the logarithm of a pressure that starts from
nothing at the surface, and this makes a mesh of ratio 1.6 as exact as one of ratio 1.2 with parabolas in y.
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import groupby, pairwise
from typing import NamedTuple

Triple = tuple[float, float, float]
Row = tuple[float, float, float, float, float, float, float]
Weights = tuple[float, float, float, float]

_GAUSS = (  # Gauss-Legendre points and weights on [−1, 1], order 5 (Abramowitz & Stegun, table 25.4)
    (-0.906179845938664, 0.236926885056189),
    (-0.538469310105683, 0.478628670499366),
    (0.0, 0.568888888888889),
    (0.538469310105683, 0.478628670499366),
    (0.906179845938664, 0.236926885056189),
)


class Run(NamedTuple):
    """Nodes that take F from the same four steps."""

    first: int  # of the steps
    weights: tuple[Weights, ...]  # per node
    newest: tuple[float, ...]  # per node: the weight of the newest step, 0 where it is none of the four


class StepTable(NamedTuple):
    """What one step of the march needs to know of its mesh, in units of a."""

    depth: tuple[float, ...]  # y_0 … y_k
    rows: tuple[Row, ...]  # per inner node: 1/h left, left and right, right, hat weights, half the cells beside it
    left: tuple[Triple, ...]  # per inner node: weights of the left half of the hat
    end: float  # size of the first and last cell
    outer_hats: tuple[Triple, ...]  # the hat weights of the inner nodes from one before the middle on
    source: tuple[Run, ...]  # how nodes from the middle on take F from the steps


def half_hat_weights(ratio: float) -> tuple[Triple, Triple]:
    """Weights of ∫ hat · f over the cell below and above a node at 1 + y = 1, through its three nodes.

    >>> below, above = half_hat_weights(1.6)
    >>> round(sum(below), 9), round(sum(above), 9)  # half the cells 1 − 1/1.6 and 1.6 − 1
    (0.1875, 0.3)
    """
    log_ratio = math.log(ratio)

    def cell(low: float, rises: bool) -> Triple:
        total = [0.0, 0.0, 0.0]
        for point, weight in _GAUSS:
            t = low + 0.5 + point / 2
            place = ratio**t
            hat = (place - 1 / ratio) / (1 - 1 / ratio) if rises else (ratio - place) / (ratio - 1)
            share = weight / 2 * hat * place * log_ratio
            for j, basis in enumerate((t * (t - 1) / 2, 1 - t * t, t * (t + 1) / 2)):
                total[j] += share * basis
        return total[0], total[1], total[2]

    return cell(-1.0, True), cell(0.0, False)


def _scaled(weights: Triple, by: float) -> Triple:
    return weights[0] * by, weights[1] * by, weights[2] * by


def _mirrored(weights: Triple) -> Triple:
    return weights[2], weights[1], weights[0]


def _summed(one: Triple, other: Triple) -> Triple:
    return one[0] + other[0], one[1] + other[1], one[2] + other[2]


def _lagrange(place: float, newest: int) -> tuple[int, Weights]:
    """Cubic through four march steps around `place` (in steps), none newer than `newest`.

    Gives the first step and four weights; at the start there are fewer steps, and the rest of the weights is 0.
    """
    degree = min(3, newest)
    first = max(0, min(int(place) - 1, newest - degree))
    weights = [0.0, 0.0, 0.0, 0.0]
    for j in range(degree + 1):
        weights[j] = math.prod((place - first - i) / (j - i) for i in range(degree + 1) if i != j)
    return first, (weights[0], weights[1], weights[2], weights[3])


@lru_cache(maxsize=256)
def step_table(ratio: float, k: int) -> StepTable:
    """The table of step `k` ≥ 1 on a mesh of the given ratio > 1."""
    depth = tuple(ratio**j - 1 for j in range(k + 1))
    cells = [depth[j + 1] - depth[j] for j in range(k)]
    cells += reversed(cells)
    below, above = half_hat_weights(ratio)
    h = cells[k]
    parabola = (h / 8, 5 * h / 12, -h / 24)  # the middle node has equal cells and no side to take ln from
    left: list[Triple] = []
    whole: list[Triple] = []
    for i in range(1, 2 * k):
        place = ratio ** min(i, 2 * k - i)
        if i == k:
            one, other = parabola, _mirrored(parabola)
        elif i < k:
            one, other = _scaled(below, place), _scaled(above, place)
        else:
            one, other = _scaled(_mirrored(above), place), _scaled(_mirrored(below), place)
        left.append(one)
        whole.append(_summed(one, other))
    rows = tuple(
        (1 / a, 1 / a + 1 / b, 1 / b, *hat, (a + b) / 2) for (a, b), hat in zip(pairwise(cells), whole, strict=True)
    )

    def steps(x: float) -> float:
        return math.log1p(x / 2) / math.log(ratio)

    places = [steps(2 * depth[k] - depth[j]) for j in range(k, -1, -1)]
    return StepTable(depth, rows, tuple(left), cells[0], tuple(whole[max(0, k - 2) :]), _runs(places, k))


def _runs(places: list[float], newest: int) -> tuple[Run, ...]:
    made = []
    for first, group in groupby([_lagrange(place, newest) for place in places], key=lambda found: found[0]):
        weights = tuple(found[1] for found in group)
        last = newest - first
        made.append(Run(first, weights, tuple(w[last] if last < len(w) else 0.0 for w in weights)))
    return tuple(made)
