"""The tension zones of the path: what each pulls, and what the press can hold there."""

from __future__ import annotations

from filmcheck.figures.figure import Ask, Figure, asked, held
from filmcheck.figures.path_steps import idler_steps
from filmcheck.figures.scopes import INKED
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Missing, Need, Value, exact
from filmcheck.web.spans import SETTERS, Pull
from filmcheck.web.walk import combine, greatest, least

SET_BY = ("its.tension", "its.start_tension", "its.draw_at_end")
"""Data that set the tension of a zone; they stand for it where a finding needs a place."""


def zones(ask: Ask) -> tuple[Item, ...]:
    """Give the tension zones: each begins where the unwind, a nip or the rewind sets the tension."""
    setters = [item for item in ask.job.stations if item.kind in SETTERS]
    return tuple(
        Item(
            "zone",
            f"zone {'before' if item.kind == 'rewind' else 'behind'} {item.label}",
            place,
            item.records,
            item.stands,
            item.number,
        )
        for place, item in enumerate(setters, 1)
    )


def _start(zone: Item) -> int:
    """Give the number of the station that sets the zone's tension; a zone keeps it where a station keeps its press."""
    return zone.on_press or 0


def stations_of(ask: Ask, zone: Item) -> list[Item]:
    """Give the stations of a zone in their order, the one that sets it first."""
    return ask.once("stations of zones", _stations)[zone]


def _stations(ask: Ask) -> dict[Item, list[Item]]:
    stations, found = ask.job.stations, ask.things("zone")
    ends = [*[_start(zone) for zone in found[1:]], len(stations) + 1]
    return {zone: list(stations[_start(zone) - 1 : end - 1]) for zone, end in zip(found, ends, strict=True)}


def pulls_of(ask: Ask, zone: Item) -> list[Pull]:
    """Give the pulls in a zone: behind each of its stations, and in front of the nip that ends it."""
    states = ask.states()
    found = [states[station].pull for station in stations_of(ask, zone)]
    following = next((other for other in ask.things("zone") if other.number == zone.number + 1), None)
    return found if following is None else [*found, states[stations_of(ask, following)[0]].front]


def _extreme(pick: str, what: str, dimension: str) -> Figure:
    chosen = least if pick == "lowest" else greatest
    end = pick if what == "line" else f"{pick}_total"

    def find(ask: Ask, item: Item | None) -> Figured:
        return chosen(*apart([getattr(pull, end) for pull in pulls_of(ask, held(item))]))

    return Figure(
        f"zone.{pick}_{what}_tension",
        dimension,
        f"{pick.capitalize()} {what} tension in the zone, over its stations and over the roll, drag of idlers counted.",
        "extreme over the zone",
        "the walk of the web",
        (asked(find, "", SET_BY),),
    )


def _slackest(ask: Ask, item: Item | None) -> Figured:
    return least(*apart([pull.highest for pull in pulls_of(ask, held(item))]))


def apart(figures: list[Figured]) -> list[Figured]:
    """Leave out a figure that is the very one carried on from the station before: its range is not another range."""
    return list({id(figure): figure for figure in figures}.values())


def _allowed(end: int) -> Figure:
    def find(ask: Ask, item: Item | None) -> Figured:
        for name in ("its.tension_range", "press.tension_range"):
            value = ask(name, item)
            if isinstance(value, Value):
                return exact((value.low, value.high)[end])._replace(source=value.source)
        return value

    word = ("least", "most")[end]
    meaning = f"{word.capitalize()} total tension that the press can hold in the zone."
    return Figure(f"zone.allowed_{word}", "force", meaning, "end of the range", "press data", (asked(find),))


def _rise(ask: Ask, item: Item | None) -> Figured:
    """Compare the zone where it is set with the end of the zone before, at one moment of the roll.

    Both ends of the roll are looked at. The rewind starts hardest when the parent roll is full, so its ends are
    compared crosswise.
    """
    zone = held(item)
    start = ask.states()[stations_of(ask, zone)[0]]
    if zone.number < 2:
        return Missing((Need("zone before", "there is no zone before it", zone.place),))
    behind, front = start.pull, start.front
    late = (behind.lowest, behind.highest)
    if zone_kind(ask, zone) == "rewind" and not _held_by_rewind(ask, zone):
        late = (behind.highest, behind.lowest)
    pairs = zip((front.lowest, front.highest), late, strict=True)
    return greatest(*[exact(0.0) if then is now else combine(_rise_from, then, now) for then, now in pairs])


