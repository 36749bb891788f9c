"""Figures of when a job is on the press: its hours, their days, and the time that the web takes."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from filmcheck.figures.calculated import by_definition
from filmcheck.figures.figure import Ask, Figure, asked
from filmcheck.plant.job import Item
from filmcheck.plant.record import Datum, deepest, find
from filmcheck.records.value import Figured, Missing, Need, Plain, Source, exact

FORM = "%Y-%m-%d %H:%M"


def _moment(ask: Ask, name: str) -> tuple[datetime, Source] | Missing:
    sheet = ask.job.sheet
    field = find(sheet, ("press_time", name))
    label = f"press_time.{name}"
    if not isinstance(field, Datum):
        return Missing((Need(label, label, deepest(sheet, ("press_time",))),))
    try:
        return datetime.strptime(field.text, FORM), Source(label, field)
    except ValueError:
        return Missing((Need(label, f"{label} {field.text} is no hour of a day", field.place, spoiled=True),))


def _hours(ask: Ask, item: Item | None) -> Figured:
    start, end = _moment(ask, "from"), _moment(ask, "to")
    if isinstance(start, Missing):
        return start
    if isinstance(end, Missing):
        return end
    return exact((end[0] - start[0]).total_seconds())._replace(source=end[1])


def _of(name: str, part: str, dimension: str, meaning: str, formula: str, work: Callable[[datetime], Plain]) -> Figure:
    """Make the figure of a part of the hour at which the booking begins or ends."""

    def look(ask: Ask, item: Item | None) -> Figured:
        moment = _moment(ask, name)
        return moment if isinstance(moment, Missing) else exact(work(moment[0]))._replace(source=moment[1])

    meaning = meaning.format(f"the booked hours of the press {'begin' if name == 'from' else 'end'}")
    return Figure(f"press_time.{name}_{part}", dimension, meaning, formula, "job sheet", (asked(look),))


def _day(name: str) -> Figure:
    return _of(name, "day", "date", "Day on which {}.", "day of the hour", datetime.date)


def _clock(name: str) -> Figure:
    work: Callable[[datetime], Plain] = lambda moment: 3600.0 * moment.hour + 60.0 * moment.minute  # noqa: E731
    return _of(name, "clock", "time", "Time of day at which {}, from midnight.", "hour and minute", work)


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
    by_definition(
        "web.run_time",
        "time",
        "Time that the whole length takes at the speed of the job, without set-up and stops.",
        "web.length / web.speed",
    ),
)
