"""Which parts of a job a figure looked at: the tracks that it left.

Sheets of one plant are alike for long stretches. Where a rule has found nothing to say, it will find nothing again on
a sheet on which all that it looked at reads the same, whatever else differs. A track names such a part; a mask is the
set of tracks of one verdict, as the bits of a whole number.
"""

from __future__ import annotations

from collections.abc import Hashable
from typing import NamedTuple

from filmcheck.plant.job import LINKS, Item, Job
from filmcheck.plant.record import Datum, Field, Listing, Record, find

Content = Hashable


class Track(NamedTuple):
    """One part of a job: a field of the sheet, a register entry, a thing, the shape of the path, or today."""

    sort: str
    name: str = ""
    detail: str = ""
    number: int = 0


MOST_NUMBERS, MOST_MASKS = 30_000, 10_000
"""Contents and masks kept at a time, so that a hundred thousand sheets do not fill the memory."""

SHAPE = Track("shape")
KEYS = Track("keys")
PRESS = Track("entry", "press")
TODAY = Track("today")


class Tracks:
    """The tracks known so far, each with its bit. Shared by all jobs of a plant, for registers count by name."""

    def __init__(self) -> None:
        """Start with none."""
        self._bits: dict[Track, int] = {}
        self._tracks: list[Track] = []
        self._parts: dict[int, tuple[int, ...]] = {}
        self._numbers: dict[Content, int] = {}
        self._next = 0

    def bit(self, track: Track) -> int:
        """Give the bit of a track."""
        bit = self._bits.get(track)
        if bit is None:
            bit = self._bits[track] = 1 << len(self._tracks)
            self._tracks.append(track)
        return bit

    def parts(self, mask: int) -> tuple[int, ...]:
        """Give the tracks of a mask, each by its place among all: numbers are quick to look up."""
        parts = self._parts.get(mask)
        if parts is None:
            if len(self._parts) >= MOST_MASKS:
                self._parts.clear()
            parts = self._parts[mask] = tuple(place for place in range(len(self._tracks)) if mask >> place & 1)
        return parts

    def track(self, place: int) -> Track:
        """Give the track at a place."""
        return self._tracks[place]

    def number(self, content: Content) -> int:
        """Give a content its number, quick to compare. One forgotten gets another number, so there is no false twin."""
        number = self._numbers.get(content)
        if number is None:
            if len(self._numbers) >= MOST_NUMBERS:
                self._numbers.clear()
            self._next += 1
            number = self._numbers[content] = self._next
        return number


def content_of(track: Track, job: Job, things: dict[str, tuple[Item, ...]]) -> Content:
    """Give what a part of a job reads, places aside. ``things`` are those that neither path nor lists hold."""
    if track.sort == "sheet":
        path = (track.name, track.detail) if track.detail else (track.name,)
        return written(find(job.sheet, path))
    if track.sort == "entry":
        named = find(job.sheet, LINKS[track.name][0])
        return named.text if isinstance(named, Datum) else None
    if track.sort == "thing":
        return _thing(track, job, things)
    if track == SHAPE:
        return tuple((item.kind, item.label, item.on_press, *_marks(item)) for item in job.stations)
    return frozenset(job.sheet.fields)


def _thing(track: Track, job: Job, things: dict[str, tuple[Item, ...]]) -> Content:
    listed = job.items.get(track.name) or things.get(track.name)
    if listed is None:  # a station: its number is its place in the path
        listed = job.stations[track.number - 1 : track.number]
    for item in listed:
        if item.number == track.number and item.kind == track.name:
            own = item.records[0] if item.records else None
            return written(find(own, (track.detail,)) if track.detail else own)
    return None


def _marks(item: Item) -> tuple[Content, ...]:
    fields = item.records[0].fields if item.records else {}
    return tuple(written(fields.get(mark)) for mark in ("unit", "name"))


def written(field: Field | None) -> Content:
    """Give a field as it is written, without its place."""
    if isinstance(field, Datum):
        return field.text
    if isinstance(field, Record):
        return frozenset([(name, written(inner)) for name, inner in field.fields.items()])
    if isinstance(field, Listing):
        return tuple([written(item) for item in field.items])
    return ("unusable", field.says) if field is not None else None
