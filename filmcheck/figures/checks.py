"""Figures of the checks that a sheet lists and of what they gave."""

from __future__ import annotations

from collections.abc import Callable

from filmcheck.figures.figure import Ask, Figure, Route, asked, held
from filmcheck.plant.job import Item
from filmcheck.plant.record import Datum, Listing, Record, content_at, find
from filmcheck.records.value import Figured, Missing, Need, exact
from filmcheck.units.quantity import Quantity


def _made(moment: str, name: str, meaning: str) -> Figure:
    def look(ask: Ask, item: Item | None) -> Figured:
        item = held(item)
        moments = find(item.records[0], ("at",))
        if not isinstance(moments, Listing):
            need = f"{item.label}: at"
            return Missing((Need(need, need, item.place),))
        return exact(any(isinstance(one, Datum) and one.content == moment for one in moments.items))

    return Figure(f"check.{name}", "truth", meaning, "as listed under at", "definition", (asked(look),))


def _pressure(record: Record | None, name: str) -> Quantity | None:
    reading = content_at(record, name)
    return reading if isinstance(reading, Quantity) else None


def _first(ask: Ask) -> Quantity | None:
    readings = (_pressure(other.records[0], "die_pressure") for other in ask.things("result"))
    return next((known for known in readings if known is not None), None)


def _at_last(ask: Ask) -> Quantity | None:
    return _pressure(ask.job.documents["die"].record, "pressure")


def _moved_from(other: Callable[[Ask], Quantity | None], what: str) -> Route:
    """Compare a reading with another one; only readings of one sort can be compared."""

    def look(ask: Ask, item: Item | None) -> Figured:
        item = held(item)
        name = f"{item.label}: die_pressure"
        own, then = _pressure(item.records[0], "die_pressure"), other(ask)
        if own is None or then is None:
            lack = name if own is None else "die.pressure"
            return Missing((Need(lack, lack, item.place),))
        if then.dimension != own.dimension or then.low <= 0:
            says = f"{name} {own.text} cannot be compared with {what} {then.text}"
            return Missing((Need(name, says, item.place),))
        return exact(own.low / then.low - 1)

    return asked(look, f"{{its.die_pressure}} against {what}", ("its.die_pressure",))


FIGURES = (
    _made("set-up", "made_at_set_up", "Whether the check is to be made at set-up."),
    _made("every roll", "made_on_every_roll", "Whether the check is to be made on every roll."),
    _made("end of job", "made_at_end", "Whether the check is to be made when the job is over."),
    Figure(
        "result.pressure_drift",
        "ratio",
        "How far the die pressure has moved since the first reading of the job.",
        "p / p first − 1",
        "definition",
        (_moved_from(_first, "the first reading"),),
    ),
    Figure(
        "result.pressure_off_register",
        "ratio",
        "How far the die pressure is from the one at which the die last cut right, by the tooling register.",
        "p / p register − 1",
        "definition",
        (_moved_from(_at_last, "the reading in the tooling register"),),
    ),
)
