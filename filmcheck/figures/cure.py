"""Figures of curing: which lamp or dryer cures what a print or varnish unit lays down, before anything touches it."""

from __future__ import annotations

from collections.abc import Callable

from filmcheck.figures.figure import Ask, Figure, Route, asked, held
from filmcheck.figures.scopes import LAMPS
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Missing, Need, exact

CURED_BY = {"uv": ("uv lamp", "led lamp"), "water": ("dryer",), "solvent": ("dryer",)}
"""Kinds of lamp or dryer that cure an ink or varnish, by the first word of its kind."""
CONTACTS = ("print", "varnish", "nip", "turn bar", "die cut", "slit", "rewind")
"""Stations that touch the printed side of the web. Foil and film are laid into wet adhesive, and cured behind it."""
WET_ON_WET = ("uv offset",)
"""Inks that the next print unit may meet while they are wet."""


def _next_contact(ask: Ask, unit: Item, ink: str) -> int:
    """Give the number of the next station that touches the wet print; one beyond the path where none does."""
    stations = ask.job.stations
    spared = ("print", "varnish") if ink in WET_ON_WET else ()
    touching = (s.number for s in stations[unit.number :] if s.kind in CONTACTS and s.kind not in spared)
    return next(touching, len(stations) + 1)


def _with_ink(look: Callable[[Ask, Item, str], Figured]) -> Route:
    """Make a route that looks along the path from a unit by its ink."""

    def figure(ask: Ask, item: Item | None) -> Figured:
        ink = ask("its.ink", item)
        return ink if isinstance(ink, Missing) else look(ask, held(item), str(ink.low))

    return asked(figure, "", ("its.ink",))


def _cure(ask: Ask, unit: Item, ink: str) -> Figured:
    """Tell what stands between the unit and the next contact: the right kind, another kind, or nothing."""
    kinds = CURED_BY.get(ink.split(" ", 1)[0])
    if kinds is None:
        lack = f"how {unit.label} cures is not known: its ink is said to be {ink}"
        return Missing((Need("cure", lack, unit.place),))
    between = ask.job.stations[unit.number : _next_contact(ask, unit, ink) - 1]
    found = [station.kind for station in between if station.kind in LAMPS]
    if any(kind in kinds for kind in found):
        return exact("right kind")
    return exact("other kind" if found else "none")


def _met_by(ask: Ask, unit: Item, ink: str) -> Figured:
    """Name the station that touches the wet print next."""
    number = _next_contact(ask, unit, ink)
    stations = ask.job.stations
    return exact(stations[number - 1].label if number <= len(stations) else "the end of the path")


FIGURES = (
    Figure(
        "inked_unit.cure",
        "word",
        "What cures its ink or varnish before anything touches it: right kind, other kind, or none. UV inks want a UV"
        " or LED lamp, water and solvent a dryer.",
        "search along the path",
        "common practice, no source",
        (_with_ink(_cure),),
    ),
    Figure(
        "inked_unit.next_contact",
        "word",
        "Station that touches the printed side next; UV offset may run wet into the next print unit.",
        "search along the path",
        "common practice, no source",
        (_with_ink(_met_by),),
    ),
)
