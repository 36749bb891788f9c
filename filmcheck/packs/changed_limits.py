"""Reads the limits that a plant sets in place of those of a pack."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from filmcheck.judging.limit import Limit
from filmcheck.plant.nearest import nearest_hint
from filmcheck.plant.record import Datum, Record, group_at
from filmcheck.reading.nodes import Fault
from filmcheck.units.quantity import Quantity, parse_quantity

TellFault = Callable[[Fault], None]


def why_no_limit(read: Quantity) -> tuple[str, str] | None:
    """Say why a quantity cannot be a limit, and the way out; None where it can."""
    if read.low != read.high:
        return f"a limit is one value, and {read.text} is a range", "Write two limits, the least and the most."
    if read.dimension == "capacitance" and read.text.endswith(" F"):
        return f"{read.text} is a capacitance", "Degrees Fahrenheit are written degF."
    return None


def changed_limits(
    limits: Mapping[str, Limit], settings: Record, tell: Callable[[str, Fault], None]
) -> dict[str, Limit]:
    """Give the limits as a plant sets them; a change that cannot be used is told and not taken."""
    changed = dict(limits)
    for name, entry in group_at(settings, "limits").items():
        if not isinstance(entry, Record):
            continue
        file, span = entry.key_place
        if name not in limits:
            tell(file, Fault("settings-wrong", span, f"{name} is no known limit", nearest_hint(name, limits)))
            continue
        limit = _changed(limits[name], entry, lambda fault, file=file: tell(file, fault))  # type: ignore[misc]
        changed[name] = limit or limits[name]
    return changed


def _changed(limit: Limit, entry: Record, tell: TellFault) -> Limit | None:
    value, basis = entry.fields.get("value"), entry.fields.get("basis")
    if not isinstance(value, Datum) or not isinstance(basis, Datum):
        return None
    if limit.dimension == "count" and value.text.isdigit():
        read: object = Quantity(int(value.text), int(value.text), "count", "", value.text)
    else:
        read = parse_quantity(value.text, (limit.dimension,))
    doubt = why_no_limit(read) if isinstance(read, Quantity) else None
    if doubt:
        tell(Fault("settings-wrong", value.place.span, *doubt))
        return None
    if isinstance(read, Quantity):
        return replace(limit, value=read, basis="house", source=str(basis.content), place=value.place, by="", table={})
    tell(Fault("settings-wrong", value.place.span, getattr(read, "says", ""), getattr(read, "hint", "")))
    return None
