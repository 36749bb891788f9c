"""Figures of the laminate as a whole."""

from __future__ import annotations

from filmcheck.figures.figure import Default, Figure, Route, one_route
from filmcheck.formulas import laminate

_LAYERS = ("face.caliper", "adhesive.caliper", "liner.caliper")
_DENSITIES = ("face.density", "adhesive.density", "liner.density")
_HEATS = ("face.specific_heat", "adhesive.specific_heat", "liner.specific_heat")
_ADHESIVE = Default("adhesive.modulus", 0.0, "the adhesive's stiffness is left out: it is small against the films")


def _stiffness(face: float, adhesive: float, liner: float, *calipers: float) -> float:
    pairs = [pair for pair in zip((face, adhesive, liner), calipers, strict=True) if pair[0] > 0]
    return laminate.laminate_stiffness([modulus for modulus, _ in pairs], [caliper for _, caliper in pairs])


FIGURES = (
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
