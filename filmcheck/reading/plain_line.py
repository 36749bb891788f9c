"""One line of a plain sheet, understood by itself and remembered: sheets of a plant have most of their lines in common.

What a line may hold is told in ``plain_yaml``. Places on a line are numbers to which that of the row is added.
"""

from __future__ import annotations

import re
from functools import lru_cache
from math import isfinite
from typing import Any, TypeAlias

from filmcheck.reading.nodes import COLUMN, Entry, Mapping, Node, Scalar, Sequence, Spot, Word, plain_value

_FURTHEST = 40
_DEEPEST = 10
"""How far a line may be set in, and how deep brackets may lie in each other; both together are not too deep."""

_LONGEST_LINE = 1000
"""Code points. YAML has a limit of its own for keys, 1024 (1.2.2, section 7.4.2)."""

_MOST_REMEMBERED = 4096
"""Lines, and pairs within brackets, that are understood once for all sheets."""

_SIGNS = r"\w.%°^/()+'×±-"
_TIME = r"(?:(?<=[0-9]):[0-9]{2})?"
_WORD = rf"[-+.]?\w(?:[ {_SIGNS}]*[{_SIGNS}])?{_TIME}"
_LONGER_WORD = rf"[-+.]?\w(?:[ ,;{_SIGNS}]*[,;{_SIGNS}])?{_TIME}"
_KEY = rf"[-+.]?\w(?:[ {_SIGNS}]*[{_SIGNS}])?"
_QUOTED = r""""[^"\\]+"|'[^']+'"""
_COMMENT = r" *(?:(?<![^ ])#.*)?"

_LINE = re.compile(rf"( *(?:- )*)(?:({_KEY}):(?= |$) *)?(?:({_LONGER_WORD}|{_QUOTED})|([\[{{].*))?{_COMMENT}")
_REST = re.compile(_COMMENT)
_SHORT_PAIR = re.compile(rf"({_KEY}): ({_WORD})")
_PAIR = re.compile(rf" *({_KEY}): +(?:({_WORD}|{_QUOTED})|(?=[\[{{]))")
_ITEM = re.compile(rf" *()(?:({_WORD}|{_QUOTED})|(?=[\[{{]))")
_AFTER_PAIR = re.compile(r" *(?:(, )|\})")
_AFTER_ITEM = re.compile(r" *(?:(, )|\])")

_STEP = COLUMN + 1
"""What moves a place on a line by one column."""

Key: TypeAlias = tuple[str, Word, int]
"""The text of a key, what it is worth, and its place on the line as nodes take it."""

Maker: TypeAlias = "Group | Listed | Made"

Value: TypeAlias = "tuple[str, Any, int, Maker | None]"
"""The text of a word, the plain value, its place on the line, and the maker of what is no word."""

Pair: TypeAlias = "tuple[str, Word, int, str, Any, int, Maker | None]"
"""A key and its value."""


class NotPlainError(Exception):
    """The text is not plain throughout and is left to the parser."""


class PlainGroup(Mapping):
    """The node of keys with values, on one line or on several. What is in it is made when somebody asks."""

    __slots__ = ("_made", "pairs", "row")

    def __init__(self, pairs: list[Pair], row: int, spot: Spot) -> None:
        """Keep the pairs, no key of them twice, and what to add to their places."""
        self.pairs = pairs
        self.row = row
        self._spot = spot
        self._made: dict[str, Entry] | None = None

    @property
    def entries(self) -> dict[str, Entry]:  # type: ignore[override]  # read only, as those of any node are to others
        """The entries by the text of their key."""
        if self._made is None:
            row = self.row
            self._made = {
                name: Entry(Scalar(name, worth, row + key_at), node_of((text, value, at, inner), row))
                for name, worth, key_at, text, value, at, inner in self.pairs
            }
        return self._made


class Group:
    """Makes the node of keys with values between braces."""

    __slots__ = ("pairs",)

    def __init__(self, pairs: list[Pair]) -> None:
        """Keep the pairs, no key of them twice."""
        self.pairs = pairs

    def node(self, row: int, place: int) -> PlainGroup:
        """Give the node for a row."""
        return PlainGroup(self.pairs, row, row + place)


class Made:
    """Gives a node that is made already."""

    __slots__ = ("made",)

    def __init__(self, made: Node) -> None:
        """Keep the node."""
        self.made = made

    def node(self, row: int, place: int) -> Node:
        """Give it, whatever the row."""
        return self.made


class Listed:
    """Makes the node of values between brackets."""

    __slots__ = ("items",)

    def __init__(self, items: list[Value]) -> None:
        """Keep the values."""
        self.items = items

    def node(self, row: int, place: int) -> Sequence:
        """Give the node for a row."""
        return Sequence([node_of(item, row) for item in self.items], row + place)


def node_of(value: Value, row: int) -> Node:
    """Give the node of any value for a row."""
    text, worth, at, inner = value
    return Scalar(text, worth, row + at) if inner is None else inner.node(row, at)


