"""A pack's text to its tree, checked against the schema."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from filmcheck.plant.plant import shown
from filmcheck.reading.nodes import Fault, FileFault, Mapping
from filmcheck.reading.schema_check import check_schema
from filmcheck.reading.shipped import shipped_schema
from filmcheck.reading.text_file import read_text
from filmcheck.reading.yaml_tree import read_tree


def pack_tree(path: Path, faults: list[FileFault], *, proved: bool) -> tuple[Mapping, str] | None:
    """Read the tree of a pack with its text, that of a proved one without its proofs; None where it cannot be read."""
    file = shown(path)
    text = read_text(path)
    if isinstance(text, Fault):
        faults.append((file, text))
        return None
    tree, tree_faults = read_tree(_without_proofs(text) if proved else text)
    faults += [(file, fault) for fault in _without_dash(tree_faults)]
    if tree is None:
        return None
    faults += [(file, fault) for fault in check_schema(tree, shipped_schema("rule-pack"))]
    return (tree, text) if isinstance(tree, Mapping) else None


def _without_proofs(text: str) -> str:
    """Empty the lines of the proofs, which are half of a pack; all else stays in its line."""
    kept, within = [], False
    for line in text.split("\n"):
        within = line.startswith("    proof:") or (within and not line[:5].strip())
        kept.append("" if within else line)
    return "\n".join(kept)


def _without_dash(faults: Iterable[Fault]) -> Iterator[Fault]:
    """Tell a rule without its dash as such: all its keys would be told to be there again."""
    line = 0
    for fault in faults:
        if fault.id == "key-twice" and fault.says.startswith("The key `rule` "):
            line = line or fault.span.line
            says = "Another rule begins here without a dash, so it would be part of the one above."
            yield fault._replace(says=says, hint="Write `- rule: …`.")
        elif not (line and fault.id == "key-twice" and fault.span.line > line):
            yield fault
