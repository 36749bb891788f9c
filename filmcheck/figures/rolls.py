"""Figures of rolls: diameters, lengths, counts, tension at the end, mass."""

from __future__ import annotations

from math import floor

from filmcheck.figures.calculated import by_definition, calculated
from filmcheck.figures.figure import Ask, Default, Figure, Route, asked, one_route
from filmcheck.figures.tension import WALL
from filmcheck.formulas import layout, roll_geometry, taper
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Missing, Need


def _labels_in_roll(full: float, core: float, caliper: float, label_repeat: float) -> int:
    return floor(roll_geometry.roll_length(full, core, caliper) / label_repeat)


def _end(scope: str, need: str, what: str) -> Figure:
    """Make the figure of the tension at the outside of a roll."""
    return Figure(
        f"{scope}.end_tension",
        "line tension",
        f"Line tension at the outside of {what}.",
        "linear T′₀ (1 − p); hyperbolic T′₀ [1 − p (1 − r_c/R)]",
        "Lee, Kang, Kim and Shin, J. Mech. Sci. Technol. 23 (2009) 3036 (from memory)",
        (
            Route(
                (f"{need}.line_start_tension", f"{need}.taper", f"{need}.linear_law"),
                lambda start, share, _: taper.linear_end_tension(start, share),
                f"{{{need}.line_start_tension}} × (1 − {{{need}.taper}})",
            ),
            Route(
                (
                    f"{need}.line_start_tension",
                    f"{need}.taper",
                    f"{need}.taper_law",
                    f"{need}.core_diameter",
                    f"{need}.full_diameter",
                ),
                lambda start, share, _, core, full: taper.hyperbolic_taper_tension(start, share, full / 2, core / 2),
                f"{{{need}.line_start_tension}} × [1 − {{{need}.taper}}"
                f" × (1 − {{{need}.core_diameter}} / {{{need}.full_diameter}})]",
            ),
        ),
    )


def _roll(scope: str, need: str, record: str, what: str) -> tuple[Figure, ...]:
    """Make the figures that the press roll and the finished roll share."""
    core = Figure(
        f"{scope}.core_diameter",
        "length",
        f"Outside diameter of the core of {what}: the bore plus two walls.",
        "d = bore + 2 wall",
        "definition: a nominal core size is the bore",
        (calculated(f"{need}.core + 2 × {need}.core_wall", Default(f"{need}.core_wall", 0.0, WALL)),),
    )
    full = Figure(
        f"{scope}.full_diameter",
        "length",
        f"Outside diameter of {what} when full: from its length, else the one given.",
        "D = √(d² + 4 t L / π)",
        "area of the side of the roll",
        (
            calculated(
                f"√({need}.core_diameter² + 4 × product.caliper × {need}.roll_length / π)", first=f"{need}.roll_length"
            ),
            calculated(f"{need}.diameter"),
        ),
    )
    mass = Figure(
        f"{scope}.roll_mass",
        "mass",
        f"Mass of the web on {what}, without its core.",
        "m = m″ w L",
        "definition",
        (calculated(f"product.areal_mass × {record} × {need}.roll_length"),),
    )
    return core, full, _end(scope, need, what), mass


def _linear(scope: str, need: str) -> Figure:
    def find(ask: Ask, item: Item | None) -> Figured:
        law = ask(f"{need}.taper_law", item)
        if isinstance(law, Missing) or law.low == "linear":
            return law
        return Missing((Need("linear law", "the taper law is not linear", astray=True),))  # another route has its own

    meaning = "The taper law, where it is the linear one."
    return Figure(
        f"{scope}.linear_law", "word", meaning, "as given", "definition", (asked(find, "", (f"{need}.taper_law",)),)
    )


FIGURES = (
    *_roll("rewind", "its", "web.width", "the press roll"),
    _linear("rewind", "its"),
    by_definition(
        "rewind.roll_length",
        "length",
        "Length of web on one press roll.",
        "web.length / its.rolls",
        Default("its.rolls", 1, "one press roll is counted"),
    ),
    *_roll("finishing", "finishing", "layout.lane_width", "the finished roll"),
    _linear("finishing", "finishing"),
    Figure(
        "finishing.roll_length",
        "length",
        "Length of web on one finished roll.",
        "as given, else labels × label repeat",
        "definition",
        (
            calculated("finishing.length_per_roll"),
            calculated("finishing.labels_wanted × layout.label_repeat"),
        ),
    ),
    Figure(
        "finishing.labels_wanted",
        "number",
        "Labels on one finished roll: the sheet's, else those of the customer's card.",
        "as given",
        "definition",
        (calculated("finishing.labels_per_roll"),),
    ),
    Figure(
        "finishing.labels_in_length",
        "number",
        "Labels that the given length of a finished roll holds.",
        "⌊L / label repeat⌋",
        "definition",
        one_route(
            ("finishing.length_per_roll", "layout.label_repeat"),
            layout.labels_per_lane,
            "{finishing.length_per_roll} / {layout.label_repeat}",
        ),
    ),
    Figure(
        "finishing.labels_in_diameter",
        "number",
        "Labels that a finished roll of the given diameter holds.",
        "⌊π (D² − d²) / (4 t × label repeat)⌋",
        "area of the side of the roll",
        one_route(
            ("finishing.diameter", "finishing.core_diameter", "product.caliper", "layout.label_repeat"),
            _labels_in_roll,
            "π × ({finishing.diameter}² − {finishing.core_diameter}²)"
            " / (4 × {product.caliper} × {layout.label_repeat})",
        ),
    ),
    Figure(
        "finishing.most_labels",
        "number",
        "Labels that a finished roll of the customer's largest diameter holds.",
        "⌊π (D² − d²) / (4 t × label repeat)⌋",
        "area of the side of the roll",
        one_route(
            ("customer.maximum_diameter", "finishing.core_diameter", "product.caliper", "layout.label_repeat"),
            _labels_in_roll,
            "π × ({customer.maximum_diameter}² − {finishing.core_diameter}²)"
            " / (4 × {product.caliper} × {layout.label_repeat})",
        ),
    ),
    Figure(
        "laminate.gain_of_liner",
        "ratio",
        "Length on a roll of this laminate against the same face and adhesive on a 60 µm paper liner.",
        "L₂/L₁ = t₁/t₂ at equal diameters",
        "area of the side of the roll; glassine liner of 60 µm (common practice, no source)",
        (calculated("(laminate.caliper − liner.caliper + [60 µm]) / laminate.caliper"),),
    ),
)
