"""A table as an office program exports it, CSV or XLSX, to rows of cells. Nothing in it is worked out or run."""

from __future__ import annotations

import csv
from collections.abc import Container, Iterable, Iterator
from datetime import date, datetime
from io import StringIO
from itertools import islice
from pathlib import Path
from typing import Any, NamedTuple

from filmcheck.reading.text_file import LONGEST, read_text
from filmcheck.records.errors import UseError

MOST_ROWS, MOST_COLUMNS = 20_000, 300
MOST_ABOVE = 20
"""Rows among which the header is looked for: titles, and names that stand over several columns, may lie above it."""

MOST_UNPACKED, MOST_STYLES = 20_000_000, 400_000
"""Bytes that an XLSX file may hold once unpacked, and of them the styles, which the library reads in full."""

_DECLARES = tuple("<!DOCTYPE".encode(code) for code in ("ascii", "utf-16-le", "utf-16-be"))
"""How XML begins to declare names of its own, which can stand for any length of text. A package has none of that
(ECMA-376, Part 2, XML usage: a DTD is to be treated as an error)."""


class Cell(NamedTuple):
    """One cell: where it is (``C7``), its text, and what an XLSX file says it is besides."""

    at: str
    text: str
    is_number: bool = False
    day: date | None = None


class Row(NamedTuple):
    """One row below the header: its number from 1 in the file, and its cells by column name."""

    number: int
    cells: dict[str, Cell]


class Table(NamedTuple):
    """The names of the columns as the header has them, and the rows that are not empty."""

    header: tuple[str, ...]
    rows: tuple[Row, ...]


def read_table(
    path: Path,
    names: Container[str] = (),
    *,
    delimiter: str = ",",
    worksheet: str = "",
    encoding: str = "utf-8",
) -> Table:
    """Read a table, whose header is the row near its top that has most of these names.

    Raises UseError where the file is none, is too large, or needs a library that is not there.
    """
    lines = _xlsx(path, worksheet) if path.suffix.lower() == ".xlsx" else _csv(path, delimiter, encoding)
    listed = list(islice(lines, MOST_ROWS + 1))
    if len(listed) > MOST_ROWS:
        raise UseError(f"{path} has more than {MOST_ROWS} rows", way_out="Split it.")
    filled = [(number, cells) for number, cells in listed if any(cell.text for cell in cells)]
    if not filled:
        raise UseError(f"{path} holds no table", way_out="The first row names the columns.")
    tops = [tuple(" ".join(cell.text.split()) for cell in cells) for _, cells in filled[:MOST_ABOVE]]
    at = max(range(len(tops)), key=lambda row: sum(name in names for name in tops[row]))
    rows = [Row(number, dict(zip(tops[at], cells, strict=False))) for number, cells in filled[at + 1 :]]
    return Table(tops[at], tuple(rows))


def _csv(path: Path, delimiter: str, encoding: str) -> Iterator[tuple[int, list[Cell]]]:
    text = read_text(path, encoding=encoding)
    if not isinstance(text, str):
        other = " Or write `encoding: windows-1252` into the mapping." if "encoding" in text.says else ""
        raise UseError(f"{path} cannot be read as CSV: {text.says}", way_out=text.hint + other)
    before = csv.field_size_limit(LONGEST)  # a cell that is too long spoils its own row alone
    try:
        reader, number = csv.reader(StringIO(text, newline=""), delimiter=delimiter), 1
        for words in reader:
            yield number, [Cell(_at(column, number), word.strip()) for column, word in _numbered(words)]
            number = reader.line_num + 1
    except csv.Error as error:
        raise UseError(f"{path} cannot be read as CSV: {error}") from error
    finally:
        csv.field_size_limit(before)


def _xlsx(path: Path, worksheet: str) -> Iterator[tuple[int, list[Cell]]]:
    try:
        from openpyxl import load_workbook
    except ImportError as error:
        way_out = "Install filmcheck[xlsx], or save the table as CSV."
        raise UseError(f"{path}: to read XLSX, openpyxl is needed", way_out=way_out) from error
    _check_size(path)
    try:
        _refuse_declarations(path)
        book = load_workbook(path, read_only=True, data_only=True, keep_links=False)
        names = book.sheetnames
        if worksheet and worksheet not in names:
            raise UseError(f"{path} has no worksheet {worksheet}", way_out=f"It has: {', '.join(names)[:200]}.")
        page = book[worksheet or names[0]]
        page.reset_dimensions()  # what the file says of its size may be wrong
        lines = page.iter_rows(max_row=MOST_ROWS + 1, max_col=MOST_COLUMNS, values_only=True)
        for number, values in enumerate(lines, 1):
            yield number, [_cell(_at(column, number), value) for column, value in _numbered(values)]
    except (UseError, GeneratorExit):
        raise
    except Exception as error:  # a file that is no workbook fails in the library in a hundred ways
        raise UseError(f"{path} cannot be read as XLSX", way_out="Open it and save it again, or as CSV.") from error


def _check_size(path: Path) -> None:
    from zipfile import BadZipFile, ZipFile

    try:
        with ZipFile(path) as packed:
            sizes = {part.filename: part.file_size for part in packed.infolist()}
    except (OSError, BadZipFile) as error:
        raise UseError(f"{path} cannot be read as XLSX", way_out="Is it there, and saved as XLSX?") from error
    if sum(sizes.values()) > MOST_UNPACKED or sizes.get("xl/styles.xml", 0) > MOST_STYLES:
        says = f"{path} holds more than {MOST_UNPACKED / 1e6:.0f} MB unpacked, or {MOST_STYLES / 1e3:.0f} kB of styles"
        raise UseError(says, way_out="Split it, or save it as CSV.")


def _refuse_declarations(path: Path) -> None:
    from zipfile import ZipFile

    with ZipFile(path) as packed:
        for part in packed.infolist():
            content = packed.read(part)
            if any(sign in content for sign in _DECLARES):
                raise UseError(f"{path} holds XML that declares names of its own", way_out="Save it as CSV.")


def _cell(at: str, value: Any) -> Cell:
    if isinstance(value, datetime | date):
        day = value.date() if isinstance(value, datetime) else value
        return Cell(at, day.isoformat(), day=day)
    if isinstance(value, bool):
        return Cell(at, str(value).lower())
    if isinstance(value, int | float):
        return Cell(at, f"{value:.15g}", is_number=True)
    return Cell(at, "" if value is None else str(value).strip())


def _numbered(values: Iterable[Any]) -> Iterator[tuple[int, Any]]:
    return enumerate(islice(values, MOST_COLUMNS))


def _at(column: int, row: int) -> str:
    """Name a cell as tables do: A to Z, AA, AB and so on, then the row."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters}{row}"
