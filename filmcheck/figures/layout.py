"""Figures of the layout: label repeat, width needed, and how repeats of cylinders agree with it."""

from __future__ import annotations

from filmcheck.figures.calculated import by_definition, calculated
from filmcheck.figures.figure import Ask, Default, Figure, asked, one_route
from filmcheck.plant.job import Item
from filmcheck.plant.record import Datum, items_at
from filmcheck.records.value import Figured, Missing, Need, exact
from filmcheck.units.quantity import Quantity

_GEARED = ("die", "magnetic_cylinder", "anvil", "print_cylinder", "print.cylinder")
_GAP = Default("layout.gap.across", 0.0, "no gap across is given and none is counted")


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
            calculated(f"{inner}.repeat"),
            calculated(f"{inner}.teeth × {inner}.pitch"),
            calculated(f"{inner}.teeth × π × {inner}.module"),
        ),
    )


def _off_whole(circumference: float, label_repeat: float) -> float:
    return circumference - max(1, round(circumference / label_repeat)) * label_repeat


def _widest(ask: Ask, item: Item | None) -> Figured:
    rolls = items_at(ask.job.documents["stock"].record, "widths")
    sizes = [one.content for one in rolls if isinstance(one, Datum)]
    widths = [size.high for size in sizes if isinstance(size, Quantity)]
    return exact(max(widths)) if widths else Missing((Need("stock.widths", "stock.widths"),))


FIGURES = (
    Figure(
        "stock.widest",
        "length",
        "Width of the widest roll in which the stock is kept.",
        "the greatest of the widths in the stock register",
        "definition",
        (asked(_widest),),
    ),
    *[_circumference(scope) for scope in _GEARED],
    by_definition(
        "layout.label_repeat",
        "length",
        "Distance from label to label along the web.",
        "layout.label.around + layout.gap.around",
    ),
    Figure(
        "layout.around",
        "number",
        "Labels around the die, from the sheet or else from the die.",
        "as given",
        "definition",
        (calculated("layout.labels_around"), calculated("die.labels_around")),
    ),
    by_definition(
        "layout.cut_repeat",
        "length",
        "Length that all labels around the die take up.",
        "layout.around × layout.label_repeat",
    ),
    by_definition(
        "layout.repeat_error",
        "length",
        "By how much the labels around the die miss its circumference.",
        "|die.circumference − layout.around × layout.label_repeat|",
    ),
    by_definition(
        "layout.carrier_error",
        "length",
        "By how much the repeat of the magnetic cylinder differs from that of the die.",
        "|magnetic_cylinder.circumference − die.circumference|",
    ),
    Figure(
        "print.circumference",
        "length",
        "Repeat of the print cylinder in a print unit.",
        "its own cylinder's, or the one of the tooling list",
        "definition",
        (calculated("its.cylinder_circumference"), calculated("print_cylinder.circumference")),
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
    by_definition(
        "layout.width_needed",
        "length",
        "Width of web that the layout takes.",
        "(layout.label.across + layout.gap.across) × layout.lanes − layout.gap.across + 2 × layout.edge_trim",
        _GAP,
        Default("layout.edge_trim", 0.0, "no edge trim is given and none is counted"),
    ),
    by_definition(
        "layout.labels_width",
        "length",
        "Width from the first label's outer edge to the last one's.",
        "(layout.label.across + layout.gap.across) × layout.lanes − layout.gap.across",
        _GAP,
    ),
    by_definition(
        "layout.lane_width",
        "length",
        "Width of one finished roll: a label and its share of the gap.",
        "layout.label.across + layout.gap.across",
        _GAP,
    ),
    Figure(
        "snap.needed_sample",
        "length",
        "Least length of a snap sample.",
        "",
        "FINAT FTM 23B asks the same length",
        (calculated("2 × die.circumference"),),
    ),
)
