"""Where a datum stands: a span of text in a file."""

from __future__ import annotations

from typing import NamedTuple

SHIPPED = "filmcheck/rules/"
"""What stands in reports for the folder of the shipped packs, which lies elsewhere on every machine."""


class Span(NamedTuple):
    """A stretch of text. Lines and columns count from 1, columns in code points; the end is exclusive."""

    line: int
    column: int
    end_line: int
    end_column: int


class Place(NamedTuple):
    """A span in a file. The file is written as reports show it: relative, with forward slashes."""

    file: str
    span: Span

    def __str__(self) -> str:
        """Give the place in GNU form, ``file:line:column``."""
        return f"{self.file}:{self.span.line}:{self.span.column}"
