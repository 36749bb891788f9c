"""Edits of a text at spans: whatever lies outside of them stays byte for byte."""

from __future__ import annotations

import re
from collections.abc import Iterable

from filmcheck.reading.lines import Lines
from filmcheck.records.finding import Edit
from filmcheck.records.place import Span

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.µ°%/^()·² -]*")
"""Texts that need no quotes in YAML, in flow style either; only those are put in without."""


class SpanError(Exception):
    """A text cannot be edited at a span without touching more than what stands there."""


def applied(text: str, edits: Iterable[Edit]) -> str:
    """Apply edits that do not overlap, all of one file. Raises SpanError where two do."""
    lines = Lines(text)
    placed = sorted((*_ends(lines, edit.place.span), edit.text) for edit in edits)
    parts, at = [], 0
    for start, end, new in placed:
        if start < at:
            raise SpanError("two edits overlap")
        parts += [text[at:start], new]
        at = end
    return "".join([*parts, text[at:]])


def written(text: str, span: Span) -> str:
    """Give what stands at a span."""
    start, end = _ends(Lines(text), span)
    return text[start:end]


def quoted_alike(old: str, new: str) -> str:
    """Quote a new value as the old one is. Raises SpanError where that cannot be."""
    if old[:1] == "'" and old[-1:] == "'" and len(old) > 1:
        return "'" + new.replace("'", "''") + "'"
    if old[:1] == '"' and old[-1:] == '"' and len(old) > 1:
        return '"' + new.replace("\\", "\\\\").replace('"', '\\"') + '"'
    if old[:1] in ("|", ">", "&", "*", "!", "[", "{") or "\n" in old or "\r" in old:
        raise SpanError("what stands there is no plain value")
    if not _PLAIN.fullmatch(new) or new != new.strip():
        raise SpanError("the new value needs quotes where there are none")
    return new


def _ends(lines: Lines, span: Span) -> tuple[int, int]:
    if not 1 <= span.line <= span.end_line <= len(lines.starts):
        raise SpanError("the text has no such line")
    start, end = lines.offsets(span)
    if not 0 <= start <= end <= len(lines.text):
        raise SpanError("the text has no such place")
    return start, end
