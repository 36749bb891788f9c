"""Whether a roll slides: the margin by hand, on rolls wound turn by turn as a stack of rings on springs.

Nothing of the package's wound-roll model is used for that. Each turn is a ring that its hoop stiffness holds, each gap
between turns a spring of Pfeiffer's law, E_r = K₂ (K₁ + P), the core a spring as well; a turn that is wound on presses
with σ h / r. The displacements of all rings follow from one banded system a turn, and the roll has the turns that it
really has. Inputs are read off the sheets and registers of the demo plant by eye.
"""

from __future__ import annotations

import math
import re
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import quad
from scipy.linalg import solve_banded

from filmcheck import Finding, lint
from filmcheck.figures.wound import Winding, wound
from filmcheck.figures.wound_slip import OUTER_SHARE, SlipCase, weakest
from filmcheck.formulas import roll_geometry, slip
from filmcheck.run import Options
from filmcheck.running.figure_run import work_out

Floats = NDArray[Any]
JOBS = Path(__file__).parents[2] / "examples" / "jobs"
LBF_PER_IN = 4.4482216152605 / 0.0254
WIDTH, FULL, CORE_BORE, CORE_WALL = 0.330, 0.900, 0.1524, 0.008
CORE = CORE_BORE + 2 * CORE_WALL


class Stack(NamedTuple):
    """A laminate and its stack, SI units."""

    stiffness: float
    caliper: float
    k1: float
    k2: float
    friction: float


SLICK = Stack(0.35e9 * 85e-6 + 4.4e9 * 36e-6, (85 + 20 + 36) * 1e-6, 5e3, 60.0, 0.14)
ORDINARY = Stack(2.0e9 * 50e-6 + 4.5e9 * 23e-6, (50 + 18 + 23) * 1e-6, 20e3, 60.0, 0.25)


class Rings(NamedTuple):
    """A roll wound turn by turn: radius of each gap, pressure in it, pull in the turn outside it."""

    radii: Floats
    pressure: Floats
    pull: Floats


def core_spring(bore: float, wall: float) -> float:
    """Lamé's thick tube of 3 GPa, ν 0.3, pressed from outside: pressure over the share by which its radius gives."""
    inner, outer = bore / 2, bore / 2 + wall
    return 3e9 / ((outer**2 + inner**2) / (outer**2 - inner**2) - 0.3)


def _pressed(stack: Stack, radii: Floats, pressure: Floats, h: float, load: float) -> tuple[Floats, Floats]:
    """Press on the outermost of some turns, N/m; give how far each moves inwards, and the pressure each gap gains."""
    core = core_spring(CORE_BORE, CORE_WALL)
    gained = np.zeros(len(radii))
    for _ in range(2):  # the springs stiffen while they are pressed, so they are taken half way
        gaps = stack.k2 * (stack.k1 + pressure + gained / 2) * radii / h  # per radian and width, as all forces here
        gaps[0] = 1 / (1 / gaps[0] + 1 / core)
        across = -gaps[1:]
        bands = np.zeros((3, len(radii)))
        bands[0, 1:], bands[2, :-1] = across, across
        bands[1] = stack.stiffness / radii + gaps + np.append(gaps[1:], 0.0)
        forces = np.zeros(len(radii))
        forces[-1] = load
        moved = solve_banded((1, 1), bands, forces)
        gained = gaps * (moved - np.append(0.0, moved[:-1])) / radii
    return moved, gained


@cache
def _wind(stack: Stack, start: float, taper: float, full: float, turns: int) -> Rings:
    h = (full - CORE) / 2 / turns
    share = h / stack.caliper  # of a turn, where turns are taken together
    rings = stack._replace(stiffness=stack.stiffness * share)
    radii: Floats = CORE / 2 + h * np.arange(turns)
    wound_on: Floats = start * share * (1 - taper * np.arange(turns) / turns)
    pressure, moved = np.zeros(turns), np.zeros(turns)
    for new in range(turns):
        if new:
            step, gained = _pressed(rings, radii[:new], pressure[:new], h, wound_on[new])
            moved[:new] += step
            pressure[:new] += gained
        pressure[new] = wound_on[new] / radii[new]
    return Rings(radii, pressure, (wound_on - rings.stiffness * moved / radii) / share)


