"""SI values to text and to other units: rounded calmly, in the unit of the sheet or one of a fitting size."""

from __future__ import annotations

import math
from decimal import Decimal

from filmcheck.records.errors import FilmcheckError
from filmcheck.units.faults import nearest_unit
from filmcheck.units.table import DIMENSIONS, SCALES, Exponents, UnitMeaning
from filmcheck.units.unit_words import meanings

_TIGHT = frozenset("\"'″′°")


class UnitError(FilmcheckError):
    """A unit or dimension named by a rule pack or by the program is not known."""


def convert(value_si: float, unit: str, dimension: str = "") -> float:
    """Turn an SI value into a unit. Raises UnitError when the unit is none of the dimension."""
    reading = _reading(unit, dimension)
    return float(Decimal(repr(float(value_si))) / reading.factor - reading.offset)


def factor(unit: str, dimension: str = "") -> float:
    """Give the SI size of a unit. Raises UnitError when the unit is not known."""
    return float(_reading(unit, dimension).factor)


def exponents(dimension: str) -> Exponents:
    """Give a dimension's powers of m, kg, s, K, A. Raises UnitError when it has no such name here."""
    if dimension not in DIMENSIONS:
        near = nearest_unit(dimension, list(DIMENSIONS))
        raise UnitError(f"unknown dimension '{dimension}'", way_out=f"did you mean {near}?" if near else "")
    return DIMENSIONS[dimension].exponents


def show(value: float, dimension: str, unit: str = "", digits: int = 4) -> str:
    """Write an SI value for a reader, rounded calmly: ``1.32 lbf/in``, ``230 N/m``. Counts are never rounded.

    Without a unit one of a fitting size is chosen. Raises UnitError as `convert` does.
    """
    unit = unit or _fitting(value, dimension)
    return _joined(_rounded(convert(value, unit, dimension), 15 if dimension == "count" else digits), unit)


def show_range(low: float, high: float, dimension: str, unit: str = "", digits: int = 4) -> str:
    """Write a range of SI values, ``48 to 54 N``; as one value where both round to the same."""
    unit = unit or _fitting(high, dimension)
    least, most = (show(value, dimension, unit, digits) for value in (low, high))
    return most if least == most else f"{_rounded(convert(low, unit, dimension), digits)} to {most}"


def show_apart(one: float, other: float, dimension: str, unit: str = "") -> tuple[str, str]:
    """Write two SI values with as many digits as tell them apart, up to 12."""
    unit = unit or _fitting(one, dimension)
    for digits in range(4, 13):
        texts = show(one, dimension, unit, digits), show(other, dimension, unit, digits)
        if texts[0] != texts[1]:
            break
    return texts


def _reading(unit: str, dimension: str) -> UnitMeaning:
    for reading in meanings(unit) if unit else _unitless(dimension):
        if not dimension or reading.dimension == dimension:
            return reading
    named = ", ".join(DIMENSIONS[dimension].units) if dimension in DIMENSIONS else ""
    raise UnitError(f"'{unit}' is not a unit of {dimension}" if dimension else f"unknown unit '{unit}'", expected=named)


def _unitless(dimension: str) -> tuple[UnitMeaning, ...]:
    return (UnitMeaning(dimension, Decimal(1), Decimal(0)),) if dimension in ("count", "ratio") else ()


def _fitting(value: float, dimension: str) -> str:
    """Choose the largest unit in which the value is at least one, else the smallest."""
    exponents(dimension)
    scales = SCALES.get(dimension, (DIMENSIONS[dimension].unit,))
    fits = [unit for unit in scales[1:] if abs(value) >= factor(unit, dimension) * (1 - 1e-9)]
    return fits[-1] if fits else scales[0]


def _rounded(number: float, digits: int) -> str:
    """Round to so many digits, without trailing zeros, and without a power of ten at ordinary sizes."""
    if not math.isfinite(number):
        return str(number)
    rounded = float(f"{number:.{digits - 1}e}") or 0.0
    if rounded and not 1e-4 <= abs(rounded) < 1e15:
        mantissa, _, power = f"{rounded:.{digits - 1}e}".partition("e")
        return f"{mantissa.rstrip('0').rstrip('.')}e{int(power)}"
    text = f"{Decimal(repr(rounded)):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _joined(number: str, unit: str) -> str:
    return f"{number}{'' if not unit or unit in _TIGHT else ' '}{unit}"
