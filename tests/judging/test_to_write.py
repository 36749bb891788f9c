"""What is proposed for a datum that is missing is accepted where it is said to belong."""

from __future__ import annotations

from typing import Any

import pytest

from filmcheck.figures.given import ROOTS, given_figures
from filmcheck.figures.scopes import press_station_shapes, station_shapes
from filmcheck.judging.to_write import example, to_write
from filmcheck.plant.plant import type_text
from filmcheck.records.value import Need

REGISTERS = {"press": "presses", "stock": "stocks", "finisher": "finishing", "customer": "customers"}


def braces(keys: tuple[str, ...], inner: str) -> str:
    return "".join(f"{{{key}: " for key in keys) + f"{{{inner}}}" + "}" * len(keys)


def homes(name: str) -> list[tuple[str, tuple[str, ...]]]:
    """Give the schemas with the groups above the field, any of which must take it."""
    *groups, _ = name.split(".")
    if groups[0] in ROOTS:
        document, within = ROOTS[groups[0]]
        path = (*within, *groups[1:])
        if document in REGISTERS:
            return [(REGISTERS[document], ("entry", *path))]
        return [("job-sheet", path) if document == "sheet" else ("tooling", (f"{groups[0]}s", "t", *groups[1:]))]
    if groups[:2] == ["print", "cylinder"]:
        return [("tooling", ("print_cylinders", "t"))]
    kind = groups[0].replace("_", " ")
    found: list[tuple[str, tuple[str, ...]]] = []
    if kind in station_shapes():
        found.append(("job-sheet", ("settings", kind, *groups[1:])))
    if kind in press_station_shapes():
        found.append(("presses", ("entry", "stations", kind, *groups[1:])))
    return found


def accepted(schema: str, groups: tuple[str, ...], written: str) -> bool:
    text = braces(groups, written)
    if schema == "presses" and "stations" in groups:
        entry, _, *rest = groups
        text = f"{{{entry}: {{stations: [{braces(tuple(rest), written)}]}}}}"
    key = written.partition(":")[0]
    faults: list[Any] = list(type_text(text + "\n", "tried.yaml", schema).faults)
    return not [fault for fault in faults if f"`{key}`" in fault.says or fault.id != "key-missing"]


NAMES = [name for name in given_figures() if example(name) and homes(name)]


def test_there_is_much_to_try() -> None:
    assert len(NAMES) > 200


@pytest.mark.parametrize("first", sorted({name.partition(".")[0] for name in NAMES}))
def test_every_proposal_is_accepted_where_it_belongs(first: str) -> None:
    names = [name for name in NAMES if name.partition(".")[0] == first]
    refused = [n for n in names if not any(accepted(s, groups, example(n)) for s, groups in homes(n))]
    assert refused == []


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("stack.k1", "k1: 20 kPa"),
        ("web.register_tolerance", "register_tolerance: 0.2 mm"),
        ("stack.k2", "k2: 60"),
        ("uv lamp 1: setting", "setting: 60 %"),
        ("chill roll (2 of 3): temperature", "temperature: 18 degC"),
        ("laminate.caliper", ""),
    ],
)
def test_the_example_is_the_schemas_own(name: str, expected: str) -> None:
    assert example(name) == expected


def test_what_is_spoiled_is_not_to_be_written_anew() -> None:
    assert to_write(Need("stack.k1", "stack.k1 cannot be used: 20 has no unit")) == ""
