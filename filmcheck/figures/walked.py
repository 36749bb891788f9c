"""Figures of the walk: the state of the web behind each station, and the tension zones."""

from __future__ import annotations

from filmcheck.figures.asking import Ask
from filmcheck.figures.figure import Default, Figure, asked, one_route
from filmcheck.formulas import stretch, web_drag
from filmcheck.plant.job import Item, press_stations
from filmcheck.plant.record import Datum, Record
from filmcheck.units import Quantity
from filmcheck.value import Figured, Missing, Need, Value, exact
from filmcheck.webpath import State, Step, combine, walk

ROOM = 296.15
ROOM_ASSUMED = "the web is taken to enter at 23 °C, since no air temperature is given"
CONTACT = 1.0
HOT_AIR = "behind a dryer set by its air temperature the web is somewhere between its own temperature and the air's"


def states(ask: Ask) -> dict[Item, State]:
    """Walk the path of a job; give the state of the web behind each of its stations."""
    steps: list[Step] = []
    ends: list[tuple[Item, int]] = []
    passed = -1
    for item in ask.job.stations:
        idlers = _idlers(ask, passed, item.on_press)
        steps += [_idler_step(ask, record) for record in idlers]
        steps.append(_step(ask, item))
        ends.append((item, len(steps) - 1))
        passed = item.on_press if item.on_press is not None else passed
    air = ask("preparation.air.temperature")
    unset = Missing((Need("unwind.tension", "unwind.tension", ask.job.sheet.key_place),))
    start = State(unset, unset, exact(ROOM, ROOM_ASSUMED) if isinstance(air, Missing) else air)
    walked = walk(steps, start)
    return {item: walked[index] for item, index in ends}


def _idlers(ask: Ask, passed: int, now: int | None) -> list[Record]:
    if now is None:
        return []
    between = press_stations(ask.job.documents["press"])[passed + 1 : now]
    return [pair[1] for pair in between if pair is not None and pair[0] == "idlers"]


def _idler_step(ask: Ask, record: Record) -> Step:
    count, drag, width = record.fields.get("count"), record.fields.get("drag"), ask("web.width")
    if isinstance(count, Datum) and isinstance(drag, Datum) and isinstance(drag.content, Quantity):
        number = int(count.content)  # type: ignore[arg-type]  # the shape says it is a count
        each = Value(drag.content.low, drag.content.high)
        added = combine(lambda f, w: web_drag.tension_after_idlers(0.0, [f] * number) / w, each, width)
        return Step(f"{number} idlers", "idlers", adds=added)
    return Step("idlers", "idlers", adds=Missing((Need("drag of idlers", "drag of idlers", record.key_place),)))


def _step(ask: Ask, item: Item) -> Step:
    kind, label = item.kind, item.label
    if kind == "unwind":
        return Step(label, kind, sets=(ask("its.line_tension", item), ask("its.highest_line_tension", item)))
    if kind == "rewind":
        return Step(label, kind, sets=_rewind_ends(ask, item))
    if kind == "nip":
        return _nip(ask, item)
    if kind == "turn bar":
        return Step(label, kind, multiplies=ask("its.capstan", item))
    if kind in ("uv lamp", "led lamp", "dryer"):
        return _lamp(ask, item)
    if kind == "chill roll":
        contact = ask("its.contact", item)
        assumed = exact(CONTACT, "the web is taken to reach the chill roll's temperature")
        return Step(
            label,
            kind,
            cools=(ask("its.temperature", item), assumed if isinstance(contact, Missing) else contact),
        )
    return Step(label, kind)


def _lamp(ask: Ask, item: Item) -> Step:
    air = ask("its.air_temperature", item)
    if isinstance(air, Value):
        return Step(item.label, item.kind, cools=(air, Value(0.0, 1.0, None, (HOT_AIR,))))
    return Step(item.label, item.kind, heats=ask("its.temperature_rise", item))


def _rewind_ends(ask: Ask, item: Item) -> tuple[Figured, Figured]:
    start, end = ask("its.line_start_tension", item), ask("its.end_tension", item)
    if isinstance(start, Missing) or isinstance(end, Missing):
        return start, start
    return combine(min, start, end), combine(max, start, end)


def _nip(ask: Ask, item: Item) -> Step:
    draw, stiffness = ask("its.draw", item), ask("laminate.stiffness")
    if isinstance(draw, Value):
        return Step(item.label, item.kind, adds=combine(lambda d, s: d * s, draw, stiffness))
    line = ask("its.line_tension", item)
    return Step(item.label, item.kind, sets=(line, line))


