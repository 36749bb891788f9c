"""Faults of form: exact spans and plain words. Spans are worked out by hand from the snippets."""

from __future__ import annotations

import copy
import random
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from filmcheck.reading import schema_check
from filmcheck.reading.schema_check import MOST_FAULTS, check_schema
from filmcheck.reading.schema_faults import TELLERS
from filmcheck.reading.shipped import shipped_folder, shipped_schema
from filmcheck.reading.yaml_tree import read_tree

SCHEMAS = shipped_folder("schemas")
QUANTITY = {
    "type": ["number", "string"],
    "pattern": "^[0-9.]+ .+$",
    "description": "a number with a unit",
    "dimension": "length",
    "plausible": ["1 mm", "2 m"],
}
STATION = {
    "type": "object",
    "properties": {
        "tension": {"$ref": "#/$defs/quantity"},
        "unit": {"type": "integer", "minimum": 1},
        "control": {"enum": ["closed loop", "brake", "none"]},
    },
    "additionalProperties": False,
}
STATIONS = ["unwind", "print", "uv lamp", "static control", "web cleaner", "die cut", "rewind"]
SHEET: dict[str, Any] = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "$defs": {"quantity": QUANTITY},
    "type": "object",
    "required": ["job", "stage"],
    "additionalProperties": False,
    "properties": {
        "job": {"type": "string", "register": "jobs"},
        "stage": {"enum": ["planned", "set-up", "running"]},
        "first_film_job": {"type": "boolean"},
        "lanes": {"type": "integer", "minimum": 1},
        "thin": {"type": "number", "exclusiveMinimum": 0},
        "web": {
            "type": "object",
            "properties": {"width": {"$ref": "#/$defs/quantity"}, "length": {"$ref": "#/$defs/quantity"}},
            "required": ["width"],
            "additionalProperties": False,
        },
        "path": {
            "type": "array",
            "maxItems": 4,
            "items": {
                "type": "object",
                "properties": dict.fromkeys(STATIONS, STATION),
                "minProperties": 1,
                "maxProperties": 1,
                "additionalProperties": False,
            },
        },
        "core": {"type": ["string", "object"], "minLength": 2, "additionalProperties": False},
        "mark": {"enum": ["left", "right", "middle"]},
        "checks": {"type": "array", "items": {"type": "string"}},
        "notes": {"type": "object", "patternProperties": {"^press": {"type": "string"}}, "additionalProperties": False},
    },
}
HEAD = "job: a\nstage: planned\n"

SOUND = [
    HEAD,
    HEAD + "first_film_job: true\nlanes: 5\nweb: {width: 330 mm, length: 3}\n",
    HEAD + "path:\n  - unwind: {tension: 52 N, control: closed loop}\n  - uv lamp: {}\n",
    HEAD + "core: 6 in\nmark: middle\nnotes: {press 1: x}\nchecks: [a, b]\n",
]

ALL_STATIONS = f"Known here: {', '.join(STATIONS)}."

