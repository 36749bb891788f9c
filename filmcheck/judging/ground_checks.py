"""One measurement of the paths to ground of a press stands on many sheets: whether they give the same readings."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from filmcheck.plant.record import Datum, Record, find
from filmcheck.records.place import Place, Span
from filmcheck.units.quantity import Quantity

PARTS = {"unwind": "the unwind", "press": "the press", "rewind": "the rewind", "inline": "the inline parts"}


class Reading(NamedTuple):
    """A reading as a sheet gives it: of which part, in ohm, as it is written, and the ends of the span."""

    part: str
    ohm: float
    text: str
    span: tuple[int, int, int, int]


class Differing(NamedTuple):
    """A reading that most sheets of the same press and day do not give: of which job, and who gives which other."""

    place: Place
    job: str
    says: str
    other: Place
    other_job: str


_Given = tuple[str, tuple[int, ...], str, tuple[float, str]]
"""A reading of one job: file, span, number of the job, and the reading in ohm with its text."""


def ground_readings(sheet: Record, file: str) -> tuple[str, tuple[Reading, ...]]:
    """Give the day on which the ground was measured, and the readings that the sheet itself gives."""
    day = find(sheet, ("preparation", "ground", "checked"))
    if not isinstance(day, Datum):
        return "", ()
    found = []
    for part in PARTS:
        datum = find(sheet, ("preparation", "ground", part))
        if isinstance(datum, Datum) and isinstance(datum.content, Quantity) and datum.file == file:
            span = datum.place.span
            found.append(Reading(part, datum.content.low, datum.content.text, (span[0], span[1], span[2], span[3])))
    return day.text, tuple(found)


class GroundChecks:
    """The readings of all jobs, by press, day and part; taken in any order."""

    def __init__(self) -> None:
        self._given: dict[tuple[str, str, str], list[_Given]] = defaultdict(list)
        self._said: dict[tuple[float, str], tuple[float, str]] = {}
        self._spans: dict[tuple[int, ...], tuple[int, ...]] = {}

    def add(self, job: str, file: str, press: str, day: str, readings: tuple[Reading, ...]) -> None:
        """Take those of one job. A plant has them by the hundred thousand, so what is alike is kept once."""
        for part, ohm, text, span in readings:
            said, where = (ohm, text), tuple(span)
            said, where = self._said.setdefault(said, said), self._spans.setdefault(where, where)
            self._given[press, day, part].append((file, where, job, said))

    def differing(self) -> Iterator[Differing]:
        """Give those that differ from what most sheets give, or where as many give either, from the first."""
        for (press, day, part), given in sorted(self._given.items()):
            given.sort()
            ((usual, _),) = Counter(ohm for *_, (ohm, _) in given).most_common(1)
            other = next(one for one in given if one[3][0] == usual)
            for file, span, job, (ohm, text) in given:
                if ohm != usual:
                    says = (
                        f"the ground of press {press}, measured on {day}, reads {text} at {PARTS[part]} here,"
                        f" and {other[3][1]} on the sheet of job {other[2]}"
                    )
                    yield Differing(_place(file, span), job, says, _place(*other[:2]), other[2])


def _place(file: str, span: tuple[int, ...]) -> Place:
    return Place(file, Span(*span))
