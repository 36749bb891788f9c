"""Which parts of a job a figure looked at: the tracks that it left.

Sheets of one plant are alike for long stretches. Where a rule has found nothing to say, it will find nothing again on
a sheet on which all that it looked at reads the same, whatever else differs. A track names such a part; a mask is the
set of tracks of one verdict, as the bits of a whole number.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from itertools import count
from typing import NamedTuple, Protocol

from filmcheck.figures.scopes import LISTED, NUMBERED, WALKED, WOUND
from filmcheck.plant.job import LINKS, Item, Job
from filmcheck.plant.press_path import MARKS
from filmcheck.plant.record import Datum, Field, Listing, Record, Unusable, find

Content = Hashable


class Track(NamedTuple):
    """One part of a job: a field of the sheet, a register entry, a thing, the shape of the path, or today."""

    sort: str
    name: str = ""
    detail: str = ""
    number: int = 0


SHAPE = Track("shape")
KEYS = Track("keys")
PRESS = Track("entry", "press")
TODAY = Track("today")


class Things(Protocol):
    """Knows the things that neither path nor lists hold."""

    def things(self, kind: str) -> tuple[Item, ...]:
        """Give the things of a kind."""


Read = Callable[[Job, Things], Content]
"""Reads what a part of a job says, places in files aside."""

MOST_NUMBERS, MOST_MASKS = 30_000, 10_000
"""Contents and masks kept at a time, so that a hundred thousand sheets do not fill the memory."""

_bits: dict[Track, int] = {}
_parts: dict[int, Parts] = {}
_numbers: dict[Content, int] = {}
_given = count(1)
READERS: list[Read] = []
"""What reads a track, by the place of the track among all."""


def bit_of(track: Track) -> int:
    """Give the bit of a track. It is the same for all jobs of a process, so a figure can keep it."""
    bit = _bits.get(track)
    if bit is None:
        bit = _bits[track] = 1 << len(READERS)
        READERS.append(_reader(track))
    return bit


class Parts(NamedTuple):
    """The tracks of a mask: a number that stands for them, quick to look up by, and each by its place among all."""

    number: int
    places: tuple[int, ...]


def parts_of(mask: int) -> Parts:
    """Give the tracks of a mask."""
    parts = _parts.get(mask)
    if parts is None:
        if len(_parts) >= MOST_MASKS:
            _parts.clear()
        parts = _parts[mask] = Parts(next(_given), tuple(_places(mask)))
    return parts


def _places(mask: int) -> Iterator[int]:
    while mask:
        lowest = mask & -mask
        yield lowest.bit_length() - 1
        mask ^= lowest


def number_of(content: Content) -> int:
    """Give a content its number, quick to compare. One forgotten gets another number, so there is no false twin."""
    number = _numbers.get(content)
    if number is None:
        if len(_numbers) >= MOST_NUMBERS:
            _numbers.clear()
        number = _numbers[content] = next(_given)
    return number


def _reader(track: Track) -> Read:
    if track.sort == "sheet":
        return _of_sheet(track.name, track.detail)
    if track.sort == "entry":
        link = LINKS[track.name][0]
        return lambda job, things: written(find(job.sheet, link))
    if track.sort == "thing":
        return _of_thing(track)
    if track == SHAPE:
        return lambda job, things: tuple([(i.kind, i.label, i.on_press, *_marks(i)) for i in job.stations])
    return lambda job, things: frozenset(job.sheet.fields)


def _of_sheet(name: str, detail: str) -> Read:
    def read(job: Job, things: Things) -> Content:
        field = job.sheet.fields.get(name)
        return written(field.fields.get(detail) if detail and isinstance(field, Record) else field)

    return read


def track_of(kind: str, detail: str, number: int) -> Track:
    """Give the track of a field of a thing. Who looks at one of a list has met the whole list already."""
    return Track("sheet", f"{kind}s") if kind in LISTED else Track("thing", kind, detail, number)


def _of_thing(track: Track) -> Read:
    _, kind, detail, number = track
    if kind in (*WALKED, *NUMBERED, *WOUND):
        return lambda job, things: next(
            (_own(item, detail) for item in things.things(kind) if item.number == number), None
        )
    at = slice(number - 1, number)  # stations are numbered in their order, from 1

    def read(job: Job, things: Things) -> Content:
        for item in job.stations[at]:
            return _own(item, detail) if item.kind == kind else None
        return None

    return read


def _own(item: Item, detail: str) -> Content:
    if not item.records:
        return None
    own = item.records[0]
    return written(own.fields.get(detail) if detail else own)


def _marks(item: Item) -> tuple[Content, ...]:
    fields = item.records[0].fields if item.records else {}
    return tuple([written(fields.get(mark)) for mark in MARKS])


def written(field: Field | None) -> Content:
    """Give a field as it is written, without its place."""
    if field.__class__ is Datum:
        return field.text
    if isinstance(field, Record):
        return frozenset([(name, written(inner)) for name, inner in field.fields.items()])
    if isinstance(field, Listing):
        return tuple([written(item) for item in field.items])
    return ("unusable", field.says) if isinstance(field, Unusable) else None


ENTRIES = {bit_of(Track("entry", name)): name for name in LINKS}
"""The masks of what hangs on one register entry and nothing else, with the document that holds the entry."""

FROM_PRESS = bit_of(SHAPE) | bit_of(PRESS)
"""The tracks of what a station takes from the press: which one it is there, and the press's entry."""
