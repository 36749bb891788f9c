"""The tension zones of the path: what each pulls, what its press can hold, and how far it stretches the web."""

from __future__ import annotations

from filmcheck.figures.asking import Ask
from filmcheck.figures.figure import Figure, asked, one_route
from filmcheck.figures.scopes import INKED
from filmcheck.formulas import stretch
from filmcheck.plant.job import Item
from filmcheck.value import Figured, Missing, Value, exact
from filmcheck.webpath import combine

SETTERS = ("unwind", "nip", "rewind")
SET_BY = ("its.tension", "its.start_tension", "its.draw")
"""Data that set the tension of a zone; they stand for it where a finding needs a place."""

FACE_LEFT_OUT = "the face's yield stress is not given, so only the liner is counted"


def zones(ask: Ask) -> tuple[Item, ...]:
    """Give the tension zones: each begins where the unwind, a nip or the rewind sets the tension."""
    setters = [item for item in ask.job.stations if item.kind in SETTERS]
    return tuple(
        Item(
            "zone",
            f"zone {'before' if item.kind == 'rewind' else 'behind'} {item.label}",
            place,
            item.records,
            item.place,
            item.number,
        )
        for place, item in enumerate(setters, 1)
    )


def _start(zone: Item) -> int:
    """Give the number of the station that sets the zone's tension; a zone keeps it where a station keeps its press."""
    return zone.on_press or 0


def _stations(ask: Ask, zone: Item) -> list[Item]:
    later = [_start(other) for other in ask.things("zone") if _start(other) > _start(zone)]
    end = min(later, default=len(ask.job.stations) + 1)
    return [item for item in ask.job.stations if _start(zone) <= item.number < end]


def _held(item: Item | None) -> Item:
    if item is None:
        raise KeyError("a zone's figure is asked for outside of any zone")
    return item


def _extreme(pick: str) -> Figure:
    chosen = min if pick == "lowest" else max

    def find(ask: Ask, item: Item | None) -> Figured:
        ends = [ask(f"its.{pick}_line_tension", station) for station in _stations(ask, _held(item))]
        return combine(lambda *all_of: chosen(all_of), *_apart(ends))

    return Figure(
        f"zone.{pick}_line_tension",
        "line tension",
        f"{pick.capitalize()} line tension in the zone, over its stations and over the roll.",
        "extreme over the stations",
        "the walk of the web",
        (asked(find, "", SET_BY),),
    )


def _apart(figures: list[Figured]) -> list[Figured]:
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


def _total(pick: str) -> Figure:
    line = f"its.{pick}_line_tension"
    return Figure(
        f"zone.{pick}_total_tension",
        "force",
        f"{pick.capitalize()} total tension in the zone.",
        "F = T′ w",
        "definition",
        one_route((line, "web.width"), lambda t, w: t * w, f"{{{line}}} × {{web.width}}"),
    )


def _rise(ask: Ask, item: Item | None) -> Figured:
    """Compare the zone at its hardest with the zone before where that is set, at one moment of the roll.

    Both ends of the roll are looked at. The rewind starts hardest when the parent roll is full, so its ends are
    compared crosswise.
    """
    zone = _held(item)
    before = [other for other in ask.things("zone") if other.number == zone.number - 1] or [zone]
    entry = _stations(ask, before[0])[0]
    here = _stations(ask, zone)
    crosswise = here[0].kind == "rewind"
    rises = []
    for early, late in (("lowest", "highest"), ("highest", "lowest")):
        now = [ask(f"its.{late if crosswise else early}_line_tension", station) for station in here]
        then = ask(f"its.{early}_line_tension", entry)
        rises.append(combine(_greatest_rise, then, *[figure for figure in _apart(now) if figure is not then]))
    return combine(lambda *all_of: max(all_of), *rises)


def _greatest_rise(then: float, *now: float) -> float:
    if then <= 0:
        raise ValueError("the web is slack where the zone before is set")
    return max(now, default=then) / then - 1


def _reaches_cut(ask: Ask, item: Item | None) -> Figured:
    cut = next((station.number for station in ask.job.stations if station.kind == "die cut"), None)
    return exact(cut is not None and any(station.number >= cut for station in _stations(ask, _held(item))))


