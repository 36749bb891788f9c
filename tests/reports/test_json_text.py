"""JSON written in pieces is what Python's own writer gives for the same objects."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmcheck.reports.json_text import json_pieces

leaves = st.none() | st.booleans() | st.integers() | st.floats() | st.text()
values = st.recursive(leaves, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=30)


@pytest.mark.slow
@given(values, st.integers(0, 5))
def test_the_pieces_are_the_text_of_the_standard_library(value: Any, depth: int) -> None:
    assert "".join(json_pieces(value, depth)) == json.dumps(value, ensure_ascii=False, indent=2)


@pytest.mark.parametrize("members", [[], [{"a": 1}], [1, {"b": []}, {}]])
def test_a_list_may_come_one_by_one(members: list[Any]) -> None:
    text = "".join(json_pieces({"run": {"results": iter(members)}}, 3))
    assert text == json.dumps({"run": {"results": members}}, indent=2)
