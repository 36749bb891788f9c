"""Figures of the laminate as a whole, and of the web with what is laminated on the way.

What is laminated on counts from its station on: in front of it the web is the laminate of the stock. It adds its
caliper, its mass and its heat to the web, and its stiffness to what the web meets behind it. The pull with which it
comes off its own roll adds to that of the web, and the film itself goes on carrying it; none is counted where the sheet
does not say it. So the station does not stretch the web: only what the pull changes behind it is carried by web and
film together (`path_steps.gained`). From the die cut on it is cut into labels like the face. `laid_on` has the film's
own figures.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from filmcheck.figures.figure import Ask, Default, Figure, Route, asked, known_or, one_route
from filmcheck.formulas import laminate
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Value, exact
from filmcheck.web.walk import combine

_LAYERS = ("face.caliper", "adhesive.caliper", "liner.caliper")
_DENSITIES = ("face.density", "adhesive.density", "liner.density")
_HEATS = ("face.specific_heat", "adhesive.specific_heat", "liner.specific_heat")
NO_FILM_HEAT = exact(0.0, "the heat that the film laminated on takes up is not known, so none is counted")
_ADHESIVE = Default("adhesive.modulus", 0.0, "the adhesive's stiffness is left out: it is small against the films")


def _stiffness(face: float, adhesive: float, liner: float, *calipers: float) -> float:
    pairs = [pair for pair in zip((face, adhesive, liner), calipers, strict=True) if pair[0] > 0]
    return laminate.laminate_stiffness([modulus for modulus, _ in pairs], [caliper for _, caliper in pairs])


def films(ask: Ask) -> list[Item]:
    """Give the stations that laminate something on."""
    return ask.once("films", lambda ask: [one for one in ask.job.stations if one.kind == "laminate"])


def with_films(ask: Ask, of_stock: str, *fields: str, until: float = math.inf, unknown: Value | None = None) -> Figured:
    """Add to a figure of the stock what is laminated on before station ``until``: the product of some fields each.

    ``unknown`` counts for a film of which one of them is not given.
    """
    laid = [station for station in films(ask) if station.number < until]

    def add(ask: Ask) -> Figured:
        each = [
            combine(lambda *terms: math.prod(terms), *[ask(f"its.{field}", station) for field in fields])
            for station in laid
        ]
        return combine(lambda *terms: math.fsum(terms), ask(of_stock), *[known_or(film, unknown) for film in each])

    return ask.once(f"{of_stock} {len(laid)}", add) if laid else ask(of_stock)


def heat_capacity(ask: Ask, until: float) -> Figured:
    """Give the heat that the web takes up in front of a station; that of a film counts where it is known."""
    fields = ("film_density", "film_specific_heat", "film_caliper")
    return with_films(ask, "laminate.heat_capacity", *fields, until=until, unknown=NO_FILM_HEAT)


def _wound(name: str, dimension: str, meaning: str, formula: str, *fields: str) -> Figure:
    """Make a figure of the web as it is wound behind the last laminating station."""
    of_stock = f"laminate.{name}"
    find: Callable[[Ask, Item | None], Figured] = lambda ask, item: with_films(ask, of_stock, *fields)  # noqa: E731
    return Figure(f"product.{name}", dimension, meaning, formula, "definition", (asked(find, "", (of_stock,)),))


FIGURES = (
    _wound(
        "caliper",
        "length",
        "Thickness of the web as it is wound: the laminate and what is laminated on the way.",
        "t = Σ tᵢ",
        "film_caliper",
    ),
    _wound(
        "stiffness",
        "line tension",
        "Stiffness of the web as it is wound: the laminate and what is laminated on the way.",
        "S = Σ Eᵢ tᵢ",
        "film_modulus",
        "film_caliper",
    ),
    _wound(
        "areal_mass",
        "areal mass",
        "Mass per area of the web as it is wound: the laminate and what is laminated on the way.",
        "m″ = Σ ρᵢ tᵢ",
        "film_density",
        "film_caliper",
    ),
    Figure(
        "laminate.caliper",
        "length",
        "Thickness of the whole laminate.",
        "t = Σ tᵢ",
        "definition",
        one_route(_LAYERS, lambda *t: laminate.laminate_thickness(t), " + ".join(f"{{{n}}}" for n in _LAYERS)),
    ),
    Figure(
        "laminate.stiffness",
        "line tension",
        "Line tension that would stretch the laminate to twice its length, if it stayed elastic.",
        "S = Σ Eᵢ tᵢ",
        "mechanics of layered webs",
        (
            Route(
                ("face.modulus", "adhesive.modulus", "liner.modulus", *_LAYERS),
                _stiffness,
                "{face.modulus} × {face.caliper} + {adhesive.modulus} × {adhesive.caliper}"
                " + {liner.modulus} × {liner.caliper}",
            ),
            Route(
                ("face.modulus", _ADHESIVE, "liner.modulus", *_LAYERS),
                _stiffness,
                "{face.modulus} × {face.caliper} + {liner.modulus} × {liner.caliper}",
            ),
        ),
    ),
    Figure(
        "liner.stiffness",
        "line tension",
        "Line tension that would stretch the liner alone to twice its length, if it stayed elastic: from the die cut"
        " on the liner carries the web by itself.",
        "S = E t",
        "mechanics of layered webs",
        one_route(
            ("liner.modulus", "liner.caliper"),
            lambda modulus, caliper: laminate.laminate_stiffness([modulus], [caliper]),
            "{liner.modulus} × {liner.caliper}",
        ),
    ),
    Figure(
        "laminate.areal_mass",
        "areal mass",
        "Mass of the laminate per area.",
        "m″ = Σ ρᵢ tᵢ",
        "definition",
        one_route(
            (*_DENSITIES, *_LAYERS),
            lambda *x: laminate.areal_mass(x[:3], x[3:]),
            "{face.density} × {face.caliper} + {adhesive.density} × {adhesive.caliper}"
            " + {liner.density} × {liner.caliper}",
        ),
    ),
    Figure(
        "laminate.heat_capacity",
        "areal heat capacity",
        "Heat that one area of laminate takes up per kelvin.",
        "C″ = Σ ρᵢ cᵢ tᵢ",
        "definition",
        one_route(
            (*_DENSITIES, *_HEATS, *_LAYERS),
            lambda *x: laminate.areal_heat_capacity(x[:3], x[3:6], x[6:]),
            "the sum over face, adhesive and liner of density × specific heat × caliper",
        ),
    ),
)
