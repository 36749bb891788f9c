"""What a written quantity is, or why it is none: the records that parsing hands out, and fault wording."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from typing import Literal, NamedTuple

from filmcheck.units.table import DIMENSIONS, KNOWN, REFUSED

FaultKind = Literal["bare number", "unknown unit", "wrong dimension", "not a quantity"]

_DIGITS = r"[0-9]+(?:\.[0-9]+)?"
_SEPARATED = re.compile(r"([+-]?[0-9]+)[,'’]([0-9]+)(?![0-9.,])(.*)")
_HYPHENED = re.compile(rf"({_DIGITS}) ?- ?([0-9]+/[0-9]+|{_DIGITS})(.*)")
_ABOUT = re.compile(r"(ca\.?|circa|approx\.?|about|~|≈|max\.?|min\.?|[øØ⌀]|dia\.?) ?([0-9].*)", re.IGNORECASE)


class Quantity(NamedTuple):
    """A quantity in SI, ``low`` equal to ``high`` when exact; the (first) unit and the text as written."""

    low: float
    high: float
    dimension: str
    unit: str
    text: str


class UnitFault(NamedTuple):
    """Why a text is not what was asked for. ``quantity`` is what it is, when only the dimension is wrong."""

    kind: FaultKind
    found: str
    says: str
    hint: str
    quantity: Quantity | None = None


def comma_list(parts: Sequence[str], last: str = "or") -> str:
    """Join parts for a sentence, with a word before the last: ``mm, in or µm``."""
    return f" {last} ".join(filter(None, (", ".join(parts[:-1]), parts[-1]))) if parts else ""


def _with_article(dimension: str) -> str:
    return f"{'an' if dimension[0] in 'aeiou' else 'a'} {dimension}"


def form(dimensions: tuple[str, ...]) -> str:
    """Say how these dimensions are written, ``a length is written in mm, in, µm or m``."""
    ways = []
    for name in dimensions:
        units = comma_list(DIMENSIONS[name].units[:4])
        ways.append("a count is a whole number" if name == "count" else f"{_with_article(name)} is written in {units}")
    return "; ".join(ways) or "write a number and a unit"


def bare(text: str, number: Decimal, dimensions: tuple[str, ...]) -> UnitFault:
    """Say that a unit is missing, and offer the number with the likeliest ones."""
    wanted = comma_list([_with_article(name) for name in dimensions]) or "a quantity"
    says = f"{text} has no unit; {wanted} needs one"
    meant = []
    for name in dimensions:
        share = name == "ratio" and Decimal("1e-6") < number < 1
        amount = f"{(number * 100).normalize():f}" if share else text
        units = DIMENSIONS[name].units[: 1 if name == "ratio" or len(dimensions) > 1 else 2]
        meant += [f"{amount} {unit}" for unit in units]
    return UnitFault("bare number", text, says, f"did you mean {comma_list(meant)}?" if meant else "")


def wrong(quantity: Quantity, dimensions: tuple[str, ...]) -> UnitFault:
    """Say what was written and what was asked; degrees without their ring are recognised."""
    wanted = comma_list([_with_article(name) for name in dimensions])
    says = f"{quantity.text} is {_with_article(quantity.dimension)}, not {wanted}"
    degrees = {"C": "°C", "F": "°F", "°": "°C"}.get(quantity.unit)
    if degrees and set(dimensions) & {"temperature", "temperature difference"}:
        meant = quantity.text.replace(quantity.unit, degrees)
        return UnitFault("wrong dimension", quantity.text, says, f"did you mean {meant}?", quantity)
    return UnitFault("wrong dimension", quantity.text, says, form(dimensions), quantity)


def unknown(text: str, unit: str, dimensions: tuple[str, ...]) -> UnitFault:
    """Say which unit is not known, and offer the nearest one of the dimensions asked."""
    if ways := comma_ways(text):
        return _in_more_ways(text, ways)
    head, _, rest = unit.partition(" ")
    if rest and any(meaning.dimension in dimensions for meaning in KNOWN.get(head, ())):
        meant = text.removesuffix(rest).rstrip()
        if "+" in rest:  # the first of a sum is no more likely to be meant than the second
            return UnitFault("unknown unit", text, f"'{rest}' stands behind the size", "write the sum as one size.")
        return UnitFault("unknown unit", text, f"'{rest}' stands behind the size", f"did you mean {meant}?")
    near = nearest_unit(unit, _units_of(dimensions))
    way = form(dimensions)
    hint = REFUSED.get(unit) or (f"did you mean {near}? {way[0].upper()}{way[1:]}" if near else way)
    return UnitFault("unknown unit", text, f"'{unit}' is not a known unit", hint)


def not_quantity(text: str, dimensions: tuple[str, ...]) -> UnitFault:
    """Say that the text is no number with a unit."""
    if ways := comma_ways(text):
        return _in_more_ways(text, ways)
    if found := _ABOUT.fullmatch(text):
        unit = "" if re.search(r"[^0-9., ]", found[2]) else ", with its unit"
        hint = f"did you mean {found[2]}{unit}?"
        return UnitFault("not a quantity", text, f"'{found[1]}' is no part of a size", hint)
    says = f"'{text}' is not a number with a unit" if text else "there is nothing written here"
    return UnitFault("not a quantity", text, says, form(dimensions))


def _in_more_ways(text: str, hint: str) -> UnitFault:
    """Say that a text is not read by guessing; a comma that can only be a decimal one is told as such."""
    comma = "," in text and " or " not in hint
    if not re.search(r"[^0-9.,'’ /-]", text):
        hint = f"{hint.removesuffix('?')}, with its unit?"
    says = f"'{text}' has a decimal comma" if comma else f"'{text}' can be read in more than one way"
    return UnitFault("not a quantity", text, says, hint)


def comma_ways(text: str) -> str:
    """Give the ways out for a comma or apostrophe within a number, and for a range written with a hyphen."""
    if found := _SEPARATED.fullmatch(text):
        head, tail, unit = found.groups()
        if len(tail) != 3 or not int(head):
            return f"did you mean {head}.{tail}{unit}?"
        # Three decimals behind the point would be asked about again: they look like thousands.
        decimals = f"{tail.rstrip('0') or '0'}{'0' if tail[-1] != '0' else ''}"
        return f"did you mean {head}.{decimals}{unit} or {head}{tail}{unit}?"
    if found := _HYPHENED.fullmatch(text):
        low, high, unit = found.groups()
        return f"did you mean {low} {high}{unit}?" if "/" in high else f"did you mean {low} to {high}{unit}?"
    return ""


def _units_of(dimensions: tuple[str, ...]) -> list[str]:
    """List the known units of these dimensions, those that messages offer first."""
    offered = [unit for name in dimensions for unit in DIMENSIONS[name].units]
    others = (u for u, meanings in KNOWN.items() if not dimensions or {m.dimension for m in meanings} & {*dimensions})
    return list(dict.fromkeys([*offered, *others]))


def nearest_unit(word: str, names: list[str]) -> str:
    """Find the name that was likely meant: one that differs in capitals only, else the most alike."""
    twins = [name for name in names if name.casefold() == word.casefold()]
    if twins:
        return max(twins, key=lambda name: sum(a == b for a, b in zip(name, word, strict=False)))
    from difflib import get_close_matches

    return next(iter(get_close_matches(word, names, n=1, cutoff=0.6)), "")