def _stiffness(ask: Ask, item: Item | None) -> Figured:
    cut = ask("its.reaches_cut", item)
    return ask("liner.stiffness" if isinstance(cut, Value) and cut.low else "laminate.stiffness")


def _share_of_yield(ask: Ask, item: Item | None) -> Figured:
    """Give the share in the layer that is nearest to its yield. Behind the die cut the face carries nothing."""
    liner = combine(_layer_share, ask("its.stretch", item), ask("liner.modulus"), ask("liner.yield"))
    if isinstance(liner, Missing) or _stations(ask, _held(item))[0].number >= _first_cut(ask):
        return liner
    face = combine(
        lambda line, whole, modulus, limit: _layer_share(stretch.tension_strain(line, whole), modulus, limit),
        ask("its.highest_line_tension", item),
        ask("laminate.stiffness"),
        ask("face.modulus"),
        ask("face.yield"),
    )
    if isinstance(face, Missing):
        return liner._replace(assumes=(*liner.assumes, FACE_LEFT_OUT))
    return combine(max, liner, face)


def _layer_share(strain: float, modulus: float, limit: float) -> float:
    return stretch.share_of_yield(modulus * strain, limit)


def _first_cut(ask: Ask) -> int:
    cuts = [station.number for station in ask.job.stations if station.kind == "die cut"]
    return min(cuts, default=len(ask.job.stations) + 1)


def _printed(ask: Ask, item: Item | None) -> Figured:
    return exact(any(station.kind in INKED for station in _stations(ask, _held(item))))


FIGURES = (
    _extreme("lowest"),
    _extreme("highest"),
    _total("lowest"),
    _total("highest"),
    _allowed(0),
    _allowed(1),
    Figure(
        "zone.number",
        "number",
        "Place of the zone along the path, counted from 1.",
        "order of the path",
        "definition",
        (asked(lambda ask, item: exact(_held(item).number)),),
    ),
    Figure(
        "zone.printed",
        "truth",
        "Whether a print or varnish unit stands in the zone.",
        "search among the stations of the zone",
        "definition",
        (asked(_printed),),
    ),
    Figure(
        "zone.reaches_cut",
        "truth",
        "Whether the zone reaches to the die cut or beyond it, where the liner carries the tension alone.",
        "search among the stations of the zone",
        "definition",
        (asked(_reaches_cut),),
    ),
    Figure(
        "zone.rise",
        "ratio",
        "How much harder this zone pulls at its hardest than the zone before it where that is set, at one moment of"
        " the roll; for the first zone, than itself where it is set.",
        "T′ / T′ before − 1",
        "definition",
        (asked(_rise, "{its.highest_line_tension} against the zone before", SET_BY),),
    ),
    Figure(
        "zone.stiffness",
        "line tension",
        "What carries the tension of the zone: the whole laminate, or from the die cut on the liner alone, for the"
        " face is then cut into labels.",
        "Σ Eᵢ tᵢ",
        "mechanics of layered webs",
        (asked(_stiffness),),
    ),
    Figure(
        "zone.stretch",
        "ratio",
        "Stretch of the web under the highest tension of the zone, where the web is weakest in it; modulus at room"
        " temperature.",
        "ε = T′ / Σ Eᵢ tᵢ",
        "Hooke's law",
        one_route(
            ("its.highest_line_tension", "its.stiffness"),
            stretch.tension_strain,
            "{its.highest_line_tension} / {its.stiffness}",
        ),
    ),
    Figure(
        "zone.share_of_yield",
        "ratio",
        "Stress under the highest tension of the zone as a share of yield, in the layer that is nearest to it. The"
        " mean over the width: single lanes of a web can carry 3 to 5 times the mean.",
        "E ε / σ yield",
        "Hooke's law in layers that stretch alike; the note on lanes is from the trade press",
        (
            asked(
                _share_of_yield,
                "the greater of {liner.modulus} × {its.stretch} / {liner.yield} and, before the die cut, the like"
                " for the face",
                ("its.stretch", "liner.modulus", "liner.yield"),
            ),
        ),
    ),
)
