"""How a path runs through the stations of the press: whether it has them, in their order, and what it runs past."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Mapping

from filmcheck.figures.figure import Ask, Figure, Route, asked, held
from filmcheck.plant.job import Document, Item
from filmcheck.plant.press_path import MARKS
from filmcheck.plant.record import Record, content_at
from filmcheck.records.value import Figured, Missing, Need, exact


def _with_press(look: Callable[[Ask, Item | None, Document], Figured]) -> Route:
    """Make a route that asks for the stations of the press, and is missing what the register does not say of them."""

    def figure(ask: Ask, item: Item | None) -> Figured:
        press = ask.job.documents["press"]
        if press.record is None:
            return Missing((press.lack,) if press.lack else ())
        if not press.stations:
            return Missing((Need("press.stations", "press.stations", press.record.key_place),))
        return look(ask, item, press)

    return asked(figure)


def _fits(ask: Ask, item: Item | None, press: Document) -> Figured:
    return exact(item not in ask.once("turned back", lambda ask: _turned_back(ask.job.stations, press.by_kind)))


def _run_past(kind: str) -> Callable[[Ask, Item | None, Document], Figured]:
    """Look for stations of a kind that the press has and the path has not, without a word of leave_out."""

    def look(ask: Ask, item: Item | None, press: Document) -> Figured:
        used = {station.on_press for station in ask.job.stations}
        past = [record for place, record in press.by_kind.get(kind, ()) if place not in used]
        if not past or not ask.job.stations or "leave_out" in ask.job.sheet.fields:
            return exact("none")
        return exact(" ".join([kind, *(str(mark) for m in MARKS if (mark := content_at(past[0], m)))]))

    return look


def _without_chill(ask: Ask, item: Item | None, press: Document) -> Figured:
    """Say whether the press has a chill roll right behind a lamp, and the path goes on to another station."""
    if item is None or item.on_press is None or "leave_out" in ask.job.sheet.fields:
        return exact(False)
    behind = press.stations[item.on_press + 1 : item.on_press + 2]
    goes_on = [station.kind for station in ask.job.stations[item.number : item.number + 1]]
    return exact("chill roll" in [pair[0] for pair in behind if pair] and goes_on != ["chill roll"])


def _turned_back(path: tuple[Item, ...], by_kind: Mapping[str, list[tuple[int, Record]]]) -> list[Item]:
    """Give the fewest stations that must be taken out for the rest to follow the press.

    So one die cut that was moved is at fault, and not all that it was moved past. Each station of the path may be any
    of its sort on the press; one that the press does not have at all is no matter of order and is left aside.
    """
    places = [_places(item, by_kind.get(item.kind, ())) for item in path]
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


def _places(item: Item, sort: Iterable[tuple[int, Record]]) -> list[int]:
    told = [(mark, content) for mark in MARKS if (content := content_at(item.records[0], mark)) is not None]
    return [place for place, record in sort if all(content_at(record, mark) == content for mark, content in told)]


FIGURES = (
    Figure(
        "station.in_press_order",
        "truth",
        "Whether the web can meet this station here, going by the order in which the press has its stations.",
        "the next of its sort on the press lies ahead",
        "press register",
        (_with_press(_fits),),
    ),
    Figure(
        "station.on_press",
        "truth",
        "Whether the press has this station.",
        "found in the press register by unit, name or order",
        "press register",
        (_with_press(lambda ask, item, press: exact(held(item).on_press is not None)),),
    ),
    Figure(
        "press.dryers",
        "number",
        "How many dryers the press has.",
        "count of the stations of the press",
        "press register",
        (_with_press(lambda ask, item, press: exact(len(press.by_kind.get("dryer", ())))),),
    ),
    Figure(
        "lamp.chill_roll_run_past",
        "truth",
        "Whether the press has a chill roll right behind this lamp or dryer, and the path goes on without it.",
        "the next station of the press against the next of the path; a path as press leaves out by leave_out",
        "press register",
        (_with_press(_without_chill),),
    ),
    *[
        Figure(
            f"press.{name}_run_past",
            "word",
            f"First {kind} of the press that a listed path runs past; none, where it runs through all.",
            "stations of the press that are not on the path; a path as press leaves out by leave_out",
            "press register",
            (_with_press(_run_past(kind)),),
        )
        for name, kind in (("nip", "nip"), ("cleaner", "web cleaner"))
    ],
)
