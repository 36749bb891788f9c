"""Figures of the adhesive: work of release, ooze in the finished roll, and the peel plate that a label needs.

They rest on data that few plants have: a release test, the viscosity of the adhesive, the time in stock. Without them
nobody can tell, and nothing is assumed.
"""

from __future__ import annotations

from filmcheck.figures.calculated import by_definition, calculated
from filmcheck.figures.figure import Ask, Figure, asked, one_route
from filmcheck.figures.laminate import films
from filmcheck.formulas import laminate, ooze
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured
from filmcheck.web.walk import combine


def _bending(ask: Ask, item: Item | None) -> Figured:
    laid = [ask(f"its.film_{what}", station) for station in films(ask) for what in ("modulus", "caliper")]
    return combine(_of_layers, ask("face.modulus"), ask("face.caliper"), *laid)


def _of_layers(*pairs: float) -> float:
    return laminate.bending_stiffness(pairs[::2], pairs[1::2])


FIGURES = (
    Figure(
        "adhesive.release_work",
        "areal energy",
        "Work to part adhesive and release coating, from a release test at 180°. A fast press mostly needs more.",
        "G = 2 P/b",
        "Rivlin 1944, Kendall 1975 (from memory); release test at 180°, 300 mm/min: FINAT FTM 10",
        (calculated("2 × adhesive.release"),),
    ),
    by_definition(
        "label.narrower_side",
        "length",
        "The narrower side of a label, the shorter way out for its adhesive.",
        "the less of layout.label.across and layout.label.around",
    ),
    Figure(
        "finished_roll.ooze",
        "length",
        "Rim of adhesive that stands out at each edge of a label where the finished roll presses hardest, once it has"
        " lain in stock. Pressure by the wound-roll model, and it is taken to last.",
        "about p t h₀² / (2 η b)",
        "squeeze film of the adhesive between long strips (Stefan; from memory, derived anew)",
        one_route(
            (
                "adhesive.caliper",
                "its.greatest_pressure",
                "finishing.in_stock",
                "adhesive.viscosity",
                "label.narrower_side",
            ),
            ooze.ooze_rim,
            "{its.greatest_pressure} × {finishing.in_stock} × {adhesive.caliper}²"
            " / (2 × {adhesive.viscosity} × {label.narrower_side})",
        ),
    ),
    Figure(
        "label.bending_stiffness",
        "torque",
        "Bending stiffness of a label per width: of its face, and of what is laminated on it.",
        "Σ Eᵢ [tᵢ³/12 + tᵢ (zᵢ − z₀)²], z₀ the neutral line",
        "bending of layered beams",
        (asked(_bending, "", ("face.modulus", "face.caliper")),),
    ),
    Figure(
        "label.peel_radius",
        "length",
        "Radius of a peel plate at which a label leaves its liner by itself; over a blunter plate it may stay on. By"
        " the stiffness of the label without its adhesive.",
        "r = √(E t³ / (24 G)) for one layer",
        "energy of bending against that of release (beam theory)",
        (calculated("√(label.bending_stiffness / (2 × adhesive.release_work))"),),
    ),
)
