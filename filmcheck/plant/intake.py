"""Which column of a table is which field of the job sheet, and what a cell says there."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from filmcheck.plant.nearest import known_names, nearest
from filmcheck.plant.plant import Sheet
from filmcheck.plant.record import Datum, Record, group_at, word
from filmcheck.plant.shape import Shape, shape_of
from filmcheck.plant.sheet_text import Steps, scalar_text
from filmcheck.reading.lines import not_printable
from filmcheck.reading.nodes import Fault
from filmcheck.reading.table_file import Cell
from filmcheck.units.quantity import UnitFault, parse_quantity

LONGEST_CELL = 300
"""Letters of a cell that are taken; no field of a sheet needs as many."""

NUMBER = ("job",)
"""The field that tells jobs apart."""

_DIGITS = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?")
_SIZED = re.compile(r"([+-]?[0-9][0-9.,'’\u00a0\u202f ]*?)(\s*[^0-9.,'’\s].*)?")


class CellError(Exception):
    """A cell cannot be taken; the text says why."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column that is taken."""

    name: str
    steps: Steps
    shape: Shape
    unit: str = ""
    day_form: str = "YYYY-MM-DD"
    words: Mapping[str, str] | None = None
    decimal: str = "point"

    def text(self, cell: Cell) -> str:
        """Give what a cell says as YAML text for its field; empty where the cell is. Raises CellError."""
        if not cell.text:
            return ""
        _refuse_odd(cell.text)
        said = self._meant(cell.text)
        if self.shape.sort == "date":
            return cell.day.isoformat() if cell.day else self._day(said)
        if self.shape.sort == "quantity":
            return scalar_text(self._size(said, cell.is_number), is_word=False)
        if self.shape.sort in ("count", "number"):
            number = _number(said, "point" if cell.is_number else self.decimal)
            if number is None:
                raise CellError(f"'{said}' is not a number")
            return number
        if self.shape.sort == "truth" and said not in ("true", "false"):
            raise CellError(f"'{said}' is neither true nor false; say under `words` what it stands for")
        return said if self.shape.sort == "truth" else scalar_text(said)

    def _meant(self, text: str) -> str:
        if self.words is None:
            return text
        by_folded = {known.casefold(): meant for known, meant in self.words.items()}
        if text.casefold() not in by_folded:
            raise CellError(f"'{text}' is not among the words of the mapping. {known_names(text, self.words, 'word')}")
        return by_folded[text.casefold()]

    def _day(self, text: str) -> str:
        form = self.day_form.replace("YYYY", "%Y").replace("MM", "%m").replace("DD", "%d")
        try:
            return datetime.strptime(text, form).date().isoformat()
        except ValueError:
            # An office program counts days from 1899-12-30, and exports the count where the column is not one of dates.
            counted = date(1899, 12, 30) + timedelta(int(text)) if re.fullmatch("[34][0-9]{4}", text) else ""
            meant = f"; if it counts days, it is {counted}: make the column one of dates" if counted else ""
            raise CellError(f"'{text}' is no date written as {self.day_form}{meant}") from None

    def _size(self, text: str, is_number: bool) -> str:
        found = _SIZED.fullmatch(text)
        number = _number(found[1], "point" if is_number else self.decimal) if found else None
        if found is None or number is None:
            return text  # whether it is a size in another way, such as 5 ft 6 in, reading the sheet will tell
        if not (found[2] or self.unit):
            raise CellError(f"{text} has no unit; name it in the mapping as `unit` of the column {self.name}")
        return number + (found[2] or f" {self.unit}")


@dataclass(frozen=True, slots=True)
class Intake:
    """A mapping, ready to be used."""

    columns: tuple[Column, ...]
    fixed: Mapping[Steps, str]
    into: str
    delimiter: str
    worksheet: str
    encoding: str

    @property
    def names(self) -> frozenset[str]:
        """The columns that are taken, by name."""
        return frozenset(column.name for column in self.columns)

    def fitted(self, header: tuple[str, ...], file: str) -> list[str]:
        """Give what stands against using it on a table with this header."""
        names = [column.name for column in self.columns]
        lacking = [name for name in names if name not in header]
        near = [f"{name} (nearest: {found})" if (found := nearest(name, header)) else name for name in lacking]
        told = [f"{file} has no column {', '.join(near)}"] if near else []
        twice = ((name, header.count(name)) for name in names)
        return told + [f"{file} has {count} columns {name}" for name, count in twice if count > 1]


