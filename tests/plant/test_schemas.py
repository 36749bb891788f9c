"""The schemas themselves: every field says what it means, and what they say of sizes can be read."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from filmcheck.reading.shipped import shipped_schema
from filmcheck.units.quantity import DIMENSIONS, Quantity, parse_any
from filmcheck.units.table import Exponents

SCHEMAS = ("job-sheet", "plant", "presses", "stocks", "tooling", "finishing", "customers", "set_ups", "mapping")
SCHEMAS += ("permits", "rule-pack")


def fields(part: Any, where: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Give every property of a schema with the way to it."""
    if isinstance(part, list):
        for item in part:
            yield from fields(item, where)
    if not isinstance(part, dict):
        return
    for key, inner in part.items():
        if key in ("properties", "patternProperties", "$defs"):
            for name, field in inner.items():
                if key == "properties" and isinstance(field, dict):
                    yield f"{where}.{name}", field
                yield from fields(field, f"{where}.{name}")
        elif key not in ("examples", "enum", "const", "plausible"):
            yield from fields(inner, where)


FIELDS = [(where, field, name) for name in SCHEMAS for where, field in fields(shipped_schema(name), name)]
QUANTITIES = [(where, field) for where, field, _ in FIELDS if "dimension" in field]


def test_every_field_says_what_it_means() -> None:
    silent = []
    for where, field, name in FIELDS:
        target = shipped_schema(name)["$defs"][field["$ref"].rpartition("/")[2]] if "$ref" in field else {}
        if not (field.get("description") or target.get("description")):
            silent.append(where)
    assert silent == [], "give them a description: it is the hover text in editors and the meaning of the figure"


def exponents(text: Any) -> tuple[Quantity, Exponents]:
    """Read a size; give its powers of the base units too, for 5 K may be a difference as well."""
    size = parse_any(str(text))
    assert isinstance(size, Quantity), f"{text}: {size}"
    return size, DIMENSIONS[size.dimension].exponents


@pytest.mark.sample(9)
@pytest.mark.parametrize(("where", "field"), QUANTITIES, ids=[where for where, _ in QUANTITIES])
def test_dimension_size_and_example_of_a_quantity_can_be_read(where: str, field: dict[str, Any]) -> None:
    assert set(field["dimension"]) <= DIMENSIONS.keys(), "units/table.py has the dimensions"
    first, *others = (DIMENSIONS[name].exponents for name in field["dimension"])
    sizes = [exponents(text) for text in field.get("plausible", ())]
    assert [powers for _, powers in sizes] in ([], [first, first]), "plausible is the least and the greatest size"
    least, most = [size.low for size, _ in sizes] or (float("-inf"), float("inf"))
    assert least < most, "plausible is the least and the greatest size"
    for text in field.get("examples", ()):
        example, powers = exponents(text)
        assert powers in (first, *others), text
        assert powers != first or least <= example.low <= example.high <= most, text
