"""Quantities at the door: a number with a unit becomes SI floats, or a fault that says the way out.

Understood: ``0.8 lbf/in``, ``52N``, ``1/8 in``, ``3 1/2 in``, ``10 000 m``, ``48 to 54 N``, ``50 ± 2 N``,
``50 N ± 4 %``, ``5 N/25 mm``. Not guessed at: a decimal comma, a range written with a hyphen, a bare number.
This is the door of the room: whoever reads or writes quantities asks here.
"""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache
from typing import NamedTuple

from filmcheck.units.faults import FaultKind, Quantity, UnitFault, bare, form, not_quantity, unknown, wrong
from filmcheck.units.shown import UnitError, convert, exponents, factor, show, show_apart, show_range
from filmcheck.units.table import DIMENSIONS, KNOWN, Dimension, UnitMeaning, dimension_named
from filmcheck.units.unit_words import as_people_write, meanings

__all__ = [
    "DIMENSIONS",
    "Dimension",
    "FaultKind",
    "Quantity",
    "UnitError",
    "UnitFault",
    "convert",
    "dimension_named",
    "exponents",
    "factor",
    "parse_any",
    "parse_quantity",
    "show",
    "show_apart",
    "show_range",
]

LONGEST = 80
"""No quantity on a job sheet needs more characters; longer text is not looked into."""

SMALLEST, LARGEST = 1e-75, 1e75
"""What a quantity may come to in SI, but for its sign: products of a few such numbers are still numbers."""


class _Amount(NamedTuple):
    """A number with its unit, not yet turned into SI."""

    number: Decimal
    reading: UnitMeaning
    unit: str

    def si(self) -> Decimal:
        return (self.number + self.reading.offset) * self.reading.factor


_PLAIN_NUMBER = r"(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?"
_NUMBER = rf"(?:[0-9]+ )?[0-9]+/[0-9]+|[0-9]{{1,3}}(?: [0-9]{{3}})+(?:\.[0-9]+)?(?![0-9/])|{_PLAIN_NUMBER}"
_QUICK = re.compile(rf"([+-]?{_PLAIN_NUMBER}) ?(.*)")
_ONE = re.compile(rf"([+-]?) ?({_NUMBER})(?![0-9.,]|[eE][+-]?[0-9]) ?(.*)")
_SPREAD = re.compile(r"(.+?) ?(?:±|\+/?-) ?(.+)")
_RANGE = re.compile(r"(.+?) to (.+)")
_FEET = re.compile(rf"({_PLAIN_NUMBER}) ?(?:ft|'|′) ?({_NUMBER}) ?(?:in|\"|″)")
_CIRCULAR_PITCH = re.compile(r"([0-9]+/[0-9]+) ?(?:CP|cp)")
_FOLD = str.maketrans("μΩ−–⋅\u00a0\u2009\u202f", "µΩ--·   ")


@lru_cache(maxsize=4096, typed=True)
def parse_quantity(text: str | int | float, dimensions: tuple[str, ...]) -> Quantity | UnitFault:
    """Read a quantity of one of these dimensions (any, when there are none); never raises on bad text.

    The trade writes ``lb`` for lbf: it is a force where force or line tension is asked and mass is not.
    A count may be bare. ``82 % ± 3 %`` means points, ``50 N ± 4 %`` a share of the value.
    """
    written = text if isinstance(text, str) else _spelled(text)
    return _quick(written, dimensions) or _careful(written, dimensions)


def parse_any(text: str | int | float) -> Quantity | UnitFault:
    """Read a quantity whose dimension its unit tells; a bare number is a fault."""
    return parse_quantity(text, ())


def _quick(text: str, dimensions: tuple[str, ...]) -> Quantity | None:
    """Read the plain case, a number and a unit of the table; None leaves the text to the careful reading."""
    found = _QUICK.fullmatch(text)
    if found is None or len(text) > LONGEST:
        return None
    number, unit = found.groups()
    for dimension, size, offset in KNOWN.get(unit, ()):
        if (dimension in dimensions or not dimensions) and dimension != "count":
            value = float((Decimal(number) + offset) * size)
            return Quantity(value, value, dimension, unit, text) if SMALLEST < value < LARGEST else None
    return None


def _careful(written: str, dimensions: tuple[str, ...]) -> Quantity | UnitFault:
    if len(written) > LONGEST:
        return UnitFault(
            "not a quantity", written[:24] + "…", "the text is too long to be a quantity", form(dimensions)
        )
    text = _trade_spelling(" ".join(written.translate(_FOLD).split()), dimensions)
    read = _read(text, dimensions)
    if isinstance(read, UnitFault):
        return read
    made = _made(*read, written)
    if isinstance(made, UnitFault) or not dimensions or made.dimension in dimensions:
        return made
    return wrong(made, dimensions)


def _trade_spelling(text: str, dimensions: tuple[str, ...]) -> str:
    """Write lengths of two parts and pitches as one amount: ``5 ft 6 in`` as 66 in, ``1/8 CP`` as 1/8 in."""
    if "length" not in dimensions:
        return text
    if found := _FEET.fullmatch(text):
        inches = _number(found[2])
        return text if inches is None or inches >= 12 else f"{Decimal(found[1]) * 12 + inches} in"
    found = _CIRCULAR_PITCH.fullmatch(text)
    return f"{found[1]} in" if found else text


