"""The failing proofs of the shipped rules as sheets, so that their advice can be followed as on any other sheet."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import NamedTuple

from benches import PROVING, _context

from filmcheck.judging.rule import Rule
from filmcheck.packs.pack import load_packs
from filmcheck.packs.pack_files import pack_files
from filmcheck.plant.plant import Sheet, type_text
from filmcheck.proving.proof import Prover
from filmcheck.reading.nodes import Mapping, Node, Scalar, Sequence
from filmcheck.reading.shipped import shipped_folder
from filmcheck.running.plant_context import PlantContext


class Spoiled(NamedTuple):
    """A sheet on which a rule fails, in its plant."""

    rule: str
    case: str
    sheet: Sheet
    context: PlantContext


def computed(rules: tuple[Rule, ...]) -> list[Rule]:
    """Give the rules whose advice holds a number that is worked out, save those that guard people."""
    return [
        rule
        for rule in rules
        if rule.requires is not None
        and not rule.safety
        and any(part.expression or part.special for part in rule.instead)
    ]


@cache
def shipped() -> PlantContext:
    """Give the proving plant with the shipped rules."""
    return _context(PROVING)


@cache
def _cases() -> dict[str, Rule]:
    """Read the packs with their proofs, which a lint leaves behind."""
    packs = load_packs(pack_files([shipped_folder("rules")]))
    return {rule.id: rule for rule in packs.rules}


def spoiled_by_proofs(rule: Rule) -> Iterator[Spoiled]:
    """Write out the sheet of each proof of a rule that must fail."""
    context = shipped()
    prover = Prover(context.rules, context.house)
    for case in _cases()[rule.id].cases:
        if case.verdict != "fail" or case.sheet_text:
            continue
        work = prover._prepare(case).workpiece
        assert work is not None
        text = "\n".join(f"{line}" for line in _lines(work.trees[""])) + "\n"
        changed = replace(context, plant=work.finished()[1])
        yield Spoiled(rule.id, case.name, type_text(text, work.sheet.file, "job-sheet"), changed)


def _lines(tree: Node) -> Iterator[str]:
    """Write the keys of a sheet in block style, a line each, and what is in them in flow style."""
    assert isinstance(tree, Mapping)
    for name, (_, value) in tree.entries.items():
        if isinstance(value, Sequence):
            yield f"{name}:"
            yield from (f"  - {_flow(item)}" for item in value.items)
        else:
            yield f"{name}: {_flow(value)}"


def _flow(node: Node) -> str:
    if isinstance(node, Mapping):
        return "{" + ", ".join(f"{name}: {_flow(value)}" for name, (_, value) in node.entries.items()) + "}"
    if isinstance(node, Sequence):
        return "[" + ", ".join(map(_flow, node.items)) + "]"
    assert isinstance(node, Scalar)
    return json.dumps(node.text, ensure_ascii=False) if isinstance(node.value, str) else node.text
