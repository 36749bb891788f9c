"""Fields of a pack's tree as plain texts, and faults told at them. The schema has told what is of the wrong sort."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, ParamSpec, TypeVar

from filmcheck.reading.nodes import Fault, Mapping, Node, Scalar, Sequence

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