# text below HEAD, then of each fault: id, span, a piece of what it says, a piece of its hint
Fault = tuple[str, tuple[int, int, int, int], str, str]
SPOILED: list[tuple[str, list[Fault]]] = [
    ("lane: 5\n", [("key-unknown", (3, 1, 3, 5), "`lane` is not known", "Did you mean `lanes`?")]),
    ("web: {width: 1, widht: 3 mm}\n", [("key-unknown", (3, 17, 3, 22), "in `web`", "Known here: width, length.")]),
    ("web: {widht: 3 mm}\n", [("key-unknown", (3, 7, 3, 12), "`widht`", "Did you mean `width`?")]),
    ("web: {}\n", [("key-missing", (3, 1, 3, 4), "The key `width` is missing in `web`", "Add `width: …`")]),
    ("web:\n", [("value-wrong", (3, 1, 3, 4), "a group of keys, and nothing stands here", "delete the key")]),
    ("web: 3 mm\n", [("value-wrong", (3, 6, 3, 10), "group of keys, and the text `3 mm`", "")]),
    ("first_film_job: yes\n", [("value-wrong", (3, 17, 3, 20), "written true or false", "Write true; to YAML")]),
    ("first_film_job: Off\n", [("value-wrong", (3, 17, 3, 20), "text `Off`", "Write false; to YAML `Off`")]),
    ("first_film_job: 1\n", [("value-wrong", (3, 17, 3, 18), "the number `1`", "")]),
    ("lanes: 5 mm\n", [("value-wrong", (3, 8, 3, 12), "must be a whole number", "Write 5.")]),
    ("lanes: [5]\n", [("value-wrong", (3, 1, 3, 6), "a list stands here", "without brackets")]),
    ("lanes: 0\n", [("value-wrong", (3, 8, 3, 9), "at least 1, and the number `0`", "")]),
    ("thin: 0\n", [("value-wrong", (3, 7, 3, 8), "more than 0, and the number `0`", "")]),
    ("path: [print]\n", [("value-wrong", (3, 8, 3, 13), "group of keys, and the text `print`", "`print: {}`")]),
    ("path: {print: {}}\n", [("value-wrong", (3, 1, 3, 5), "must be a list", "")]),
    (
        "path: [{print: {}}, {print: {}}, {print: {}}, {print: {}}, {print: {}}]\n",
        [("value-wrong", (3, 1, 3, 5), "at most 4 entries, and it has 5", "")],
    ),
    ("path: [{uv lmp: {}}]\n", [("key-unknown", (3, 9, 3, 15), "`uv lmp`", "Did you mean `uv lamp`?")]),
    ("path: [{UV-Lamp: {}}]\n", [("key-unknown", (3, 9, 3, 16), "`UV-Lamp`", "Did you mean `uv lamp`?")]),
    ("path: [{oven: {}}]\n", [("key-unknown", (3, 9, 3, 13), "`oven`", ALL_STATIONS)]),
    ("path: [{}]\n", [("value-wrong", (3, 8, 3, 10), "at least 1 key, and it has none", ALL_STATIONS)]),
    (
        "path:\n  - print:\n    unit: 1\n",
        [("value-wrong", (5, 5, 5, 9), "at most 1 key, and it has 2", "If `unit` belongs to `print`, set it in")],
    ),
    (
        "path:\n  - print: {unit: 0}\n  - unwind: {control: brak, tension: fast}\n",
        [
            ("value-wrong", (4, 19, 4, 20), "`unit` must be at least 1", ""),
            (
                "value-wrong",
                (5, 23, 5, 27),
                "`control` cannot be the text `brak`",
                "mean `brake`? Allowed: closed",
            ),
            ("value-wrong", (5, 38, 5, 42), "not written as it must be: the text `fast`", "a number with a unit."),
        ],
    ),
    ("core: [1]\n", [("value-wrong", (3, 1, 3, 5), "a word or text or a group of keys, and a list", "")]),
    ("core: 6\n", [("value-wrong", (3, 7, 3, 8), "the number `6`", "Put it in quotes: '6'.")]),
    ("core: {bore: 3}\n", [("key-unknown", (3, 8, 3, 12), "`bore` is not known in `core`", "")]),
    (
        "mark: lft\n",
        [("value-wrong", (3, 7, 3, 10), "cannot be the text `lft`", "`left`? Allowed: left, right, middle.")],
    ),
    ("core: a\n", [("value-wrong", (3, 7, 3, 8), "at least 2 characters, and it has 1", "")]),
    ("notes: {pres: x}\n", [("key-unknown", (3, 9, 3, 13), "`pres` is not known in `notes`", "")]),
]


def faults_of(text: str, schema: dict[str, Any]) -> list[tuple[str, tuple[int, ...], str, str]]:
    root, broken = read_tree(text)
    assert root is not None
    assert broken == ()
    return [(fault.id, tuple(fault.span), fault.says, fault.hint) for fault in check_schema(root, schema)]


