"""Corrections of form: the spelling of a key, of a unit, of a name, where only one is near."""

from __future__ import annotations

import re
from collections.abc import Container, Iterator
from difflib import get_close_matches

from filmcheck.plant.entries import NAMED
from filmcheck.plant.plant import Plant, Sheet
from filmcheck.plant.record import Datum, find
from filmcheck.plant.shape import Shape, shape_of
from filmcheck.reading.nodes import Fault, Mapping, Node, Scalar, Sequence
from filmcheck.records.finding import Edit
from filmcheck.records.place import Place, Span
from filmcheck.units.quantity import DIMENSIONS, Quantity, parse_quantity
from filmcheck.windows.spans import SpanError, quoted_alike, written

NEAR = 0.75
"""How like two words must be, by difflib's ratio, for one to be taken for a slip of the pen."""

GUARDING = ("preparation", "deviations", "signed")
"""Parts of a sheet that guard people or that somebody answers for: nobody but they may write there."""

_UNIT = re.compile(r"(.*?[0-9.]\s*)([^0-9.\s][^0-9]*)$", re.DOTALL)


def form_edits(sheet: Sheet, plant: Plant) -> Iterator[tuple[Edit, str]]:
    """Give the edits of form that a sheet's faults of reading ask for, each with what it does in words."""
    if sheet.tree is None:
        return
    yield from _name_edits(sheet, plant)  # first, for most rests on a name, and on the set-up before all
    faults = {fault.span: fault for fault in sheet.faults}
    whole = shape_of("job-sheet")
    for node, shape, key, taken in _walk(sheet.tree, whole, None, ()):
        yield from _key_edit(sheet, key, shape, taken, faults)
        yield from _unit_edit(sheet, node, shape, faults)


FieldWalk = tuple[Node, Shape, Scalar | None, Container[str]]


def _walk(node: Node, shape: Shape, key: Scalar | None, taken: Container[str]) -> Iterator[FieldWalk]:
    """Go over a tree beside its shape. What has no shape is given with that of the record it stands in."""
    yield node, shape, key, taken
    if isinstance(node, Mapping) and shape.sort in ("record", "map"):
        for name, (own, value) in node.entries.items():
            if name in GUARDING:
                continue
            inner = shape.item or shape.fields.get(name)
            if inner is None:
                yield value, shape, own, node.entries
            else:
                yield from _walk(value, inner, own, node.entries)
    elif isinstance(node, Sequence) and shape.item is not None:
        for item in node.items:
            yield from _walk(item, shape.item, None, ())


def _key_edit(
    sheet: Sheet, key: Scalar | None, shape: Shape, taken: Container[str], faults: dict[Span, Fault]
) -> Iterator[tuple[Edit, str]]:
    fault = faults.get(key.span) if key is not None else None
    if key is None or fault is None or fault.id != "key-unknown" or shape.sort != "record":
        return
    near = only_near(key.text, [name for name in shape.fields if name not in taken])
    if near:
        yield from _edit(sheet, key.span, near, f"spell the key {near}")


def _unit_edit(sheet: Sheet, node: Node, shape: Shape, faults: dict[Span, Fault]) -> Iterator[tuple[Edit, str]]:
    if not isinstance(node, Scalar) or shape.sort != "quantity":
        return
    fault = faults.get(node.span)
    found = _UNIT.fullmatch(node.text)
    if fault is None or fault.id != "unit-unknown" or found is None:
        return
    units = dict.fromkeys(unit for name in shape.dimensions for unit in DIMENSIONS[name].units)
    near = only_near(found[2].strip(), list(units))
    meant = parse_quantity(found[1] + near, shape.dimensions) if near else None
    if isinstance(meant, Quantity):
        yield from _edit(sheet, node.span, found[1] + near, f"spell the unit {near}")


def _name_edits(sheet: Sheet, plant: Plant) -> Iterator[tuple[Edit, str]]:
    for what, (path, register, section) in sorted(NAMED.items(), key=lambda named: named[0] != "set-up"):
        named, entries = find(sheet.record, path), plant.entries(register, section)
        if isinstance(named, Datum) and named.file == sheet.file and str(named.content) not in entries:
            near = only_near(str(named.content), list(entries))
            if near:
                yield from _edit(sheet, named.place.span, near, f"spell the {what} {near}")


def _edit(sheet: Sheet, span: Span, new: str, says: str) -> Iterator[tuple[Edit, str]]:
    try:
        text = quoted_alike(written(sheet.text, span), new)
    except SpanError:
        return
    yield Edit(Place(sheet.file, span), text), says


def only_near(word: str, known: list[str]) -> str:
    """Give the one known word that is near, empty where none is or two are. Capitals alone are the nearest."""
    twins = [name for name in known if name.casefold() == word.casefold()]
    if twins:
        return twins[0] if len(twins) == 1 else ""
    by_folded = {name.casefold(): name for name in known}
    near = get_close_matches(word.casefold(), by_folded, n=2, cutoff=NEAR)
    return by_folded[near[0]] if len(near) == 1 else ""
