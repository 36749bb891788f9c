"""A set-point's new value as an edit of its sheet: in the place of the old one, or put into a short sheet."""

from __future__ import annotations

from filmcheck.plant.sheet_merge import MergeError, merged
from filmcheck.plant.sheet_text import scalar_text, within_braces
from filmcheck.reading.lines import Lines
from filmcheck.records.finding import Edit
from filmcheck.records.place import Place
from filmcheck.windows.set_points import SetPoint
from filmcheck.windows.spans import SpanError, quoted_alike, written


def edits_of(text: str, file: str, point: SetPoint, value: str) -> tuple[Edit, ...]:
    """Give the edits with which a sheet says the value. Raises SpanError where it cannot be written."""
    if not point.steps:
        old = written(text, point.datum.place.span)
        return (Edit(point.datum.place, quoted_alike(old, value)),)
    try:
        new = merged(text, point.steps, None, _bare(point, value))
    except MergeError as error:
        raise SpanError(str(error)) from error
    return (_put_in(text, new, file),)


def line_of(point: SetPoint, value: str) -> str:
    """Give the line for a short sheet; empty where the sheet has the value already."""
    return within_braces(point.steps, _bare(point, value)) if point.steps else ""


def _bare(point: SetPoint, value: str) -> str:
    """Write a value for a short sheet: a count as a number, for in quotes it would be a word."""
    return value if point.shape.sort in ("count", "number") else scalar_text(value)


def _put_in(old: str, new: str, file: str) -> Edit:
    """Give the edit that leads from one text to another, as short as it can be."""
    start = _alike(old, new)
    behind = _alike(old[start:][::-1], new[start:][::-1])
    if old[start - 1 : start] == "\r":  # never between the two halves of a line end
        start -= 1
    span = Lines(old).span(start, len(old) - behind)
    return Edit(Place(file, span), new[start : len(new) - behind])


def _alike(one: str, other: str) -> int:
    """Count the letters with which both begin."""
    pairs = enumerate(zip(one, other, strict=False))
    return next((n for n, (a, b) in pairs if a != b), min(len(one), len(other)))
