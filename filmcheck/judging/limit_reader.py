"""Reads the limits of a pack, and the values that a plant sets in their stead."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from filmcheck.figures.dimensions import job_dimensions
from filmcheck.judging.limit import BASES, Limit
from filmcheck.plant.nearest import nearest
from filmcheck.plant.record import Datum, Record, find
from filmcheck.position import Place
from filmcheck.reading.nodes import Fault, Node, Scalar
from filmcheck.reading.nodes import Mapping as Tree
from filmcheck.units import Quantity, parse_any, parse_quantity

Tell = Callable[[Fault], None]


def read_limit(name: str, key: Scalar, node: Node, file: str, tell: Tell) -> Limit | None:
    """Read one limit; None with a fault told where it is broken."""
    if not isinstance(node, Tree):
        return None
    texts = {word: entry.value.text for word, entry in node.entries.items() if isinstance(entry.value, Scalar)}
    basis = texts.get("basis", "")
    if basis not in BASES:
        if "basis" not in node.entries:
            tell(Fault("pack-broken", key.span, f"limit {name} has no basis", f"Write one: {', '.join(BASES)}."))
        return None
    if basis == "published" and not texts.get("source"):
        tell(Fault("pack-broken", key.span, f"limit {name} is published but names no source"))
        return None
    value = _amount(node, "value", tell)
    table = _table(node, tell)
    by = texts.get("by", "")
    if by and job_dimensions(by) != ("word",):
        tell(Fault("pack-broken", node.entries["by"].value.span, f"{by} is no figure that is a word"))
        return None
    known = [quantity for quantity in (value, *table.values()) if quantity is not None]
    if not known or len({quantity.dimension for quantity in known}) > 1 or bool(by) != bool(table):
        tell(Fault("pack-broken", key.span, f"limit {name} needs a value, or by and values of one dimension"))
        return None
    return Limit(
        name, value, basis, texts.get("source", ""), Place(file, key.span), texts.get("meaning", ""), by, table
    )


def _amount(node: Tree, name: str, tell: Tell) -> Quantity | None:
    entry = node.entries.get(name)
    return _parsed(entry.value, tell) if entry is not None else None


def _parsed(node: Node, tell: Tell) -> Quantity | None:
    if not isinstance(node, Scalar):
        return None
    if isinstance(node.value, int) and not isinstance(node.value, bool):
        return Quantity(node.value, node.value, "count", "", node.text)
    read = parse_any(node.text)
    if isinstance(read, Quantity):
        return read
    tell(Fault("pack-broken", node.span, read.says, read.hint))
    return None


def _table(node: Tree, tell: Tell) -> dict[str, Quantity]:
    entry = node.entries.get("values")
    if entry is None or not isinstance(entry.value, Tree):
        return {}
    read = {word: _parsed(inner.value, tell) for word, inner in entry.value.entries.items()}
    return {word: quantity for word, quantity in read.items() if quantity is not None}


def changed_limits(
    limits: Mapping[str, Limit], settings: Record, tell: Callable[[str, Fault], None]
) -> dict[str, Limit]:
    """Give the limits as a plant sets them; a change that cannot be used is told and not taken."""
    changed = dict(limits)
    wanted = find(settings, ("limits",))
    for name, entry in wanted.fields.items() if isinstance(wanted, Record) else ():
        if not isinstance(entry, Record):
            continue
        file, span = entry.key_place
        if name not in limits:
            near = nearest(name, limits)
            hint = f"Nearest: {near}." if near else ""
            tell(file, Fault("settings-wrong", span, f"{name} is no known limit", hint))
            continue
        limit = _changed(limits[name], entry, lambda fault, file=file: tell(file, fault))  # type: ignore[misc]
        changed[name] = limit or limits[name]
    return changed


def _changed(limit: Limit, entry: Record, tell: Tell) -> Limit | None:
    value, basis = entry.fields.get("value"), entry.fields.get("basis")
    if not isinstance(value, Datum) or not isinstance(basis, Datum):
        return None
    if limit.dimension == "count" and value.text.isdigit():
        read: object = Quantity(int(value.text), int(value.text), "count", "", value.text)
    else:
        read = parse_quantity(value.text, (limit.dimension,))
    if isinstance(read, Quantity):
        return replace(limit, value=read, basis="house", source=str(basis.content), place=value.place, by="", table={})
    tell(Fault("settings-wrong", value.place.span, getattr(read, "says", ""), getattr(read, "hint", "")))
    return None
