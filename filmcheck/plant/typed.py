"""From a tree of text to typed fields: units, dates and sizes are read here, each once.

A field of the wrong sort is left out, for the schema check has said so already; a field whose unit or size is at
fault stays as ``Unusable``, so that whatever needs it can say why it cannot tell.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta
from math import isfinite
from typing import cast

from filmcheck.plant.record import Content, Datum, Field, Listing, Record, Unusable
from filmcheck.plant.shape import Shape, ValueSort
from filmcheck.reading.nodes import At, Fault, Mapping, Node, Scalar, Sequence
from filmcheck.reading.schema_words import as_sentence, nearest_word, same_word
from filmcheck.units.quantity import DIMENSIONS, Quantity, UnitFault, parse_quantity, show

_FAULT_IDS = {
    "bare number": "unit-missing",
    "unknown unit": "unit-unknown",
    "wrong dimension": "dimension-wrong",
    "not a quantity": "value-wrong",
}
_TENSION = "line tension"
AS_PRESS = "as press"
"""What a path may be in one word: the stations of the press in its order."""

MOST = 10**12
"""The largest plain number that is taken for one; a die's life is some millions of turns."""
_RANGE = re.compile(r"([0-9]{1,9}(?:\.[0-9]{1,9})?) to ([0-9]{1,9}(?:\.[0-9]{1,9})?)", re.ASCII)
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_MOMENT = re.compile(r"(?P<day>\d{4}-\d{2}-\d{2}) (?P<hour>\d{2}):(?P<minute>\d{2})", re.ASCII)
HOURS, MINUTES = 24, 60


