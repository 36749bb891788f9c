"""Figures of slip in the three wound rolls: the torque asked of the turns against what friction carries.

All that lies outside a radius r is held by friction there and by the pull T(r) of the turn that goes on inwards:
F D/2 = 2π μ w r² p(r) + T(r) w r. The last part is left out. Deep in a roll the turns have little pull (at the weakest
radius of common parent rolls 2 % of what is asked, to either side), but in the outer turns it is most of what holds,
and without it they would look weaker than they are. So the outer tenth of the build is left out of the search. What
gives way there, T / (2π μ T′) turns where the roll is pulled off at T and was wound at T′, tightens like a belt until
it holds, and that is far less than a tenth of a roll; where it is more, the roll does slide. In a short roll the
search ends where the outer turns still have pull, so its margin is too low there, never too high.

A roll is asked most when full: the pull has its longest arm, and a brake that holds its torque asks the same of every
radius. Stopping asks more than starting, for the brake at the core must then hold back the pull and all that turns
outside. Pressures are those of thin turns; with turns as thick as they are they come out up to some 6 % higher.
Friction is that of the face on the back of the liner, taken as dry; adhesive that creeps under a lasting load is not
counted.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from filmcheck.figures.calculated import calculated
from filmcheck.figures.figure import Default, Figure, one_route
from filmcheck.figures.wound import GIVEN, MEASURE, MODEL, NEEDS, Winding, wound
from filmcheck.figures.wound_rolls import same
from filmcheck.formulas import slip

OUTER_SHARE = 0.1
FEWEST_TURNS = 50
_PARTS = 4
NO_START = "the start time of the machine is not given, so only the tension is counted"
NO_MASS = "the densities of the web are not all given, so the roll's inertia is left out"


class SlipCase(NamedTuple):
    """What is asked of a roll, in SI units."""

    tension: float
    friction: float
    width: float
    acceleration: float
    areal_mass: float


class Weakest(NamedTuple):
    """The radius at which a roll is nearest to sliding, and the two torques there."""

    margin: float
    radius: float
    carried: float
    asks: float


@lru_cache(maxsize=256)
def weakest(winding: Winding, pull: SlipCase) -> Weakest:
    """Give the weakest radius of a roll; raises ValueError where the model does not hold."""
    roll = wound(winding)
    search = _search(winding, pull)
    outermost = roll.radii[-1] - OUTER_SHARE * (roll.radii[-1] - roll.radii[0])
    nodes = [*roll.radii[: bisect_left(roll.radii, outermost)], outermost]
    found = search(nodes, [*roll.pressure[: len(nodes) - 1], roll.pressure_at(outermost)])
    lowest = nodes.index(found.radius)
    between = _radii(nodes[max(0, lowest - 1) : lowest + 2])
    return min(found, search(between, [roll.pressure_at(radius) for radius in between]))


def torque_terms(winding: Winding, pull: SlipCase) -> tuple[float, float, float]:
    """Give what friction carries per p r², and the two terms of what is asked, A − B r⁴; checked here, once."""
    if (winding.full_diameter - winding.core_diameter) / 2 < FEWEST_TURNS * winding.caliper:
        raise ValueError(f"the roll has fewer than {FEWEST_TURNS} turns")
    per_grip = slip.torque_capacity(1.0, pull.friction, pull.width, 1.0)
    most, by_fourth_power = slip.torque_asked_terms(
        pull.tension, pull.acceleration, pull.areal_mass, pull.width, winding.caliper, winding.full_diameter
    )
    if most <= 0.0:
        raise ValueError("nothing pulls the roll")
    return per_grip, most, by_fourth_power


def _search(winding: Winding, pull: SlipCase) -> Callable[[list[float], list[float]], Weakest]:
    """Make the search for the weakest of some radii with the pressures there."""
    per_grip, most, by_fourth_power = torque_terms(winding, pull)

    def search(radii: list[float], pressures: list[float]) -> Weakest:
        squares = [radius * radius for radius in radii]
        carried = [per_grip * s * p if p > 0.0 else 0.0 for s, p in zip(squares, pressures, strict=True)]
        asks = [most - by_fourth_power * s * s for s in squares]
        margins = [carry / ask for carry, ask in zip(carried, asks, strict=True)]
        margin = min(margins)
        at = margins.index(margin)
        return Weakest(margin, radii[at], carried[at], asks[at])

    return search


def _radii(nodes: list[float]) -> list[float]:
    """Give radii between nodes. The margin runs smoothly, so only the cells beside its lowest node are looked into."""
    return [a + (b - a) * part / _PARTS for a, b in pairwise(nodes) for part in range(1, _PARTS)]


SLIP_NEEDS: tuple[str | Default, ...] = (
    "its.pull",
    *NEEDS,
    "stack.friction",
    "its.width",
    Default("its.web_acceleration", 0.0, NO_START),
    Default("its.areal_mass", 0.0, NO_MASS),
)


def slip_case(tension: float, *rest: float) -> tuple[Winding, SlipCase]:
    """Sort the needs into how the roll is wound and what is asked of it."""
    return Winding(*rest[: len(NEEDS)]), SlipCase(tension, *rest[len(NEEDS) :])  # type: ignore[arg-type]


def _figure(field: str, name: str, dimension: str, meaning: str, formula: str, text: str) -> Figure:
    def work(*x: float) -> float:
        found: float = getattr(weakest(*slip_case(*x)), field)
        return found

    meaning = f"{meaning} The outer {OUTER_SHARE:.0%} of the build is not looked at. {MEASURE}"
    return Figure(f"wound_roll.{name}", dimension, meaning, formula, MODEL, one_route(SLIP_NEEDS, work, text))


def _pull(roll: str, need: str, what: str) -> Figure:
    return Figure(f"{roll}.pull", "force", what, "as given", "definition", (same(need),))


def _acceleration(roll: str, machine: str) -> Figure:
    return Figure(
        f"{roll}.web_acceleration",
        "acceleration",
        "Change of the web's speed when the machine starts; it is taken to stop as fast.",
        "a = v / t",
        "definition",
        (calculated(f"{machine}.speed / {machine}.start_time"),),
    )


FIGURES = (
    _pull("supplied_roll", "unwind.total_tension", "Total tension by which the full parent roll is pulled off."),
    _pull("press_roll", "finishing.total_unwind_tension", "Total tension by which the press roll is pulled off."),
    Figure(
        "finished_roll.pull",
        "force",
        "Total tension at the outside of the full finished roll, wound by its core; how hard the customer pulls it"
        " off is not known.",
        "F = T′ w",
        "definition",
        (calculated("its.line_end_tension × its.width"),),
    ),
    _acceleration("supplied_roll", "press"),
    _acceleration("press_roll", "finisher"),
    _acceleration("finished_roll", "finisher"),
    Figure(
        "wound_roll.slip_margin",
        "ratio",
        f"Torque that friction carries as a share of the torque asked, at the weakest radius. {MEASURE}",
        "least of 2π μ w r² p(r) / (F D/2 + J α)",
        MODEL,
        (calculated("its.torque_carried / its.torque_asked"),),
    ),
    _figure(
        "radius",
        "slip_radius",
        "length",
        "Radius at which the roll is nearest to sliding.",
        "r of the least margin",
        "the radius with the least margin",
    ),
    _figure(
        "carried",
        "torque_carried",
        "torque",
        "Torque that friction carries at the weakest radius.",
        "M(r) = 2π μ w r² p(r)",
        f"2π × {{stack.friction}} × {{its.width}} × r² p(r) at the weakest radius; wound at {GIVEN}",
    ),
    _figure(
        "asks",
        "torque_asked",
        "torque",
        "Torque asked of the turns at the weakest radius.",
        "M = F D/2 + J α",
        "{its.pull} × {its.full_diameter} / 2 + inertia of the turns outside × {its.web_acceleration} / (D/2)",
    ),
)
