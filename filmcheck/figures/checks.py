"""Figures of the checks that a sheet lists and of what they gave."""

from __future__ import annotations

from filmcheck.figures.asking import Ask
from filmcheck.figures.figure import Figure, asked
from filmcheck.plant.job import Item
from filmcheck.plant.record import Datum, Listing, find
from filmcheck.records.value import Figured, Missing, Need, exact
from filmcheck.units.quantity import Quantity


def _made(moment: str, name: str, meaning: str) -> Figure:
    def look(ask: Ask, item: Item | None) -> Figured:
        if item is None:
            raise KeyError(name)
        moments = find(item.records[0], ("at",))
        if not isinstance(moments, Listing):
            need = f"{item.label}: at"
            return Missing((Need(need, need, item.place),))
        return exact(any(isinstance(one, Datum) and one.content == moment for one in moments.items))

    return Figure(f"check.{name}", "truth", meaning, "as listed under at", "definition", (asked(look),))


def _pressure(ask: Ask, item: Item) -> Quantity | None:
    reading = find(item.records[0], ("die_pressure",))
    return reading.content if isinstance(reading, Datum) and isinstance(reading.content, Quantity) else None


def _drift(ask: Ask, item: Item | None) -> Figured:
    """Compare a reading with the first one of the job; only readings of one sort can be compared."""
    if item is None:
        raise KeyError("pressure_drift")
    name = f"{item.label}: die_pressure"
    own = _pressure(ask, item)
    if own is None:
        return Missing((Need(name, name, item.place),))
    first = next(known for other in ask.things("result") if (known := _pressure(ask, other)) is not None)
    if first.dimension != own.dimension or first.low <= 0:
        says = f"{name} {own.text} cannot be compared with the first reading {first.text}"
        return Missing((Need(name, says, item.place),))
    return exact(own.low / first.low - 1)


FIGURES = (
    _made("set-up", "made_at_set_up", "Whether the check is to be made at set-up."),
    _made("every roll", "made_on_every_roll", "Whether the check is to be made on every roll."),
    Figure(
        "result.pressure_drift",
        "ratio",
        "How far the die pressure has moved since the first reading of the job.",
        "p / p first − 1",
        "definition",
        (asked(_drift, "{its.die_pressure} against the first reading of the job", ("its.die_pressure",)),),
    ),
)
