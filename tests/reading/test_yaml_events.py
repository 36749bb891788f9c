"""The compiled and the pure parser against each other."""

from __future__ import annotations

import re

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from filmcheck.reading.nodes import Fault
from filmcheck.reading.yaml_events import READ_DIFFERENTLY, BrokenYamlError, Event, Events, is_read_differently

pytest.importorskip("_ruamel_yaml")

PIECES = ["a", "b: ", "- ", ": ", "? ", "\n", "\n  ", "\n    ", "  ", "\t", "[", "]", "{", "}", ",", " # c\n"]
PIECES += ["'x'", '"y"', "'", '"', "k: |\n  x\n", "k: >-\n  x\n\n  y\n", "k: |2\n   x\n", "&a ", "*a", "!t ", "!!str "]
PIECES += ["---\n", "...\n", "1", "µ😀", "\u2028", "\x85", "\r\n", "\r", ":", "#", "a:b", "-1", "<<: ", "%", "~"]
PIECES += ["{a: 1}", "[1, 2]", '"a":1', "k:\n", "- - ", "\ufeff"]

SNIPPETS = [
    "job: HB-2041 # note\nweb: {width: 330 mm, speed: 45 m/min}\npath:\n  - print: {unit: 1}\n  - uv lamp: {}\n",
    "a: &x !!map {}\nb: *x\n",
    "a: !!str &x 1\nb: &x !!str 1\n",
    "%TAG !e! tag:e,2000:\n---\na: !e!foo x\n",
    "%YAML 1.2\n---\na: 1\n...\n",
    "a:\n\n\n# c\nb:\n  # c\n  - # c\n  -\n",
    "? a\n? b\n: c\n",
    "a: |+\n  x\n\n\nb: >-\n  x\n   y\n\n  z\nc: |1-\n  x\n",
    "a: 'it''s'\nb: \"\\x41\\u00e9\\U0001F600\\n\\\n  z\"\n",
    "plain text over\n two lines\n",
    "*a: 1\n",
    "{? }",
    "[? ,]",
    "{ # c\n? ,}",
    "a:\tb\tc \t# d\n",
    "{a: [b, {c: d}], ? e : f, 'g':h}",
    "- - - a\n  - b\n- {}\n- []\n- ''\n",
    "a: x\u2028y\u2029z\x85\r\nb: \ufeff\rc: 𝄞 # 😀\n",
]


def read(text: str, force_pure: bool) -> tuple[list[Event], Fault | None]:
    found: list[Event] = []
    try:
        events = Events(text, force_pure=force_pure)
        with events.guarded():
            found += events
    except BrokenYamlError as error:
        return found, error.fault
    return found, None


@pytest.mark.parametrize("text", SNIPPETS)
def test_same_events_for_snippets(text: str) -> None:
    compiled = read(text, force_pure=False)
    assert compiled[1] is None
    assert compiled == read(text, force_pure=True)


@given(st.lists(st.sampled_from(PIECES), max_size=14).map("".join))
@settings(max_examples=600, deadline=None)
def test_same_events_for_whatever_the_compiled_parser_takes(text: str) -> None:
    # Left apart, for the pure parser alone refuses them: a tab in front of a continued line, and the sign of the
    # end of a sheet given twice.
    assume(not text.startswith("\ufeff") and not re.search(r"[\r\n] *\t", text) and text.count("...") < 2)
    compiled, refused = read(text, force_pure=False)
    if refused is None:
        assert (compiled, refused) == read(text, force_pure=True)


@given(st.text(max_size=40))
@settings(max_examples=300, deadline=None)
def test_no_text_lets_another_error_out(text: str) -> None:
    for force_pure in (False, True):
        _, fault = read(text, force_pure)
        if fault:
            lines = re.split(r"\r\n|\r|\n", text)
            assert 1 <= fault.span.line <= len(lines)
            assert 1 <= fault.span.column <= len(lines[fault.span.line - 1]) + 1
            assert tuple(fault.span)[:2] <= tuple(fault.span)[2:]


@given(st.text(" \t\n-.|>&*?{]}:a", max_size=12))
@settings(max_examples=500, deadline=None)
def test_no_text_that_is_read_differently_is_passed_over_for_want_of_a_sign(text: str) -> None:
    assert is_read_differently(text) == bool(READ_DIFFERENTLY.search(text))