def _state(part: str) -> Figure:
    def find(ask: Ask, item: Item | None) -> Figured:
        state = ask.states()[item] if item is not None else None
        found = getattr(state, part)
        return found if isinstance(found, (Value, Missing)) else exact(found)

    meaning, dimension, formula = _PARTS[part]
    name = {"lowest": "lowest_line_tension", "highest": "highest_line_tension"}.get(part, part)
    field = f"web_{name}" if part == "temperature" else name
    return Figure(f"station.{field}", dimension, meaning, formula, "the walk of the web", (asked(find),))


_PARTS = {
    "lowest": (
        "Lowest line tension of the web behind the station.",
        "line tension",
        "carried from where it is set",
    ),
    "highest": (
        "Highest line tension of the web behind the station.",
        "line tension",
        "carried from where it is set",
    ),
    "temperature": (
        "Estimated temperature of the web behind the station.",
        "temperature",
        "entry + Σ ΔT of lamps, drawn to chill rolls",
    ),
    "charged": (
        "Whether the web is likely to carry charge behind the station.",
        "truth",
        "neutral behind static control",
    ),
    "clean": (
        "Whether the web has been cleaned after its charge was taken off.",
        "truth",
        "a cleaner behind static control",
    ),
}


def zones(ask: Ask) -> tuple[Item, ...]:
    """Give the tension zones: each begins where the unwind, a nip or the rewind sets the tension."""
    setters = [item for item in ask.job.stations if item.kind in ("unwind", "nip", "rewind")]
    return tuple(
        Item("zone", f"zone from {item.label}", number, item.records, item.place, item.number)
        for number, item in enumerate(setters, 1)
    )


def _zone_stations(ask: Ask, zone: Item) -> list[Item]:
    starts = [other.on_press or 0 for other in ask.things("zone")]
    later = [start for start in starts if start > (zone.on_press or 0)]
    end = min(later, default=len(ask.job.stations) + 1)
    return [item for item in ask.job.stations if (zone.on_press or 0) <= item.number < end]


def _extreme(field: str, pick: str) -> Figure:
    chosen = min if pick == "lowest" else max

    def find(ask: Ask, item: Item | None) -> Figured:
        if item is None:
            raise KeyError(field)
        ends = [ask(f"its.{pick}_line_tension", station) for station in _zone_stations(ask, item)]
        return combine(chosen, *ends)

    meaning = f"{pick.capitalize()} line tension in the zone, over its stations and over the roll."
    return Figure(f"zone.{field}", "line tension", meaning, "extreme over the stations", "the walk", (asked(find),))


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
    before = [zone for zone in ask.things("zone") if item is not None and zone.number == item.number - 1]
    if not before:
        return exact(0.0)
    return combine(
        lambda now, earlier: now / earlier - 1,
        ask("its.highest_tension", item),
        ask("its.highest_tension", before[0]),
    )


def _hottest(ask: Ask, item: Item | None) -> Figured:
    return combine(max, *[state.temperature for state in ask.states().values()]) if ask.job.stations else _no_path(ask)


def _no_path(ask: Ask) -> Missing:
    return Missing((Need("path", "the sheet has no path", ask.job.sheet.key_place),))


def _hot_strain(ask: Ask, item: Item | None) -> Figured:
    """Give the greatest strain of the web, tension and heat together, up to the die cut."""
    if not ask.job.stations:
        return _no_path(ask)
    cut = next((station.number for station in ask.job.stations if station.kind == "die cut"), len(ask.job.stations))
    room = ask("preparation.air.temperature")
    start = exact(ROOM, ROOM_ASSUMED) if isinstance(room, Missing) else room
    needs = (ask("laminate.stiffness"), ask("liner.expansion"), start)
    strains = [
        combine(
            lambda tension, heat, stiffness, expansion, cold: (
                stretch.tension_strain(tension, stiffness) + stretch.thermal_strain(expansion, heat - cold, 0.0)
            ),
            state.highest,
            state.temperature,
            *needs,
        )
        for station, state in ask.states().items()
        if station.number < cut
    ]
    return combine(max, *strains) if strains else _no_path(ask)


