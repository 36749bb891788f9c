"""Figures of the parent roll on the unwind: what is on it, how far the job runs it down, how the pull climbs."""

from __future__ import annotations

from filmcheck.figures.calculated import by_definition, calculated
from filmcheck.figures.figure import Ask, Default, Figure, asked, one_route
from filmcheck.figures.tension import WALL
from filmcheck.formulas import roll_geometry
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Missing, Value, lacking, number
from filmcheck.web.walk import combine

EMPTIED = "the length or the caliper of the job is not known, so its parent roll is taken to be emptied"
ONE = "one parent roll is counted"

_CLIMB_NEEDS = ("its.roll.diameter", "its.end_diameter")


def _no_climb(ask: Ask, item: Item | None) -> Figured:
    """Give 1 where a loop holds the tension; otherwise what the other route lacks, so that it is asked for."""
    control = ask("its.control", item)
    if isinstance(control, Missing):
        return control
    return Value(1.0, 1.0) if control.low == "closed loop" else Missing(lacking(_climb(ask, item)))


def _climb(ask: Ask, item: Item | None) -> Figured:
    """Give how many times the tension grows while the job runs the roll down under a brake alone."""
    control = ask("its.control", item)
    if isinstance(control, Missing):
        return control
    return combine(lambda full, end: full / end, ask("its.roll.diameter", item), ask("its.end_diameter", item))


def _end_diameter(ask: Ask, item: Item | None) -> Figured:
    """Give the smallest diameter that the job reaches: the core with several rolls or an unknown length."""
    core, rolls = ask("its.core_diameter", item), ask("its.rolls", item)
    if isinstance(rolls, Value) and number(rolls.low) > 1:
        return core
    length, caliper = ask("web.length"), ask("laminate.caliper")
    unknown = [figure for figure in (length, caliper) if isinstance(figure, Missing)]
    if any(figure.is_spoiled for figure in unknown):
        return Missing(lacking(*unknown))
    if unknown:
        return core if isinstance(core, Missing) else core._replace(assumes=(*core.assumes, EMPTIED))
    return combine(roll_geometry.diameter_left, ask("its.roll.diameter", item), core, length, caliper)


FIGURES = (
    Figure(
        "unwind.core_diameter",
        "length",
        "Outside diameter of the parent roll's core: the bore plus two walls.",
        "d = bore + 2 wall",
        "definition: a nominal core size is the bore",
        (calculated("its.roll.core + 2 × its.roll.core_wall", Default("its.roll.core_wall", 0.0, WALL)),),
    ),
    Figure(
        "unwind.roll_length",
        "length",
        "Length of web on one full parent roll.",
        "L = π (D² − d²) / (4 t)",
        "area of the side of the roll",
        one_route(
            ("its.roll.diameter", "its.core_diameter", "laminate.caliper"),
            roll_geometry.roll_length,
            "π × ({its.roll.diameter}² − {its.core_diameter}²) / (4 × {laminate.caliper})",
        ),
    ),
    by_definition(
        "unwind.supply",
        "length",
        "Length of web on all the parent rolls of the job.",
        "its.roll_length × its.rolls",
        Default("its.rolls", 1, ONE),
    ),
    by_definition(
        "unwind.rolls_needed",
        "number",
        "Parent rolls that the job needs.",
        "⌈web.length / its.roll_length⌉",
    ),
    Figure(
        "unwind.end_diameter",
        "length",
        "Smallest diameter to which the job runs a parent roll down: its core where the job uses several rolls, or"
        " where its length is not known.",
        "D_end² = D₀² − 4 t L / π",
        "area of the side of the roll",
        (
            asked(
                _end_diameter,
                "the greater of {its.core_diameter} and"
                " √({its.roll.diameter}² − 4 × {laminate.caliper} × {web.length} / π)",
                ("its.roll.diameter", "laminate.caliper", "web.length", "its.core_diameter"),
            ),
        ),
    ),
    Figure(
        "unwind.climb",
        "number",
        "How many times the tension grows until the job is done; 1 under a closed loop.",
        "D₀ / D_end for a brake of constant torque",
        "torque balance M = F D / 2",
        (
            asked(_no_climb, "1, for the closed loop holds the tension", ("its.control",)),
            asked(_climb, "{its.roll.diameter} / {its.end_diameter}", _CLIMB_NEEDS),
        ),
    ),
    Figure(
        "unwind.highest_line_tension",
        "line tension",
        "Highest line tension at the unwind while the job runs.",
        "T′ = T′₀ D₀ / D_end",
        "torque balance M = F D / 2",
        (calculated("its.line_tension × its.climb"),),
    ),
    Figure(
        "unwind.highest_total_tension",
        "force",
        "Highest total tension at the unwind while the job runs.",
        "F = F₀ D₀ / D_end",
        "torque balance M = F D / 2",
        (calculated("its.total_tension × its.climb"),),
    ),
)
