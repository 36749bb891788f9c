"""Finds the rule packs and schemas that come with filmcheck, in a wheel and in a checkout alike."""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path
from typing import Any

from filmcheck.records.errors import UseError
from filmcheck.records.place import SHIPPED

PACKAGE = Path(__file__).resolve().parents[1]


@lru_cache(maxsize=2)
def shipped_folder(name: str) -> Path:
    """Give the folder ``rules`` or ``schemas`` that belongs to this installation.

    A wheel carries both inside the package. A checkout has them beside it, which only counts where its
    project file lies too: a stray folder of that name next to an installed package must not be taken.
    """
    installed = PACKAGE / "_shipped" / name
    if installed.is_dir():
        return installed
    beside = PACKAGE.parent / name
    if beside.is_dir() and (PACKAGE.parent / "pyproject.toml").is_file():
        return beside
    raise UseError(f"the shipped folder {name} is missing", way_out="Install filmcheck again.")


def is_installed() -> bool:
    """Whether the packs lie within the package, and not beside it as in a checkout."""
    return shipped_folder("rules").is_relative_to(PACKAGE)


def shipped_name(path: Path) -> str:
    """Give the name by which reports show a file of the shipped packs; nothing for any other file."""
    folder = shipped_folder("rules")
    return SHIPPED + path.relative_to(folder).as_posix() if path.is_relative_to(folder) else ""


@lru_cache(maxsize=16)
def shipped_schema(name: str) -> dict[str, Any]:
    """Give a schema by its file's stem, such as ``job-sheet``."""
    text = (shipped_folder("schemas") / f"{name}.schema.json").read_text(encoding="utf-8")
    schema: dict[str, Any] = json.loads(text)
    borrowed: dict[str, Any] = {}
    schema = _with_borrowed(schema, borrowed)
    return {**schema, "$defs": {**borrowed, **schema.get("$defs", {})}} if borrowed else schema


def _with_borrowed(part: Any, borrowed: dict[str, Any]) -> Any:
    """Put in what a schema takes from another one of ours (``job-sheet.schema.json#/properties/web``), and gather
    the definitions that this in turn refers to.
    """
    if isinstance(part, list):
        return [_with_borrowed(item, borrowed) for item in part]
    if not isinstance(part, dict):
        return part
    file, _, pointer = str(part.get("$ref", "")).partition("#/")
    if not file or not pointer:
        return {key: _with_borrowed(inner, borrowed) for key, inner in part.items()}
    other = shipped_schema(file.removesuffix(".schema.json"))
    borrowed.update(other.get("$defs", {}))
    found: Any = other
    for step in pointer.split("/"):
        found = found[step]
    return found
