"""Fields and texts of a pack's tree, and faults told at them. The schema has told what is of the wrong sort."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from collections.abc import Sequence as Sequence_
from typing import Any, ParamSpec, TypeVar

from filmcheck.reading.nodes import Fault, Mapping, Node, Scalar, Sequence
from filmcheck.records.place import Span

_Given = ParamSpec("_Given")
_Read = TypeVar("_Read")


class BrokenError(Exception):
    """A part of a pack cannot be read; what is wrong with it has been told."""


class Teller:
    """Tells what is wrong with one pack. What reads a part of it raises BrokenError where it cannot."""

    def __init__(self, tell: Callable[[Fault], None]) -> None:
        """Take the function that a fault is told to."""
        self._tell = tell

    def fault(self, node: Node, says: str, hint: str = "") -> None:
        """Tell a fault of the pack at a node."""
        self._tell(Fault("pack-broken", node.span, says, hint))

    def broken(self, node: Node, says: str, hint: str = "") -> BrokenError:
        """Tell a fault, and give what to raise where nothing can be read by it."""
        self.fault(node, says, hint)
        return BrokenError(says)


def all_read(reads: Iterable[Callable[[], Any]]) -> list[Any]:
    """Read every part, so that all that is wrong is told at once. Raises BrokenError where one cannot be read."""
    made, broken = [], None
    for read in reads:
        try:
            made.append(read())
        except BrokenError as error:
            broken = error
    if broken is not None:
        raise broken
    return made


def unless_broken(read: Callable[_Given, _Read], *given: _Given.args, **named: _Given.kwargs) -> _Read | None:
    """Read a part; None where it cannot be read."""
    try:
        return read(*given, **named)
    except BrokenError:
        return None


def text_of(node: Mapping, key: str) -> str:
    """Give a text with its line breaks folded; an empty one where there is none."""
    return " ".join(raw_text(node, key).split())


def raw_text(node: Mapping, key: str) -> str:
    """Give a text as it is written; an empty one where there is none."""
    entry = node.entries.get(key)
    return entry.value.text if entry is not None and isinstance(entry.value, Scalar) else ""


def items_of(node: Mapping, key: str) -> list[Node]:
    """Give the items of a list; none where there is no list."""
    entry = node.entries.get(key)
    return entry.value.items if entry is not None and isinstance(entry.value, Sequence) else []


def words_in(node: Mapping, key: str) -> list[Scalar]:
    """Give the words of a list."""
    return [item for item in items_of(node, key) if isinstance(item, Scalar)]


def inner(node: Mapping, key: str) -> Mapping | None:
    """Give the mapping under a key."""
    entry = node.entries.get(key)
    return entry.value if entry is not None and isinstance(entry.value, Mapping) else None


def speaks_of_it(text: str) -> bool:
    """Whether a text names the thing at hand, one of its fields, or a neighbour of it."""
    return text.partition(" ")[0] in ("this", "its", "next", "previous") or any(
        mark in text for mark in ("its.", "that.", "{it}")
    )


def span_within(span: Span, word: str, lines: Sequence_[str]) -> Span:
    """Give where a word stands first within a span of a file; the span itself where it does not, or not as a word."""
    if not re.fullmatch(r"[a-z][\w.]*", word):
        return span
    for number in range(span.line, min(span.end_line, len(lines)) + 1):
        start = span.column - 1 if number == span.line else 0
        found = re.compile(rf"(?<![\w.]){re.escape(word)}(?![\w.])").search(lines[number - 1], start)
        if found:
            return Span(number, found.start() + 1, number, found.end() + 1)
    return span


def speaks_at_hand(node: Node, depth: int = 0) -> bool:
    """Whether a condition on a thing speaks of that thing: with its. or this, or with that. where it looks for others.

    Others that are looked for within it are things of their own.
    """
    if isinstance(node, Scalar):
        return _names_it(node.text, depth)
    if isinstance(node, Sequence):
        return any(speaks_at_hand(item, depth) for item in node.items)
    looks = any(word in node.entries for word in ("every", "some", "no", "count"))
    for name, (key, value) in node.entries.items():
        below = depth + 1 if looks and name in ("where", "has") else depth
        if _names_it(key.text, depth) or speaks_at_hand(value, below):
            return True
    return False


def _names_it(text: str, depth: int) -> bool:
    if depth == 0:
        return speaks_of_it(text)
    return depth == 1 and "that." in text