class Line:
    """A line that holds something: its dashes, the first of which is set in by ``indent``, its key, its value."""

    __slots__ = ("dashes", "indent", "key", "value")

    def __init__(self, indent: int, dashes: int, key: Key | None, value: Value | None) -> None:
        """Keep the parts."""
        self.indent = indent
        self.dashes = dashes
        self.key = key
        self.value = value


END = Line(-1, 0, None, None)


@lru_cache(maxsize=_MOST_REMEMBERED)
def plain_line(text: str) -> Line | None:
    """Understand a line, None where it is blank or a comment. Raises ``NotPlainError``."""
    # What Python shows as it is YAML takes too (1.2.2, c-printable), and no space but the usual one is among it.
    found = _LINE.fullmatch(text) if len(text) <= _LONGEST_LINE and text.isprintable() else None
    if not found:
        raise NotPlainError
    before, name, word, bracket = found.groups()
    value: Value | None = None
    if bracket:
        value = _bracketed(text, found.start(4))
    elif word:
        value = _word(word, found.start(3))
    dashes = before.count("-") if before else 0
    if not name and not value and not dashes:
        return None
    if len(before) > _FURTHEST or not (name or (value and dashes)):
        raise NotPlainError
    key = (name, plain_value(name), place_on_line(*found.span(2))) if name else None
    return Line(len(before) - 2 * dashes, dashes, key, value)


def place_on_line(start: int, end: int) -> int:
    """Give the place on a line that lies between two offsets."""
    return (start + 1) * COLUMN + end + 1


def _word(text: str, start: int) -> Value:
    """Give a word or a text in quotes that begins at this offset."""
    at = place_on_line(start, start + len(text))
    if text[0] in "\"'":
        return text[1:-1], text[1:-1], at, None
    return text, _worth(text), at, None


def _worth(word: str) -> Word:
    value = plain_value(word)
    if type(value) is float and not isfinite(value):
        raise NotPlainError
    return value


def _bracketed(line: str, start: int) -> Value:
    """Give the value that begins with a bracket and ends the line, but for a comment."""
    short = _short_group(line, start) if line[start] == "{" and line[-1] == "}" else None
    if short:
        return short
    value, end = _bracket(line, start, 1)
    if not _REST.fullmatch(line, end):
        raise NotPlainError
    return value


def _short_group(line: str, start: int) -> Value | None:
    """Give a group of words that ends the line, by a short way that most go; None where it is not as simple."""
    pairs: list[Pair] = []
    plain: dict[str, Any] = {}
    shift = (start + 1) * _STEP
    for piece in line[start + 1 : -1].split(", "):
        pair = _pair(piece)
        if pair is None or pair[0] in plain:
            return None
        name, worth, key_at, text, value, value_at = pair
        plain[name] = value
        pairs.append((name, worth, key_at + shift, text, value, value_at + shift, None))
        shift += (len(piece) + 2) * _STEP
    return "", plain, place_on_line(start, len(line)), Group(pairs)


@lru_cache(maxsize=_MOST_REMEMBERED)
def _pair(text: str) -> tuple[str, Word, int, str, Word, int] | None:
    """Give the parts of a key with a word, ``a: 1 mm``, placed as if it began a line; None if it is not just that."""
    found = _SHORT_PAIR.fullmatch(text)
    if not found:
        return None
    name, word = found.groups()
    return (
        name,
        plain_value(name),
        place_on_line(0, len(name)),
        word,
        _worth(word),
        place_on_line(len(name) + 2, len(text)),
    )


def _bracket(line: str, start: int, depth: int) -> tuple[Value, int]:
    """Give what begins with the bracket at an offset of a line, and the offset behind it."""
    if depth > _DEEPEST:
        raise NotPlainError
    if line[start] == "[":
        parts, end = _inside(line, start + 1, depth, _ITEM, _AFTER_ITEM)
        return ("", [part[4] for part in parts], place_on_line(start, end), Listed([part[3:] for part in parts])), end
    parts, end = _inside(line, start + 1, depth, _PAIR, _AFTER_PAIR)
    plain = {part[0]: part[4] for part in parts}
    if len(plain) < len(parts):  # a key stands there twice
        raise NotPlainError
    return ("", plain, place_on_line(start, end), Group(parts)), end


def _inside(line: str, at: int, depth: int, one: re.Pattern[str], after: re.Pattern[str]) -> tuple[list[Pair], int]:
    """Give what stands within brackets from an offset on, and the offset behind the closing one.

    ``one`` finds a key, which is empty in lists, and a word, ``after`` the comma or the bracket behind a value.
    """
    parts: list[Pair] = []
    sign = after.match(line, at)
    if sign and not sign[1]:
        return parts, sign.end()
    while True:
        found = one.match(line, at)
        if not found:
            raise NotPlainError
        name, word = found.groups()
        if word:
            value, end = _word(word, found.start(2)), found.end()
        else:
            value, end = _bracket(line, found.end(), depth + 1)
        parts.append((name, plain_value(name), place_on_line(*found.span(1)), *value))
        sign = after.match(line, end)
        if not sign:
            raise NotPlainError
        at = sign.end()
        if not sign[1]:
            return parts, at