@pytest.mark.parametrize("text", SOUND)
def test_sound(text: str) -> None:
    assert faults_of(text, SHEET) == []


@pytest.mark.parametrize(("text", "expected"), SPOILED)
def test_spoiled(text: str, expected: list[Fault]) -> None:
    found = faults_of(HEAD + text, SHEET)
    assert [fault[:2] for fault in found] == [fault[:2] for fault in expected]
    for (_, _, says, hint), (_, _, piece, hint_piece) in zip(found, expected, strict=True):
        assert piece in says
        assert hint_piece in hint


def test_missing_at_the_top_points_at_the_first_key() -> None:
    found = faults_of("# c\n\nlanes: 1\n", SHEET)
    assert [fault[:2] for fault in found] == [("key-missing", (3, 1, 3, 6))] * 2
    assert "`job`" in found[0][2]
    assert "`stage`" in found[1][2]


def test_misspelt_key_is_one_fault() -> None:
    found = faults_of("job: a\nstaeg: planned\n", SHEET)
    assert [fault[:2] for fault in found] == [("key-unknown", (2, 1, 2, 6))]
    assert "Did you mean `stage`?" in found[0][3]


def test_sheet_that_is_a_list() -> None:
    assert faults_of("- 1\n", SHEET)[0][1:3] == (
        (1, 1, 1, 4),
        "The sheet must be a group of keys, and a list stands here.",
    )


def test_number_where_a_word_is_due() -> None:
    found = faults_of("title: 2041\n", {"properties": {"title": {"type": "string"}}})
    assert [fault[:2] for fault in found] == [("value-wrong", (1, 8, 1, 12))]
    assert found[0][3] == "Put it in quotes: '2041'."
    assert faults_of("job: 2041\nstage: planned\n", SHEET) == []  # a name of a register is taken by its text


def test_alias_is_blamed_where_it_stands_and_its_content_where_it_is_written() -> None:
    schema = {"properties": {"a": True, "b": {"type": "object"}, "c": {"items": {"type": "integer"}}}}
    assert faults_of("a: &n [x]\nc: *n\n", schema)[0][:2] == ("value-wrong", (1, 8, 1, 9))
    assert faults_of("a: &n x\nb: *n\n", schema)[0][:2] == ("value-wrong", (2, 4, 2, 6))


def test_many_faults_are_cut_and_said_to_be() -> None:
    found = faults_of(HEAD + f"checks: [{', '.join(str(number) for number in range(500))}]\n", SHEET)
    assert len(found) == MOST_FAULTS + 1
    assert found[-1][0] == "more-faults"


def test_a_keyword_that_no_schema_of_ours_has_is_told_in_general() -> None:
    schema = {"properties": {"a": {"multipleOf": 2, "description": "an even number"}}}
    found = faults_of("a: 3\n", schema)
    assert [fault[:2] for fault in found] == [("value-wrong", (1, 4, 1, 5))]
    assert found[0][2:] == ("`a` is not as it must be.", "Expected: an even number.")


def keywords(schema: Any) -> set[str]:
    """Gather the keywords of a schema and all within it; names of properties are no keywords."""
    if isinstance(schema, list):
        return set().union(*map(keywords, schema))
    if not isinstance(schema, dict):
        return set()
    found = set(schema)
    for word, part in schema.items():
        named = word in ("properties", "patternProperties", "$defs")
        found |= set().union(*map(keywords, part.values())) if named else keywords(part)
    return found


def test_each_keyword_that_can_fail_has_words_and_no_other_has() -> None:
    names = [path.name.removesuffix(".schema.json") for path in SCHEMAS.glob("*.schema.json")]
    ours = [schema for name in names if "editor" not in name for schema in [shipped_schema(name)]]
    assert len(ours) > 8
    used = set().union(*map(keywords, ours)) & set(Draft202012Validator.VALIDATORS)
    # Those that only lead on to others, or assert nothing in draft 2020-12.
    assert used - {"$ref", "properties", "patternProperties", "items", "format"} == set(TELLERS)


