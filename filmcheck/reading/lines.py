"""The lines of a text, and the characters that it may hold."""

from __future__ import annotations

import re
from bisect import bisect_right
from functools import cached_property

from filmcheck.reading.nodes import At, Fault
from filmcheck.records.place import Span

_BREAK = re.compile(r"\r\n|\r|\n")
_RUN = re.compile(r"[^\s]+")
# YAML 1.2.2, production [1] c-printable; the byte order mark is among them.
_NOT_PRINTABLE = "[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]"


class Lines:
    """Turns offsets into lines and columns, counted from 1 in code points; lazy."""

    def __init__(self, text: str) -> None:
        self.text = text

    @cached_property
    def starts(self) -> list[int]:
        """The offset of each line. Lines end with LF, CR or CR LF only (YAML 1.2.2, section 5.4)."""
        return [0, *(found.end() for found in _BREAK.finditer(self.text))]

    def at(self, start: int, end: int) -> At:
        """Give the span between two offsets as a bare tuple."""
        return (*self.place(start), *self.place(end))

    def span(self, start: int, end: int) -> Span:
        """Give the span between two offsets."""
        return Span(*self.at(start, end))

    def offsets(self, span: Span) -> tuple[int, int]:
        """Give where a span of this text begins and ends."""
        return self.starts[span.line - 1] + span.column - 1, self.starts[span.end_line - 1] + span.end_column - 1

    def place(self, offset: int) -> tuple[int, int]:
        """Give the line and the column of an offset."""
        line = bisect_right(self.starts, offset)
        return line, offset - self.starts[line - 1] + 1

    def row(self, offset: int) -> tuple[int, int]:
        """Give where the line of an offset begins and ends, its line end left out."""
        start = self.starts[self.place(offset)[0] - 1]
        found = _BREAK.search(self.text, start)
        return start, found.start() if found else len(self.text)

    def run(self, offset: int) -> Span:
        """Give the span of the word at an offset; past the last word, that of the last character."""
        found = _RUN.match(self.text, offset)
        if found:
            return self.span(offset, found.end())
        last = len(self.text[:offset].rstrip())
        return self.span(max(last - 1, 0), last)


def not_printable(text: str) -> re.Match[str] | None:
    """Find the first character that no YAML text may hold."""
    if text.replace("\n", " ").isprintable():
        return None  # Python calls less printable than YAML does; the search would take twenty times as long
    return re.search(_NOT_PRINTABLE, text)


def forbidden_character(text: str) -> Fault | None:
    """Give the fault of the first character that no YAML text may hold."""
    found = not_printable(text)
    if not found:
        return None
    span = Lines(text).span(found.start(), found.end())
    says = f"A control character (U+{ord(found[0]):04X}) stands in the text."
    return Fault("yaml-broken", span, says, "Delete it; most editors do not show it.")
