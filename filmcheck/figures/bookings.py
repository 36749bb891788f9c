"""Figures of when a job is on the press: its hours, their days, and the time that the web takes."""

from __future__ import annotations

from datetime import datetime

from filmcheck.figures.asking import Ask
from filmcheck.figures.calculated import calculated
from filmcheck.figures.figure import Figure, asked
from filmcheck.plant.job import Item
from filmcheck.plant.record import Datum, deepest, find
from filmcheck.records.value import Figured, Missing, Need, Source, Value

FORM = "%Y-%m-%d %H:%M"


def _moment(ask: Ask, name: str) -> datetime | Missing:
    sheet = ask.job.sheet
    field = find(sheet, ("press_time", name))
    label = f"press_time.{name}"
    if not isinstance(field, Datum):
        return Missing((Need(label, label, deepest(sheet, ("press_time",))),))
    try:
        return datetime.strptime(field.text, FORM)
    except ValueError:
        return Missing((Need(label, f"{label} {field.text} is no hour of a day", field.place, spoiled=True),))


def _hours(ask: Ask, item: Item | None) -> Figured:
    start, end = _moment(ask, "from"), _moment(ask, "to")
    if isinstance(start, Missing):
        return start
    if isinstance(end, Missing):
        return end
    seconds = (end - start).total_seconds()
    return Value(seconds, seconds, _source(ask, "to"))


def _day(name: str) -> Figure:
    def look(ask: Ask, item: Item | None) -> Figured:
        moment = _moment(ask, name)
        if isinstance(moment, Missing):
            return moment
        return Value(moment.date(), moment.date(), _source(ask, name))

    meaning = f"Day on which the booked hours of the press {'begin' if name == 'from' else 'end'}."
    return Figure(f"press_time.{name}_day", "date", meaning, "day of the hour", "job sheet", (asked(look),))


def _clock(name: str) -> Figure:
    def look(ask: Ask, item: Item | None) -> Figured:
        moment = _moment(ask, name)
        if isinstance(moment, Missing):
            return moment
        seconds = 3600.0 * moment.hour + 60.0 * moment.minute
        return Value(seconds, seconds, _source(ask, name))

    meaning = (
        f"Time of day at which the booked hours of the press {'begin' if name == 'from' else 'end'}, from midnight."
    )
    return Figure(f"press_time.{name}_clock", "time", meaning, "hour and minute", "job sheet", (asked(look),))


def _source(ask: Ask, name: str) -> Source | None:
    field = find(ask.job.sheet, ("press_time", name))
    return Source(f"press_time.{name}", field) if isinstance(field, Datum) else None


FIGURES = (
    Figure(
        "press_time.hours",
        "time",
        "Time for which the press is booked; below zero where it ends before it begins.",
        "to − from",
        "job sheet",
        (asked(_hours),),
    ),
    _day("from"),
    _day("to"),
    _clock("from"),
    _clock("to"),
    Figure(
        "web.run_time",
        "time",
        "Time that the whole length takes at the speed of the job, without set-up and stops.",
        "",
        "definition",
        (calculated("web.length / web.speed"),),
    ),
)
