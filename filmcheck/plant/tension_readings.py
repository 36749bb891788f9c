"""Tensions written in a way that most likely means something else: both readings are shown."""

from __future__ import annotations

from collections.abc import Iterator

from filmcheck.plant.record import Datum, Field, Listing, Record, Unusable
from filmcheck.reading.nodes import Fault
from filmcheck.units import Quantity, show

FIELDS = ("tension", "start_tension", "unwind_tension", "proved_tension")
IMPLAUSIBLE = 10 * 175.126835246476
"""N/m. 95 % of all webs run at 0.1 to 10 lbf/in (trade press), so more than 10 lbf/in is read twice."""


def tension_faults(
    sheet: Record, file: str, width: float | None, caliper: float | None
) -> tuple[tuple[str, Fault], ...]:
    """Find tensions written as a pressure, and total tensions written as line tensions."""
    found: list[tuple[str, Fault]] = []
    for name, field in _tensions(sheet):
        if isinstance(field, Unusable) and field.pressure is not None:
            found.append((file, _as_pressure(name, field, field.pressure, width, caliper)))
        elif isinstance(field, Datum) and isinstance(field.content, Quantity) and _too_much(field.content):
            found.append((file, _as_total(name, field, field.content, width)))
    return tuple(found)


def _tensions(record: Record, name: str = "") -> Iterator[tuple[str, Field]]:
    for key, field in record.fields.items():
        if key in FIELDS:
            yield f"{name} {key.replace('_', ' ')}".strip(), field
        elif isinstance(field, Record):
            yield from _tensions(field, key)
        elif isinstance(field, Listing):
            for item in field.items:
                if isinstance(item, Record):
                    yield from _tensions(item, name)


def _too_much(quantity: Quantity) -> bool:
    return quantity.dimension == "line tension" and quantity.high > IMPLAUSIBLE


def _as_pressure(name: str, field: Unusable, pressure: Quantity, width: float | None, caliper: float | None) -> Fault:
    as_line = pressure.low / 6894.757293168361 * 175.126835246476
    readings = [f"if {_number(pressure)} lbf/in is meant, that is {show(as_line, 'line tension', 'N/m')}"]
    if pressure.unit != "psi":
        readings = []
    if caliper is not None:
        line = pressure.low * caliper
        total = f", in all {show(line * width, 'force', 'N')}" if width else ""
        thick = show(caliper, "length", "µm")
        shown = f"{show(line, 'line tension', 'lbf/in')} = {show(line, 'line tension', 'N/m')}{total}"
        readings.append(f"as a stress over the laminate's {thick} it is {shown}")
    says = f"{name} {pressure.text} is a pressure, not a tension"
    hint = "; ".join(readings) + ". " if readings else ""
    hint = hint[:1].upper() + hint[1:] + "Write a line tension (lbf/in, N/m) or a total tension (N, lbf)"
    return Fault(
        "tension-as-pressure", field.place.span, says, f"{hint}; a web stress at the unwind goes under stress."
    )


def _as_total(name: str, field: Datum, quantity: Quantity, width: float | None) -> Fault:
    unit = "lbf" if "lb" in quantity.unit or quantity.unit == "pli" else "N"
    number = _number(quantity)
    says = f"{name} {quantity.text} is more than a web of this kind ever carries"
    force = float(number) * (4.4482216152605 if unit == "lbf" else 1.0)
    readings = []
    if width:
        total = show(quantity.low * width, "force", unit)
        line = force / width
        readings.append(f"As written the web pulls {total} in all")
        readings.append(
            f"if {number} {unit} in all is meant, that is {show(line, 'line tension', 'lbf/in')}"
            f" = {show(line, 'line tension', 'N/m')}"
        )
    else:
        readings.append(f"If {number} {unit} in all is meant, write it so")
    return Fault("tension-as-total", field.place.span, says, "; ".join(readings) + ".")


def _number(quantity: Quantity) -> str:
    return quantity.text.split()[0] if " " in quantity.text else quantity.text.removesuffix(quantity.unit)