FIGURES = (
    *[_state(part) for part in _PARTS],
    Figure(
        "turn_bar.capstan",
        "number",
        "How many times the tension grows on the bar.",
        "F₂/F₁ = e^{μθ}",
        "Euler-Eytelwein (belt equation)",
        one_route(
            ("its.friction", "its.wrap"),
            web_drag.capstan_ratio,
            "e^({its.friction} × {its.wrap})",
        ),
    ),
    Figure(
        "nip.line_tension_behind",
        "line tension",
        "Line tension behind the nip.",
        "as set, or raised by the draw",
        "the walk of the web",
        one_route(("its.highest_line_tension",), lambda tension: tension),
    ),
    Figure(
        "station.on_press",
        "truth",
        "Whether the press has this station.",
        "found in the press register by unit, name or order",
        "press register",
        (asked(lambda ask, item: _is_on_press(ask, item)),),
    ),
    Figure(
        "station.number",
        "number",
        "Place of the station in the path, counted from 1.",
        "order of the sheet",
        "definition",
        (asked(lambda ask, item: exact(item.number if item else 0)),),
    ),
    _extreme("lowest_tension", "lowest"),
    _extreme("highest_tension", "highest"),
    Figure(
        "zone.number",
        "number",
        "Place of the zone along the path, counted from 1.",
        "order of the path",
        "definition",
        (asked(lambda ask, item: exact(item.number if item else 0)),),
    ),
    Figure(
        "zone.lowest_total",
        "force",
        "Lowest total tension in the zone.",
        "F = T′ w",
        "definition",
        one_route(("its.lowest_tension", "web.width"), lambda t, w: t * w, "{its.lowest_tension} × {web.width}"),
    ),
    Figure(
        "zone.highest_total",
        "force",
        "Highest total tension in the zone.",
        "F = T′ w",
        "definition",
        one_route(("its.highest_tension", "web.width"), lambda t, w: t * w, "{its.highest_tension} × {web.width}"),
    ),
    _allowed(0),
    _allowed(1),
    Figure(
        "zone.rise",
        "ratio",
        "How much harder this zone pulls than the one before it; 0 for the first.",
        "T′ / T′ before − 1",
        "definition",
        (asked(_rise, "{its.highest_tension} against the zone before"),),
    ),
    Figure(
        "zone.strain",
        "ratio",
        "Stretch of the laminate under the highest tension of the zone.",
        "ε = T′ / Σ Eᵢ tᵢ",
        "Hooke's law",
        one_route(
            ("its.highest_tension", "laminate.stiffness"),
            stretch.tension_strain,
            "{its.highest_tension} / {laminate.stiffness}",
        ),
    ),
    Figure(
        "zone.yield_share",
        "ratio",
        "Stress in the liner under the highest tension of the zone, as a share of its yield stress.",
        "E liner × ε / σ yield",
        "Hooke's law in layers that stretch alike",
        one_route(
            ("liner.modulus", "its.strain", "liner.yield"),
            lambda modulus, strain, limit: stretch.share_of_yield(modulus * strain, limit),
            "{liner.modulus} × {its.strain} / {liner.yield}",
        ),
    ),
    Figure(
        "zone.stretch_per_repeat",
        "length",
        "Stretch of one die repeat under the highest tension of the zone.",
        "ΔL = ε × repeat",
        "definition",
        one_route(
            ("its.strain", "die.circumference"),
            stretch.stretch_per_repeat,
            "{its.strain} × {die.circumference}",
        ),
    ),
    Figure(
        "web.hottest",
        "temperature",
        "Highest estimated temperature of the web along the path.",
        "largest over the stations",
        "the walk of the web; an estimate",
        (asked(_hottest),),
    ),
    Figure(
        "web.hot_strain",
        "ratio",
        "Greatest strain of the web before the die cut, tension and heat together.",
        "T′/ΣEᵢtᵢ + α ΔT",
        "Hooke's law and thermal expansion",
        (asked(_hot_strain),),
    ),
    Figure(
        "web.creep_back",
        "length",
        "Length per die repeat by which the web creeps back once it is cold and slack.",
        "ΔL = ε (1 − relaxed share) × repeat",
        "strain at the hot, tensioned station minus strain relaxed; an estimate",
        one_route(
            (
                "web.hot_strain",
                Default("liner.relaxes", 0.0, "no share of the strain is taken to stay"),
                "die.circumference",
            ),
            lambda strain, relaxes, circumference: stretch.creep_back_length(strain, strain * relaxes, circumference),
            "{web.hot_strain} × (1 − {liner.relaxes}) × {die.circumference}",
        ),
    ),
)


def _is_on_press(ask: Ask, item: Item | None) -> Figured:
    press = ask.job.documents["press"]
    if press.record is None:
        return Missing((press.lack,) if press.lack else ())
    if not press_stations(press):
        return Missing((Need("press.stations", "press.stations", press.record.key_place),))
    return exact(item is not None and item.on_press is not None)
