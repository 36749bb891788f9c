"""Figures of the laminate as a whole."""

from __future__ import annotations

from collections.abc import Callable

from filmcheck.figures.asking import Ask
from filmcheck.figures.figure import Default, Figure, Route, asked, one_route
from filmcheck.formulas import laminate
from filmcheck.plant.job import Item, why_unusable
from filmcheck.plant.record import Datum, Unusable
from filmcheck.records.value import Figured, Missing, Need, Source, Value
from filmcheck.units.quantity import Quantity
from filmcheck.web.walk import combine

_LAYERS = ("face.caliper", "adhesive.caliper", "liner.caliper")
_DENSITIES = ("face.density", "adhesive.density", "liner.density")
_HEATS = ("face.specific_heat", "adhesive.specific_heat", "liner.specific_heat")
_ADHESIVE = Default("adhesive.modulus", 0.0, "the adhesive's stiffness is left out: it is small against the films")


def _stiffness(face: float, adhesive: float, liner: float, *calipers: float) -> float:
    pairs = [pair for pair in zip((face, adhesive, liner), calipers, strict=True) if pair[0] > 0]
    return laminate.laminate_stiffness([modulus for modulus, _ in pairs], [caliper for _, caliper in pairs])


def _of_film(station: Item, name: str) -> Figured:
    """Read a datum of what a laminating station adds; ``laminate.caliper`` itself is a figure of the stock."""
    field = station.records[0].fields.get(name)
    label = f"{name} of {station.label}"
    if isinstance(field, Datum) and isinstance(field.content, Quantity):
        return Value(field.content.low, field.content.high, Source(label, field))
    return Missing((why_unusable(field, label) if isinstance(field, Unusable) else Need(label, label, station.place),))


def _sum(*terms: float) -> float:
    return sum(terms)


def _product(*terms: float) -> float:
    return terms[0] * terms[1]


def with_films(ask: Ask, of_stock: str, *names: str, until: int | None = None) -> Figured:
    """Add to a figure of the stock what is laminated on the way, as far as station ``until``."""
    stations = [one for one in ask.job.stations if one.kind == "laminate" and (until is None or one.number < until)]
    if not stations:
        return ask(of_stock)
    films = [[_of_film(station, name) for name in names] for station in stations]
    return combine(_sum, ask(of_stock), *[film[0] if len(names) == 1 else combine(_product, *film) for film in films])


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
