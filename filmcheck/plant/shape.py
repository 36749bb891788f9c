"""The shape of a document, compiled from its JSON Schema: which field holds what, in which dimension.

The schemas are the one place that says what a field is. Editors take completion and hover text from them; this
module takes the dimension, the plausible size and the register that a name belongs to.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, Literal

from filmcheck.reading.shipped import shipped_schema
from filmcheck.units.quantity import Quantity, parse_any

ValueSort = Literal["quantity", "word", "date", "truth", "count", "number", "record", "list", "map"]


@dataclass(frozen=True, slots=True)
class Shape:
    """One field: its sort, and what goes with the sort."""

    sort: ValueSort
    meaning: str = ""
    dimensions: tuple[str, ...] = ()
    plausible: tuple[float, float] | None = None
    words: tuple[str, ...] = ()
    register: str = ""
    fields: dict[str, Shape] = field(default_factory=dict)
    """Of a record: its fields by name; never changed after compiling."""
    item: Any = None
    """Of a list or a map: the Shape of each of its entries; None for other sorts."""
    example: str = ""
    most: int | None = None
    """Of a list: the most entries that it may have."""
    beside: str = ""
    """The field with which it is found out, and beside which it is to be written."""


class _ByKind(dict[str, Shape]):
    """The shapes of stations by kind, found under a kind with its mark too: ``uv lamp 1`` is a uv lamp."""

    def get(self, name: str, default: Any = None) -> Any:
        while name:
            if name in self:
                return self[name]
            name = name.rpartition(" ")[0]
        return default


@lru_cache(maxsize=16)
def shape_of(schema_name: str) -> Shape:
    """Compile a shipped schema."""
    schema = shipped_schema(schema_name)
    return _compile(schema, schema)


def _compile(part: dict[str, Any], root: dict[str, Any]) -> Shape:
    if "$ref" in part:
        return _compile(root["$defs"][part["$ref"].removeprefix("#/$defs/")], root)
    meaning = part.get("description", "")
    if "dimension" in part:
        return _quantity(part, meaning)
    sort = part.get("type")
    if sort == "object" and "properties" in part:
        fields = {k: _compile(v, root) for k, v in part["properties"].items()}
        if "patternProperties" in part:  # stations by their kind, or by kind and mark
            return Shape("map", meaning, fields=_ByKind(fields))
        return Shape("record", meaning, fields=fields)
    if sort == "object":
        return Shape("map", meaning, item=_compile(part["additionalProperties"], root))
    if sort == "array" or (isinstance(sort, list) and "array" in sort):
        return Shape("list", meaning, item=_compile(part["items"], root), most=part.get("maxItems"))
    return _scalar(part, meaning)


def _quantity(part: dict[str, Any], meaning: str) -> Shape:
    limits = [parse_any(text) for text in part.get("plausible", ())]
    known = [limit.low for limit in limits if isinstance(limit, Quantity)]
    plausible = (known[0], known[1]) if len(known) == 2 else None
    example = str(part.get("examples", [""])[0])
    return Shape(
        "quantity", meaning, tuple(part["dimension"]), plausible, example=example, beside=part.get("beside", "")
    )


def _scalar(part: dict[str, Any], meaning: str) -> Shape:
    sort: ValueSort = "word"
    if part.get("format") == "date":
        sort = "date"
    elif part.get("type") in ("boolean", "integer", "number"):
        sorts: dict[str, ValueSort] = {"boolean": "truth", "integer": "count", "number": "number"}
        sort = sorts[part["type"]]
    elif part.get("type") == ["number", "string"]:  # a number, or two with "to" between them
        sort = "number"
    low, high = part.get("plausible", (None, None))
    plausible = None if high is None else (float(low), float(high))
    example = str(part.get("examples", [""])[0])
    words = tuple(part.get("enum", ()))
    return Shape(sort, meaning, (), plausible, words, part.get("register", ""), example=example)
