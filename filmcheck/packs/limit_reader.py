"""Reads the limits of a pack, and the values that a plant sets in their stead."""

from __future__ import annotations

import re

from filmcheck.figures.dimensions import job_dimensions
from filmcheck.figures.given import given_figures
from filmcheck.judging.limit import BASES, Limit
from filmcheck.packs.changed_limits import TellFault, why_no_limit
from filmcheck.packs.names import words_of
from filmcheck.plant.nearest import nearest_hint
from filmcheck.reading.nodes import Fault, Node, Scalar
from filmcheck.reading.nodes import Mapping as Tree
from filmcheck.records.place import Place
from filmcheck.units.quantity import Quantity, parse_any

_NAME = re.compile(r"[a-z][a-z0-9_]*")


def read_limit(name: str, key: Scalar, node: Node, file: str, tell: TellFault) -> Limit | None:
    """Read one limit; None with a fault told where it is broken."""
    if not isinstance(node, Tree):
        return None
    if not _NAME.fullmatch(name):
        _fault(key, f"{name} is no name for a limit", "Small letters, digits and _, starting with a letter.", tell)
        return None
    texts = {word: entry.value.text for word, entry in node.entries.items() if isinstance(entry.value, Scalar)}
    if not _rests(name, key, node, texts, tell):
        return None
    values = _values(node, tell)
    if values is None or not _of_one_dimension(name, key, node, values, tell):
        return None
    by = texts.get("by", "")
    if not _chosen_by(name, key, node, by, tell):
        return None
    table = {word: quantity for word, quantity in values.items() if word}
    source, meaning = texts.get("source", ""), texts.get("meaning", "")
    return Limit(name, values.get(""), texts["basis"], source, Place(file, key.span), meaning, by, table)


def _fault(node: Node, says: str, hint: str, tell: TellFault) -> None:
    tell(Fault("pack-broken", node.span, says, hint))


def _rests(name: str, key: Scalar, node: Tree, texts: dict[str, str], tell: TellFault) -> bool:
    """Look whether a limit says what it rests on. An unknown basis the schema has told already."""
    if "basis" not in node.entries:
        return False
    if texts.get("basis") == "published" and not texts.get("source", "").strip():
        _fault(key, f"limit {name} is published but names no source", "Write source: and where it is printed.", tell)
        return False
    return texts.get("basis") in BASES


def _values(node: Tree, tell: TellFault) -> dict[str, Quantity] | None:
    """Read the values of a limit by word, the one otherwise under an empty word; None where one is broken."""
    table = node.entries.get("values")
    entries = dict(table.value.entries) if table is not None and isinstance(table.value, Tree) else {}
    read = {word: _parsed(entry.value, tell) for word, entry in entries.items()}
    if "value" in node.entries:
        read[""] = _parsed(node.entries["value"].value, tell)
    known = {word: quantity for word, quantity in read.items() if quantity is not None}
    return known if len(known) == len(read) else None


def _of_one_dimension(name: str, key: Scalar, node: Tree, values: dict[str, Quantity], tell: TellFault) -> bool:
    if not values:
        _fault(key, f"limit {name} has no value", "Write value:, or by: and values:.", tell)
        return False
    first = next(iter(values.values()))
    for word, quantity in values.items():
        if quantity.dimension != first.dimension:
            table = node.entries["values"].value
            entry = table.entries.get(word) if isinstance(table, Tree) else None
            at = entry.value if entry is not None else node.entries["value"].value
            says = f"limit {name} cannot be both {first.text}, a {first.dimension}, and {quantity.text}"
            _fault(at, f"{says}, a {quantity.dimension}", "", tell)
            return False
    return True


def _chosen_by(name: str, key: Scalar, node: Tree, by: str, tell: TellFault) -> bool:
    """Look whether a table is chosen from by a word that the figure can be."""
    table = node.entries.get("values")
    if not by or table is None:
        if by or table is not None:
            lacks = "values: for the words" if by else "by: the figure whose word chooses"
            _fault(key, f"limit {name} is a table, but lacks {lacks}", "", tell)
        return not by and table is None
    if job_dimensions(by) != ("word",):
        words = [figure for figure in given_figures() if job_dimensions(figure) == ("word",)]
        hint = nearest_hint(by, words, "Such as face.material or job.press.")
        _fault(node.entries["by"].value, f"{by} is no figure that is a word", hint, tell)
        return False
    known = words_of(by, (), ())
    for word, entry in table.value.entries.items() if isinstance(table.value, Tree) and known else ():
        if word not in known:
            hint = nearest_hint(word, known, f"Known: {', '.join(known)}.")
            _fault(entry.key, f"{by} is never {word}", hint, tell)
            return False
    return True


def _parsed(node: Node, tell: TellFault) -> Quantity | None:
    if not isinstance(node, Scalar):
        return None
    if isinstance(node.value, int) and not isinstance(node.value, bool):
        return Quantity(node.value, node.value, "count", "", node.text)
    read = parse_any(node.text)
    if isinstance(read, Quantity):
        doubt = why_no_limit(read)
        if not doubt:
            return read
        _fault(node, *doubt, tell)
        return None
    _fault(node, read.says, read.hint[:1].upper() + read.hint[1:], tell)
    return None
