"""The dimensions of the trade, the units that filmcheck knows, and how a written unit is put together.

Factors are decimals, so that ``25 µm``, ``0.025 mm`` and ``1/40 mm`` become the same float. The customary
units rest on three exact definitions (NIST SP 811, Appendix B): 1 in = 0.0254 m, 1 lb = 0.453 592 37 kg,
standard gravity 9.806 65 m/s².
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import NamedTuple

Exponents = tuple[int, int, int, int, int]
"""Powers of metre, kilogram, second, kelvin and ampere."""


class Dimension(NamedTuple):
    """A kind of quantity: its name in messages, its SI unit, and units to offer, the usual ones first."""

    name: str
    exponents: Exponents
    unit: str
    units: tuple[str, ...]


class UnitMeaning(NamedTuple):
    """One meaning of a written unit: the SI value is ``(number + offset) * factor``."""

    dimension: str
    factor: Decimal
    offset: Decimal


class Atom(NamedTuple):
    """A unit of one word. ``kind`` says what the exponents alone do not: angle, ratio, count or energy."""

    factor: Decimal
    exponents: Exponents
    kind: str = ""


_ROWS: tuple[tuple[str, Exponents, str, str], ...] = (
    ("length", (1, 0, 0, 0, 0), "m", "mm, in, µm, m, mil, ft, gauge, cm"),
    ("area", (2, 0, 0, 0, 0), "m²", "m², mm², in², cm²"),
    ("volume", (3, 0, 0, 0, 0), "m³", "ml, l, cm³, m³"),
    ("time", (0, 0, 1, 0, 0), "s", "h, min, s, d, ms"),
    ("frequency", (0, 0, -1, 0, 0), "Hz", "rpm, 1/min, Hz, 1/s"),
    ("speed", (1, 0, -1, 0, 0), "m/s", "m/min, ft/min, m/s, fpm, mm/min"),
    ("acceleration", (1, 0, -2, 0, 0), "m/s²", "m/s², ft/s²"),
    ("mass", (0, 1, 0, 0, 0), "kg", "kg, lb, g, t"),
    ("mass per length", (-1, 1, 0, 0, 0), "kg/m", "kg/m, g/m"),
    ("areal mass", (-2, 1, 0, 0, 0), "kg/m²", "g/m², gsm, kg/m²"),
    ("density", (-3, 1, 0, 0, 0), "kg/m³", "g/cm³, kg/m³"),
    ("force", (1, 1, -2, 0, 0), "N", "N, lbf, kgf, cN, daN, kN"),
    ("line tension", (0, 1, -2, 0, 0), "N/m", "lbf/in, N/m, N/cm, pli, N/mm, N/25 mm, cN/50 mm"),
    ("pressure", (-1, 1, -2, 0, 0), "Pa", "MPa, psi, kPa, GPa, bar, N/mm²"),
    ("torque", (2, 1, -2, 0, 0), "N m", "N m, lbf in, lbf ft, ozf in"),
    ("energy", (2, 1, -2, 0, 0), "J", "mJ, J, kJ, kWh"),
    ("areal energy", (0, 1, -2, 0, 0), "J/m²", "mJ/cm², J/m²"),
    ("power", (2, 1, -3, 0, 0), "W", "W, kW, hp"),
    ("power per length", (1, 1, -3, 0, 0), "W/m", "W/cm, W/in, W/m, kW/m"),
    ("areal power", (0, 1, -3, 0, 0), "W/m²", "W/cm², mW/cm², W/m²"),
    ("temperature", (0, 0, 0, 1, 0), "K", "°C, °F, K"),
    ("temperature difference", (0, 0, 0, 1, 0), "K", "K, °C, °F"),
    ("expansion", (0, 0, 0, -1, 0), "1/K", "ppm/K, 1/K, µm/(m K)"),
    ("specific heat", (2, 0, -2, -1, 0), "J/(kg K)", "J/(kg K), kJ/(kg K)"),
    ("areal heat capacity", (0, 1, -2, -1, 0), "J/(m² K)", "J/(m² K)"),
    ("thermal conductivity", (1, 1, -3, -1, 0), "W/(m K)", "W/(m K)"),
    ("heat transfer", (0, 1, -3, -1, 0), "W/(m² K)", "W/(m² K)"),
    ("viscosity", (-1, 1, -1, 0, 0), "Pa s", "mPa s, Pa s, cP"),
    ("ratio", (0, 0, 0, 0, 0), "", "%, ppm, mm/m, µm/m"),
    ("angle", (0, 0, 0, 0, 0), "rad", "°, deg, rad"),
    ("count", (0, 0, 0, 0, 0), "", "labels, teeth, pieces"),
    ("resistance", (2, 1, -3, 0, -2), "Ω", "Mohm, ohm, kohm, Gohm, MΩ, Ω"),
    ("voltage", (2, 1, -3, 0, -1), "V", "kV, V"),
    ("electric field", (1, 1, -3, 0, -1), "V/m", "kV/cm, kV/in, kV/m, V/m"),
    ("current", (0, 0, 0, 0, 1), "A", "A, mA, µA"),
    ("charge", (0, 0, 1, 0, 1), "C", "nC, µC, C"),
    ("charge density", (-2, 0, 1, 0, 1), "C/m²", "µC/m², nC/cm², C/m²"),
    ("capacitance", (-2, -1, 4, 0, 2), "F", "pF, nF, µF, F"),
)

DIMENSIONS: dict[str, Dimension] = {
    name: Dimension(name, exponents, unit, tuple(units.split(", "))) for name, exponents, unit, units in _ROWS
}

SCALES: dict[str, tuple[str, ...]] = {
    "length": ("µm", "mm", "m"),
    "time": ("ms", "s", "min", "h"),
    "speed": ("m/min",),
    "mass": ("g", "kg"),
    "areal mass": ("g/m²",),
    "pressure": ("Pa", "kPa", "MPa", "GPa"),
    "energy": ("µJ", "mJ", "J", "kJ"),
    "power": ("W", "kW"),
    "temperature": ("°C",),
    "expansion": ("ppm/K",),
    "ratio": ("%",),
    "angle": ("°",),
    "resistance": ("Ω", "kΩ", "MΩ", "GΩ"),
    "voltage": ("V", "kV"),
    "capacitance": ("pF", "nF", "µF", "F"),
    "charge density": ("µC/m²",),
}
"""Units to show a dimension in when the sheet named none, smallest first; else the SI unit serves."""

TRADE_UNITS: dict[str, str] = {
    "lfm": "m",
    "mpm": "m/min",
    "my": "µm",
    "mic": "µm",
    "g/m2": "g/m²",
    "n/mm2": "N/mm²",
    "pct": "%",
}
"""Spellings of the shop floor, in small letters, with the unit meant; read only where that dimension is asked."""

REFUSED: dict[str, str] = {
    "pt": "a point is 0.001 in of board and 0.353 mm of type: write mm, mil or µm",
    "point": "a point is 0.001 in of board and 0.353 mm of type: write mm, mil or µm",
    "points": "a point is 0.001 in of board and 0.353 mm of type: write mm, mil or µm",
    "ton": "tons differ: write t (1000 kg), kg or lb",
    "tons": "tons differ: write t (1000 kg), kg or lb",
    "ga": "write gauge for film (0.01 mil each); gauge of sheet metal is not a unit",
}
"""Words that the trade uses in more than one sense: never guessed, and never left to a general library."""

_IN, _LB, _GRAVITY = Decimal("0.0254"), Decimal("0.45359237"), Decimal("9.80665")
_ONE, _ZERO = Decimal(1), Decimal(0)
_LBF = _LB * _GRAVITY
_PI = Decimal("3.141592653589793238462643383")
_RANKINE = Decimal(5) / Decimal(9)
_E = {name: dimension.exponents for name, dimension in DIMENSIONS.items()}

_PLAIN: tuple[tuple[str, str, Decimal], ...] = (
    ('in inch inches " ″', "length", _IN),
    ("ft foot feet ' ′", "length", 12 * _IN),
    ("yd", "length", 36 * _IN),
    ("mil mils thou", "length", _IN / 1000),
    ("gauge", "length", _IN / 100000),
    ("micron microns", "length", Decimal("1e-6")),
    ("s sec second seconds", "time", _ONE),
    ("min minute minutes", "time", Decimal(60)),
    ("h hr hrs hour hours", "time", Decimal(3600)),
    ("d day days", "time", Decimal(86400)),
    ("week weeks", "time", Decimal(604800)),
    ("rpm", "frequency", _ONE / 60),
    ("fpm", "speed", 12 * _IN / 60),
    ("lb lbs pound pounds", "mass", _LB),
    ("oz", "mass", _LB / 16),
    ("t", "mass", Decimal(1000)),
    ("gsm", "areal mass", Decimal("0.001")),
    ("lbf", "force", _LBF),
    ("ozf", "force", _LBF / 16),
    ("kgf", "force", _GRAVITY),
    ("gf", "force", _GRAVITY / 1000),
    ("dyn", "force", Decimal("1e-5")),
    ("pli", "line tension", _LBF / _IN),
    ("psi", "pressure", _LBF / _IN**2),
    ("ksi", "pressure", 1000 * _LBF / _IN**2),
    ("bar", "pressure", Decimal(100000)),
    ("mbar", "pressure", Decimal(100)),
    ("Nm", "torque", _ONE),
    ("hp", "power", 550 * 12 * _IN * _LBF),
    ("cP", "viscosity", Decimal("0.001")),
    ("K °C ℃ degC", "temperature difference", _ONE),
    ("°F ℉ degF", "temperature difference", _RANKINE),
)
"""Words of one unit, its dimension, its SI factor. Film gauge: 100 gauge = 1 mil."""

_KINDS: tuple[tuple[str, str, Decimal], ...] = (
    ("%", "ratio", Decimal("0.01")),
    ("‰", "ratio", Decimal("0.001")),
    ("ppm", "ratio", Decimal("1e-6")),
    ("rad", "angle", _ONE),
    ("mrad", "angle", Decimal("0.001")),
    ("deg ° degree degrees", "angle", _PI / 180),
    ("label labels tooth teeth pcs piece pieces", "count", _ONE),
    ("Wh", "energy", Decimal(3600)),
    ("kWh", "energy", Decimal(3600000)),
)
"""Units that must say what they are, since others share their exponents."""

_PREFIXES = {"p": -12, "n": -9, "µ": -6, "u": -6, "m": -3, "c": -2, "d": -1}
_PREFIXES |= {"": 0, "da": 1, "h": 2, "k": 3, "M": 6, "G": 9, "T": 12}

_PREFIXED: tuple[tuple[str, str, Decimal, str], ...] = (
    ("m", "length", _ONE, "n µ u m c d k"),
    ("l", "volume", Decimal("0.001"), "µ u m c"),
    ("L", "volume", Decimal("0.001"), "µ u m"),
    ("s", "time", _ONE, "µ u m"),
    ("Hz", "frequency", _ONE, "k M"),
    ("g", "mass", Decimal("0.001"), "µ u m k"),
    ("N", "force", _ONE, "m c da k M"),
    ("Pa", "pressure", _ONE, "m h k M G"),
    ("J", "energy", _ONE, "µ u m k M"),
    ("W", "power", _ONE, "m k M"),
    ("V", "voltage", _ONE, "m k M"),
    ("A", "current", _ONE, "n µ u m"),
    ("C", "charge", _ONE, "p n µ u m"),
    ("F", "capacitance", _ONE, "p n µ u m"),
    ("ohm", "resistance", _ONE, "m k M G T"),
    ("Ω", "resistance", _ONE, "m k M G T"),
)

_ABSOLUTE: dict[str, UnitMeaning] = {
    "K": UnitMeaning("temperature", _ONE, _ZERO),
    **dict.fromkeys(("°C", "℃", "degC"), UnitMeaning("temperature", _ONE, Decimal("273.15"))),
    **dict.fromkeys(("°F", "℉", "degF"), UnitMeaning("temperature", _RANKINE, Decimal("459.67"))),
}
_SPELLED = {
    **dict.fromkeys(("deg C", "° C", "Celsius", "celsius"), "°C"),
    **dict.fromkeys(("deg F", "° F", "Fahrenheit", "fahrenheit"), "°F"),
    "kelvin": "K",
    "% RH": "%",
    "percent": "%",
    "ohms": "ohm",
    "megohm": "Mohm",
    "megohms": "Mohm",
}
"""Other spellings of a whole unit."""
_POUNDS = frozenset({"lb", "lbs", "pound", "pounds"})


def _atoms() -> Iterator[tuple[str, Atom]]:
    for words, name, factor in _PLAIN:
        for word in words.split():
            yield word, Atom(factor, _E[name])
    for words, name, factor in _KINDS:
        for word in words.split():
            yield word, Atom(factor, _E[name], name)
    for symbol, name, factor, prefixes in _PREFIXED:
        for prefix in ("", *prefixes.split()):
            scaled = factor * Decimal(f"1e{_PREFIXES[prefix]}")
            yield prefix + symbol, Atom(scaled, _E[name], "energy" if name == "energy" else "")


ATOMS: dict[str, Atom] = dict(_atoms())
"""Every unit of one word that needs no outside help."""

_NAMED: dict[Exponents, tuple[str, ...]] = {
    wanted: tuple(name for name, found in _E.items() if found == wanted) for wanted in set(_E.values())
}

_TERM = re.compile(
    r"\s*(?P<join>[/*·×-])?\s*(?P<number>[0-9]{1,4}(?:\.[0-9]{1,3})?)?\s*"
    r"(?P<word>[A-Za-zµΩ%‰°℃℉′″'\"]+)(?P<power>\^?-?[1-4]|⁻?[¹²³⁴])?"
)
_GROUP = re.compile(r"(.*)/\s*\(([^()/]*)\)")
_POWERS = str.maketrans("¹²³⁴⁻", "1234-", "^")

Term = tuple[Decimal, str, int]
"""A number (the 50 of ``N/50 mm``), a word, a power."""


def dimension_named(exponents: Exponents) -> tuple[str, ...]:
    """Name the dimensions with these exponents; none when the trade has no name for them."""
    return _NAMED.get(exponents, ())


def _product(text: str, sign: int) -> list[Term] | None:
    """Read terms one after the other; None when the text is no unit, or says not what the slash covers."""
    terms: list[Term] = []
    at, slashed = 0, False
    while at < len(text):
        found = _TERM.match(text, at)
        if found is None or len(terms) == 6:
            return None
        join, number, power = found["join"], found["number"], found["power"] or "1"
        under = join == "/"
        if (join is not None and join != "/" and not terms) or (slashed and not under):
            return None
        if (under and sign < 0) or (number and (not under or power != "1" or not float(number))):
            return None
        slashed = under
        exponent = int(power.translate(_POWERS)) * (-1 if under else sign)
        terms.append((Decimal(number or 1), found["word"], exponent))
        at = found.end()
    return terms or None


def _terms(text: str) -> list[Term] | None:
    """Split a unit into terms: ``N/50 mm``, ``J/(kg K)``, ``lbf·in``, ``1/min``, ``ft-lb``."""
    text = text.removeprefix("1").lstrip() if text.startswith(("1/", "1 /")) else text
    group = _GROUP.fullmatch(text)
    if group is None:
        return _product(text, 1)
    above = _product(group[1], 1) if group[1].strip() else []
    below = _product(group[2], -1)
    return None if above is None or below is None else above + below


def _readings(terms: list[Term], atoms: list[Atom]) -> tuple[UnitMeaning, ...]:
    """Multiply terms out and name what comes of it."""
    factor, total = _ONE, [0, 0, 0, 0, 0]
    for (number, _, power), atom in zip(terms, atoms, strict=True):
        factor *= (number * atom.factor) ** power if power > 0 else _ONE / (number * atom.factor) ** -power
        total = [have + power * more for have, more in zip(total, atom.exponents, strict=True)]
    kinds = {atom.kind for atom in atoms}
    if len(atoms) == 1 and terms[0][2] == 1 and kinds != {""}:
        return (UnitMeaning(atoms[0].kind, factor, _ZERO),)
    named = dimension_named((total[0], total[1], total[2], total[3], total[4]))
    return tuple(UnitMeaning(name, factor, _ZERO) for name in named if _suits(name, kinds))


def _suits(name: str, kinds: set[str]) -> bool:
    """Say whether a dimension fits the kinds of unit that a compound holds: joules make no torque."""
    if name in ("torque", "line tension"):
        return "energy" not in kinds
    if name in ("energy", "areal energy"):
        return "energy" in kinds
    return name not in ("angle", "count", "temperature")


def compose(unit: str, atom: Callable[[str], Atom | None] = ATOMS.get) -> tuple[UnitMeaning, ...]:
    """Read a unit, simple or compound; every meaning it can have, likeliest first, none when not understood.

    Pounds stand for mass and, as the trade writes them, for force: ``lb`` alone is a mass first, within a
    compound (``lb/in``) a force first. Degrees and kelvins alone are a temperature first, then a difference.
    After a slash a product needs brackets, ``J/(kg K)``: without them it is not understood.
    """
    unit = _SPELLED.get(unit, unit)
    terms = _terms(unit)
    found = [atom(word) for _, word, _ in terms] if terms else []
    atoms = [each for each in found if each is not None]
    if not terms or len(atoms) < len(found):
        return ()
    readings = _readings(terms, atoms)
    if any(word in _POUNDS for _, word, _ in terms):
        pulling = [ATOMS["lbf"] if term[1] in _POUNDS else each for term, each in zip(terms, atoms, strict=True)]
        forces = _readings(terms, pulling)
        readings = forces + readings if len(terms) > 1 else readings + forces
    return (_ABSOLUTE[unit], *readings) if unit in _ABSOLUTE else readings


_OFFERED = [unit for row in DIMENSIONS.values() for unit in (row.unit, *row.units) if unit]
KNOWN: dict[str, tuple[UnitMeaning, ...]] = {unit: compose(unit) for unit in (*ATOMS, *_SPELLED, *_OFFERED)}
"""Every unit read beforehand: the words above and the compounds that the dimensions offer."""
