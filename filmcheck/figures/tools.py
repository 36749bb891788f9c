"""Figures of cutting tools: clearance, growth, life and age."""

from __future__ import annotations

from filmcheck.figures.calculated import by_definition, calculated
from filmcheck.figures.figure import Default, Figure, asked, one_route

DAY = 86400.0


NOT_KNOWN = (
    Default("cut.growth", 0.0, "the growth of the die is not known and left out"),
    Default("cut.run_out", 0.0, "the run-out is not known and left out"),
    Default("die.wear", 0.0, "the wear of the blade is not known and left out"),
)


def _age(name: str) -> Figure:
    return Figure(
        f"{name}.inspection_age",
        "time",
        f"Time from the last inspection of the {name.replace('_', ' ')} to the day of the job.",
        "day of the job − day of the check",
        "calendar",
        one_route(("job.day", f"{name}.inspected"), lambda day, earlier: (day - earlier).days * DAY),
    )


FIGURES = (
    Figure(
        "die.growth",
        "length",
        "Growth of the die's radius while it warms up on the press.",
        "Δr = α r ΔT",
        "thermal expansion; steel 11.5e-6 1/K (ISO 3650 gauge blocks, from memory)",
        (
            calculated("[11.5e-6 1/K] × die.radius × die_cut.warm_up"),
            calculated("[11.5e-6 1/K] × die.circumference / (2 × π) × die_cut.warm_up"),
        ),
    ),
    Figure(
        "cut.growth",
        "length",
        "How much deeper the growth of the die sets the blade: all of it where the bearers stay cold, none where they"
        " warm up alike.",
        "Δr with cold bearers, 0 with warm ones",
        "geometry of die and bearers; the worst case where nothing is said",
        one_route(
            ("die.growth", Default("die_cut.bearers", "cold", "the bearers are taken to stay cold, the worst case")),
            lambda growth, bearers: growth if bearers == "cold" else 0.0,
            "{die.growth} with {die_cut.bearers} bearers",
        ),
    ),
    Figure(
        "cut.run_out",
        "length",
        "Run-out of everything between blade and anvil, added up.",
        "",
        "worst case of independent run-outs",
        (
            calculated(
                "die.run_out + magnetic_cylinder.run_out + anvil.run_out + press.bearing_tolerance",
                Default("magnetic_cylinder.run_out", 0.0, "the magnetic cylinder's run-out is not given"),
                Default("anvil.run_out", 0.0, "the anvil's run-out is not given"),
                Default("press.bearing_tolerance", 0.0, "the bearings' run-out is not given"),
            ),
        ),
    ),
    Figure(
        "cut.deepest",
        "length",
        "How much deeper than meant the blade can stand, in the worst case.",
        "(t liner − t built for) + growth + run-out − wear",
        "sum of micron errors towards the liner",
        (
            calculated(
                "the greater of 0 and liner.caliper − die.for_liner_caliper + cut.growth − die.wear + cut.run_out",
                *NOT_KNOWN,
            ),
        ),
    ),
    Figure(
        "cut.shallowest",
        "length",
        "How much shallower than meant the blade can stand, in the worst case: before the die has warmed and grown.",
        "(t built for − t liner) + run-out + wear",
        "sum of micron errors away from the liner",
        (
            calculated(
                "the greater of 0 and die.for_liner_caliper − liner.caliper + cut.run_out + die.wear",
                *NOT_KNOWN,
            ),
        ),
    ),
    by_definition(
        "die.planned_revolutions",
        "number",
        "Turns of the die that the job asks for.",
        "web.length / die.circumference",
    ),
    by_definition(
        "die.life_share",
        "ratio",
        "Share of its life that the die has run when the job is done.",
        "(die.revolutions + die.planned_revolutions) / die.life",
    ),
    *[
        Figure(
            f"slitter.{field}",
            dimension,
            f"{what} in finishing, by the sheet, else by the finishing register.",
            "as given",
            "definition",
            tuple(
                asked(lambda ask, item, name=name: ask(name), f"{{{name}}}", (name,))  # type: ignore[misc]
                for name in (f"finishing.knives.{field}", f"finisher.knives.{field}")
            ),
        )
        for field, dimension, what in (
            ("condition", "word", "Condition of the knives"),
            ("changed", "date", "Day of the last change of the knives"),
        )
    ],
    *map(_age, ("die", "magnetic_cylinder", "anvil")),
)
