"""Figures of creep-back: what a cut label and its liner recover by different amounts."""

from __future__ import annotations

import operator

from filmcheck.figures.figure import Ask, Default, Figure, asked, held, known_or, one_route
from filmcheck.figures.path_steps import heat_shrinkage, strain, warmth
from filmcheck.formulas import stretch
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, exact
from filmcheck.web.walk import combine

NO_SHARE = "no share of the strain is taken to stay in the liner"
NO_FACE_SHARE = "no share of the strain is taken to stay in the face"
COLD = "the warmth of the web at the die is not known, so only the pull is counted"


def _strain(ask: Ask, item: Item | None) -> Figured:
    """Give the strain where the labels are cut: a web that was hot and is chilled before the die is cold."""
    die = held(item)
    pulled = strain(ask, die, "highest", ask.states()[die].pull.highest)
    return combine(operator.add, pulled, warmth(ask, ask.temperatures()[die], COLD))


def _shrunk(ask: Ask, item: Item | None) -> Figured:
    return known_or(heat_shrinkage(ask, held(item)), exact(0.0, COLD))


def _creep_back(label: float, strain: float, face: float, liner: float, shrunk: float) -> float:
    return stretch.creep_back_length(strain, face, liner, shrunk, label)


FIGURES = (
    Figure(
        "die_cut.strain",
        "ratio",
        "Strain of the web where it is cut, by the pull there and the warmth that it still has; modulus at room"
        " temperature.",
        "T′/ΣEᵢtᵢ + α (θ − θ₀)",
        "Hooke's law and thermal expansion; the walk of the web",
        (asked(_strain),),
    ),
    Figure(
        "die_cut.shrunk",
        "ratio",
        "How far the liner has shrunk by heat on its way to the die, at the most.",
        "s (θ hottest − θ₀) / (θ_max − θ₀)",
        "interpolation of the stock's shrinkage; common practice, no source",
        (asked(_shrunk),),
    ),
    Figure(
        "die_cut.creep_back",
        "length",
        "How much more the liner recovers than the face over the length of a label, once it is cut, slack and cold: it"
        " shifts the ends of the label on the liner and opens a rim for adhesive. An estimate of the most. It is no"
        " error of print to die.",
        "ΔL = (ε |r liner − r face| + s) × label length",
        "face and liner recover each by its own share from the state at the die; an estimate",
        one_route(
            (
                "layout.label.around",
                "its.strain",
                Default("face.relaxes", 0.0, NO_FACE_SHARE),
                Default("liner.relaxes", 0.0, NO_SHARE),
                "its.shrunk",
            ),
            _creep_back,
            "({its.strain} × |{liner.relaxes} − {face.relaxes}| + {its.shrunk}) × {layout.label.around}",
        ),
    ),
)
