"""Figures of the matrix: the strips that it hangs together by, and the force that strips it off."""

from __future__ import annotations

from filmcheck.figures.calculated import by_definition, calculated
from filmcheck.figures.figure import Ask, Default, Figure, asked, one_route
from filmcheck.formulas import peeling
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Missing, Value
from filmcheck.web.walk import combine

SQUARE = 1.5707963267948966
ANGLE = "the matrix is taken to be stripped at 90°"


def _widths(ask: Ask) -> tuple[Figured, ...]:
    """Give the widths of the strips along the web: the gaps between lanes and the two trims, those that there are."""
    lanes, gap, trim = ask("layout.lanes"), ask("layout.gap.across"), ask("layout.edge_trim")
    if isinstance(lanes, Missing):
        return (lanes,)
    between = (gap,) * (int(lanes.low) - 1) if isinstance(lanes.low, int) else ()
    found = (*between, trim, trim)
    return tuple(width for width in found if isinstance(width, Missing) or width.high)


def _strips(ask: Ask, item: Item | None) -> Figured:
    widths = _widths(ask)
    return combine(lambda *all_of: len(all_of), *widths) if widths else Value(0, 0)


def _narrowest(ask: Ask, item: Item | None) -> Figured:
    return combine(lambda *all_of: min(all_of, default=0.0), *_widths(ask))


FIGURES = (
    Figure(
        "matrix.strips",
        "number",
        "Strips of the matrix along the web: gaps between lanes and edge trims.",
        "lanes − 1 gaps and 2 trims, those that have a width",
        "definition",
        (asked(_strips, "", ("layout.lanes", "layout.gap.across", "layout.edge_trim")),),
    ),
    Figure(
        "matrix.narrowest",
        "length",
        "Narrowest strip of the matrix along the web.",
        "the least of gap across and edge trim",
        "definition",
        (asked(_narrowest, "", ("layout.gap.across", "layout.edge_trim", "layout.lanes")),),
    ),
    Figure(
        "matrix.stripping_force",
        "force",
        "Force that strips the matrix, where a strip across the web parts over its full width.",
        "F = G w / (1 − cos θ)",
        "Rivlin 1944, Kendall 1975 (from memory)",
        one_route(
            ("adhesive.release_work", "web.width", Default("matrix_strip.angle", SQUARE, ANGLE)),
            peeling.stripping_force,
            "{adhesive.release_work} × {web.width} / (1 − cos {matrix_strip.angle})",
        ),
    ),
    Figure(
        "matrix.strip_load",
        "force",
        "Share of the stripping force on each strip along the web.",
        "",
        "balance of forces; the strips share it alike",
        (calculated("matrix.stripping_force / matrix.strips"),),
    ),
    Figure(
        "matrix.strip_strength",
        "force",
        "Force at which the narrowest strip of the matrix breaks, if it is cut clean.",
        "σ_b w t",
        "definition of tensile strength",
        (calculated("face.strength × matrix.narrowest × face.caliper"),),
    ),
    by_definition(
        "matrix.load_share",
        "ratio",
        "Stripping force on the narrowest strip of the matrix as a share of what breaks it.",
        "matrix.strip_load / matrix.strip_strength",
    ),
)
