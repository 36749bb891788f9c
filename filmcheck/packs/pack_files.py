"""Lists the files of rule packs, for those who load them and for those who only ask whether they have changed."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from filmcheck.plant.fence import Fence
from filmcheck.plant.plant import shown
from filmcheck.records.errors import UseError


def pack_files(paths: Iterable[Path]) -> list[Path]:
    """List the pack files of some files and folders, sorted within each folder.

    Raises UseError where a file of a folder is a link that leads out of it.
    """
    files: list[Path] = []
    for path in paths:
        files += _files_in(path) if path.is_dir() else [path]
    return files


def _files_in(folder: Path) -> list[Path]:
    files = sorted(path for path in folder.iterdir() if path.suffix in (".yaml", ".yml"))
    fence = Fence.around(folder)
    for path in files:
        if not fence.holds(path.absolute()):
            raise UseError(
                f"{shown(path)} is not read: it leads out of its pack's folder",
                way_out="Put the file itself there, not a link.",
            )
    return files
