"""The tree of a YAML sheet, in which every key and value keeps its span, and the faults of reading it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple, TypeAlias

from filmcheck.records.place import Span

Word: TypeAlias = str | int | float | bool | None
"""What a scalar can be worth."""


class Fault(NamedTuple):
    """What is wrong with the text of a file, at which span, in plain words, and the way out."""

    id: str
    span: Span
    says: str
    hint: str = ""
    key: str = ""
    """The key that is missing, where that is what is wrong; of one that is misspelt, what is meant."""


FileFault: TypeAlias = tuple[str, Fault]
"""A fault and the file that it lies in."""

MOST_FAULTS = 100
"""Faults of one sort that are told of a file; a last one says that there are more."""


def first_of(faults: Iterable[FileFault]) -> Iterator[FileFault]:
    """Give as many faults as are told of a file: some are dear to find words for, and a file may have any number."""
    for number, (file, fault) in enumerate(faults):
        if number == MOST_FAULTS:
            yield (
                file,
                Fault("more-faults", fault.span, "The file has more faults like those above.", "Mend these first."),
            )
            return
        yield file, fault


KeyPath: TypeAlias = tuple[str | int, ...]
"""The way from the top of a tree to a node: keys, and places in lists counted from 0."""

At: TypeAlias = tuple[int, int, int, int]
"""The four numbers of a span as a bare tuple: cheap to make and no burden to the garbage collector."""


class _Placed:
    """Something with a place, ``at``."""

    __slots__ = ("at",)

    at: At

    @property
    def span(self) -> Span:
        """Where it stands."""
        return Span(*self.at)

    def _held(self) -> list[Any]:
        return [getattr(self, name) for name in self.__slots__]

    def __reduce__(self) -> tuple[object, ...]:
        """Pack it by what it is made of."""
        return type(self), (*self._held(), self.at)

    def __repr__(self) -> str:
        """Show what it holds and the place, for tests and debuggers."""
        return f"{type(self).__name__}({', '.join(map(repr, self._held()))} at {self.span.line}:{self.span.column})"


class Scalar(_Placed):
    """One written word or number: its text without quotes, what it is worth, and where it stands."""

    __slots__ = ("text", "value")

    def __init__(self, text: str, value: Word, at: At) -> None:
        self.text = text
        self.value = value
        self.at = at

    def plain(self) -> Word:
        """Give the plain Python value."""
        return self.value


class Entry(NamedTuple):
    """A key of a mapping and what it stands for."""

    key: Scalar
    value: Node


class Mapping(_Placed):
    """Keys with their values, in the order of the sheet. Of a key written twice the first is kept."""

    __slots__ = ("entries",)

    def __init__(self, entries: dict[str, Entry], at: At) -> None:
        self.entries = entries
        self.at = at

    def plain(self) -> dict[str, Any]:
        """Give the plain Python value. Bounded, as a tree that was read is, aliases followed."""
        return {name: entry.value.plain() for name, entry in self.entries.items()}


class Sequence(_Placed):
    """A list of values."""

    __slots__ = ("items",)

    def __init__(self, items: list[Node], at: At) -> None:
        self.items = items
        self.at = at

    def plain(self) -> list[Any]:
        """Give the plain Python value. Bounded as for a mapping."""
        return [item.plain() for item in self.items]


Node: TypeAlias = Scalar | Mapping | Sequence


def scalars(node: Node) -> Iterator[Scalar]:
    """Give every key and word below a node, in the order of the sheet."""
    if isinstance(node, Scalar):
        yield node
        return
    inner = node.items if isinstance(node, Sequence) else [each for entry in node.entries.values() for each in entry]
    for each in inner:
        yield from scalars(each)


# YAML 1.2.2, section 10.3.2, the core schema's tag resolution.
_FIXED: dict[str, Word] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL"), None),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
    **dict.fromkeys((".inf", ".Inf", ".INF", "+.inf", "+.Inf", "+.INF"), float("inf")),
    **dict.fromkeys(("-.inf", "-.Inf", "-.INF"), float("-inf")),
    **dict.fromkeys((".nan", ".NaN", ".NAN"), float("nan")),
}
_DECIMAL = re.compile(r"[-+]?[0-9]+", re.ASCII)
_OCTAL = re.compile(r"0o[0-7]+")
_HEXADECIMAL = re.compile(r"0x[0-9a-fA-F]+")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_NUMBER_STARTS = frozenset("0123456789+-.")
_LONGEST_WHOLE_NUMBER = 400
"""Digits. Longer ones stay words: Python refuses to convert them beyond 4300, and no sheet needs them."""


def plain_value(text: str) -> Word:
    """Give the value of an unquoted scalar by the core schema of YAML 1.2.

    ``no``, ``yes``, ``on``, ``12:30`` and ``2026-11-25`` are words there. Source: YAML 1.2.2, section 10.3.2.
    """
    if text in _FIXED:
        return _FIXED[text]
    return _number(text) if text[0] in _NUMBER_STARTS else text


def _number(text: str) -> Word:
    """Give the number that the text spells, or the text itself."""
    if len(text) > _LONGEST_WHOLE_NUMBER:
        return text
    if _DECIMAL.fullmatch(text):
        return int(text)
    if _FLOAT.fullmatch(text):
        return float(text)
    if _OCTAL.fullmatch(text):
        return int(text[2:], 8)
    if _HEXADECIMAL.fullmatch(text):
        return int(text[2:], 16)
    return text
