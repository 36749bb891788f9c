"""Wherever something else is expected, an example to copy stands in the message, and the next run takes it."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from filmcheck.plant.plant import type_text
from filmcheck.plant.shape import Shape, shape_of
from filmcheck.reading.nodes import Fault

DOCUMENTS = ("job-sheet", "presses", "stocks", "tooling", "finishing", "customers")
WRONG = {
    "quantity": ["330", "wide", "{}", "5 furlongs"],
    "date": ["3.12.2026", "12/03/2026", "tomorrow", "{}"],
    "truth": ["perhaps", "yes", "7"],
    "count": ["some", "{}"],
    "number": ["some", "{}"],
    "word": ["{}", "[a]"],
    "record": ["nonsense", "7"],
    "list": ["nonsense"],
}
"""What is written in the place of each sort of field."""

Steps = tuple[str, ...]


def fields(shape: Shape, steps: Steps = ()) -> Iterator[tuple[Steps, Shape]]:
    """Give every field that groups alone lead to, each once, whatever holds it."""
    if steps:
        yield steps, shape
    if shape.sort == "record":
        for name, inner in shape.fields.items():
            yield from fields(inner, (*steps, name))
    elif shape.sort == "map":
        pairs = shape.fields.items() if shape.fields else [("an-entry", shape.item)]
        for name, inner in pairs:
            yield from fields(inner, (*steps, name))


def written(steps: Steps, value: str) -> str:
    return "".join(f"{{{step}: " for step in steps) + value + "}" * len(steps) + "\n"


def faults(document: str, steps: Steps, value: str) -> list[Fault]:
    found = type_text(written(steps, value), "tried.yaml", document).faults
    return [fault for fault in found if fault.id != "key-missing"]


def proposals(hint: str) -> list[str]:
    """Give the texts that a hint offers to copy."""
    if found := re.search(r"(?:Did you mean|Write it as a list:|Write(?! it)) (.+?)(?:\?|\.(?: |$)|; )", hint):
        return [way.strip("`") for way in re.split(r" or |, ", found[1])]
    tail = hint.partition("For example")[2]
    return re.findall(r"`([^`]+)`", tail) or ([tail.strip().rstrip(".")] if tail else [])


CASES = [
    (document, steps, shape)
    for document in DOCUMENTS
    for steps, shape in fields(shape_of(document))
    if steps[:2] != ("signed", "entries") or len(steps) == 2  # marks that `filmcheck sign` writes; nobody types them
]


def test_there_are_many_fields() -> None:
    assert len(CASES) > 250


@pytest.mark.parametrize("document", DOCUMENTS)
def test_every_wrong_value_is_answered_with_one_that_is_taken(document: str) -> None:
    silent, refused = [], []
    for _, steps, shape in (case for case in CASES if case[0] == document):
        for value in WRONG.get(shape.sort, ()):
            for fault in faults(document, steps, value):
                at = (*steps, value, fault.says, fault.hint)
                ways = proposals(fault.hint)
                if not ways and not re.search(r"[Aa]llowed: |[Kk]nown here: |written in |is written `", fault.hint):
                    silent.append(at)
                refused += [(*at, way) for way in ways if faults(document, steps, way)]
    assert silent == []
    assert refused == []
