"""Makes every plain fault of ``plain_faults.yaml``, and tells which rules speak about it and not about its sound sheet.

python tests/faults/plain_faults.py          # all of them, and those that come out otherwise than the list says
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from filmcheck.plant.job import Job, resolve
from filmcheck.plant.plant import Plant, Sheet, load_plant, read_sheet, settings_above
from filmcheck.proving.sheet_edits import Workpiece
from filmcheck.reading.nodes import Mapping, Node, Scalar, Sequence
from filmcheck.reading.yaml_tree import read_tree
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.plant_context import PlantContext, make_context

ROOT = Path(__file__).parents[2]
DAY = date(2026, 11, 25)
SHEETS = {"": "rules/proving/sheets/film-label.yaml"} | {
    name: f"examples/jobs/sound/{file}.yaml"
    for name, file in {
        "paper": "qm-3104-running-oat-biscuits",
        "birch": "qm-3108-released-cough-syrup",
        "alder": "qm-3101-planned-ginger-cordial",
        "pe": "qm-3106-finishing-wood-soap",
        "mouth": "qm-3102-set-up-mouthwash",
        "cream": "qm-3103-set-up-hand-cream",
        "cider": "qm-3105-running-pear-cider",
        "lime": "qm-3107-released-lime-cordial",
        "tonic": "qm-3109-finishing-face-tonic",
        "throat": "qm-3110-planned-throat-spray-with-permit",
        "slick": "qm-3111-finishing-dish-soap-on-slick-stock",
        "jam": "qm-3112-running-plum-jam-under-film",
        "litho": "qm-3113-planned-rye-mustard-on-litho",
    }.items()
}
Told = set[tuple[str, str, str]]


@lru_cache(maxsize=1)
def faults() -> tuple[Mapping, ...]:
    """Give the list, each fault with its edits as they stand in the file."""
    tree, wrong = read_tree(Path(__file__).with_suffix(".yaml").read_text("utf-8"))
    assert isinstance(tree, Sequence)
    assert wrong == ()
    return tuple(item for item in tree.items if isinstance(item, Mapping))


def text(fault: Mapping, key: str) -> str:
    """Give a word of a fault, empty where it has none."""
    node = part(fault, key)
    return node.text if isinstance(node, Scalar) else ""


def part(node: Mapping, key: str) -> Node | None:
    """Give what stands under a key."""
    return node.entries[key].value if key in node.entries else None


@cache
def sound(name: str) -> tuple[Job, Sheet, Plant, PlantContext, frozenset[tuple[str, str, str]]]:
    """Read a sound sheet and its plant once, and what is told of it."""
    path = ROOT / SHEETS[name]
    plant, sheet = load_plant(settings_above(path.parent)), read_sheet(path, "job-sheet")
    job, _ = resolve(sheet.record, sheet.file, plant)
    context = make_context(plant)
    return job, sheet, plant, context, frozenset(_told(sheet, context))


def _told(sheet: Sheet, context: PlantContext) -> Told:
    findings = (*judge_as_is(sheet, context, DAY).findings, *context.plant_findings())
    return {(finding.rule, finding.kind, finding.address) for finding in findings}


def notices(fault: Mapping) -> dict[str, set[str]]:
    """Make a fault; give the rules that now speak, each with whether it fails, may fail or cannot tell."""
    job, sheet, plant, context, before = sound(text(fault, "sheet"))
    change, without, insert = (part(fault, key) for key in ("change", "without", "insert"))
    edits = list(change.entries.values()) if isinstance(change, Mapping) else []
    gone = [item.text for item in without.items if isinstance(item, Scalar)] if isinstance(without, Sequence) else []
    piece = Workpiece.of(job, sheet, plant, [*(edit.key.text for edit in edits), *gone])
    for key, value in edits:
        last = key.text.rpartition(".")[2]
        piece.put(key.text, value, Scalar(last, last, key.span))
    for item in insert.items if isinstance(insert, Sequence) else ():
        assert isinstance(item, Mapping)
        station: Any = part(item, "station")
        piece.insert(station, text(item, "before"), text(item, "after"))
    for address in gone:
        piece.put(address, None)
    spoiled, registers = piece.finished()
    came: dict[str, set[str]] = {}
    for rule, kind, _ in _told(spoiled, replace(context, plant=registers, faults=registers.faults)) - before:
        came.setdefault(rule, set()).add(kind)
    return came


def wrong(fault: Mapping) -> str:
    """Say how a fault comes out otherwise than the list says; empty where it comes out so."""
    came = notices(fault)
    if text(fault, "silent"):
        return f"{text(fault, 'fault')}: {sorted(came)} speak, and it was to be silent" if came else ""
    rule, kinds = text(fault, "rule") or text(fault, "open"), {"fail", "review"} if text(fault, "rule") else {"open"}
    return (
        "" if came.get(rule, set()) & kinds else f"{text(fault, 'fault')}: {rule} is silent; there spoke {sorted(came)}"
    )


def main() -> None:
    """Try all, and print those that come out otherwise."""
    found = [says for says in map(wrong, faults()) if says]
    print(*found, f"{len(faults())} faults, {len(found)} otherwise than the list says", sep="\n")


if __name__ == "__main__":
    main()
