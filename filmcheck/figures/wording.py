"""Puts figures into words: values in the sheet's and the plant's units, arithmetic lines, and their places."""

from __future__ import annotations

import re
from collections.abc import Mapping
from math import ceil, floor, log10

from filmcheck.figures.catalogue import field_dimensions, job_dimensions
from filmcheck.figures.figure import Default, Route
from filmcheck.figures.figures import Figures
from filmcheck.figures.plain_names import plain_name
from filmcheck.figures.scopes import parsed
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Missing, Source, Value, exact, number
from filmcheck.units.quantity import DIMENSIONS, convert, show_range
from filmcheck.units.quantity import show as show_amount

Units = Mapping[str, str]
UNKNOWN = "(not known)"
DEEPEST = 4
_FIELD = re.compile(r"\{([^{}]+)\}")
_ALSO: dict[str, str] = {"N/m": "lbf/in", "lbf/in": "N/m"}
"""The trade thinks of line tension in both units, so both are shown."""


_DIGITS = {
    "line tension": 3,
    "force": 3,
    "pressure": 3,
    "ratio": 3,
    "temperature": 3,
    "temperature difference": 2,
    "torque": 3,
    "mass": 3,
}
"""Digits that the dimension deserves, where it is not four: more would feign a precision that no press has."""

_FINE = 1e-4
"""Metres: a length below this is one of micrometres, and deserves three digits."""


def amount_text(value: Figured, dimension: str, units: Units, unit: str = "") -> str:
    """Write a figure in a unit, else in the plant's unit for its dimension, else in a usual one."""
    if isinstance(value, Missing):
        return UNKNOWN
    if isinstance(value.low, bool):
        return "yes" if value.low else "no"
    if dimension not in DIMENSIONS or isinstance(value.low, str) or not isinstance(value.low, (int, float)):
        return _plain(value)
    if dimension == "count" and value.low != int(value.low):
        return _plain(value._replace(low=float(f"{value.low:.3g}"), high=float(f"{value.high:.3g}")))
    wanted = unit or units.get(dimension, "")
    high = value.high if isinstance(value.high, (int, float)) else value.low
    if value.exact:
        return show_amount(value.low, dimension, wanted, _digits(dimension, value.low))
    # A length that is known only as a range is an estimate of stretch or creep.
    return show_range(value.low, high, dimension, wanted, 3 if dimension == "length" else 4)


def _digits(dimension: str, size: float) -> int:
    return 3 if dimension == "length" and abs(size) < _FINE else _DIGITS.get(dimension, 4)


def bounded(value: Value, dimension: str, unit: str, bound: str) -> str:
    """Write a figure in a unit so that nobody who keeps to it passes it: rounded down for at most, up for at least.

    Of a range, its safe end is taken. A size that differs from round figures only in the ninth digit is round.
    """
    amount = convert(number(value.low if bound == "at most" else value.high), unit, dimension)
    if amount == 0:
        return f"0 {unit}"
    step = 10.0 ** (floor(log10(abs(amount))) - _digits(dimension, number(value.low)) + 1)
    steps = amount / step
    rounded = floor(steps + 1e-9 * abs(steps)) if bound == "at most" else ceil(steps - 1e-9 * abs(steps))
    return f"{rounded * step:.12g} {unit}"


def _plain(value: Value) -> str:
    ends = [_bare(end) if isinstance(end, (int, float)) else str(end) for end in (value.low, value.high)]
    return ends[0] if value.exact else f"{ends[0]} to {ends[1]}"


def _bare(amount: float) -> str:
    """Write a number that has no unit: a count to its last digit, anything else with four."""
    return f"{amount:.0f}" if float(amount).is_integer() or abs(amount) >= 10000 else f"{amount:.4g}"


def as_given_or_shown(value: Figured, dimension: str, units: Units) -> str:
    """Write a given figure as the sheet does, any other in the plant's unit."""
    if isinstance(value, Value) and value.source is not None:
        return value.source.text
    return amount_text(value, dimension, units)


