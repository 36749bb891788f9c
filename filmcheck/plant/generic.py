"""Generic materials: what a stock takes over where it says ``like``, as ranges that findings name."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from filmcheck.plant.nearest import known_names
from filmcheck.plant.record import Datum, Field, Record, laid_over
from filmcheck.plant.shape import shape_of
from filmcheck.plant.typed import Typed
from filmcheck.reading.nodes import Fault
from filmcheck.reading.shipped import shipped_folder
from filmcheck.reading.text_file import read_text
from filmcheck.reading.yaml_tree import read_tree
from filmcheck.records.place import SHIPPED

GENERIC_FILE = f"{SHIPPED}materials/generic.yaml"
"""The name by which findings show the file, wherever filmcheck is installed."""

STOCKS, LIKE = "stocks", "like"
PARTS = ("face", "adhesive", "liner", "stack")


@lru_cache(maxsize=1)
def generic_materials() -> Mapping[str, Field]:
    """Give the generic materials by name, each in the shape of a stock."""
    text = read_text(shipped_folder("rules") / "materials" / "generic.yaml")
    tree, _ = read_tree(text) if isinstance(text, str) else (None, ())
    return Typed(GENERIC_FILE).record(tree, shape_of(STOCKS)).fields if tree is not None else {}


def with_generic(register: str, entries: Record) -> tuple[Record, list[Fault]]:
    """Fill in what stocks take over from generic materials; what a stock writes itself counts first.

    The entries of any other register stay as they are.
    """
    if register != STOCKS:
        return entries, []
    faults: list[Fault] = []
    fields = {name: _filled(stock, faults) for name, stock in entries.fields.items()}
    return entries.with_fields(fields), faults


def _filled(stock: Field, faults: list[Fault]) -> Field:
    if not isinstance(stock, Record):
        return stock
    return stock.with_fields({name: _part(name, part, faults) for name, part in stock.fields.items()})


def _part(name: str, part: Field, faults: list[Fault]) -> Field:
    named = part.fields.get(LIKE) if isinstance(part, Record) and name in PARTS else None
    if not isinstance(part, Record) or not isinstance(named, Datum):
        return part
    known = {
        material: generic
        for material, entry in generic_materials().items()
        if isinstance(entry, Record) and isinstance(generic := entry.fields.get(name), Record)
    }
    own = part.with_fields({key: field for key, field in part.fields.items() if key != LIKE})
    if named.text in known:
        return laid_over(known[named.text], own)
    says = f"{named.text[:60]} is no generic material for the {name}."
    faults.append(Fault("name-unknown", named.place.span, says, known_names(named.text, known, "material")))
    return own
