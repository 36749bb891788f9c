"""Values of plain scalars. Source: YAML 1.2.2, section 10.3.2 (core schema), and example 10.9 there."""

from __future__ import annotations

import math

import pytest

from filmcheck.reading.nodes import Mapping, Scalar, plain_value
from filmcheck.reading.yaml_tree import read_tree

CORE = [
    ("", None),
    ("~", None),
    ("null", None),
    ("NULL", None),
    ("true", True),
    ("False", False),
    ("0", 0),
    ("-19", -19),
    ("+12", 12),
    ("007", 7),
    ("0o7", 7),
    ("0x3A", 58),
    ("0.", 0.0),
    ("-0.0", -0.0),
    (".5", 0.5),
    ("+12e03", 12000.0),
    ("-2E+05", -200000.0),
    (".inf", math.inf),
    ("-.Inf", -math.inf),
    ("+.INF", math.inf),
]

WORDS = ["no", "yes", "on", "off", "y", "nUll", "tRUE", "12:30", "2026-11-25", "1_000", "0b1", "0o8", "0x", "-0x1"]
WORDS += ["1e", ".", "-", "+", "e5", "٣", "52 N", "1,5", "inf", ".INf"]


@pytest.mark.parametrize(("text", "value"), CORE)
def test_core_schema(text: str, value: object) -> None:
    found = plain_value(text)
    assert (found, type(found)) == (value, type(value))


def test_not_a_number() -> None:
    found = plain_value(".nan")
    assert isinstance(found, float)
    assert math.isnan(found)


@pytest.mark.parametrize("text", WORDS)
def test_words(text: str) -> None:
    assert plain_value(text) == text


@pytest.mark.parametrize("written", ["'12'", '"12"', "|-\n  12", ">-\n  12", "!!str 12", "! 12"])
def test_quoted_and_block_scalars_are_text(written: str) -> None:
    root, faults = read_tree(f"a: {written}\n")
    assert root is not None
    assert (root.plain(), faults) == ({"a": "12"}, ())


def test_number_beyond_all_sheets_stays_a_word() -> None:
    assert plain_value("9" * 5000) == "9" * 5000


def test_plain_gives_python_values() -> None:
    root, _ = read_tree("a: [1, {b: x}, ~]\nc: &n {d: 0.5}\ne: *n\n")
    assert root is not None
    assert root.plain() == {"a": [1, {"b": "x"}, None], "c": {"d": 0.5}, "e": {"d": 0.5}}


def test_repr_shows_the_place() -> None:
    root, _ = read_tree("a: 1\n")
    assert isinstance(root, Mapping)
    assert repr(root).startswith("Mapping({'a': Entry(key=Scalar('a', 'a' at 1:1), value=Scalar('1', 1 at 1:4)")
    assert repr(Scalar("1", 1, (2, 3, 2, 4))) == "Scalar('1', 1 at 2:3)"
