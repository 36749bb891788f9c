"""The dictionary of the rule language: every figure, kind of thing, place, test, function and key, searched by meaning.

What is listed comes from the same tables that read a pack, so a word that is listed can be written. The schema of rule
packs has them all written out too, so that an editor completes them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from difflib import get_close_matches
from typing import Any

from filmcheck.figures.catalogue import CATALOGUE, job_dimensions
from filmcheck.figures.given import ROOTS, given_figures
from filmcheck.figures.plain_names import plain_name
from filmcheck.figures.scopes import CLASSES, all_words, kinds_in, owners_of, parsed, scoped_name, station_shapes
from filmcheck.judging.rule import Rule
from filmcheck.packs.language_words import (
    CONDITION_WORDS,
    FUNCTION_WORDS,
    KIND_MEANINGS,
    NEAR_WORDS,
    PLACE_WORDS,
    TEST_WORDS,
)
from filmcheck.packs.place_reader import WHICH
from filmcheck.reading.shipped import shipped_schema
from filmcheck.records.rule_entry import SORTS, WordEntry

_LONG_WAYS = tuple(
    f"{whole}.{'.'.join(path)}."
    for document, path in ROOTS.values()
    for whole, (same, top) in ROOTS.items()
    if path and same == document and not top
)
"""Beginnings of names that have a shorter one: job.web.width is web.width."""

CONDITION = {"$ref": "#/$defs/condition"}


def dictionary(rules: Iterable[Rule] = ()) -> tuple[WordEntry, ...]:
    """Give every word of the language, with the rules of those given that use it."""
    users = _users(rules)
    found = [*_figures(users), *_kinds(), *_fixed(), *_keys(shipped_schema("rule-pack"))]
    return tuple(sorted(found, key=lambda entry: SORTS.index(entry.sort)))


def look_up(text: str, entries: Iterable[WordEntry]) -> tuple[WordEntry, ...]:
    """Find the words that a text means: by name, by what people call it, by meaning; else those spelled like it."""
    listed = tuple(entries)
    wanted = text.casefold().replace("_", " ").strip()
    meant = NEAR_WORDS.get(wanted, wanted).replace("_", " ")
    ranked = [(rank, entry) for entry in listed if (rank := _rank(entry, wanted, meant)) is not None]
    if not ranked:
        names = {_spaced(entry.name): entry for entry in listed}
        near = get_close_matches(wanted, names, n=5, cutoff=0.6)
        return tuple(names[name] for name in near)
    return tuple(entry for _, entry in sorted(ranked, key=lambda pair: pair[0]))


def _rank(entry: WordEntry, wanted: str, meant: str) -> int | None:
    name, said = _spaced(entry.name), f"{entry.meaning} {' '.join(entry.words)}".casefold()
    if name in (wanted, meant):
        return 0
    if _has(name, wanted) or _has(name, meant):
        return 1
    return 2 if _has(said, wanted) else None


def _has(text: str, wanted: str) -> bool:
    """Whether some words of a text begin with what is wanted."""
    return re.search(rf"\b{re.escape(wanted)}", text) is not None


def _spaced(name: str) -> str:
    return name.casefold().replace("_", " ").replace(".", " ")


def _users(rules: Iterable[Rule]) -> dict[str, dict[str, None]]:
    users: dict[str, dict[str, None]] = {}
    for rule in rules:
        for condition in rule.conditions:
            for name, kind in condition.asked(rule.for_each):
                parts = parsed(name)
                owners = kinds_in(kind) if parts.is_of_thing else ()
                for one in [scoped_name(owner, parts.field) for owner in owners] or [name]:
                    users.setdefault(one, {}).setdefault(rule.id)
    return users


def _figures(users: dict[str, dict[str, None]]) -> Iterator[WordEntry]:
    groups = {name.replace(" ", "_") for name in (*CLASSES, "station")}
    given = given_figures()
    for name, one in given.items():
        head = parsed(name).head
        if head not in groups and not name.startswith(_LONG_WAYS) and (job_dimensions(name) or owners_of(head)):
            yield _figure(name, one.dimensions, one.meaning, one.example, one.words, users)
    for name, figure in CATALOGUE.items():
        if name not in given:
            yield _figure(name, (figure.dimension,), figure.meaning, "", (), users)


def _figure(
    name: str,
    dimensions: tuple[str, ...],
    meaning: str,
    example: str,
    words: tuple[str, ...],
    users: dict[str, dict[str, None]],
) -> WordEntry:
    head, field, _ = parsed(name)
    asked = name if job_dimensions(name) or not owners_of(head) else f"its.{field}"
    value = words[0] if words else example or {"date": "2026-03-01", "truth": "true"}.get(dimensions[0], "")
    plain = value and len(dimensions) == 1 and " to " not in value
    told = f"{{{asked}: {value if plain else 'given'}}}"
    said = meaning or plain_name(name)
    return WordEntry(name, "figure", dimensions, said, told, words, tuple(users.get(name, ())))


def _kinds() -> Iterator[WordEntry]:
    for kind in all_words():
        several = kinds_in(kind)
        shape = station_shapes().get(kind)
        meaning = shape.meaning if shape else KIND_MEANINGS.get(kind, "")
        if len(several) > 1:
            meaning = f"Any of: {', '.join(several[:8])}{', and so on' if len(several) > 8 else ''}."
        yield WordEntry(kind, "kind", (), meaning, f"{{some: {kind}}}")


def _fixed() -> Iterator[WordEntry]:
    tables = {"test": TEST_WORDS, "condition": CONDITION_WORDS, "place": PLACE_WORDS, "function": FUNCTION_WORDS}
    for sort, table in tables.items():
        for name, (meaning, example) in table.items():
            yield WordEntry(name, sort, (), meaning, example)


def _keys(schema: dict[str, Any], within: str = "") -> Iterator[WordEntry]:
    for name, part in schema.get("properties", {}).items():
        words = tuple(part.get("enum", ()))
        yield WordEntry(f"{within}{name}", "key", (), part.get("description", ""), "", words)
        inner = part.get("items", part.get("additionalProperties", {}))
        if isinstance(inner, dict):
            yield from _keys(inner, f"{within}{name}.")
        yield from _keys({"properties": part.get("properties", {})}, f"{within}{name}.")


def editor_schema(entries: Iterable[WordEntry]) -> dict[str, Any]:
    """Give the shipped schema, its conditions spelled out. Arithmetic may stand where a figure does, so no key is
    refused here; loading the pack refuses those that are not known.
    """
    schema = {**shipped_schema("rule-pack"), "$id": "rule-pack.editor.schema.json"}
    rule = schema["properties"]["rules"]["items"]
    properties = {
        **rule["properties"],
        "for_each": {**rule["properties"]["for_each"], **_kind()},
        **{
            key: {"description": rule["properties"][key]["description"], **CONDITION}
            for key in ("applies", "requires", "warning_where")
        },
    }
    beside = rule["properties"]["no_other_job"]
    where = {"description": beside["properties"]["where"]["description"], **CONDITION}
    properties["no_other_job"] = {**beside, "properties": {**beside["properties"], "where": where}}
    rules = {**schema["properties"]["rules"], "items": {**rule, "properties": properties}}
    schema["properties"] = {**schema["properties"], "rules": rules}
    test = _test()
    # Where a figure can only be one of some words, true and false are not offered.
    chosen = {**test, "anyOf": [part for part in test["anyOf"] if part["type"] != "boolean"]}
    schema["$defs"] = {"condition": _condition(entries), "test": test, "word": chosen}
    return schema


def _kind() -> dict[str, Any]:
    return {
        "type": "string",
        "enum": list(all_words()) + [word.replace(" ", "_") for word in all_words() if " " in word],
    }


def _condition(entries: Iterable[WordEntry]) -> dict[str, Any]:
    listed = {"type": "array", "items": CONDITION}
    words: dict[str, Any] = {
        name: {"description": said} for name, (said, _) in {**CONDITION_WORDS, **PLACE_WORDS}.items()
    }
    for name in ("every", "some", "no", "count"):
        words[name] = {**words[name], **_kind()}
    places = [f"{which} {kind}" for which in WHICH for kind in station_shapes()]
    for name in ("before", "after", "next_to"):
        words[name] = {**words[name], "anyOf": [{"enum": ["this", *places]}, {"type": "string"}]}
    for name in ("all", "either"):
        words[name] = {**words[name], **listed}
    for name in ("when", "then", "where", "has", "not"):
        words[name] = {"description": words.get(name, {}).get("description", "The opposite."), **CONDITION}
    groups = {name.replace(" ", "_") for name in (*CLASSES, "station")}
    for entry in entries:
        if entry.sort == "figure":
            text = f"{entry.meaning} ({', '.join(entry.dimensions)})"
            words[entry.name] = {"description": text, **_of_words(entry)}
            head, field, _ = parsed(entry.name)
            if entry.example.startswith("{its.") and head not in groups:
                words.setdefault(f"its.{field}", {"description": text, **_of_words(entry)})
    return {"description": "What must hold.", "anyOf": [{"type": "object", "properties": words}, listed]}


def _of_words(entry: WordEntry) -> dict[str, Any]:
    if entry.words:
        return {"anyOf": [{"enum": list(entry.words)}, {"$ref": "#/$defs/word"}]}
    return {"$ref": "#/$defs/test"}


def _test() -> dict[str, Any]:
    tests = {name: {"description": said} for name, (said, _) in TEST_WORDS.items()}
    plain = [{"type": sort} for sort in ("string", "number", "boolean", "array")]
    written = {"type": "object", "properties": tests, "additionalProperties": False}
    return {"description": "What a figure is held against.", "anyOf": [written, *plain]}