def _held_by_rewind(ask: Ask, zone: Item) -> bool:
    """Whether the winder also holds the zone before, whose ends then are its own."""
    before = ask.job.stations[stations_of(ask, zone)[0].number - 2]
    return ask.states()[before].why[:1] == (f"held by {stations_of(ask, zone)[0].label}",)


def zone_kind(ask: Ask, zone: Item) -> str:
    """Give the kind of station that begins a zone."""
    return stations_of(ask, zone)[0].kind


def _rise_from(then: float, now: float) -> float:
    if then <= 0:
        raise ValueError("the web is slack at the end of the zone before")
    return now / then - 1


def _made_by(ask: Ask, item: Item | None) -> Figured:
    """Tell the walk up to the last station of the zone; what a single setting makes needs no telling."""
    zone = held(item)
    why = ask.states()[stations_of(ask, zone)[-1]].why
    if len(why) < 2:
        return Missing((Need("walk", "the tension of the zone is what is set", zone.place),))
    return exact(", ".join(why))


def _draw_at_end(ask: Ask, item: Item | None) -> Figured:
    """Give the draw of the nip behind the zone, where it makes the zone's pull."""
    zone = held(item)
    following = next((other for other in ask.things("zone") if other.number == zone.number + 1), None)
    if following is not None:
        last = stations_of(ask, following)[0]
        if ask.states()[stations_of(ask, zone)[0]].why[:1] == (f"drawn by {last.label}",):
            return ask("its.draw", last)
    return Missing((Need("draw", "no draw makes the pull of the zone", zone.place),))


def _idler_drag(ask: Ask, item: Item | None) -> Figured:
    """Sum the drag of the idlers between what sets the zone and the next that sets one, or the end of the path."""
    numbers = {station.number for station in stations_of(ask, held(item))}
    drags = [step.adds[1] for number, step in idler_steps(ask) if number in numbers and step.adds is not None]
    return combine(lambda *each: sum(each), *drags) if drags else exact(0.0)


FIGURES = (
    _extreme("lowest", "line", "line tension"),
    _extreme("highest", "line", "line tension"),
    Figure(
        "zone.slackest_line_tension",
        "line tension",
        "Highest line tension over the roll at the place in the zone where the web is slackest: what stands behind a"
        " turn bar is pulled harder by the bar, not by what is set.",
        "least over the places of the zone",
        "the walk of the web",
        (asked(_slackest, "", SET_BY),),
    ),
    _extreme("lowest", "total", "force"),
    _extreme("highest", "total", "force"),
    _allowed(0),
    _allowed(1),
    Figure(
        "zone.number",
        "number",
        "Place of the zone along the path, counted from 1.",
        "order of the path",
        "definition",
        (asked(lambda ask, item: exact(held(item).number)),),
    ),
    Figure(
        "zone.idler_drag",
        "force",
        "What the idlers in the zone add to its pull in all, by the press register.",
        "Σ count × drag",
        "equilibrium of each idler",
        (asked(_idler_drag, "", SET_BY),),
    ),
    Figure(
        "zone.printed",
        "truth",
        "Whether a print or varnish unit stands in the zone.",
        "search among the stations of the zone",
        "definition",
        (asked(lambda ask, item: exact(any(one.kind in INKED for one in stations_of(ask, held(item))))),),
    ),
    Figure(
        "zone.made_by",
        "word",
        "How the pull at the end of the zone comes about, where more makes it than one setting.",
        "the stations that set, multiply or raise it, in their order",
        "the walk of the web",
        (asked(_made_by),),
    ),
    Figure(
        "zone.draw_at_end",
        "ratio",
        "Draw of the nip at the end of the zone, where that makes its pull: a draw stretches the span before its nip.",
        "as given",
        "the walk of the web",
        (asked(_draw_at_end),),
    ),
    Figure(
        "zone.set_at",
        "word",
        "Kind of station that begins the zone: unwind, nip or rewind.",
        "order of the path",
        "definition",
        (asked(lambda ask, item: exact(zone_kind(ask, held(item)))),),
    ),
    Figure(
        "zone.rise",
        "ratio",
        "How much harder this zone pulls where it is set than the zone before at its end, at one moment of the roll.",
        "T′ / T′ before − 1",
        "definition",
        (asked(_rise, "the pull behind what sets the zone against that in front of it", SET_BY),),
    ),
)
