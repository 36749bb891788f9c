"""Fields of a pack's tree as plain texts, and faults told at them. The schema has told what is of the wrong sort."""

from __future__ import annotations

from collections.abc import Callable

from filmcheck.reading.nodes import Fault, Mapping, Node, Scalar, Sequence


class Teller:
    """Tells what is wrong with one pack."""

    def __init__(self, tell: Callable[[Fault], None]) -> None:
        """Take the function that a fault is told to."""
        self._tell = tell

    def fault(self, node: Node, says: str, hint: str = "") -> None:
        """Tell a fault of the pack at a node."""
        self._tell(Fault("pack-broken", node.span, says, hint))


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
