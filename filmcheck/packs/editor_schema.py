"""The schema of rule packs with every figure, kind and test written out, so that an editor completes them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from filmcheck.figures.scopes import CLASSES, all_words, parsed, station_shapes
from filmcheck.packs.language_words import CONDITION_WORDS, PLACE_WORDS, TEST_WORDS
from filmcheck.packs.place_reader import WHICH
from filmcheck.reading.shipped import shipped_schema
from filmcheck.records.word_entry import WordEntry

CONDITION = {"$ref": "#/$defs/condition"}


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
