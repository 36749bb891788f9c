"""Figures by the names that people use: 'highest line tension of the unwind' for ``unwind.highest_line_tension``."""

from __future__ import annotations

from typing import TypeVar

from filmcheck.figures.name_tables import KINDS, OF_JOB, OF_THINGS, TRUTHS
from filmcheck.figures.scopes import kinds_in, parsed, scoped_name, scopes_of

_Words = TypeVar("_Words")

IT = "{it}"
"""Where the thing at hand stands in the plain name of one of its figures; a name without it ends in 'of {it}'."""


def kind_words(kind: str) -> str:
    """Name a kind of thing: 'lamp or dryer'."""
    return KINDS.get(kind, kind)


def plain_name(name: str, kind: str = "", it: str = "") -> str:
    """Name a figure without its article: 'line tension of the unwind'.

    ``kind`` is the kind of thing whose figure it is, where the name begins with ``its.`` or ``that.``; without ``it``
    for the thing itself, its figures are named with 'its'.
    """
    head, field, _ = parts = parsed(name)
    if parts.is_of_thing:
        return _of_thing(field, kind, it)
    known = OF_JOB.get(name)
    if known is not None:
        return known
    return (
        f"{_FIELDS.get(field) or _spaced(field)} of the {_HEADS.get(head) or _spaced(head)}" if field else _spaced(name)
    )


def _of_thing(field: str, kind: str, it: str) -> str:
    words = scoped(OF_THINGS, field, kind) or f"{_FIELDS.get(field) or _spaced(field)} of {IT}"
    if it:
        return words.replace(IT, it)
    ending = f" of {IT}"
    return f"its {words.removesuffix(ending)}" if words.endswith(ending) else words.replace(IT, "it")


def truth_words(name: str, kind: str) -> tuple[str, str] | None:
    """Give the two sentences of a figure that is true or not, where it has them."""
    parts = parsed(name)
    return scoped(TRUTHS, parts.field, kind) if parts.is_of_thing else TRUTHS.get(name)


def scoped(table: dict[str, _Words], field: str, kind: str) -> _Words | None:
    """Find what a table has for a field of a thing, under its kind or a class that its kind is in."""
    scopes = {kind: None} | {scope: None for one in kinds_in(kind) for scope in scopes_of(one)}
    found = (table.get(scoped_name(scope, field)) for scope in scopes)
    return next((words for words in found if words is not None), None)


_HEADS = {"finishing": "finishing step", "finisher": "finishing machine", "stack": "stack of webs"}
_FIELDS = {
    "inspected": "day of inspection",
    "checked": "day of the check",
    "run_out": "run-out",
    "teeth": "number of teeth",
    "until": "last day",
}
"""First words and fields that are no nouns as they are written."""


def _spaced(name: str) -> str:
    return name.replace("_", " ").replace(".", " ")
