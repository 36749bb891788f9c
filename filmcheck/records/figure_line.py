"""Frozen records that the figures hand to their report: each figure with its arithmetic, and the walk of the web."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from filmcheck.records.finding import Related
from filmcheck.records.place import Place


@dataclass(frozen=True, slots=True)
class FigureLack:
    """What a figure lacks: the name of a datum that is ``absent``, or else what stands in the way; and where."""

    says: str
    place: Place | None = None
    absent: bool = True


@dataclass(frozen=True, slots=True)
class Amount:
    """A known figure: its ends in SI (words, dates and truth values as they are), and as text.

    ``text`` is in the unit that the sheet or register used, ``plant_text`` in the plant's or else a usual one, empty
    where that is the same.
    """

    low: float | int | str | bool | date
    high: float | int | str | bool | date
    text: str
    plant_text: str = ""


@dataclass(frozen=True, slots=True)
class FigureLine:
    """One figure of one job, or of one thing of it. Without an ``amount`` it cannot be told, for what it lacks.

    ``of`` is the label of the thing, empty for a figure of the job itself. ``unit`` is the one of the amount's ends.
    A figure that was given, or only carried over from another, has no arithmetic. ``inputs`` are the data that it
    uses itself, ``rests_on`` the other figures that it uses.
    """

    name: str
    of: str
    dimension: str
    unit: str
    meaning: str
    formula: str
    source: str
    amount: Amount | None
    arithmetic: str = ""
    inputs: tuple[Related, ...] = ()
    rests_on: tuple[str, ...] = ()
    assumes: tuple[str, ...] = ()
    missing: tuple[FigureLack, ...] = ()


@dataclass(frozen=True, slots=True)
class WalkLine:
    """The web behind one station. ``why`` tells where its tension was set and raised."""

    station: str
    place: Place
    lowest: Amount | None
    highest: Amount | None
    temperature: Amount | None
    charged: bool
    clean: bool
    why: tuple[str, ...] = ()
    assumes: tuple[str, ...] = ()
    missing: tuple[FigureLack, ...] = ()


@dataclass(frozen=True, slots=True)
class FigureSheet:
    """All figures of one job sheet. ``absent`` names the catalogue's figures of things that this job has none of."""

    job: str
    file: str
    figures: tuple[FigureLine, ...]
    walk: tuple[WalkLine, ...]
    absent: tuple[tuple[str, tuple[str, ...]], ...] = ()
    faults: int = 0
