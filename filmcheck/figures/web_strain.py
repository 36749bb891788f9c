"""Figures of the web's temperature and strain along the whole path, and what they do to the length of a repeat."""

from __future__ import annotations

from filmcheck.figures.asking import Ask
from filmcheck.figures.figure import Default, Figure, asked, one_route
from filmcheck.figures.scopes import INKED
from filmcheck.formulas import stretch
from filmcheck.plant.job import Item
from filmcheck.value import Figured, Missing, Need, exact
from filmcheck.webpath import combine

ROOM = 296.15
ROOM_ASSUMED = "the web is taken to enter at 23 °C, since no air temperature is given"


def _entry_temperature(ask: Ask, item: Item | None) -> Figured:
    air = ask("preparation.air.temperature")
    return exact(ROOM, ROOM_ASSUMED) if isinstance(air, Missing) else air


def _hottest(ask: Ask, item: Item | None) -> Figured:
    temperatures = [state.temperature for state in ask.states().values()]
    return combine(lambda *all_of: max(all_of), *temperatures) if temperatures else _no_path(ask)


def _no_path(ask: Ask) -> Missing:
    return Missing((Need("path", "the sheet has no path", ask.job.sheet.key_place),))


def _up_to_cut(ask: Ask) -> list[Item]:
    """Give the stations before the die cut, behind each of which the laminate is still whole."""
    stations = ask.job.stations
    cut = next((station.number for station in stations if station.kind == "die cut"), len(stations) + 1)
    return [station for station in stations if station.number < cut]


def _hot_strain(ask: Ask, item: Item | None) -> Figured:
    needs = (ask("laminate.stiffness"), ask("liner.expansion"), ask("web.entry_temperature"))
    states = [ask.states()[station] for station in _up_to_cut(ask)]
    strains = [combine(_strain, state.highest, state.temperature, *needs) for state in states]
    return combine(lambda *all_of: max(all_of), *strains) if strains else _no_path(ask)


def _strain(tension: float, heat: float, stiffness: float, expansion: float, cold: float) -> float:
    return stretch.tension_strain(tension, stiffness) + stretch.thermal_strain(expansion, heat - cold)


def _register_spread(ask: Ask, item: Item | None) -> Figured:
    """Give the greatest difference at one moment of the roll. One carried tension counts once: its range moves along.

    Only both ends of the roll are looked at, since each tension runs one way between them.
    """
    places = [station for station in ask.job.stations if station.kind in (*INKED, "die cut")]
    if not any(station.kind == "die cut" for station in places) or len(places) < 2:
        says = "the path has no print or varnish unit before a die cut, so there is no register to keep"
        return Missing((Need("register", says, ask.job.sheet.key_place),))
    spreads = []
    for end in ("lowest", "highest"):
        found: list[Figured] = [getattr(ask.states()[station], end) for station in places]
        apart = {id(figure): figure for figure in found}.values()
        spreads.append(combine(lambda *tensions: max(tensions) - min(tensions), *apart))
    return combine(lambda *all_of: max(all_of), *spreads)


FIGURES = (
    Figure(
        "web.entry_temperature",
        "temperature",
        "Temperature at which the web leaves the parent roll: that of the air.",
        "air temperature",
        "a roll that has lain in the room; common practice, no source",
        (asked(_entry_temperature, "", ("preparation.air.temperature",)),),
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
        "Greatest strain of the web before the die cut, tension and heat together; modulus at room temperature, so"
        " a hot web stretches more.",
        "T′/ΣEᵢtᵢ + α ΔT",
        "Hooke's law and thermal expansion",
        (asked(_hot_strain, "the greatest of T′ / {laminate.stiffness} + {liner.expansion} × ΔT before the die cut"),),
    ),
    Figure(
        "web.creep_back",
        "length",
        "Length per die repeat by which the web creeps back once it is cold and slack; labels cut on the stretched"
        " web then lie closer together by it.",
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
    Figure(
        "web.register_spread",
        "line tension",
        "Greatest difference of line tension between the print units, varnish units and die cut, at one moment of"
        " the roll.",
        "T′ greatest − T′ least",
        "the walk of the web",
        (asked(_register_spread),),
    ),
    Figure(
        "web.register_drift",
        "length",
        "Length by which the repeat on the web changes between the print units and the die cut because one zone"
        " stretches the web more than another. The same web passes both, and each takes one repeat a turn, so only"
        " the difference of stretch matters: a stretch that is alike in all zones keeps register, however great."
        " What it comes to per repeat has to be taken out at every repeat and adds up where nothing does so."
        " Stretch by tension only; heat is counted by web.creep_back.",
        "ΔL = ΔT′ / Σ Eᵢ tᵢ × repeat",
        "Hooke's law; steady passage of mass between nips",
        one_route(
            ("web.register_spread", "laminate.stiffness", "die.circumference"),
            lambda spread, stiffness, repeat: stretch.stretch_per_repeat(
                stretch.tension_strain(spread, stiffness), repeat
            ),
            "{web.register_spread} / {laminate.stiffness} × {die.circumference}",
        ),
    ),
)
