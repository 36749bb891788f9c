"""The texts below a node of a pack, and whether one of them speaks of the thing at hand."""

from __future__ import annotations

from collections.abc import Iterator

from filmcheck.reading.nodes import Node, Scalar, Sequence


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
