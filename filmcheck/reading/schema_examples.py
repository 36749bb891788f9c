"""What to write where something else stands: examples made of a schema, dates and numbers as they are to be written."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from typing import Any

from filmcheck.reading.nodes import Node
from filmcheck.reading.schema_words import type_hint

MOST_KEYS_SHOWN = 3
"""Keys that the example of a group has, where none is owed."""

_TYPES = {"boolean": "true", "integer": "3", "number": "3", "string": "text"}
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_DATE = re.compile(
    r"(?P<one>[0-9]{1,2})(?P<mark>[./-])(?P<other>[0-9]{1,2})(?P=mark)(?P<year>[0-9]{4}|(?<=[./])[0-9]{2})(?![0-9])"
    r"|(?P<first>[0-9]{4})(?P<sep>[./-])(?P<m>[0-9]{1,2})(?P=sep)(?P<last>[0-9]{1,2})"
    rf"|(?:(?P<d>[0-9]{{1,2}})(?:\.? |-))?(?P<word>(?i:{'|'.join(_MONTHS)})[a-z]*)(?:\.? |-)"
    r"(?(d)|(?P<d2>[0-9]{1,2}),? )(?P<y>[0-9]{4}|[0-9]{2}(?![0-9]))",
    re.ASCII,
)
_TIME = re.compile(
    r"(?:,?[ T]+(?P<hour>[01]?[0-9]|2[0-3])(?:[:.](?P<minute>[0-5][0-9])(?::[0-9]{2})?)?"
    r" ?(?P<half>(?i:[ap]m))?(?: ?h)?)?",
    re.ASCII,
)


def example_of(schema: dict[str, Any]) -> str:
    """Give a value that the schema takes, as YAML in one line; empty where it does not say enough."""
    if schema.get("examples"):
        return _written(schema["examples"][0])
    if "enum" in schema:
        return _written(schema["enum"][0])
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
    some = made not in ("", "{}") or (made == "{}" and schema.get("additionalProperties") is False)
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


def date_hint(text: str, *, with_time: bool = False) -> str:
    """Give the day or days that a date in another form can mean, each as it is to be written.

    With points the day comes first; with slashes or dashes nobody can tell, unless one number is no month.
    """
    found = _DATE.match(text.strip())
    rest = _TIME.fullmatch(text.strip()[found.end() :]) if found else None
    if found is None or rest is None or (with_time and not rest["hour"]):
        return ""
    days = dict.fromkeys(day for year, month, number in _readings(found) if (day := _day(year, month, number)))
    time = f" {_hour(rest)}:{rest['minute'] or '00'}" if with_time else ""
    return f"Write {' or '.join(day + time for day in days)}." if days else ""


def _readings(found: re.Match[str]) -> list[tuple[int, int, int]]:
    """Give year, month and day in each order that they can stand in."""
    if found["word"]:
        month = _MONTHS.index(found["word"][:3].lower()) + 1
        return [(_year(found["y"]), month, int(found["d"] or found["d2"]))]
    if found["first"]:
        return [(int(found["first"]), int(found["m"]), int(found["last"]))]
    year, one, other = _year(found["year"]), int(found["one"]), int(found["other"])
    day_first = (year, other, one)
    return [day_first] if found["mark"] == "." else [day_first, (year, one, other)]


def _year(text: str) -> int:
    return int(text) + 2000 * (len(text) == 2)


def _hour(found: re.Match[str]) -> str:
    half = (found["half"] or "").lower()
    hour = int(found["hour"])
    return f"{hour % 12 + 12 * (half == 'pm') if half else hour:02}"


def _day(year: int, month: int, day: int) -> str:
    try:
        return date(year, month, day).isoformat()
    except ValueError:
        return ""
