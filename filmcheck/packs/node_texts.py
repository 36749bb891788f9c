"""The texts below a node of a pack, and whether one of them speaks of the thing at hand."""

from __future__ import annotations

import re
from collections.abc import Iterator
from collections.abc import Sequence as Sequence_

from filmcheck.reading.nodes import Node, Scalar, Sequence
from filmcheck.records.place import Span


def speaks_of_it(text: str) -> bool:
    """Whether a text names the thing at hand, one of its fields, or a neighbour of it."""
    return text.partition(" ")[0] in ("this", "its", "next", "previous") or any(
        mark in text for mark in ("its.", "that.", "{it}")
    )


def texts_in(node: Node) -> Iterator[str]:
    """Give every key and word below a node."""
    if isinstance(node, Scalar):
        yield node.text
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from texts_in(item)
    else:
        for key, value in node.entries.values():
            yield key.text
            yield from texts_in(value)


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