def _read(text: str, dimensions: tuple[str, ...]) -> tuple[Decimal, Decimal, _Amount] | UnitFault:
    """Read low and high in SI and the first amount: one amount, a value with a tolerance, or a range."""
    spread, ranged = _SPREAD.fullmatch(text), _RANGE.fullmatch(text)
    pair = spread or ranged
    first = _amount(pair[1] if pair else text, dimensions, _unit_of(pair[2]) if pair else "")
    if isinstance(first, UnitFault):
        return first
    if pair is None:
        return first.si(), first.si(), first
    if spread:
        around = _tolerance(first, pair[2])
        return around if isinstance(around, UnitFault) else (first.si() - around, first.si() + around, first)
    second = _same(pair[2], first.reading.dimension)
    return second if isinstance(second, UnitFault) else (first.si(), second.si(), first)


def _amount(text: str, dimensions: tuple[str, ...], unit: str = "") -> _Amount | UnitFault:
    """Read one number with its unit, or with the unit that stands at the other end of the range."""
    found = _ONE.fullmatch(text)
    number = _number(found[2]) if found else None
    if found is None or number is None:
        return not_quantity(text, dimensions)
    unit = found[3] or unit
    if not number and found[1] == "-":
        return UnitFault("not a quantity", text, f"{text} is zero with a sign", f"write {text.removeprefix('-')}")
    number = -number if found[1] == "-" else number
    readings = (meanings(unit) or as_people_write(unit, dimensions)) if unit else _bare_count(dimensions)
    if not readings:
        return unknown(text, unit, dimensions) if unit else bare(text, number, dimensions)
    reading = next((each for each in readings if each.dimension in dimensions), readings[0])
    if reading.dimension == "count" and (number < 0 or number != number.to_integral_value()):
        return UnitFault("not a quantity", text, f"{text} is not a whole number", "write a count as 0, 1, 2 …")
    return _Amount(number, reading, unit)


def _same(text: str, dimension: str) -> _Amount | UnitFault:
    """Read the second amount of a pair, which must be of the first's dimension."""
    amount = _amount(text, (dimension,))
    if isinstance(amount, UnitFault) or amount.reading.dimension == dimension:
        return amount
    made = _made(amount.si(), amount.si(), amount, text)
    return made if isinstance(made, UnitFault) else wrong(made, (dimension,))


def _tolerance(first: _Amount, text: str) -> Decimal | UnitFault:
    """Read what stands after ±, in SI: an amount of the same kind, or a share of the value."""
    kind = first.reading.dimension
    if _unit_of(text) == "%" and kind not in ("ratio", "temperature"):
        share = _same(text, "ratio")
        size = share if isinstance(share, UnitFault) else abs(first.si() * share.si())
    else:
        amount = _same(text, "temperature difference" if kind == "temperature" else kind)
        size = amount if isinstance(amount, UnitFault) else amount.si()
    if not isinstance(size, UnitFault) and (size < 0 or text.startswith("-")):
        return UnitFault("not a quantity", text, "a tolerance is not negative", f"write ± {text.removeprefix('-')}")
    return size


def _made(low: Decimal, high: Decimal, amount: _Amount, text: str) -> Quantity | UnitFault:
    """Turn the exact bounds into floats, unless they run backwards or are beyond what can be."""
    ends = float(low), float(high)
    dimension = amount.reading.dimension
    says = ""
    if low > high:
        says = f"{text} runs from high to low"
    elif max(map(abs, ends)) >= LARGEST:
        says = f"{text} is too large to be real"
    elif any(exact and abs(exact) <= SMALLEST for exact in (low, high)):
        says = f"{text} is too small to be real"
    elif dimension == "temperature" and low < 0:
        says = f"{text} is below absolute zero"
    if says:
        return UnitFault("not a quantity", text, says, "write the lower end first" if low > high else "")
    return Quantity(*ends, dimension, amount.unit, text)


def _number(text: str) -> Decimal | None:
    """Read a plain, grouped, fractional (``1/8``) or mixed (``3 1/2``) number; None for a zero divisor."""
    if "/" not in text:
        return Decimal(text.replace(" ", ""))
    whole, _, fraction = text.rpartition(" ")
    above, below = fraction.split("/")
    return Decimal(whole or 0) + Decimal(above) / Decimal(below) if int(below) else None


def _spelled(value: float) -> str:
    """Write a number that YAML has read already. Integers too long to print become too long a text."""
    if isinstance(value, bool):
        return str(value).lower()
    return repr(value) if isinstance(value, float) or abs(value) < 10**LONGEST else hex(value)


def _unit_of(text: str) -> str:
    found = _ONE.fullmatch(text)
    return found[3] if found else ""


def _bare_count(dimensions: tuple[str, ...]) -> tuple[UnitMeaning, ...]:
    return KNOWN["pieces"] if "count" in dimensions else ()
