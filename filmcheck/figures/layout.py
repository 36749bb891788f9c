"""Figures of the layout: label repeat, width needed, and how repeats of cylinders agree with it."""

from __future__ import annotations

from filmcheck.figures.figure import Default, Figure, Route, one_route
from filmcheck.formulas import die as die_formulas
from filmcheck.formulas import layout, repeat

_GEARED = ("die", "magnetic_cylinder", "anvil", "print_cylinder", "print.cylinder")


def _same(value: float) -> float:
    return value


def _circumference(scope: str) -> Figure:
    inner = scope.replace("print.cylinder", "its.cylinder")
    name = "print.cylinder_circumference" if scope == "print.cylinder" else f"{scope}.circumference"
    what = scope.replace(".", " ").replace("_", " ")
    return Figure(
        name,
        "length",
        f"Repeat of the {what}: its circumference at the pitch line.",
        "teeth × circular pitch, or π × module × teeth",
        "gear geometry: one tooth of circular pitch CP gives CP, of module m gives π m",
        (
            Route((f"{inner}.repeat",), _same, f"{{{inner}.repeat}}"),
            Route(
                (f"{inner}.teeth", f"{inner}.pitch"),
                repeat.repeat_by_circular_pitch,
                f"{{{inner}.teeth}} × {{{inner}.pitch}}",
            ),
            Route(
                (f"{inner}.teeth", f"{inner}.module"),
                repeat.repeat_by_module,
                f"{{{inner}.teeth}} × π × {{{inner}.module}}",
            ),
        ),
    )


def _off_whole(circumference: float, label_repeat: float) -> float:
    return circumference - max(1, round(circumference / label_repeat)) * label_repeat


FIGURES = (
    *[_circumference(scope) for scope in _GEARED],
    Figure(
        "layout.label_repeat",
        "length",
        "Distance from label to label along the web.",
        "label around + gap around",
        "definition",
        one_route(
            ("layout.label.around", "layout.gap.around"),
            layout.label_repeat,
            "{layout.label.around} + {layout.gap.around}",
        ),
    ),
    Figure(
        "layout.around",
        "number",
        "Labels around the die, from the sheet or else from the die.",
        "as given",
        "definition",
        (
            Route(("layout.labels_around",), _same, "{layout.labels_around}"),
            Route(("die.labels_around",), _same, "{die.labels_around}"),
        ),
    ),
    Figure(
        "layout.cut_repeat",
        "length",
        "Length that all labels around the die take up.",
        "n × label repeat",
        "definition",
        one_route(
            ("layout.around", "layout.label_repeat"),
            lambda around, label_repeat: around * label_repeat,
            "{layout.around} × {layout.label_repeat}",
        ),
    ),
    Figure(
        "layout.repeat_error",
        "length",
        "By how much the labels around the die miss its circumference.",
        "|circumference − n × label repeat|",
        "definition",
        one_route(
            ("die.circumference", "layout.around", "layout.label_repeat"),
            repeat.repeat_difference,
            "|{die.circumference} − {layout.around} × {layout.label_repeat}|",
            size=True,
        ),
    ),
    Figure(
        "layout.carrier_error",
        "length",
        "By how much the repeat of the magnetic cylinder differs from that of the die.",
        "|magnetic cylinder − die|",
        "definition",
        one_route(
            ("magnetic_cylinder.circumference", "die.circumference"),
            lambda one, other: one - other,
            "|{magnetic_cylinder.circumference} − {die.circumference}|",
            size=True,
        ),
    ),
    Figure(
        "print.circumference",
        "length",
        "Repeat of the print cylinder in a print unit.",
        "its own cylinder's, or the one of the tooling list",
        "definition",
        (
            Route(("its.cylinder_circumference",), _same, "{its.cylinder_circumference}"),
            Route(("print_cylinder.circumference",), _same, "{print_cylinder.circumference}"),
        ),
    ),
    Figure(
        "print.repeat_error",
        "length",
        "By how much the print repeat misses a whole number of label repeats.",
        "|circumference − n × label repeat|, n the nearest whole number",
        "print and die register only where both carry whole labels",
        one_route(
            ("its.circumference", "layout.label_repeat"),
            _off_whole,
            "{its.circumference} against whole multiples of {layout.label_repeat}",
            size=True,
        ),
    ),
    Figure(
        "layout.width_needed",
        "length",
        "Width of web that the layout takes.",
        "n b + (n − 1) g + 2 e",
        "definition",
        one_route(
            (
                "layout.label.across",
                Default("layout.gap.across", 0.0, "no gap across is given and none is counted"),
                "layout.lanes",
                Default("layout.edge_trim", 0.0, "no edge trim is given and none is counted"),
            ),
            layout.width_needed,
            "{layout.lanes} × {layout.label.across} + ({layout.lanes} − 1) × {layout.gap.across}"
            " + 2 × {layout.edge_trim}",
        ),
    ),
    Figure(
        "layout.lane_width",
        "length",
        "Width of one finished roll: a label and its share of the gap.",
        "b + g",
        "definition",
        one_route(
            (
                "layout.label.across",
                Default("layout.gap.across", 0.0, "no gap across is given and none is counted"),
            ),
            lambda b, g: b + g,
            "{layout.label.across} + {layout.gap.across}",
        ),
    ),
    Figure(
        "snap.needed_sample",
        "length",
        "Least length of a snap sample.",
        "2 × die repeat",
        "FINAT FTM 23B asks the same length",
        one_route(("die.circumference",), die_formulas.snap_sample_length, "2 × {die.circumference}"),
    ),
)
