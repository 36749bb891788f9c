"""From a tree of text to typed fields: units, dates and sizes are read here, each once.

A field of the wrong sort is left out, for the schema check has said so already; a field whose unit or size is at
fault stays as ``Unusable``, so that whatever needs it can say why it cannot tell.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from math import isfinite
from typing import cast

from filmcheck.plant.record import Content, Datum, Field, Listing, Record, Unusable
from filmcheck.plant.shape import Shape
from filmcheck.position import Place
from filmcheck.reading.nodes import Fault, Mapping, Node, Scalar, Sequence
from filmcheck.units import Quantity, UnitFault, parse_quantity, show

_FAULT_IDS = {
    "bare number": "unit-missing",
    "unknown unit": "unit-unknown",
    "wrong dimension": "dimension-wrong",
    "not a quantity": "value-wrong",
}
_TENSION = "line tension"
MOST = 10**12
"""The largest plain number that is taken for one; a die's life is some millions of turns."""
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)


class Typed:
    """Types the nodes of one file and gathers what is wrong with them."""

    def __init__(self, file: str) -> None:
        """Start with no faults."""
        self.file = file
        self.faults: list[Fault] = []

    def record(self, node: Node, shape: Shape) -> Record:
        """Type a whole document; one that is no mapping gives an empty record."""
        place = Place(self.file, node.span)
        typed = self._field(node, shape, place)
        return typed if isinstance(typed, Record) else Record({}, place, place)

    def _field(self, node: Node, shape: Shape, key_place: Place) -> Field | None:
        sort = shape.sort
        if sort in ("record", "map"):
            return self._mapping(node, shape, key_place)
        if sort == "list":
            return self._list(node, shape, key_place)
        if not isinstance(node, Scalar) or node.value is None:
            return None
        place = Place(self.file, node.span)
        if sort == "quantity":
            return self._quantity(node, shape, place, key_place)
        if sort == "date":
            return self._date(node, place, key_place)
        if sort == "word":  # a job number or a name may look like a number
            good = not shape.words or node.text in shape.words
            return Datum(node.text, node.text, place, key_place) if good else None
        if not _SORTS[sort](node.value):
            return None
        return self._number(node, place, key_place)

    def _number(self, node: Scalar, place: Place, key_place: Place) -> Field:
        """Take a truth value or a plain number. Beyond floats a whole number could not be reckoned with."""
        if isinstance(node.value, int | float) and abs(node.value) > MOST:
            says = "no sheet counts as far as this"
            self.faults.append(Fault("size-implausible", node.span, says, "Look at the number of digits."))
            return Unusable(says, place, key_place)
        return Datum(cast(Content, node.value), node.text, place, key_place)

    def _mapping(self, node: Node, shape: Shape, key_place: Place) -> Record | None:
        if not isinstance(node, Mapping):
            return None
        fields: dict[str, Field] = {}
        for name, (key, value) in node.entries.items():
            inner = shape.item if shape.sort == "map" else shape.fields.get(name)
            if inner is not None:
                field = self._field(value, inner, Place(self.file, key.span))
                if field is not None:
                    fields[name] = field
        return Record(fields, Place(self.file, node.span), key_place)

    def _list(self, node: Node, shape: Shape, key_place: Place) -> Listing | None:
        if not isinstance(node, Sequence):
            return None
        items = [self._field(item, shape.item, Place(self.file, item.span)) for item in node.items]
        return Listing(tuple(item for item in items if item is not None), Place(self.file, node.span), key_place)

    def _date(self, node: Scalar, place: Place, key_place: Place) -> Field | None:
        if not _DATE.fullmatch(node.text):  # the pattern of the schema has told so
            return Unusable(f"{node.text} is not written as year-month-day", place, key_place)
        try:
            return Datum(date.fromisoformat(node.text), node.text, place, key_place)
        except ValueError:
            says = f"{node.text} is no day of the calendar"
            hint = "Write a day that there is, as year-month-day, such as 2026-11-25."
            self.faults.append(Fault("value-wrong", node.span, says, hint))
            return Unusable(says, place, key_place)

    def _quantity(self, node: Scalar, shape: Shape, place: Place, key_place: Place) -> Field | None:
        value = node.value
        if isinstance(value, bool) or value is None or (isinstance(value, float) and not isfinite(value)):
            return None
        # A number loses its written form in the value (1_000, 0x10), a text does not.
        read = parse_quantity(node.text if isinstance(value, str) else value, shape.dimensions)
        if isinstance(read, UnitFault):
            return self._unit_fault(read, shape, place, key_place)
        if shape.plausible and read.dimension == shape.dimensions[0] and not _within(read, shape.plausible):
            return self._implausible(read, shape, place, key_place)
        return Datum(read, node.text, place, key_place)

    def _unit_fault(self, fault: UnitFault, shape: Shape, place: Place, key_place: Place) -> Unusable:
        pressure = fault.quantity is not None and fault.quantity.dimension == "pressure"
        is_tension = _TENSION in shape.dimensions
        if not (pressure and is_tension):
            self.faults.append(Fault(_FAULT_IDS[fault.kind], place.span, fault.says, fault.hint))
        return Unusable(fault.says, place, key_place, fault.quantity if pressure and is_tension else None)

    def _implausible(self, read: Quantity, shape: Shape, place: Place, key_place: Place) -> Unusable:
        low, high = (show(limit, read.dimension, read.unit) for limit in shape.plausible or (0.0, 0.0))
        says = f"{read.text} cannot be right here: expected between {low} and {high}"
        hint = f"Look at the unit and the point. This field is: {shape.meaning}"
        self.faults.append(Fault("size-implausible", place.span, says, hint))
        return Unusable(says, place, key_place)


def _within(read: Quantity, plausible: tuple[float, float]) -> bool:
    slack = 1e-9  # a size written in another unit than the bound may miss it by rounding
    low, high = plausible
    return low - abs(low) * slack <= read.low and read.high <= high + abs(high) * slack


def _is_count(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _is_number(value: object) -> bool:
    return _is_count(value) or (isinstance(value, float) and isfinite(value))


_SORTS: dict[str, Callable[[object], bool]] = {
    "truth": lambda value: isinstance(value, bool),
    "count": _is_count,
    "number": _is_number,
}
