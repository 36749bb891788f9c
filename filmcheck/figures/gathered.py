"""Things of a job that neither its path nor its lists hold, and how they are gathered."""

from __future__ import annotations

from collections.abc import Callable

from filmcheck.figures.asking import Ask
from filmcheck.figures.wound_rolls import finished_roll, press_roll, supplied_roll
from filmcheck.figures.zones import zones
from filmcheck.plant.job import Item
from filmcheck.records.value import Missing

MOST = 1000
"""Rolls or lanes beyond this number are a slip of the pen; the implausible count is a finding of its own."""


def _counted(kind: str, figure: str) -> Callable[[Ask], tuple[Item, ...]]:
    def gather(ask: Ask) -> tuple[Item, ...]:
        count = ask(figure)
        if isinstance(count, Missing) or not isinstance(count.low, int):
            return ()
        place = count.source.place if count.source else ask.job.sheet.place
        return tuple(Item(kind, f"{kind} {number}", number, (), place) for number in range(1, min(count.low, MOST) + 1))

    return gather


COUNTED = {"roll": "rewind.rolls", "lane": "layout.lanes"}
"""Things that the sheet only counts, and the figure that counts them."""

GATHERED: dict[str, Callable[[Ask], tuple[Item, ...]]] = {
    "zone": zones,
    "supplied roll": supplied_roll,
    "press roll": press_roll,
    "finished roll": finished_roll,
    **{kind: _counted(kind, figure) for kind, figure in COUNTED.items()},
}
