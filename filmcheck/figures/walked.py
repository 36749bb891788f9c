"""Figures of the walk: the state of the web behind each station."""

from __future__ import annotations

import math
import operator

from filmcheck.figures.calculated import calculated
from filmcheck.figures.figure import Ask, Default, Figure, Route, asked, held, known_or
from filmcheck.figures.laminate import NO_FILM_HEAT, heat_capacity
from filmcheck.figures.path_steps import following_draw
from filmcheck.figures.scopes import LAMPS
from filmcheck.formulas import web_drag
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Missing, Need, Value, exact
from filmcheck.web.walk import Surface, combine, drawn, greatest

CONTACT = 1.0
_AIR = "preparation.air.temperature"
ROOM = 296.15
ROOM_ASSUMED = "the web is taken to enter at 23 °C, since no air temperature is given"
SLANT = "the bar is taken to lie at 45° to the web"
HOT_AIR = "behind a dryer set by its air temperature the web is somewhere between its own temperature and the air's"


def temperatures(ask: Ask) -> dict[Item, Figured]:
    """Walk the path of a job; give the temperature of the web behind each of its stations."""
    found: dict[Item, Figured] = {}
    temperature = ask("web.entry_temperature")
    for item in ask.job.stations:
        temperature = found[item] = _warmed(ask, item, temperature)
    return found


def _warmed(ask: Ask, item: Item, before: Figured) -> Figured:
    """Carry the temperature of the web over a station; most neither warm nor cool it."""
    if item.kind in LAMPS:
        air = ask("its.air_temperature", item) if item.kind == "dryer" else None
        if isinstance(air, Value):
            return drawn(before, air, Value(0.0, 1.0, None, (HOT_AIR,)))
        return combine(operator.add, before, ask("its.temperature_rise", item))
    if item.kind == "chill roll":
        assumed = exact(CONTACT, "the web is taken to reach the chill roll's temperature")
        return drawn(before, ask("its.temperature", item), known_or(ask("its.contact", item), assumed))
    if item.kind == "laminate":
        return drawn(before, ask("web.entry_temperature"), _taken_up(ask, item))
    return before


def _taken_up(ask: Ask, item: Item) -> Figured:
    """Give how far a film that goes on as cold as the room draws the web to it: by its share of the heat capacity."""
    front, behind = (heat_capacity(ask, number) for number in (item.number, item.number + 1))
    return known_or(combine(lambda less, more: 1 - less / more, front, behind), NO_FILM_HEAT)


def _line_tension(end: str) -> Figure:
    return Figure(
        f"station.{end}_line_tension",
        "line tension",
        f"{end.capitalize()} line tension of the web behind the station.",
        "carried from where it is set",
        "the walk of the web",
        (asked(lambda ask, item: getattr(ask.states()[held(item)].pull, end)),),
    )


def _temperature_before(ask: Ask, item: Item | None) -> Figured:
    if item is None or item.number < 2:
        return ask("web.entry_temperature")
    return ask.temperatures()[ask.job.stations[item.number - 2]]


def _behind(ask: Ask, item: Item | None) -> Figured:
    return ask.temperatures()[held(item)]


def _comes_charged(ask: Ask, item: Item | None) -> Figured:
    """Tell whether the web carries charge into a unit: it does from the roll on, till it is taken off."""
    return exact(_surface_before(ask, held(item)).charged)


def _surface_before(ask: Ask, item: Item) -> Surface:
    before = ask.job.stations[: item.number - 1]
    return ask.states()[before[-1]].surface if before else Surface()


def _hottest(ask: Ask, item: Item | None) -> Figured:
    found = ask.temperatures()
    if found:
        return greatest(*found.values())
    return Missing((Need("path", "the sheet has no path", ask.job.sheet.key_place),))


FIGURES = (
    _line_tension("lowest"),
    _line_tension("highest"),
    Figure(
        "station.web_temperature",
        "temperature",
        "Estimated temperature of the web behind the station.",
        "entry + Σ ΔT of lamps, drawn to chill rolls",
        "the walk of the web",
        (asked(_behind),),
    ),
    Figure(
        "web.entry_temperature",
        "temperature",
        "Temperature at which the web leaves the parent roll: that of the air.",
        "air temperature",
        "a roll that has lain in the room; common practice, no source",
        (asked(lambda ask, item: known_or(ask(_AIR), exact(ROOM, ROOM_ASSUMED)), "", (_AIR,)),),
    ),
    Figure(
        "print.first",
        "truth",
        "Whether it is the first print unit of the path.",
        "order of the path",
        "definition",
        (asked(lambda ask, item: exact(item is next((s for s in ask.job.stations if s.kind == "print"), None))),),
    ),
    Figure(
        "print.comes_charged",
        "truth",
        "Whether the web is likely to come to it charged.",
        "charged from the roll on, neutral behind static control, charged again by bars, cleaners and what peels",
        "the walk of the web; common practice, no source",
        (asked(_comes_charged),),
    ),
    Figure(
        "print.charged_by",
        "word",
        "Station that charged the web last in front of it.",
        "the walk of the web",
        "common practice, no source",
        (asked(lambda ask, item: exact(_surface_before(ask, held(item)).charged_by or "the parent roll")),),
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
        "station.temperature_before",
        "temperature",
        "Estimated temperature of the web in front of the station.",
        "that behind the station before",
        "the walk of the web; an estimate",
        (asked(_temperature_before),),
    ),
    Figure(
        "lamp.web_temperature",
        "temperature",
        "Estimated temperature of the web behind a lamp or dryer.",
        "T before + ΔT",
        "the walk of the web; an estimate",
        (
            calculated("its.temperature_before + its.temperature_rise", first="its.temperature_rise"),
            asked(_behind, "", ("its.air_temperature",)),
        ),
    ),
    Figure(
        "turn_bar.capstan",
        "number",
        "How many times the tension grows on the bar.",
        "F₂/F₁ = e^{μ θ cos β}",
        "Euler-Eytelwein (belt equation) on the web's own line over the bar",
        (
            Route(
                ("its.friction", "its.wrap", "its.slant"),
                web_drag.capstan_ratio,
                "e^({its.friction} × {its.wrap} × cos {its.slant})",
            ),
            Route(
                ("its.friction", "its.wrap", Default("its.slant", math.pi / 4, SLANT)),
                web_drag.capstan_ratio,
                "e^({its.friction} × {its.wrap} × cos 45°)",
            ),
        ),
    ),
    Figure(
        "nip.following_draw",
        "ratio",
        "How much faster the nip must run than the nip before, for the pull that stands between them while the roll is"
        " full; where a nip holds tension, this is what it does by itself.",
        "dₖ = T′ₖ/Sₖ − T′ₖ₋₁/Sₖ₋₁ + α (θₖ − θₖ₋₁) − sₖ",
        "conservation of mass between nips, to first order",
        (asked(following_draw),),
    ),
    Figure(
        "station.number",
        "number",
        "Place of the station in the path, counted from 1.",
        "order of the sheet",
        "definition",
        (asked(lambda ask, item: exact(item.number if item else 0)),),
    ),
)
