"""Rules and the words of their language as a reference tells them, ready to be set as text or Markdown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from filmcheck.records.finding import RuleText


@dataclass(frozen=True, slots=True)
class LimitEntry:
    """A limit that a rule holds a figure against."""

    name: str
    value: str
    basis: str
    meaning: str


@dataclass(frozen=True, slots=True)
class FigureEntry:
    """A figure that a rule asks for: how people name it, how packs name it, and what it is."""

    called: str
    name: str
    meaning: str
    formula: str = ""


@dataclass(frozen=True, slots=True)
class RuleEntry:
    """One rule. ``needs`` are the data that it rests on, as the document and the fields that stand in it."""

    text: RuleText
    pack: str
    line: int
    safety: bool
    for_each: str
    found_by: str
    applies: tuple[str, ...]
    requires: tuple[str, ...]
    only_warns: tuple[str, ...]
    says: str
    instead: str
    limits: tuple[LimitEntry, ...]
    figures: tuple[FigureEntry, ...]
    needs: tuple[tuple[str, str], ...]
    cases: tuple[tuple[str, str], ...]


SORTS = ("figure", "kind", "place", "test", "condition", "function", "key")
"""In the order in which they are told."""


class WordEntry(NamedTuple):
    """One word: what sort it is, its dimensions, what it means, an example, and the rules that use it."""

    name: str
    sort: str
    dimensions: tuple[str, ...]
    meaning: str
    example: str
    words: tuple[str, ...] = ()
    used_by: tuple[str, ...] = ()
