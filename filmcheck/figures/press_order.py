"""Whether a path runs through the stations of the press in the order in which they stand."""

from __future__ import annotations

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
    """Give the stations that the press has only before one that the web has met already.

    Each station of the path is taken for the next one of its sort on the press; one that the press does not have
    at all is no matter of order and is left aside.
    """
    passed = -1
    found = []
    for item in path:
        places = [place for place, record in by_kind.get(item.kind, ()) if _same(item, record)]
        ahead = [place for place in places if place > passed]
        if ahead:
            passed = ahead[0]
        elif places:
            found.append(item)
    return found


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
