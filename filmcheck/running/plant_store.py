"""Keeps settings and registers as they were typed, by the content of their files: a start need not type them anew."""

from __future__ import annotations

import os
import pickle
from hashlib import sha256
from pathlib import Path
from typing import TypeAlias

from filmcheck.plant.entries import EntryName, all_entries, placed_mark
from filmcheck.plant.generic import generic_file
from filmcheck.plant.plant import Plant, Sheet, load_plant, type_plant_file
from filmcheck.running.cache_folder import code_mark
from filmcheck.running.sealed_file import SealedFile

MOST = 200
"""Plants that are kept."""

Kept: TypeAlias = tuple[dict[bytes, bytes], dict[EntryName, str]]
"""Packed sheets by what they hang on, and the marks of the entries of all of them together."""


def stored_plant(settings: Path | None) -> Plant:
    """Give what ``load_plant`` gives. The files are looked for and read as ever: only their typing is taken over.

    Where every one of them is as it was, the marks of entries are too (``placed_mark``).
    """
    if settings is None:
        return load_plant(None)
    place = sha256(f"{settings}\n{os.getcwd()}".encode("utf-8", "surrogateescape")).digest()
    kept = SealedFile("plant", sha256(code_mark() + place).digest())
    content: Kept = kept.read() or ({}, {})
    known, marks = content
    used: dict[bytes, bytes] = {}

    def typed(text: str, file: str, schema: str) -> Sheet:
        mark = _mark(text, file, schema)
        if mark in known:
            used[mark] = known[mark]
            sheet: Sheet = pickle.loads(known[mark])  # noqa: S301  the file that it comes from was sealed
            return sheet
        sheet = type_plant_file(text, file, schema)
        used[mark] = pickle.dumps(sheet, protocol=pickle.HIGHEST_PROTOCOL)
        return sheet

    plant = load_plant(settings, typed)
    if used.keys() != known.keys():
        marks = {entry[:3]: placed_mark(plant, entry[:3]) for entry in all_entries(plant)}
        kept.keep((used, marks), most=MOST)
    plant.placed_marks.update(marks)
    return plant


def _mark(text: str, file: str, schema: str) -> bytes:
    """Mark all that a typed file hangs on: the code, its own text and name, and what it may take over."""
    mark = sha256(code_mark())
    generic = generic_file(schema)
    for part in (file, schema, text, generic.read_bytes() if generic is not None else b""):
        content = part if isinstance(part, bytes) else part.encode("utf-8", "surrogatepass")
        mark.update(sha256(content).digest())
    return mark.digest()
