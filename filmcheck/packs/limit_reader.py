"""Reads the limits of a pack."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial

from filmcheck.figures.catalogue import job_dimensions
from filmcheck.figures.given import given_figures
from filmcheck.judging.limit import BASES, Limit
from filmcheck.packs.house import why_no_limit
from filmcheck.packs.names import words_of
from filmcheck.packs.pack_fields import BrokenError, Teller, all_read, inner
from filmcheck.plant.nearest import nearest_hint
from filmcheck.reading.nodes import Fault, Node, Scalar
from filmcheck.reading.nodes import Mapping as Tree
from filmcheck.records.place import Place
from filmcheck.units.quantity import Quantity, parse_any

_NAME = re.compile(r"[a-z][a-z0-9_]*")


def read_limit(name: str, key: Scalar, node: Node, file: str, tell: Callable[[Fault], None]) -> Limit:
    """Read one limit. Raises BrokenError where it cannot be read, with what is wrong told."""
    if not isinstance(node, Tree):
        raise BrokenError(name)
    teller = Teller(tell)
    if not _NAME.fullmatch(name):
        hint = "Small letters, digits and _, starting with a letter."
        raise teller.broken(key, f"{name} is no name for a limit", hint)
    texts = {word: entry.value.text for word, entry in node.entries.items() if isinstance(entry.value, Scalar)}
    if texts.get("basis") == "published" and not texts.get("source", "").strip():
        hint = "Write source: and where it is printed."
        raise teller.broken(key, f"limit {name} is published but names no source", hint)
    if texts.get("basis") not in BASES:  # the schema has told
        raise BrokenError(name)
    values = _values(node, teller)
    _check_dimensions(name, key, node, values, teller)
    by = texts.get("by", "")
    _check_table(name, key, node, by, teller)
    table = {word: quantity for word, quantity in values.items() if word}
    source, meaning = texts.get("source", ""), texts.get("meaning", "")
    return Limit(name, values.get(""), texts["basis"], source, Place(file, key.span), meaning, by, table)


def _values(node: Tree, teller: Teller) -> dict[str, Quantity]:
    """Read the values of a limit by word, the one otherwise under an empty word."""
    table = inner(node, "values")
    entries = {word: entry.value for word, entry in table.entries.items()} if table is not None else {}
    if "value" in node.entries:
        entries[""] = node.entries["value"].value
    return dict(zip(entries, all_read(partial(_parsed, value, teller) for value in entries.values()), strict=True))


def _check_dimensions(name: str, key: Scalar, node: Tree, values: dict[str, Quantity], teller: Teller) -> None:
    if not values:
        raise teller.broken(key, f"limit {name} has no value", "Write value:, or by: and values:.")
    first = next(iter(values.values()))
    for word, quantity in values.items():
        if quantity.dimension != first.dimension:
            table = inner(node, "values")
            entry = table.entries.get(word) if table is not None else None
            at = entry.value if entry is not None else node.entries["value"].value
            says = f"limit {name} cannot be both {first.text}, a {first.dimension}, and {quantity.text}"
            raise teller.broken(at, f"{says}, a {quantity.dimension}")


def _check_table(name: str, key: Scalar, node: Tree, by: str, teller: Teller) -> None:
    """Look whether a table is chosen from by a word that the figure can be."""
    if bool(by) != ("values" in node.entries):
        lacks = "values: for the words" if by else "by: the figure whose word chooses"
        raise teller.broken(key, f"limit {name} is a table, but lacks {lacks}")
    if not by:
        return
    if job_dimensions(by) != ("word",):
        words = [figure for figure in given_figures() if job_dimensions(figure) == ("word",)]
        hint = nearest_hint(by, words, "Such as face.material or job.press.")
        raise teller.broken(node.entries["by"].value, f"{by} is no figure that is a word", hint)
    known = words_of(by, (), ())
    table = inner(node, "values")
    for word, entry in table.entries.items() if table is not None and known else ():
        if word not in known:
            hint = nearest_hint(word, known, f"Known: {', '.join(known)}.")
            raise teller.broken(entry.key, f"{by} is never {word}", hint)


def _parsed(node: Node, teller: Teller) -> Quantity:
    if not isinstance(node, Scalar):
        raise BrokenError(node)
    if isinstance(node.value, int) and not isinstance(node.value, bool):
        return Quantity(node.value, node.value, "count", "", node.text)
    read = parse_any(node.text)
    if not isinstance(read, Quantity):
        raise teller.broken(node, read.says, read.hint[:1].upper() + read.hint[1:])
    doubt = why_no_limit(read)
    if doubt:
        raise teller.broken(node, *doubt)
    return read