def read_intake(sheet: Sheet) -> tuple[Intake, list[Fault]]:
    """Make the mapping of its file, with what is wrong with it."""
    record, faults = sheet.record, list(sheet.faults)
    decimal = word(record, "decimal") or "point"
    columns = [
        _column(name, entry, decimal, faults)
        for name, entry in group_at(record, "columns").items()
        if isinstance(entry, Record)
    ]
    fixed: dict[Steps, str] = {}
    for name, text in group_at(record, "fixed").items():
        shape = field_shape(tuple(name.split(".")))
        if not isinstance(text, Datum) or shape is None:
            faults.append(_no_field(name, text))
        else:
            fixed[tuple(name.split("."))] = scalar_text(text.text, is_word=shape.sort == "word")
    known = [column for column in columns if column is not None]
    if not faults and NUMBER not in {column.steps for column in known}:
        says = "No column is the job number."
        faults.append(Fault("key-missing", record.place.span, says, "Add one, for example `Job: {field: job}`."))
    intake = Intake(
        tuple(known),
        fixed,
        word(record, "into") or "",
        word(record, "delimiter") or ",",
        word(record, "worksheet") or "",
        word(record, "encoding") or "utf-8",
    )
    return intake, faults


def field_shape(steps: Steps) -> Shape | None:
    """Give the shape of one field of a job sheet by the steps to it; None where none holds a single value there."""
    shape: Any = shape_of("job-sheet")
    for step in steps:
        if shape is None or shape.sort not in ("record", "map"):
            return None
        shape = shape.item or shape.fields.get(step)
    held: Shape | None = shape
    is_path = steps == ("path",)
    return held if held is not None and (is_path or held.sort not in ("record", "map", "list")) else None


def _column(name: str, entry: Record, decimal: str, faults: list[Fault]) -> Column | None:
    named = entry.fields.get("field")
    if not isinstance(named, Datum):
        return None
    steps = tuple(named.text.split("."))
    shape = field_shape(steps)
    if shape is None:
        faults.append(_no_field(named.text, named))
        return None
    unit = word(entry, "unit") or ""
    read = parse_quantity(f"1 {unit}", shape.dimensions) if unit else None
    if isinstance(read, UnitFault):
        faults.append(Fault("unit-unknown", entry.fields["unit"].place.span, f"{read.says}.", read.hint))
    words = group_at(entry, "words")
    meant = {key: value.text for key, value in words.items() if isinstance(value, Datum)} or None
    return Column(name, steps, shape, unit, word(entry, "date") or "YYYY-MM-DD", meant, decimal)


def _no_field(name: str, field: Any) -> Fault:
    steps = name.split(".")
    shape: Any = shape_of("job-sheet")
    for step in steps[:-1]:
        shape = (shape.item or shape.fields.get(step)) if shape is not None else None
    known = list(shape.fields) if shape is not None and shape.fields else list(shape_of("job-sheet").fields)
    says = f"The job sheet has no field {name[:60]} that holds one value."
    return Fault("value-wrong", field.place.span, says, known_names(steps[-1], known, "field"))


def _refuse_odd(text: str) -> None:
    """Refuse what no cell of a table of jobs holds in good faith."""
    if len(text) > LONGEST_CELL:
        raise CellError(f"the cell holds {len(text)} letters; at most {LONGEST_CELL} are taken")
    if not_printable(text) or any(ord(letter) < 32 or ord(letter) == 127 for letter in text):
        raise CellError("the cell holds a line break or a control character")
    if text[0] in "=@":
        raise CellError("the cell holds a formula; save the table with values")


def _number(text: str, decimal: str) -> str | None:
    """Give a number with a point, its thousands not parted; None where it is none or could be read in two ways."""
    mark, parts = (",", ".'’\u00a0\u202f ") if decimal == "comma" else (".", ",'’\u00a0\u202f ")
    text = text.strip()
    if re.fullmatch(rf"[+-]?[0-9]{{1,3}}(?:[{re.escape(parts)}][0-9]{{3}})+(?:{re.escape(mark)}[0-9]+)?", text):
        text = re.sub(rf"[{re.escape(parts)}]", "", text)
    text = text.replace(mark, ".") if text.count(mark) == 1 and not set(text) & set(parts) else text
    return text if _DIGITS.fullmatch(text) else None
