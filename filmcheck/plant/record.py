"""Typed documents: every datum with its value in SI and its place."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from filmcheck.position import Place
from filmcheck.units import Quantity

Content = Quantity | str | bool | int | float | date


class Datum(NamedTuple):
    """One value read from a file, as written and as meant."""

    content: Content
    text: str
    place: Place
    key_place: Place


class Unusable(NamedTuple):
    """A field that is there but says nothing usable; a finding of its own tells why.

    ``pressure`` keeps what was read where a tension was written as a pressure, so that both readings can be shown.
    """

    says: str
    place: Place
    key_place: Place
    pressure: Quantity | None = None


class Record(NamedTuple):
    """A mapping with typed fields."""

    fields: dict[str, Field]
    place: Place
    key_place: Place


class Listing(NamedTuple):
    """A list of typed items."""

    items: tuple[Field, ...]
    place: Place
    key_place: Place


Field = Datum | Unusable | Record | Listing


def find(record: Record | None, path: tuple[str, ...]) -> Field | None:
    """Follow field names down from a record; None where one is not there."""
    here: Field | None = record
    for name in path:
        if not isinstance(here, Record):
            return here if isinstance(here, Unusable) else None
        here = here.fields.get(name)
    return here


def word(record: Record | None, *path: str) -> str | None:
    """Give the word at a path, or None."""
    field = find(record, path)
    return field.content if isinstance(field, Datum) and isinstance(field.content, str) else None


def deepest(record: Record, path: tuple[str, ...]) -> Place:
    """Give the place of the innermost record on the way to a path: where a missing field belongs."""
    place = record.key_place
    here: Field | None = record
    for name in path:
        here = here.fields.get(name) if isinstance(here, Record) else None
        if here is None:
            break
        place = here.key_place
    return place
