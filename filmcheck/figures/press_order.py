"""Whether a path runs through the stations of the press in the order in which they stand."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping

from filmcheck.figures.asking import Ask
from filmcheck.figures.figure import Figure, asked
from filmcheck.plant.job import Item
from filmcheck.plant.record import Datum, Record
from filmcheck.records.value import Figured, Missing, Need, exact


def _fits(ask: Ask, item: Item | None) -> Figured:
    press = ask.job.documents["press"]
    if press.record is None:
        return Missing((press.lack,) if press.lack else ())
    if not press.stations:
        return Missing((Need("press.stations", "press.stations", press.record.key_place),))
    return exact(item not in ask.once("turned back", lambda ask: _turned_back(ask.job.stations, press.by_kind)))


def _turned_back(path: tuple[Item, ...], by_kind: Mapping[str, list[tuple[int, Record]]]) -> list[Item]:
    """Give the fewest stations that must be taken out for the rest to follow the press.

    So one die cut that was moved is at fault, and not all that it was moved past. Each station of the path may be any
    of its sort on the press; one that the press does not have at all is no matter of order and is left aside.
    """
    places = [[place for place, record in by_kind.get(item.kind, ()) if _same(item, record)] for item in path]
    lengths = _chains(places)
    left, passed, found = max((max(each.values()) for each in lengths if each), default=0), -1, []
    for item, each in zip(path, lengths, strict=True):
        going_on = [place for place, length in each.items() if place > passed and length == left]
        if going_on:
            left, passed = left - 1, min(going_on)
        elif each:
            found.append(item)
    return found


def _chains(places: list[list[int]]) -> list[dict[int, int]]:
    """Give for each station and place how many stations from there on can follow each other on the press."""
    firsts: list[int] = []  # firsts[n]: less the greatest place from which n + 1 stations follow each other
    found: list[dict[int, int]] = []
    for own in reversed(places):
        lengths = {place: bisect_left(firsts, -place) + 1 for place in own}
        for place, length in lengths.items():
            if length > len(firsts):
                firsts.append(-place)
            else:
                firsts[length - 1] = min(firsts[length - 1], -place)
        found.append(lengths)
    return found[::-1]


def _same(item: Item, record: Record) -> bool:
    return all(_mark(item.records[0], m) in (None, _mark(record, m)) for m in ("unit", "name"))


def _mark(record: Record, mark: str) -> object:
    datum = record.fields.get(mark)
    return datum.content if isinstance(datum, Datum) else None


FIGURES = (
    Figure(
        "station.in_press_order",
        "truth",
        "Whether the web can meet this station here, going by the order in which the press has its stations.",
        "the next of its sort on the press lies ahead",
        "press register",
        (asked(_fits),),
    ),
)
