"""Tensions written in a way that most likely means something else: both readings are shown."""

from __future__ import annotations

from filmcheck.plant.record import Datum, Field, Listing, Record, Unusable
from filmcheck.reading.nodes import Fault, FileFault
from filmcheck.units.quantity import Quantity, convert, factor, show, show_range

FIELDS = frozenset({"tension", "start_tension", "unwind_tension", "proved_tension", "film_tension"})
OF_FILM = "film_tension"
"""The one that is no pull of the web: a film that is laid on has a width and a thickness of its own."""
IMPLAUSIBLE = 1751.26835247
"""N/m. 95 % of all webs run at 0.1 to 10 lbf/in (trade press), so more than 10 lbf/in is read twice. Rounded up,
for 10 lbf/in itself is still taken."""


def tension_faults(sheet: Record, width: float | None, caliper: float | None) -> tuple[FileFault, ...]:
    """Find tensions written as a pressure, and total tensions written as line tensions."""
    found: list[FileFault] = []
    for name, field in _tensions(sheet):
        wide, thick = (None, None) if name.endswith(OF_FILM.replace("_", " ")) else (width, caliper)
        if isinstance(field, Unusable) and field.pressure is not None:
            found.append((field.file, _as_pressure(name, field, field.pressure, wide, thick)))
        elif isinstance(field, Datum) and isinstance(field.content, Quantity) and _too_much(field.content):
            found.append((field.file, _as_total(name, field, field.content, wide)))
    return tuple(found)


def _tensions(record: Record, name: str = "") -> list[tuple[str, Field]]:
    found: list[tuple[str, Field]] = []
    for key, field in record.fields.items():
        if key in FIELDS:
            found.append((f"{name} {key.replace('_', ' ')}".strip(), field))
        elif field.__class__ is Record:
            found += _tensions(field, key)
        elif field.__class__ is Listing:
            for item in field.items:
                if isinstance(item, Record):
                    found += _tensions(item, name)
    return found


def _too_much(quantity: Quantity) -> bool:
    return quantity.dimension == "line tension" and quantity.high > IMPLAUSIBLE


def _as_pressure(name: str, field: Unusable, pressure: Quantity, width: float | None, caliper: float | None) -> Fault:
    readings = []
    if pressure.unit == "psi":
        said, meant = _renamed(pressure, "lbf/in", "line tension")
        readings.append(f"if {said} is meant, that is {show_range(*meant, 'line tension', 'N/m')}")
    if caliper is not None:
        line = (pressure.low * caliper, pressure.high * caliper)
        total = f", in all {show_range(line[0] * width, line[1] * width, 'force', 'N')}" if width else ""
        thick = show(caliper, "length", "µm")
        readings.append(f"as a stress over the laminate's {thick} it is {_in_both(*line)}{total}")
    says = f"{name} {pressure.text} is a pressure, not a tension"
    hint = "; ".join(readings) + ". " if readings else ""
    hint = hint[:1].upper() + hint[1:] + "Write a line tension (lbf/in, N/m) or a total tension (N, lbf)"
    return Fault(
        "tension-as-pressure", field.place.span, says, f"{hint}; a web stress at the unwind goes under stress."
    )


def _as_total(name: str, field: Datum, quantity: Quantity, width: float | None) -> Fault:
    unit = _force_unit(quantity.unit)
    said, (low, high) = _renamed(quantity, unit, "force")
    says = f"{name} {quantity.text} is more than a web of this kind ever carries"
    if not width:
        return Fault("tension-as-total", field.place.span, says, f"If {said} in all is meant, write it so.")
    total = show_range(quantity.low * width, quantity.high * width, "force", unit)
    line = _in_both(low / width, high / width)
    hint = f"As written the web pulls {total} in all; if {said} in all is meant, that is {line}."
    return Fault("tension-as-total", field.place.span, says, hint)


def _renamed(quantity: Quantity, unit: str, dimension: str) -> tuple[str, tuple[float, float]]:
    """Keep the number as written and put another unit to it: the text, and both ends in SI."""
    size = factor(unit, dimension)
    low, high = (convert(end, quantity.unit, quantity.dimension) * size for end in (quantity.low, quantity.high))
    return show_range(low, high, dimension, unit), (low, high)


def _force_unit(unit: str) -> str:
    """Give the force that a line tension is written in: lbf of lbf/in, kN of kN/m."""
    head = unit.partition("/")[0].strip()
    return "lbf" if head in ("lb", "pli") else head


def _in_both(low: float, high: float) -> str:
    return " = ".join(show_range(low, high, "line tension", unit) for unit in ("lbf/in", "N/m"))
