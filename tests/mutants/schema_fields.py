"""Every field of a schema that holds a value: its name, what the schema says of it, and a text that has it alone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from filmcheck.reading.shipped import shipped_schema

Wrap = Callable[[Any], Any]
"""Gives a document in which the field alone stands, with a value."""
Leaf = tuple[str, Any, Wrap]


def schema_fields(schema: str) -> Iterator[Leaf]:
    """Give the fields as schema.field.field; items stand under their list, and names of entries are left out."""
    root = shipped_schema(schema)
    yield from _leaves(root, root, schema, lambda value: value)


def _leaves(part: Any, root: Any, path: str, wrap: Wrap) -> Iterator[Leaf]:
    if "$ref" in part:
        file, _, pointer = part["$ref"].partition("#/")
        root = shipped_schema(file.removesuffix(".schema.json")) if file else root
        part = root
        for step in pointer.split("/"):
            part = part[step]
    inner, entry = part.get("items"), part.get("additionalProperties")
    if "properties" in part:
        for name, field in part["properties"].items():
            if isinstance(field, dict):
                yield from _leaves(field, root, f"{path}.{name}", lambda value, name=name: wrap({name: value}))
    elif isinstance(inner, dict) and ("properties" in inner or "$ref" in inner):
        yield from _leaves(inner, root, path, lambda value: wrap([value]))
    elif isinstance(entry, dict):
        yield from _leaves(entry, root, path, lambda value: wrap({"entry": value}))
    else:
        yield path, part, wrap