def test_same_faults_without_the_compiled_validator(monkeypatch: pytest.MonkeyPatch) -> None:
    with_it = [faults_of(HEAD + text, SHEET) for text, _ in SPOILED]
    monkeypatch.setattr(schema_check, "_compiled", lambda schema: None)
    schema = copy.deepcopy(SHEET)
    assert [faults_of(HEAD + text, schema) for text, _ in SPOILED] == with_it
    assert [faults_of(text, schema) for text in SOUND] == [[]] * len(SOUND)


ODD_VALUES: list[Any] = [None, True, 0, -1, 2.0, 0.5, "", "yes", "3 mm", "µ\n", [], [[]], {}, {"a": 1}, 10**30]
ODD_VALUES += ["planned", "planned\n", "٣ mm", "3 mm\n", "é"]


def mutated(value: Any, chance: random.Random) -> Any:
    """Change a value somewhere: replace, drop, add, rename or double."""
    if chance.random() < 0.15 or not isinstance(value, dict | list) or not value:
        return copy.deepcopy(chance.choice(ODD_VALUES))
    if isinstance(value, list):
        place = chance.randrange(len(value))
        return [*value[:place], mutated(value[place], chance), *value[place + chance.randint(0, 1) :]]
    name = chance.choice(list(value))
    rest = {key: part for key, part in value.items() if key != name}
    fate = chance.random()
    if fate < 0.2:
        return rest
    if fate < 0.4:
        return {**rest, chance.choice([name + "s", "width", "kind", "old", ""]): value[name]}
    return {**value, name: mutated(value[name], chance)}


def test_both_validators_give_the_same_verdict() -> None:
    pytest.importorskip("jsonschema_rs")
    compiled = schema_check._compiled(SHEET)
    assert compiled is not None
    exact, chance, verdicts = schema_check._validators(SHEET).exact, random.Random(2041), [0, 0]  # noqa: S311 - a fixed seed, to see the same documents each time
    roots = [read_tree(text)[0] for text in SOUND]
    values = [root.plain() for root in roots if root is not None]
    for _ in range(2000):
        value = chance.choice(values)
        for _ in range(chance.randint(1, 2)):
            value = mutated(value, chance)
        verdict = exact.is_valid(value)
        verdicts[verdict] += 1
        assert compiled(value) == verdict, value
    assert min(verdicts) > 100


KEYWORDS: list[dict[str, Any]] = [
    {"type": "integer"},
    {"type": ["number", "null"]},
    {"pattern": r"^[0-9.]+ .+$"},
    {"pattern": r"^\W+$"},
    {"pattern": r"^[$\d]+\$?$"},
    {"minLength": 2},
    {"enum": [True, "a", None]},
    {"exclusiveMinimum": 0},
    {"maxProperties": 0},
    {"maxItems": 1},
]
VALUES: list[Any] = [*ODD_VALUES, 0.3, 1, 1.0, False, "a\n", "5$", "$", "5\n", [1, True], [1, 1.0], "😀", 10**400]


@pytest.mark.parametrize("schema", KEYWORDS)
def test_both_validators_read_a_keyword_alike(schema: dict[str, Any]) -> None:
    pytest.importorskip("jsonschema_rs")
    compiled = schema_check._compiled(schema)
    assert compiled is not None
    exact = schema_check._validators(schema).exact
    assert [(value, compiled(value)) for value in VALUES] == [(value, exact.is_valid(value)) for value in VALUES]


@pytest.mark.parametrize("word", [".inf", "-.inf", ".nan"])
def test_numbers_without_end(word: str) -> None:
    found = faults_of(f"a: [{word}]\n", {})
    assert [fault[:2] for fault in found] == [("value-wrong", (1, 5, 1, 5 + len(word)))]
    assert found[0][2] == f"`{word}` is no number that can be used."
