"""Reads what a plant has settled about the rules: limits, units, levels, and rules that it does not use."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import cast

from filmcheck.finding import Level
from filmcheck.judging.judge import House
from filmcheck.judging.limit_reader import changed_limits
from filmcheck.judging.pack import Packs
from filmcheck.plant.nearest import known_names
from filmcheck.plant.record import Datum, Field, Record, find, word
from filmcheck.position import Place
from filmcheck.reading.nodes import Fault
from filmcheck.units import DIMENSIONS, UnitError, factor

Tell = Callable[[str, Fault], None]
"""Takes a file and a fault in it."""


def read_house(settings: Record, packs: Packs, tell: Tell) -> House:
    """Give what the settings say about the rules; what cannot be used is told and not taken."""
    limits = changed_limits(packs.limits, settings, tell)
    rules = {rule.id for rule in packs.rules}
    levels, switched_off = _entries(settings, "levels"), _entries(settings, "switched_off")
    for entries in (levels, switched_off):
        _known(entries, rules, "rule", tell)
    named = {name: word(entry, "level") for name, entry in levels.items() if isinstance(entry, Record)}
    chosen = {name: cast(Level, level) for name, level in named.items() if level}
    return House(limits, _units(settings, tell), chosen, frozenset(switched_off))


def _entries(settings: Record, key: str) -> dict[str, Field]:
    wanted = find(settings, (key,))
    return wanted.fields if isinstance(wanted, Record) else {}


def _known(entries: dict[str, Field], known: Iterable[str], what: str, tell: Tell) -> set[str]:
    """Give the names that are known; the others are told, for a misspelt one would have no effect in silence."""
    for name in entries.keys() - set(known):
        _wrong(entries[name].key_place, f"{name} is no known {what}", known_names(name, known, what), tell)
    return entries.keys() & set(known)


def _units(settings: Record, tell: Tell) -> dict[str, str]:
    entries = _entries(settings, "units")
    known = _known(entries, DIMENSIONS, "kind of quantity", tell)
    return {
        name: field.text
        for name, field in entries.items()
        if name in known and isinstance(field, Datum) and _is_unit(field, name, tell)
    }


def _is_unit(datum: Datum, dimension: str, tell: Tell) -> bool:
    try:
        factor(datum.text, dimension)
    except UnitError as error:
        _wrong(datum.place, error.found, error.way_out, tell)
        return False
    return True


def _wrong(place: Place, says: str, hint: str, tell: Tell) -> None:
    tell(place.file, Fault("settings-wrong", place.span, says, hint))
