"""Figures of the pressure in the three wound rolls, on their own core and on a core of 6 in bore.

The pressures come from a model. No measured roll from the literature has been matched by it, and the data of the
stack (K₁, K₂, friction) are the plant's to measure: read the figures as a comparison of one winding with another.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import exp, log, sqrt
from typing import Any, NamedTuple

from filmcheck.figures.calculated import calculated
from filmcheck.figures.figure import Figure, asked, one_route
from filmcheck.formulas import air_film, buckling, core_tube
from filmcheck.formulas.wound_pressure import WoundRoll, wound_pressure
from filmcheck.records.value import exact

SIX_INCH = 0.1524
FIBRE_MODULUS = 3.0e9
FIBRE_POISSON = 0.3
FIBRE = "the core is taken as a fibre tube of 3 GPa and ν 0.3 (an assumption)"
AIR_VISCOSITY = 1.81e-5
_USUAL_POWER, _CLOSE, _MOST_SECANTS = 1.6, 1e-6, 12
TOUCH = 3.0
"""Turns touch where the air between them is thinner than so many times their combined roughness."""
MODEL = "Hakiel, Tappi J. 70(5) (1987) 113 (from memory), stack law of Pfeiffer; no measured roll has been matched"
MEASURE = (
    "A model's figure: no published measured roll has been matched, and the stack data are the plant's to measure."
)


class Winding(NamedTuple):
    """How a roll is wound, in SI units: all that the pressure in it depends on."""

    line_start_tension: float
    taper: float
    taper_law: str
    core_diameter: float
    full_diameter: float
    core_stiffness: float
    stiffness: float
    caliper: float
    k1: float
    k2: float


NEEDS: tuple[str, ...] = (*[f"its.{name}" for name in Winding._fields[:-2]], "stack.k1", "stack.k2")
"""What a ``Winding`` is made of, in its order. A finding points at the first that stands on the sheet."""

GIVEN = (
    "{its.line_start_tension} on a core of {its.core_diameter}, taper {its.taper} ({its.taper_law}),"
    " up to {its.full_diameter}"
)


def model_terms(winding: Winding) -> dict[str, Any]:
    """Give what the wound-roll model takes, by name; raises ZeroDivisionError for a web without thickness."""
    return {
        "core_radius": winding.core_diameter / 2,
        "roll_radius": winding.full_diameter / 2,
        "start_stress": winding.line_start_tension / winding.caliper,
        "taper": winding.taper,
        "taper_law": winding.taper_law,
        "hoop_modulus": winding.stiffness / winding.caliper,
        "core_stiffness": winding.core_stiffness,
        "stack_k1": winding.k1,
        "stack_k2": winding.k2,
    }


@lru_cache(maxsize=256)
def wound(winding: Winding) -> WoundRoll:
    """Give the pressures in a roll; raises ValueError where the model does not hold."""
    return wound_pressure(**model_terms(winding))


def on_big_core(winding: Winding, wall: float) -> Winding:
    """Give the same length of web, wound alike, on a core of 6 in bore with the same wall."""
    core = SIX_INCH + 2 * wall
    full = sqrt(winding.full_diameter**2 - winding.core_diameter**2 + core**2)
    return winding._replace(core_diameter=core, full_diameter=full, core_stiffness=_core_stiffness(core, wall))


def _core_stiffness(outside: float, wall: float, modulus: float = FIBRE_MODULUS) -> float:
    return core_tube.core_stiffness(modulus, outside / 2 - wall, outside / 2, FIBRE_POISSON)


def _compression(winding: Winding) -> float:
    """Give the greatest compression of a turn along the web, Pa; 0 where no turn is compressed."""
    return max(0.0, -wound(winding).least_hoop()[0])


def _wrinkling(winding: Winding) -> float:
    """Give that compression as a share of what wrinkles a turn, with the stack as stiff as it is at that radius."""
    roll = wound(winding)
    hoop, radius = roll.least_hoop()
    radial = winding.k2 * (winding.k1 + max(0.0, roll.pressure_at(radius)))
    return buckling.wrinkling_share(max(0.0, -hoop), winding.stiffness / winding.caliper, radial)


def _grip(winding: Winding) -> float:
    """Give the torque at the core, but for friction and width: p r²."""
    return wound(winding).core_pressure * winding.core_diameter**2


def _start_for_big_core(small: Winding, big: Winding) -> float:
    """Give the start tension at which the small core is pressed no harder than the big one; secants in logarithms.

    The pressure rises faster than the tension and at most as its square: a secant that tells otherwise is not followed.
    """
    wanted = wound(big).core_pressure
    tension, step, power = small.line_start_tension, 0.0, _USUAL_POWER
    excess = log(wound(small).core_pressure / wanted)
    if excess <= 0.0:
        return tension
    for _ in range(_MOST_SECANTS):
        step, before = -excess / power, excess
        tension *= exp(step)
        excess = log(wound(small._replace(line_start_tension=tension)).core_pressure / wanted)
        if abs(excess) < _CLOSE:
            break
        power = min(2.0, max(1.0, (excess - before) / step))
    return tension


def _of(name: str, dimension: str, meaning: str, formula: str, work: Callable[[Winding], float], text: str) -> Figure:
    """Make a figure of the roll as it is wound."""
    routes = one_route(NEEDS, lambda *x: work(Winding(*x)), text)
    return Figure(f"wound_roll.{name}", dimension, f"{meaning} {MEASURE}", formula, MODEL, routes)


def _big(
    name: str, dimension: str, meaning: str, formula: str, work: Callable[[Winding, Winding], float], text: str
) -> Figure:
    """Make a figure of the roll against the same length on a core of 6 in bore."""

    def both(*x: float) -> float:
        winding = Winding(*x[:-1])  # type: ignore[arg-type]  # one of the needs is the word of the taper law
        return work(winding, on_big_core(winding, x[-1]))

    routes = one_route((*NEEDS, "its.core_wall"), both, text)
    return Figure(f"wound_roll.{name}", dimension, f"{meaning} {MEASURE}", formula, MODEL, routes)


_PRESSURES = (
    _of(
        "core_pressure",
        "pressure",
        "Pressure of the roll on its core.",
        "P(r_c) of the wound-roll model",
        lambda winding: wound(winding).core_pressure,
        f"wound-roll model, {GIVEN}",
    ),
    _of(
        "greatest_pressure",
        "pressure",
        "Greatest pressure between the turns.",
        "max P(r)",
        lambda winding: wound(winding).greatest_pressure,
        f"wound-roll model, {GIVEN}",
    ),
    _of(
        "body_pressure",
        "pressure",
        "Pressure between the turns half way from core to outside.",
        "P((r_c + R)/2)",
        lambda winding: wound(winding).pressure_at((winding.core_diameter + winding.full_diameter) / 4),
        f"wound-roll model half way from core to outside, {GIVEN}",
    ),
    _of(
        "compression",
        "pressure",
        "Greatest stress by which a turn is pushed together lengthwise.",
        "−least σ_θ, 0 where none is below 0",
        _compression,
        "wound-roll model, the least hoop stress",
    ),
    _of(
        "wrinkling_share",
        "ratio",
        "That stress as a share of what wrinkles a turn between its neighbours, an estimate. Below a tenth nothing"
        " buckles.",
        "−σ_θ / [0.52 (E_t E_r²)^(1/3)], E_r = K₂ (K₁ + p)",
        _wrinkling,
        "{its.compression} / (0.52 × ({laminate.hoop_modulus} × E_r²)^(1/3)), E_r = {stack.k2} × ({stack.k1} + p)",
    ),
    _big(
        "big_core_pressure",
        "pressure",
        "Pressure on the core, were the same length wound alike on a core of 6 in bore with the same wall.",
        "P(r_c) at 6 in bore, D = √(D² − d² + d₆²)",
        lambda small, big: wound(big).core_pressure,
        "the same model and length on a core of 6 in bore",
    ),
    _big(
        "start_for_big_core",
        "line tension",
        "Start tension at which the core is pressed no harder than one of 6 in bore at the tension set.",
        "T′₀ at which P(r_c) is that of 6 in bore",
        _start_for_big_core,
        "the start tension at which the model gives {its.big_core_pressure} on the core",
    ),
    _big(
        "core_grip_share",
        "ratio",
        "Torque that the turns at the core can carry, as a share of that on a core of 6 in bore.",
        "P r_c² / (P r_c² at 6 in bore)",
        lambda small, big: _grip(small) / _grip(big),
        "{its.core_pressure} × {its.core_diameter}² against the same on a core of 6 in bore",
    ),
)

FIGURES = (
    Figure(
        "laminate.hoop_modulus",
        "pressure",
        "Elastic modulus of the laminate along the web, all layers together.",
        "E = Σ Eᵢ tᵢ / Σ tᵢ",
        "mechanics of layered webs",
        (calculated("laminate.stiffness / laminate.caliper"),),
    ),
    Figure(
        "core.modulus",
        "pressure",
        "Elastic modulus of a wound fibre core.",
        "3 GPa",
        "from memory; spiral cores differ by direction and moisture",
        (asked(lambda ask, item: exact(FIBRE_MODULUS, FIBRE)),),
    ),
    Figure(
        "wound_roll.core_stiffness",
        "pressure",
        "Outside pressure over the share of its radius by which the core gives way.",
        "E_c = E / [(r_o² + r_i²)/(r_o² − r_i²) − ν]",
        "Lamé's thick tube; an estimate for a wound core, which is not isotropic",
        one_route(
            ("its.core_diameter", "its.core_wall", "core.modulus"),
            _core_stiffness,
            "tube of {its.core_diameter} outside and {its.core_wall} wall, {core.modulus}",
        ),
    ),
    *_PRESSURES,
    Figure(
        "rewound_roll.air_film",
        "length",
        "Air dragged in under the outermost turn where no lay-on roller presses it out: the most, before any leaks"
        " out at the sides. An indication only.",
        "h = 0.643 R (12 η v / T′)^(2/3)",
        "Knox and Sweeney, Ind. Eng. Chem. Process Des. Dev. 10 (1971) 201 (from memory); air 1.81e-5 Pa s",
        one_route(
            ("its.winding_speed", "its.line_end_tension", "its.full_diameter"),
            lambda speed, line, full: air_film.air_film_in_roll(full / 2, AIR_VISCOSITY, speed, line),
            "0.643 × {its.full_diameter} / 2 × (12 × 1.81e-5 Pa s × {its.winding_speed}"
            " / {its.line_end_tension})^(2/3)",
        ),
    ),
    Figure(
        "rewound_roll.air_leak_time",
        "time",
        "Time in which the air under the outermost turn leaks out at the sides until the turns touch, three roughnesses"
        " apart; further turns press it out sooner. An indication only.",
        "t = η w² / (2 p) · (1/h₂² − 1/h₁²), p = T′/R, h₂ = 3 q",
        "Reynolds squeeze film between long strips; touch: Ducotey and Good, J. Tribol. 121 (1999) 618, abstract",
        one_route(
            ("its.width", "its.line_end_tension", "its.full_diameter", "its.air_film", "stack.roughness"),
            lambda width, line, full, film, rough: air_film.air_leak_time(
                AIR_VISCOSITY, width, line, full / 2, film, TOUCH * rough
            ),
            "1.81e-5 Pa s × {its.width}² × {its.full_diameter} / (4 × {its.line_end_tension})"
            " × (1/(3 × {stack.roughness})² − 1/{its.air_film}²)",
        ),
    ),
)
