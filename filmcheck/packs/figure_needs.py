"""On which data of sheet and registers the figures of a rule rest, told from the catalogue without any job."""

from __future__ import annotations

from collections.abc import Iterator

from filmcheck.figures.catalogue import CATALOGUE, find_scoped
from filmcheck.figures.figure import Default, Figure
from filmcheck.figures.given import given_figures, where_given
from filmcheck.figures.scopes import (
    CLASSES,
    LISTED,
    kinds_in,
    parsed,
    press_station_shapes,
    scoped_name,
    scopes_of,
    station_shapes,
)
from filmcheck.judging.condition import Condition
from filmcheck.judging.expression import Asked
from filmcheck.judging.quantifier import Things

DatumName = tuple[str, str]
"""Document, and the field in it."""

REGISTERS = {
    "press": "press register",
    "stock": "stock register",
    "die": "tooling register",
    "magnetic cylinder": "tooling register",
    "anvil": "tooling register",
    "print cylinder": "tooling register",
    "finisher": "finishing register",
    "customer": "customer register",
}
PATH: tuple[DatumName, ...] = (("sheet", "path"),)
"""What stands for the walk of the web, which asks for whatever the stations give."""

_ASKED_BY_CODE: dict[str, tuple[DatumName, ...]] = {
    "job.day": (("sheet", "date"),),
    "job.today": (),
    "roll.number": (("sheet", "rewind.rolls"),),
    "lane.number": (("sheet", "layout.lanes"),),
    "check.made_at_set_up": (("sheet", "checks.at"),),
    "check.made_on_every_roll": (("sheet", "checks.at"),),
    "check.made_at_end": (("sheet", "checks.at"),),
    "unwind.brake_least": (("press register", "unwind.brake_range"),),
    "unwind.brake_most": (("press register", "unwind.brake_range"),),
    "rewind.tension_least": (("press register", "rewind.tension_range"),),
    "rewind.tension_most": (("press register", "rewind.tension_range"),),
    "finisher.tension_least": (("finishing register", "tension_range"),),
    "finisher.tension_most": (("finishing register", "tension_range"),),
    "laid_film.pull_least": (("press register", "laminate.tension_range"),),
    "laid_film.pull_most": (("press register", "laminate.tension_range"),),
    "zone.allowed_least": (("press register", "tension_range"), ("press register", "nip.tension_range")),
    "zone.allowed_most": (("press register", "tension_range"), ("press register", "nip.tension_range")),
    "station.on_press": (*PATH, ("press register", "stations")),
    "station.in_press_order": (*PATH, ("press register", "stations")),
    "lamp.chill_roll_run_past": (*PATH, ("press register", "stations")),
    "press.dryers": (("press register", "stations"),),
    "press.nip_run_past": (*PATH, ("press register", "stations")),
    "press.cleaner_run_past": (*PATH, ("press register", "stations")),
    "uv_lamp.runs_hot": (("press register", "uv lamp.kind"),),
    "led_lamp.runs_hot": (),
    "dryer.runs_hot": (),
    "core.modulus": (),
}
"""Data of figures whose route asks for them by code, so that the catalogue does not name them."""


def things_asked(condition: Condition) -> Iterator[str]:
    """Give the kinds of thing that a condition looks for."""
    return (node.kind for node in condition.every_node() if isinstance(node, Things))


def worked_out(name: str, kind: str) -> Figure | None:
    """Give the figure of the catalogue that a name means; None for one that is given."""
    parts = parsed(name)
    if not parts.is_of_thing:
        return CATALOGUE.get(name)
    found = (find_scoped(one, parts.field) for one in kinds_in(kind))
    return next((figure for figure in found if figure is not None), None)


def meaning_of(name: str, kind: str) -> str:
    """Give what a figure means, by the catalogue or by the schema of the field."""
    figure = worked_out(name, kind)
    if figure is not None:
        return figure.meaning
    parts = parsed(name)
    names = [scoped_name(one, parts.field) for one in kinds_in(kind)] if parts.is_of_thing else [name]
    known = given_figures()
    return next((known[one].meaning for one in names if one in known), "")


def data_behind(name: str, kind: str) -> tuple[DatumName, ...]:
    """Give the data from which a figure can come, over all routes to it, in the order in which they are asked for."""
    found: dict[DatumName, None] = {}
    _add(name, kind, found, set())
    return tuple(found)


def _add(name: str, kind: str, found: dict[DatumName, None], seen: set[Asked]) -> None:
    parts = parsed(name)
    name = parts.base
    if (name, kind) in seen:
        return
    seen.add((name, kind))
    if parts.is_of_thing:
        for one in kinds_in(kind):
            figure = find_scoped(one, parts.field)
            _follow(figure, one, found, seen) if figure else found.update(dict.fromkeys(_of_thing(one, parts.field)))
    elif name in CATALOGUE:
        # Its needs are named with its. where it belongs to a kind of thing.
        _follow(CATALOGUE[name], parts.kind if kinds_in(parts.kind) else "", found, seen)
    else:
        found.update(dict.fromkeys(_of_job(name)))


def _follow(figure: Figure, kind: str, found: dict[DatumName, None], seen: set[Asked]) -> None:
    if figure.name in _ASKED_BY_CODE:
        found.update(dict.fromkeys(_ASKED_BY_CODE[figure.name]))
        return
    for route in figure.routes:
        for need in route.needs:
            _add(need.name if isinstance(need, Default) else need, kind, found, seen)
        if not route.needs:
            found.update(dict.fromkeys(PATH))


def _of_job(name: str) -> Iterator[DatumName]:
    head, field, _ = parts = parsed(name)
    document, path = where_given(name)
    if document:
        where = ".".join(path)
        yield REGISTERS.get(document, "sheet"), where if document in ("sheet", "press", "stock") else f"{head}.{where}"
    elif kinds_in(parts.kind):
        yield from _of_thing(parts.kind, field)


def _of_thing(kind: str, field: str) -> Iterator[DatumName]:
    if kind in LISTED:
        yield "sheet", f"{kind}s.{field}"
        return
    for document, shapes in (("sheet", station_shapes()), ("press register", press_station_shapes())):
        shape = shapes.get(kind)
        if shape is not None and field.partition(".")[0] in shape.fields:
            yield document, f"{_group(kind)}.{field}"


def _group(kind: str) -> str:
    """Name lamps together: their fields are alike, and a list of three of each tells no more."""
    classes = [name for name in scopes_of(kind) if name in CLASSES]
    return classes[0] if classes else kind
