"""The set-up card as a record: what every form of it is written from."""

from __future__ import annotations

from dataclasses import dataclass

BLANK = "________"
"""A cell to be filled in by hand."""

STANDING_LINE = (
    "Numbers are estimates from what the sheet and the registers say; filmcheck advises and clears nothing. What the "
    "makers of press, tooling and material and the local codes say comes first."
)


@dataclass(frozen=True, slots=True)
class Section:
    """One part of the card. A table without a head is a list of things and what they are set to."""

    title: str
    rows: tuple[tuple[str, ...], ...] = ()
    head: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    loud: bool = False
    """Whether it must be seen before all else."""


@dataclass(frozen=True, slots=True)
class Card:
    """The card of one job. ``cleared`` is False where an error stands on the job."""

    title: str
    state: str
    cleared: bool
    file: str
    sections: tuple[Section, ...]