class Typed:
    """Types the nodes of one file and gathers what is wrong with them."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[Fault] = []

    def record(self, node: Node, shape: Shape) -> Record:
        """Type a whole document; one that is no mapping gives an empty record."""
        typed = _READERS[shape.sort](self, node, shape, node)
        return typed if isinstance(typed, Record) else Record({}, self.file, node, node)

    def _mapping(self, node: Node, shape: Shape, key: Node | At) -> Record | None:
        if not isinstance(node, Mapping):
            return None
        fields: dict[str, Field] = {}
        known, item = shape.fields, shape.item
        for name, (own_key, value) in node.entries.items():
            inner = item or known.get(name)
            if inner is not None and (field := _READERS[inner.sort](self, value, inner, own_key)) is not None:
                fields[name] = field
        return Record(fields, self.file, node, key)

    def _list(self, node: Node, shape: Shape, key: Node | At) -> Listing | Datum | None:
        if not isinstance(node, Sequence):
            # A path may be one word; whether it is the right one, the schema check has told.
            as_press = isinstance(node, Scalar) and bool(nearest_word(node.text, [AS_PRESS]))
            return Datum(AS_PRESS, AS_PRESS, self.file, node, key) if as_press else None
        inner = shape.item
        read = _READERS[inner.sort]
        told = node.items[: shape.most]  # that there are more, the schema check has told
        items = [read(self, item, inner, item) for item in told]
        return Listing(tuple(item for item in items if item is not None), self.file, node, key)

    def _word(self, node: Node, shape: Shape, key: Node | At) -> Datum | None:
        """Take a word by its text: a job number or a name may look like a number."""
        if not isinstance(node, Scalar) or node.value is None:
            return None
        text = node.text
        word = text if not shape.words or text in shape.words else same_word(text, shape.words)
        if found := _MOMENT.fullmatch(text):
            self._hour(found, node)
        return Datum(word, text, self.file, node, key) if word else None

    def _number(self, node: Node, shape: Shape, key: Node | At) -> Field | None:
        """Take a truth value or a plain number. Beyond floats a whole number could not be reckoned with."""
        if isinstance(node, Scalar) and shape.sort == "number" and (ends := _RANGE.fullmatch(node.text)):
            low, high = sorted(map(float, ends.groups()))
            return Datum(Quantity(low, high, "number", "", node.text), node.text, self.file, node, key)
        if not isinstance(node, Scalar) or not _SORTS[shape.sort](node.value):
            return None
        most = shape.plausible[1] if shape.plausible else MOST
        if isinstance(node.value, int | float) and abs(node.value) > most:
            says = "no sheet counts as far as this"
            if shape.plausible:
                says = f"{node.text} cannot be right here: expected at most {most:.0f}"
            self.faults.append(Fault("size-implausible", node.span, says, "Look at the number of digits."))
            return Unusable(says, self.file, node, key)
        return Datum(cast(Content, node.value), node.text, self.file, node, key)

    def _date(self, node: Node, _shape: Shape, key: Node | At) -> Field | None:
        if not isinstance(node, Scalar) or node.value is None:
            return None
        if not _DATE.fullmatch(node.text):  # the pattern of the schema has told so
            return Unusable(f"{node.text} is not written as year-month-day", self.file, node, key)
        try:
            return Datum(date.fromisoformat(node.text), node.text, self.file, node, key)
        except ValueError:
            says = f"{node.text} is no day of the calendar"
            hint = "Write a day that there is, as year-month-day, such as 2026-11-25."
            self.faults.append(Fault("value-wrong", node.span, says, hint))
            return Unusable(says, self.file, node, key)

    def _hour(self, found: re.Match[str], node: Scalar) -> None:
        """Tell of a time of day that no day has. Midnight at the end of a day is the beginning of the next."""
        day, hour, minute = found["day"], int(found["hour"]), int(found["minute"])
        if hour < HOURS and minute < MINUTES:
            return
        hint = "Write an hour from 00:00 to 23:59."
        try:
            if (hour, minute) == (HOURS, 0):
                hint = f"Write {date.fromisoformat(day) + timedelta(days=1)} 00:00, which is the same moment."
        except ValueError:  # that the day is none is told as well
            pass
        self.faults.append(Fault("value-wrong", node.span, f"{node.text} is no hour of a day", hint))

    def _quantity(self, node: Node, shape: Shape, key: Node | At) -> Field | None:
        if not isinstance(node, Scalar):
            return None
        value = node.value
        if value is None or isinstance(value, bool) or (isinstance(value, float) and not isfinite(value)):
            return None
        # A number loses its written form in the value (1_000, 0x10), a text does not.
        read, fits = _size(node.text if isinstance(value, str) else value, shape.dimensions, shape.plausible)
        if isinstance(read, UnitFault):
            return self._unit_fault(read, shape, node, key)
        if fits and (meant := _thousands(read, shape)):
            says = f"{read.text} can be read as {meant[0]} or as {meant[1]}"
            hint = f"Write {meant[1]} without the point, or {meant[0]}, whichever is meant."
            self.faults.append(Fault("size-implausible", node.span, says, hint))
            return Unusable(says, self.file, node, key)
        return Datum(read, node.text, self.file, node, key) if fits else self._implausible(read, shape, node, key)

    def _unit_fault(self, fault: UnitFault, shape: Shape, node: Node, key: Node | At) -> Unusable:
        pressure = fault.quantity is not None and fault.quantity.dimension == "pressure"
        is_tension = _TENSION in shape.dimensions
        if not (pressure and is_tension):
            hint = _proposals(fault, shape) if fault.kind == "bare number" else fault.hint
            hint = as_sentence(hint)
            if shape.example and (hint.startswith(NO_UNIT) or not any(letter.isdigit() for letter in hint)):
                hint = f"{hint} For example {shape.example}.".strip()
            self.faults.append(Fault(_FAULT_IDS[fault.kind], node.span, fault.says, hint))
        return Unusable(fault.says, self.file, node, key, fault.quantity if pressure and is_tension else None)

    def _implausible(self, read: Quantity, shape: Shape, node: Node, key: Node | At) -> Unusable:
        low, high = (show(limit, read.dimension, read.unit) for limit in shape.plausible or (0.0, 0.0))
        says = f"{read.text} cannot be right here: expected between {low} and {high}"
        example = f" For example {shape.example}." if shape.example else ""
        hint = f"Check the unit and the decimal point. This field is: {shape.meaning}{example}"
        self.faults.append(Fault("size-implausible", node.span, says, hint))
        return Unusable(says, self.file, node, key)


def _size(
    written: str | int | float, dimensions: tuple[str, ...], plausible: tuple[float, float] | None
) -> tuple[Quantity | UnitFault, bool]:
    """Read a quantity and say whether its size can be right."""
    read = parse_quantity(written, dimensions)
    if isinstance(read, UnitFault) or plausible is None or read.dimension != dimensions[0]:
        return read, True
    return read, _within(read, plausible)


NO_UNIT = "No unit makes "


def _proposals(fault: UnitFault, shape: Shape) -> str:
    """Give the number with units that this field would take; a proposal that the next run refuses is none."""
    number = fault.found
    if "ratio" in shape.dimensions:  # a share may be meant, 0.57 for 57 %
        asked = fault.hint.removeprefix("did you mean ").removesuffix("?").split(" or ")
        taken = [way for way in asked if _fits(way, shape.dimensions, shape)]
        return f"did you mean {' or '.join(taken)}?" if taken else f"{NO_UNIT}{number} right here"
    most = 2 if len(shape.dimensions) == 1 else 1
    ways: list[str] = []
    for name in shape.dimensions:
        usual = shape.example.rpartition(" ")[2]
        units = sorted(DIMENSIONS[name].units, key=lambda unit: unit != usual)  # the field's own unit first
        tried = [f"{number} {unit}" for unit in units]
        fitting = [text for text in tried if _fits(text, (name, *shape.dimensions), shape)]
        ways += fitting[:most]
    return f"did you mean {' or '.join(ways)}?" if ways else f"{NO_UNIT}{number} right here"


def _fits(text: str, dimensions: tuple[str, ...], shape: Shape) -> bool:
    read, fits = _size(
        text, tuple(dict.fromkeys(dimensions)), shape.plausible if dimensions[0] == shape.dimensions[0] else None
    )
    return fits and isinstance(read, Quantity)


_POINTED = re.compile(r"([1-9][0-9]{0,2})\.([0-9]{3}) ?(m|mm)", re.ASCII)


def _thousands(read: Quantity, shape: Shape) -> tuple[str, str] | None:
    """Give both readings of ``4.200 m`` where 4200 m can be right as well: a point may part thousands."""
    found = _POINTED.fullmatch(read.text)
    if found is None or shape.plausible is None:
        return None
    other = f"{found[1]}{found[2]} {found[3]}"
    if not _fits(other, shape.dimensions, shape):
        return None
    point = f"{found[1]}.{found[2]}0" if found[2][-1] != "0" else show(read.low, read.dimension, found[3]).split()[0]
    return f"{point} {found[3]}", other


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

_READERS: dict[ValueSort, Callable[[Typed, Node, Shape, Node | At], Field | None]] = {
    "record": Typed._mapping,
    "map": Typed._mapping,
    "list": Typed._list,
    "word": Typed._word,
    "quantity": Typed._quantity,
    "date": Typed._date,
    "truth": Typed._number,
    "count": Typed._number,
    "number": Typed._number,
}
"""Who reads a field of a sort: the node, its shape, and the node of its key or, of an item, its own."""
