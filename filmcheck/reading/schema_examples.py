"""Examples to copy, made of a schema: what to write where something else stands."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from typing import Any

from filmcheck.reading.nodes import Node
from filmcheck.reading.schema_words import nearest, quoted, type_hint

MOST_KEYS_SHOWN = 3
"""Keys that the example of a group has, where none is owed."""

_TYPES = {"boolean": "true", "integer": "3", "number": "3", "string": "text"}
_DATE = re.compile(r"([0-9]{1,2})([./-])([0-9]{1,2})\2([0-9]{4})", re.ASCII)


def example_of(schema: dict[str, Any]) -> str:
    """Give a value that the schema takes, as YAML in one line; empty where it does not say enough."""
    if schema.get("examples"):
        return _written(schema["examples"][0])
    if "enum" in schema or "const" in schema:
        return _written(schema["enum"][0] if "enum" in schema else schema["const"])
    if "register" in schema:
        return "name in the register"
    if schema.get("format") == "date":
        return "2026-11-25"
    kinds = schema.get("type", "")
    kind = kinds if isinstance(kinds, str) else kinds[0]
    if "pattern" in schema:
        return ""
    if kind == "object":
        return _group(schema)
    if kind == "array":
        item = example_of(schema.get("items", {}))
        return f"[{item}]" if item else ""
    return _TYPES.get(kind, "")


def shows(made: str, schema: dict[str, Any]) -> bool:
    """Whether an example that was made up from a schema shows something; ``text`` stands in for what has none."""
    values = re.findall(r"[^\s{}\[\],]+(?=[,}\]]|$)", made)
    some = made != "" and (made != "{}" or not isinstance(schema.get("type"), list))
    return some and values.count("text") * 2 <= len(values)


def _group(schema: dict[str, Any]) -> str:
    known = {name: part for name, part in schema.get("properties", {}).items() if isinstance(part, dict)}
    shown = [name for name in schema.get("required", ()) if name in known] or list(known)[:MOST_KEYS_SHOWN]
    pairs = [(name, example_of(known[name])) for name in shown]
    inside = ", ".join(f"{name}: {value}" for name, value in pairs if value)
    return f"{{{inside}}}" if inside or not known else ""


def _written(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "{" + ", ".join(f"{name}: {_written(inner)}" for name, inner in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_written, value)) + "]"
    return str(value)


def hint_of_type(node: Node, types: str | Iterable[str], schema: dict[str, Any]) -> str:
    """Give what to write where the type is wrong, with an example; empty where nothing better than that is known."""
    hint = type_hint(node, types)
    if hint.startswith("Write it as a list") and schema.get("items", {}).get("type") != "string":
        return ""
    example = example_of(schema)
    return f"{hint} For example `{example}`." if hint.startswith("Write it without") and example else hint


def date_hint(text: str) -> str:
    """Give the day or days that a date in another form can mean, each as it is to be written.

    With points the day comes first; with slashes or dashes nobody can tell, unless one number is no month.
    """
    found = _DATE.fullmatch(text.strip())
    if found is None:
        return ""
    one, other, year = int(found[1]), int(found[3]), int(found[4])
    pairs = [(one, other)] if found[2] == "." else [(one, other), (other, one)]
    days = dict.fromkeys(day for pair in pairs if (day := _day(year, pair[1], pair[0])))
    return f"Write {' or '.join(days)}." if days else ""


def _day(year: int, month: int, day: int) -> str:
    try:
        return date(year, month, day).isoformat()
    except ValueError:
        return ""


def key_hint(name: str, known: Iterable[str]) -> str:
    """Give the key that was meant for one with a mark behind it, ``uv-lamp 2``: the kind alone would mean all."""
    kind, _, mark = name.rpartition(" ")
    near = nearest(kind, known) if kind else None
    return f"Did you mean {quoted(f'{near} {mark}')}?" if near and mark.isdigit() else ""
