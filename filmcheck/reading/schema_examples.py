"""What to write where something else stands: examples made of a schema, dates and numbers as they are to be written."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable
from datetime import date
from typing import Any

from filmcheck.reading.nodes import Entry, Fault, Node, Scalar
from filmcheck.reading.schema_words import YES_NO, nearest, quoted, type_hint
from filmcheck.records.place import Span
from filmcheck.units.faults import comma_ways

MOST_KEYS_SHOWN = 3
"""Keys that the example of a group has, where none is owed."""

_TYPES = {"boolean": "true", "integer": "3", "number": "3", "string": "text"}
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_DATE = re.compile(
    r"(?P<one>[0-9]{1,2})(?P<mark>[./-])(?P<other>[0-9]{1,2})(?P=mark)(?P<year>[0-9]{4})"
    r"|(?P<first>[0-9]{4})(?P<sep>[./-])(?P<m>[0-9]{1,2})(?P=sep)(?P<last>[0-9]{1,2})"
    rf"|(?:(?P<d>[0-9]{{1,2}})\.? )?(?P<word>(?i:{'|'.join(_MONTHS)})[a-z]*)\.? "
    r"(?(d)|(?P<d2>[0-9]{1,2}),? )(?P<y>[0-9]{4})",
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
        return [(int(found["y"]), month, int(found["d"] or found["d2"]))]
    if found["first"]:
        return [(int(found["first"]), int(found["m"]), int(found["last"]))]
    year, one, other = int(found["year"]), int(found["one"]), int(found["other"])
    day_first = (year, other, one)
    return [day_first] if found["mark"] == "." else [day_first, (year, one, other)]


def _hour(found: re.Match[str]) -> str:
    half = (found["half"] or "").lower()
    hour = int(found["hour"])
    return f"{hour % 12 + 12 * (half == 'pm') if half else hour:02}"


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


def with_colon(text: str, keys: Container[str]) -> str:
    """Give the line with its colon, where it begins with the words of a known key; empty where it does not."""
    words = text.split(" ")
    for number in range(min(len(words) - 1, 4), 0, -1):
        key, value = "_".join(words[:number]), " ".join(words[number:])
        if key in keys and not re.search("[:{}#]", value):
            return f"Write `{key}: {YES_NO.get(value.lower(), value)}`."
    return ""


def comma_in_braces(before: Entry, entry: Entry, known: Container[str]) -> Fault | None:
    """Tell of a comma within braces, where it ends the entry: ``{tension: 0,8 lbf/in}``, ``{reason: late, again}``."""
    whole, tail = before.value, entry.key.text
    if not (isinstance(whole, Scalar) and isinstance(entry.value, Scalar) and entry.value.value is None):
        return None
    start, end = whole.span, entry.key.span
    span = Span(start[0], start[1], end[2], end[3])
    written = f"{whole.text},{tail}"
    if not (re.fullmatch(r"[-+]?[0-9]+", whole.text) and re.match(r"[0-9]+(?![0-9.])", tail)):
        if start[2] == end[0] and (hint := with_colon(tail, known)):
            return Fault("value-wrong", entry.key.span, f"{quoted(tail)} has no colon after its key.", hint)
        if start[2] != end[0] or " " not in tail or not isinstance(whole.value, str):
            return None
        says = f"`{tail}` stands behind a comma, which in braces ends the entry."
        quoted_text = f"{whole.text}, {tail}".replace("'", "''")
        return Fault(
            "value-wrong", span, says, f"If it belongs to the text, write `{before.key.text}: '{quoted_text}'`."
        )
    ways = comma_ways(written).removeprefix("did you mean ").removesuffix("?")
    comma, which = ("comma", ", whichever is meant") if " or " in ways else ("decimal comma", "")
    says = f"`{written}` has a {comma}; in braces a comma ends the entry."
    return Fault("value-wrong", span, says, f"Write {ways}{which}.")
