"""Lists the files of rule packs, for those who load them and for those who only ask whether they have changed."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path


def pack_files(paths: Iterable[Path]) -> list[Path]:
    """List the pack files of some files and folders, sorted within each folder."""
    files: list[Path] = []
    for path in paths:
        files += sorted(p for p in path.iterdir() if p.suffix in (".yaml", ".yml")) if path.is_dir() else [path]
    return files
