"""Figures of the job itself, its rolls and its lanes."""

from __future__ import annotations

from filmcheck.figures.figure import Ask, Figure, asked, held
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Missing, exact


def _day(ask: Ask, item: Item | None) -> Figured:
    given = ask("job.date")
    if isinstance(given, Missing) and not given.is_spoiled:  # a day that is wrong on the sheet is told there, once
        return exact(ask.today, "the sheet gives no date, so today counts")
    return given


FIGURES = (
    Figure(
        "job.day",
        "date",
        "Day of the job; today where the sheet gives none.",
        "as given",
        "definition",
        (asked(_day),),
    ),
    Figure(
        "job.today",
        "date",
        "The day on which filmcheck runs.",
        "calendar",
        "definition",
        (asked(lambda ask, item: exact(ask.today)),),
    ),
    *[
        Figure(
            f"{kind}.number",
            "number",
            f"Number of the {kind}, from 1.",
            "order",
            "definition",
            (asked(lambda ask, item: exact(held(item).number)),),
        )
        for kind in ("roll", "lane", "check", "result", "deviation")
    ],
)
