"""Makes the reference entry of a rule: its conditions in words, its limits, its figures and the data they rest on.

That is told from the catalogue without any job.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from filmcheck.figures.calculated import formula_of
from filmcheck.figures.catalogue import CATALOGUE, find_scoped
from filmcheck.figures.figure import Default, Figure
from filmcheck.figures.given import given_figures, where_given
from filmcheck.figures.plain_names import kind_words, plain_name, truth_words
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
from filmcheck.judging.expression import Asked
from filmcheck.judging.limit import Limit
from filmcheck.judging.phrases import Telling, limit_value
from filmcheck.judging.quantifier import Things
from filmcheck.judging.rule import Rule
from filmcheck.packs.template_reader import template_words
from filmcheck.plant.entries import LINKS
from filmcheck.plant.plant import REGISTER_TEXTS, shown
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.rule_entry import FigureEntry, LimitEntry, RuleEntry

_FOUND_BY = {
    "reading": "reading of the files",
    "resolving": "resolving of names and figures",
    "permits": "judging of the permits",
    "repository": "comparison of all sheets of the plant",
}


_PLAIN_FORMULAS = (
    "as given",
    "as listed under at",
    "end of the range",
    "order",
    "by kind",
    "search among the stations of the zone",
    "found in the press register by unit, name or order",
)
"""Formulas that only say that there is none."""


DatumName = tuple[str, str]
"""Document, and the field in it."""

REGISTERS = {document: REGISTER_TEXTS[register] for document, (_, register, _) in LINKS.items()}
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


def rule_entry(rule: Rule, limits: Mapping[str, Limit]) -> RuleEntry:
    """Tell a rule in plain words."""
    telling = Telling(limits, rule.for_each)
    asked = dict.fromkeys(one for condition in rule.conditions for one in condition.asked(rule.for_each))
    return RuleEntry(
        text=rule.text,
        pack=pack_name(rule.place.file),
        line=rule.place.span.line,
        safety=rule.safety,
        for_each=kind_words(rule.for_each) if rule.for_each else "",
        found_by=_FOUND_BY.get(rule.found_by, ""),
        applies=rule.applies.clauses(telling) if rule.applies is not None else (),
        requires=_required(rule, telling),
        only_warns=rule.warning_where.clauses(telling) if rule.warning_where is not None else (),
        says=template_words(rule.says, telling),
        instead=template_words(rule.instead, telling),
        limits=tuple(_limit(limits[name]) for name in rule.limits if name in limits),
        figures=tuple(_figure(name, kind) for name, kind in asked),
        needs=_needs(rule, tuple(asked)),
        cases=tuple((case.verdict, case.name) for case in rule.cases),
    )


def _required(rule: Rule, telling: Telling) -> tuple[str, ...]:
    if rule.beside is not None:
        return (rule.beside.describe(telling),)
    return rule.requires.clauses(telling) if rule.requires is not None else ()


def pack_name(file: str) -> str:
    """Name a shipped pack by its place in the project, wherever that is; a pack of the house as it was given."""
    shipped = {shown(path): f"rules/{path.name}" for path in shipped_folder("rules").glob("*.yaml")}
    return shipped.get(file, Path(file).as_posix())


def _limit(limit: Limit) -> LimitEntry:
    return LimitEntry(limit.name.replace("_", " "), limit_value(limit), limit.basis_text, limit.meaning)


def _figure(name: str, kind: str) -> FigureEntry:
    figure = worked_out(name, kind)
    truth = truth_words(name, kind)
    formula = formula_of(figure) if figure and figure.formula not in _PLAIN_FORMULAS else ""
    if truth:
        return FigureEntry(f"whether {truth[0]}", name, "", formula)
    owner = f"the {kind_words(kind).partition(' (')[0]}"
    called = plain_name(name, kind, f"{owner} at hand" if name.startswith("that.") else owner)
    meaning = meaning_of(name, kind)
    told = meaning.rstrip(".").casefold() in called
    return FigureEntry(called, name, "" if told else meaning, formula)


def _needs(rule: Rule, asked: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    """Gather the data behind a rule by the document in which they stand."""
    found: dict[str, dict[str, None]] = {}
    for name, kind in asked:
        for document, field in data_behind(name, kind):
            found.setdefault(document, {}).setdefault(field)
    for condition in rule.conditions:
        for kind in (node.kind for node in condition.every_node() if isinstance(node, Things)):
            field = {"check": "checks", "result": "results", "deviation": "deviations"}.get(kind, "path")
            own = found.setdefault("sheet", {})
            if not any(known.startswith(f"{field}.") for known in own):
                own.setdefault(field)
    order = ("sheet", *sorted(found.keys() - {"sheet"}))
    return tuple((document, ", ".join(found[document])) for document in order if document in found)


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
