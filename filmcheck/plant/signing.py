"""Signs a job sheet off: puts the marks of the register entries that it names on it, and changes nothing else."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date
from os.path import lexists
from pathlib import Path
from typing import NamedTuple

from filmcheck.plant.entries import NAMED, kind_marks, mark_key
from filmcheck.plant.plant import Plant, Sheet, load_plant, read_sheet, settings_above, settled
from filmcheck.plant.short_sheet import made_whole
from filmcheck.reading.lines import Lines
from filmcheck.reading.nodes import Mapping, Node, scalars
from filmcheck.reading.yaml_tree import read_tree
from filmcheck.records.errors import UseError
from filmcheck.records.place import Place, Span

KEY = "signed"
BY_HAND = "Put the block in by hand; without --write it is printed."
LINT = "filmcheck lint tells what is wrong, and where."


class SignOff(NamedTuple):
    """The sign-off of one sheet: its block, and the whole text with the block in place."""

    path: Path
    block: str
    sheet: Sheet
    content: dict[str, object]


def sign_off(path: Path, by: str, day: date) -> SignOff:
    """Make the sign-off of a sheet. Raises UseError where it cannot be read, or names what is not there."""
    if not by.strip() or not by.isprintable():
        raise UseError("it is not said who signs", way_out="Write --by with a name or a role.")
    if not lexists(path) or path.is_dir():
        raise UseError(f"{path} is {'a folder' if path.is_dir() else 'not there'}", way_out="Give job sheets.")
    settings = settings_above(path.parent)
    if settings is None:
        raise UseError(f"{path} belongs to no plant: no plant.yaml lies in a folder above it")
    plant = load_plant(settings)
    if plant.owns(settled(path)):
        raise UseError(f"{path} belongs to the plant's settings, registers or rules", way_out="Give job sheets.")
    sheet = _readable(path, plant)
    content: dict[str, object] = {"by": by.strip(), "date": day.isoformat(), "entries": _marks(sheet, plant)}
    return SignOff(path, block_text(content), sheet, content)


def _readable(path: Path, plant: Plant) -> Sheet:
    sheet = read_sheet(path, "job-sheet", fence=plant.fence)
    if isinstance(sheet.tree, Mapping):
        return sheet
    fault = sheet.faults[0] if sheet.faults else None
    found = fault.says if fault else "the sheet is empty"
    raise UseError(found, place=Place(sheet.file, fault.span) if fault else sheet.record.place, way_out=LINT)


def _marks(sheet: Sheet, plant: Plant) -> dict[str, str]:
    found = kind_marks(made_whole(sheet.record, plant).record, plant)
    for what, (mark, entries) in found.items():
        if not mark:
            names = ", ".join(entry.name for entry in entries)
            says = f"{what} {names} is in no register, so nobody can sign for it"
            raise UseError(says, place=entries[0].place, way_out=LINT)
    return {mark_key(what): found[what][0] for what in NAMED if what in found}


def block_text(content: dict[str, object], comments: tuple[str, ...] = ()) -> str:
    """Write the block as YAML. Marks and names stand in quotes, for one may look like a number."""
    entries = content["entries"]
    marks = entries if isinstance(entries, dict) else {}
    lines = [
        f"{KEY}:",
        *(f"  {comment}" for comment in comments),
        f"  by: {json.dumps(content['by'], ensure_ascii=False)}",
        f"  date: {content['date']}",
        "  entries:" + " {}" * (not marks),
        *(f"    {what}: {json.dumps(mark)}" for what, mark in marks.items()),
    ]
    return "\n".join(lines) + "\n"


def signed_text(signed: SignOff) -> str:
    """Give the text of the sheet with the block in the place of the one it has, or at its end.

    Comments, order and line ends stay. Raises UseError where the sheet is written so that anything else would change.
    """
    sheet, text = signed.sheet, signed.sheet.text
    tree = sheet.tree
    if not isinstance(tree, Mapping):
        raise UseError("the sheet cannot be read", place=sheet.record.place, way_out=LINT)
    margin = " " * (tree.span.column - 1)
    entry = tree.entries.get(KEY)
    if entry is None:
        start = end = len(text)
        before = "" if text.endswith("\n") else "\n"
        block = before + _indented(block_text(signed.content), margin)
    else:
        start, end = Lines(text).offsets(Span(*entry.key.at[:2], *entry.value.at[2:]))
        comments = tuple(_comments(text[start:end], entry.key.at[:2], entry.value))
        block = _indented(block_text(signed.content, comments), margin).removeprefix(margin).removesuffix("\n")
    new = text[:start] + (block.replace("\n", "\r\n") if "\r\n" in text else block) + text[end:]
    if not _is_same_but_signed(new, text, signed):
        says = "the block cannot be put in place without changing something else"
        raise UseError(says, place=Place(sheet.file, entry.key.span if entry else tree.span), way_out=BY_HAND)
    return new


def _indented(block: str, margin: str) -> str:
    return "".join(margin + line for line in block.splitlines(keepends=True))


def _comments(block: str, start: tuple[int, ...], value: Node) -> Iterator[str]:
    """Find the comments within the old block: what stands on its lines behind the last word, from a sharp on."""
    behind: dict[int, int] = {}
    for word in scalars(value):
        behind[word.at[2]] = max(behind.get(word.at[2], 0), word.at[3])
    for number, line in enumerate(re.split("\r\n|\r|\n", block), start[0]):
        rest = line if number > start[0] else " " * (start[1] - 1) + line
        past = rest[max(behind.get(number, 1) - 1, len(KEY) + start[1] if number == start[0] else 0) :]
        sharp = past.find("#")
        if sharp >= 0 and not past[:sharp].strip(" \t:,{}[]"):
            yield past[sharp:].rstrip()


def _is_same_but_signed(new: str, old: str, signed: SignOff) -> bool:
    """Read the new text again: it must say what the old one said, and the block besides."""
    tree, faults = read_tree(new)
    before, _ = read_tree(old)
    if faults or not isinstance(tree, Mapping) or not isinstance(before, Mapping):
        return False
    now, then = tree.plain(), before.plain()
    block = now.pop(KEY, None)
    then.pop(KEY, None)
    return block == signed.content and now == then
