"""Plain sheets to trees, without a YAML library: what most sheets are made of is read here, much faster.

A text that is plain throughout gives the very tree that ``read_tree`` would build from the events of a parser, every
span the same. At the first thing that is not plain the whole text is given up, and the parser reads it: the
library stays the judge of all that is seldom, of all that is doubtful and of every fault. Whoever has no compiled
parser gains most, for the pure one takes many times as long.

Plain are

* lines that end in LF or CR LF, set in by spaces; blank lines; comments on lines of their own or after a value;
* ``key: value``, and ``key:`` with deeper lines below it, or with a list below it that is set in as far as the key;
* ``- value``, ``- key: value`` with more keys below the first, ``- key:`` with deeper lines below it, ``- - value``;
* values of one line: words and numbers, quoted texts without escapes, lists and groups in brackets such as
  ``{a: 1 mm, b: [x, y z]}``, within each other too;
* in words, letters and digits of any script and the signs that stand in names, sizes and remarks. A word begins with
  a letter or a digit, before which one sign may stand. It may end with a time of day, ``06:00``.

Not plain are, beside all else: a key without a value, a key written twice or in quotes, a text over several lines, a
colon within a word, anchors, aliases, tags, ``|``, ``>``, ``?``, ``---``, ``%``, tabs and other odd spaces,
brackets left open at the end of a line, and numbers without an end. A line is understood by itself, and lines alike
are common in the sheets of a plant: a line once understood is remembered.
"""

from __future__ import annotations

from typing import Any, TypeAlias

from filmcheck.reading.nodes import LINE, Between, Node, Sequence, Spot
from filmcheck.reading.plain_line import (
    END,
    Line,
    Made,
    NotPlainError,
    Pair,
    PlainGroup,
    node_of,
    place_on_line,
    plain_line,
)

LONGEST = 100_000
"""Code points of a text that is tried; so none can hold too many nodes for ``read_tree``."""

_Found: TypeAlias = tuple[Node, Any]
"""A node and its plain value."""


class _Sheet:
    """Puts the lines of a text together."""

    def __init__(self, lines: list[tuple[int, Line]]) -> None:
        """Take the lines that hold something, each with its number."""
        self.lines = [*lines, (0, END)]
        self.at = 0

    def whole(self) -> _Found:
        found = self._block(0)
        if self.lines[self.at][1] is not END:
            raise NotPlainError
        return found

    def _block(self, least: int) -> _Found:
        """Give the list or the group that begins with the line at hand, which must be set in by ``least``."""
        line = self.lines[self.at][1]
        if line.indent < least:
            raise NotPlainError
        return self._list(line.indent, 0) if line.dashes else self._group(line.indent)

    def _group(self, column: int) -> _Found:
        """Give the group whose first key is that of the line at hand and begins in this column, counted from 0."""
        pairs: list[Pair] = []
        plain: dict[str, Any] = {}
        lines, at = self.lines, self.at
        number, line = lines[at]
        start = number * LINE + place_on_line(column, column)
        while True:
            at += 1
            row, below = number * LINE, lines[at][1]
            if line.key is None or line.key[0] in plain:
                raise NotPlainError
            name, worth, key_at = line.key
            last: Spot | Node
            if line.value is None:
                # A list may stand as far left as the key that it belongs to, a group may not.
                self.at = at
                last, value = self._block(column if below.dashes else column + 1)
                at = self.at
                below = lines[at][1]
                pairs.append((name, worth, row + key_at, "", value, 0, Made(last)))
            else:
                text, value, place, inner = line.value
                node = None if inner is None else inner.node(row, place)
                last = row + place if node is None else node
                pairs.append(
                    (name, worth, row + key_at, text, value, row + place, None if node is None else Made(node))
                )
            plain[name] = value
            if below.indent < column:
                self.at = at
                return PlainGroup(pairs, 0, tuple.__new__(Between, (start, last))), plain
            if below.indent > column or below.dashes:
                raise NotPlainError
            number, line = lines[at]

    def _list(self, column: int, skipped: int) -> _Found:
        """Give the list whose dashes stand in this column; of the line at hand some dashes are dealt with already."""
        items: list[Node] = []
        plain: list[Any] = []
        start = self.lines[self.at][0] * LINE + place_on_line(column, column)
        while True:
            number, line = self.lines[self.at]
            if line.dashes > skipped + 1:
                node, value = self._list(column + 2, skipped + 1)
            elif line.key is not None:
                node, value = self._group(column + 2)
            elif line.value is not None:
                self.at += 1
                node, value = node_of(line.value, number * LINE), line.value[1]
            items.append(node)
            plain.append(value)
            line, skipped = self.lines[self.at][1], 0
            if line.indent < column or (line.indent == column and not line.dashes):
                return Sequence(items, Between(start, node)), plain
            if line.indent > column:
                raise NotPlainError


def read_plain(text: str) -> _Found | None:
    """Give the tree of a plain text and its plain value, None where the text is not plain throughout.

    The plain value is for reading only: parts of it are shared with those of other texts.
    """
    if len(text) > LONGEST:
        return None
    lines = (text.replace("\r\n", "\n") if "\r" in text else text).split("\n")
    try:
        found = [(row, line) for row, line in enumerate(map(plain_line, lines), 1) if line is not None]
        return _Sheet(found).whole()
    except NotPlainError:
        return None
