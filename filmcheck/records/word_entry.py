"""What a word of the rule language is, as plain data for a report."""

from __future__ import annotations

from typing import NamedTuple

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