def both_units(value: Figured, dimension: str, units: Units) -> str:
    """Write a line tension in both units of the trade, anything else in one."""
    first = amount_text(value, dimension, units, units.get(dimension, "N/m" if dimension == "line tension" else ""))
    if dimension != "line tension" or isinstance(value, Missing):
        return first
    other = _ALSO.get(units.get(dimension, "N/m"), "lbf/in")
    return f"{first} = {amount_text(value, dimension, units, other)}"


def dimension_of(name: str, item: Item | None) -> str:
    """Give the dimension of a figure; of a given one whose dimension the sheet chose, none."""
    parts = parsed(name)
    if parts.dimension:
        return parts.dimension
    of_thing = item if parts.head == "its" else None
    found = field_dimensions(of_thing.kind, parts.field) if of_thing is not None else job_dimensions(name)
    return found[0] if len(found) == 1 else ""


def sources(figures: Figures, name: str, item: Item | None) -> list[Source]:
    """Give the data that a figure rests on, as they stand in sheet and registers."""
    value = figures(name, item)
    if isinstance(value, Missing):
        return []
    if value.source is not None:
        return [value.source]
    found: list[Source] = []
    for need in needs_of(figures.route(name, item)):
        found += sources(figures, *figures.owned(need, item))
    return list({source.place: source for source in found}.values())


def needs_of(route: Route | None) -> list[str]:
    """Name what a route needs; nothing for a figure that has none, since it was given."""
    if route is None:
        return []
    return [need.name if isinstance(need, Default) else need for need in route.needs]


def add_lines(figures: Figures, name: str, item: Item | None, units: Units, lines: dict[str, None], deep: int) -> None:
    """Add the arithmetic lines of a figure, those of its needs first, each once."""
    value = figures(name, item)
    if isinstance(value, Missing) or value.source is not None or deep > DEEPEST:
        return
    for need in needs_of(figures.route(name, item)):
        add_lines(figures, *figures.owned(need, item), units, lines, deep + 1)
    add_line(spoken_name(name, item), working(figures, name, item, units), value, lines)


def add_line(title: str, line: str, value: Figured, lines: dict[str, None]) -> None:
    """Add the arithmetic of a figure, where it has any, with what it assumes and no line says yet."""
    if line and isinstance(value, Value):
        told = "\n".join(lines)
        notes = "".join(f"; {note}" for note in value.assumes if note not in told)
        lines.setdefault(f"{title}: {line}{notes}")


def working(figures: Figures, name: str, item: Item | None, units: Units) -> str:
    """Write how a figure was worked out, ``76 N / 330 mm = 230 N/m``; empty where it was given or only carried over."""
    value, route = figures(name, item), figures.route(name, item)
    if isinstance(value, Missing) or route is None or not route.arithmetic or is_carried(route):
        return ""
    result = both_units(value, dimension_of(name, item), units)
    return f"{_filled(figures, item, route, units)} = {result}"


def is_carried(route: Route | None) -> bool:
    """Whether a route only hands a need on."""
    needs = needs_of(route)
    return route is not None and bool(needs) and route.arithmetic == f"{{{needs[0]}}}"


def _filled(figures: Figures, item: Item | None, route: Route, units: Units) -> str:
    assumed = {need.name: need for need in route.needs if isinstance(need, Default)}

    def fill(match: re.Match[str]) -> str:
        need = match[1]
        found = figures(need, item)
        inner, owner = figures.owned(need, item)
        if isinstance(found, Missing) and need in assumed:
            found = exact(assumed[need].value)
            if not isinstance(found.low, float) or found.low == 0:
                return str(found.low or 0)
        text = as_given_or_shown(found, dimension_of(inner, owner), units)
        is_raised = route.arithmetic[match.end() : match.end() + 1] in ("²", "³")
        return f"({text})" if is_raised else text

    return _FIELD.sub(fill, route.arithmetic)


def spoken_name(name: str, item: Item | None) -> str:
    """Name a figure as people speak: 'highest line tension of the unwind', 'cure minimum of uv lamp 2'."""
    if item is None:
        return plain_name(name)
    article = "" if item.label[-1:].isdigit() else "the "
    return plain_name(name, item.kind, f"{article}{item.label}")
