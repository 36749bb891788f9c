"""The units in which a plant wants its figures shown."""

from __future__ import annotations

from filmcheck.plant.record import Datum, Record, group_at
from filmcheck.units.quantity import DIMENSIONS, Quantity, parse_quantity


def preferred_units(settings: Record) -> dict[str, str]:
    """Give the plant's unit by dimension, as its settings name them; unknown or unfit ones are left out."""
    fields = group_at(settings, "units").items()
    named = {name: datum.text for name, datum in fields if isinstance(datum, Datum)}
    return {name: unit for name, unit in named.items() if is_unit(name, unit)}


def is_unit(dimension: str, unit: str) -> bool:
    """Whether a text is a unit of a dimension that has this name."""
    return dimension in DIMENSIONS and isinstance(parse_quantity(f"1 {unit}", (dimension,)), Quantity)
