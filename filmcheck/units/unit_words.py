"""What a written unit means: a word of the table, a compound of such words, as people write it, or a word of pint.

Only this module knows pint, which is asked about single words that the table does not hold.
"""

from __future__ import annotations

import math
import re
from decimal import Decimal
from functools import lru_cache
from typing import Any

from filmcheck.units.table import ATOMS, DIMENSIONS, KNOWN, REFUSED, TRADE_UNITS, Atom, UnitMeaning, compose

_WORD = re.compile(r"[A-Za-z]{3,23}(?:[a-rt-zA-Z]|(?<=[A-Za-z]{4})s)")


@lru_cache(maxsize=4096)
def meanings(unit: str) -> tuple[UnitMeaning, ...]:
    """Give every meaning of a unit, the likeliest first; none where it has none."""
    if unit in KNOWN:
        return KNOWN[unit]
    return compose(unit, _atom) if len(unit) <= 40 else ()


def as_people_write(unit: str, dimensions: tuple[str, ...]) -> tuple[UnitMeaning, ...]:
    """Read a unit in other capitals, or as the trade spells it, where it can mean only one thing at this field."""
    plain = unit.casefold().rstrip(".").replace(" per ", "/")
    twins = [TRADE_UNITS[plain]] if plain in TRADE_UNITS else _small_letters().get(plain, [])
    readings = [reading for twin in twins for reading in KNOWN[twin]] or meanings(plain)
    found = {reading for reading in readings if reading.dimension in dimensions}
    sizes = {(reading.factor, reading.offset) for reading in found}
    return tuple(sorted(found)) if len(sizes) == 1 else ()


@lru_cache(maxsize=1)
def _small_letters() -> dict[str, list[str]]:
    """Every known unit under its small letters, to tell ``MM`` and ``Mpa`` from units of their own."""
    found: dict[str, list[str]] = {}
    for unit in KNOWN:
        found.setdefault(unit.casefold(), []).append(unit)
    return found


def _atom(word: str) -> Atom | None:
    if word in ATOMS:
        return ATOMS[word]
    if word in REFUSED or word.casefold() in _small_letters() or not _WORD.fullmatch(word):
        return None
    return _from_pint(word)


@lru_cache(maxsize=1)
def _registry() -> Any:
    import pint

    return pint.UnitRegistry()


@lru_cache(maxsize=1024)
def _from_pint(word: str) -> Atom | None:
    """Ask pint about one word of four letters or more, prefixes spelled out.

    Pint reads short words and prefixed symbols in senses foreign to the trade: ``pli`` as picolink, ``dpi``
    as decipint, ``ct`` as carat, ``pcs`` as picoparsecs.
    """
    try:
        for prefix, name, _ in _registry().parse_unit_name(word):
            if word.startswith(prefix):
                one, two = (_registry().Quantity(n, prefix + name).to_base_units() for n in (1.0, 2.0))
                linear = math.isclose(2 * one.magnitude, two.magnitude, rel_tol=1e-12)
                return _as_atom(float(one.magnitude), dict(one.unit_items())) if linear else None
    except Exception:
        return None  # whatever pint finds wrong with a word, to us the unit is unknown
    return None


def _as_atom(size: float, powers: dict[str, float]) -> Atom | None:
    bases = ("meter", "kilogram", "second", "kelvin", "ampere")
    if powers == {"kelvin": 1}:
        return None  # a scale of temperature: those that have an offset cannot be told from those that have none
    if powers == {"radian": 1}:
        return Atom(Decimal(repr(size)), (0, 0, 0, 0, 0), "angle")
    if not powers or not set(powers) <= set(bases) or any(power % 1 for power in powers.values()):
        return None
    m, kg, s, kelvin, ampere = (int(powers.get(base, 0)) for base in bases)
    found = (m, kg, s, kelvin, ampere)
    return Atom(Decimal(repr(size)), found, "energy" if found == DIMENSIONS["energy"].exponents else "")