def wind(stack: Stack, start: float, taper: float, full: float = FULL) -> Rings:
    """Wind a roll on a 6 in core in turns twice as thick and as thick as they are; go on to thin ones (Richardson)."""
    turns = 2 * round((full - CORE) / 4 / stack.caliper)
    thick, real = (_wind(stack, start, taper, full, number) for number in (turns // 2, turns))
    return Rings(*(2 * fine[::2] - coarse for coarse, fine in zip(thick, real, strict=True)))


def carried(stack: Stack, rings: Rings) -> Floats:
    """Torque that friction carries in each gap, N m."""
    torque: Floats = 2 * math.pi * stack.friction * WIDTH * rings.radii**2 * rings.pressure
    return torque


def searched(rings: Rings, full: float = FULL) -> NDArray[np.bool_]:
    inside: NDArray[np.bool_] = rings.radii <= full / 2 - 0.1 * (full - CORE) / 2
    return inside


def slides(sheet: str) -> list[Finding]:
    (path,) = JOBS.glob(f"*/{sheet}-*.yaml")
    return [
        finding for finding in lint([path], Options(today=date(2026, 11, 25))).findings if finding.rule == "roll-slides"
    ]


def test_two_rings_give_what_hand_arithmetic_gives() -> None:
    # Core radius 84.2 mm, pressed by 1000 N/m through one gap: ring E h / r = 100 / 0.0842, gap and core in series.
    stack = Stack(100.0, 1e-3, 1e9, 1e-3, 0.0)  # E_r = 1 MPa whatever the pressure
    moved, gained = _pressed(stack, np.array([0.0842]), np.zeros(1), 1e-3, 1000.0)
    # Tube of 76.2 and 84.2 mm: (7089.64 + 5806.44) / (7089.64 - 5806.44) - 0.3 = 9.74995; 3 GPa / 9.74995 = 307.69 MPa.
    # 1 / (1 / 84.2 MPa + 1 / 307.69 MPa) = 66.109 MPa; 1000 / (66.109e6 + 1187.6) = 15.1263 µm.
    assert moved[0] == pytest.approx(15.1263e-6, rel=1e-4)
    assert gained[0] == pytest.approx(66.109e6 * 15.1263e-6 / 0.0842, rel=1e-4)


def test_a_slick_roll_slides_at_two_pounds_and_holds_at_four_fifths_of_one() -> None:
    assert slides("qm-3111") == []
    (finding,) = slides("qm-3227")
    assert (finding.kind, finding.level, finding.place.span.line) == ("fail", "error", 20)


def test_the_finding_names_both_torques_as_worked_out_by_hand() -> None:
    (finding,) = slides("qm-3227")
    rings = wind(SLICK, 0.45 * LBF_PER_IN, 0.3)
    least = carried(SLICK, rings)[searched(rings)].min()
    asked = 2 * LBF_PER_IN * WIDTH * FULL / 2
    words = re.search(r"radius of ([\d.]+) mm. Friction carries ([\d.]+) N m there, and ([\d.]+) N m are", finding.says)
    assert words is not None
    radius, told_carried, told_asked = (float(word) for word in words.groups())
    assert told_asked == pytest.approx(asked, rel=1e-3)
    assert told_carried == pytest.approx(least, rel=0.01)
    assert told_carried / told_asked == pytest.approx(least / asked, rel=0.01)
    assert np.interp(radius / 1e3, rings.radii, carried(SLICK, rings)) == pytest.approx(least, rel=0.01)
    most = re.search(r"tension of unwind to ([\d.]+) lbf/in", finding.instead)
    assert most is not None
    # What is told to be allowed must hold: no rounding up.
    assert float(most[1]) * LBF_PER_IN * WIDTH * FULL / 2 < told_carried + 0.05


@pytest.mark.sample(3)
@pytest.mark.parametrize(
    ("stack", "start", "pull", "sheet"),
    [(SLICK, 0.45, 0.8, "qm-3111"), (SLICK, 0.45, 2.0, "qm-3227"), (ORDINARY, 0.9, 45 / WIDTH / LBF_PER_IN, "qm-3107")],
)
def test_the_margin_of_a_parent_roll_is_that_of_rings_on_springs(
    stack: Stack, start: float, pull: float, sheet: str
) -> None:
    (path,) = JOBS.glob(f"*/{sheet}-*.yaml")
    lines = work_out(path, date(2026, 11, 25), "slip_margin").figures
    (margin,) = [line.amount.low for line in lines if line.of == "parent roll" and line.amount is not None]
    rings = wind(stack, start * LBF_PER_IN, 0.3)
    least = carried(stack, rings)[searched(rings)].min() / (pull * LBF_PER_IN * WIDTH * FULL / 2)
    assert margin == pytest.approx(least, rel=0.02)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("stack", "start", "pull", "full"),
    [
        (SLICK, 0.45, 0.8, FULL),
        (SLICK, 0.45, 2.0, FULL),
        (ORDINARY, 0.9, 0.8, FULL),
        (ORDINARY, 0.9, 2.0, FULL),
        (ORDINARY, 0.7, 0.49, 0.240),
        (ORDINARY, 0.8, 0.6, 0.550),
    ],
)
def test_what_the_outer_tenth_hides_changes_no_verdict(stack: Stack, start: float, pull: float, full: float) -> None:
    """Count what the search leaves out: a turn that is still tight carries part of the pull on its own strand.

    Balance of all that lies outside a gap: pull × outer radius = friction + strand's pull × its radius. A pull above
    that of the last turns makes these give way and tighten until T / (2π μ T′) turns hold it, as a belt does; they
    alone are left out here. Every other gap of the outer tenth carries the pull, unless the roll slides deeper in.
    """
    rings = wind(stack, start * LBF_PER_IN, 0.3, full)
    torque = pull * LBF_PER_IN * WIDTH * full / 2
    plain = float((carried(stack, rings)[searched(rings, full)] / torque).min())
    belt = pull / (2 * math.pi * stack.friction * start * 0.7)
    assert belt * stack.caliper < OUTER_SHARE * (full - CORE) / 2
    inside = rings.radii <= full / 2 - belt * stack.caliper
    exact = carried(stack, rings)[inside] / (torque - rings.pull * WIDTH * rings.radii)[inside]
    assert float(exact.min()) > min(0.98 * plain, 1.0)


@pytest.mark.parametrize(("full", "taper", "k1"), [(FULL, 0.3, 20e3), (0.240, 0.3, 20e3), (0.6, 0.6, 5e3)])
@pytest.mark.parametrize("acceleration", [0.0, 9.0])
def test_no_radius_within_the_search_is_weaker_than_the_one_found(
    full: float, taper: float, k1: float, acceleration: float
) -> None:
    """Against a fine scan with the formulas that the search has worked into one polynomial.

    The last roll is weakest between two nodes of the model.
    """
    spring = core_spring(CORE_BORE, CORE_WALL)
    winding = Winding(0.9 * LBF_PER_IN, taper, "linear", CORE, full, spring, *ORDINARY[:2], k1, 60.0)
    found = weakest(winding, SlipCase(30.0, 0.25, WIDTH, acceleration, 0.1))

    def margin(radius: float) -> float:
        length = roll_geometry.roll_length(full, 2 * radius, ORDINARY.caliper)
        inertia = 0.1 * length * WIDTH * (full**2 + (2 * radius) ** 2) / 8  # a thick ring, m (D² + d²) / 8
        asks = 30.0 * full / 2 + inertia * acceleration / (full / 2)
        return slip.torque_capacity(wound(winding).pressure_at(radius), 0.25, WIDTH, radius) / asks

    outermost = full / 2 - OUTER_SHARE * (full - CORE) / 2
    assert found.margin == pytest.approx(margin(found.radius), rel=1e-12)
    assert found.margin <= min(margin(float(r)) for r in np.linspace(CORE / 2, outermost, 500)) * (1 + 1e-3)


def test_a_roll_of_which_nothing_is_asked_is_refused() -> None:
    spring = core_spring(CORE_BORE, CORE_WALL)
    winding = Winding(0.9 * LBF_PER_IN, 0.3, "linear", CORE, FULL, spring, *ORDINARY[:2], 20e3, 60.0)
    with pytest.raises(ValueError, match="nothing pulls the roll"):
        weakest(winding, SlipCase(0.0, 0.25, WIDTH, 0.0, 0.1))


@pytest.mark.parametrize("full", [FULL, 0.240])
def test_the_inertia_is_that_of_the_turns_outside_the_weakest_radius(full: float) -> None:
    """A hard stop, so that inertia decides; the large roll is weakest near the core, the small one at its outside."""
    winding = Winding(
        0.9 * LBF_PER_IN, 0.3, "linear", CORE, full, core_spring(CORE_BORE, CORE_WALL), *ORDINARY[:2], 20e3, 60.0
    )
    pull = SlipCase(30.0, 0.25, WIDTH, 9.0, 0.1)
    found = weakest(winding, pull)
    ring = quad(lambda r: 2 * math.pi * r**3 * WIDTH * pull.areal_mass / ORDINARY.caliper, found.radius, full / 2)[0]
    slowing = ring * pull.acceleration / (full / 2)
    assert slowing > 0.2 * found.asks
    assert found.asks == pytest.approx(pull.tension * full / 2 + slowing, rel=1e-9)


@pytest.mark.parametrize(
    "field", ["line_start_tension", "taper", "core_diameter", "full_diameter", "stiffness", "k1", "k2"]
)
def test_the_worst_of_a_range_lies_at_one_of_its_ends(field: str) -> None:
    """Ranges are worked out at their ends. The margin may rise and fall within them, yet it is least at an end."""
    winding = Winding(140.0, 0.3, "linear", 0.1684, 0.33, 2.8e8, 203.5e3, 91e-6, 20e3, 60.0)
    middle = getattr(winding, field)
    within = [winding._replace(**{field: middle * (0.7 + 0.1 * step)}) for step in range(7)]
    for found in (
        [weakest(one, SlipCase(35.0, 0.25, 0.33, 0.2, 0.1)).margin for one in within],
        [-wound(one).core_pressure for one in within],
    ):
        assert min(found) == pytest.approx(min(found[0], found[-1]), rel=1e-6)


@pytest.mark.parametrize(("turns", "fits"), [(51, True), (49, False)])
def test_the_model_asks_for_fifty_turns(turns: int, fits: bool) -> None:
    """The thin-wrap limit wants many turns; the build of a roll is as many calipers as it has turns."""
    full = CORE + 2 * turns * ORDINARY.caliper
    spring = core_spring(CORE_BORE, CORE_WALL)
    winding = Winding(0.9 * LBF_PER_IN, 0.3, "linear", CORE, full, spring, *ORDINARY[:2], 20e3, 60.0)
    if fits:
        assert weakest(winding, SlipCase(30.0, 0.25, WIDTH, 0.0, 0.1)).margin > 0
    else:
        with pytest.raises(ValueError, match="fewer than 50 turns"):
            weakest(winding, SlipCase(30.0, 0.25, WIDTH, 0.0, 0.1))
