"""Finds the job sheets that a run is asked to lint, and the plant that each belongs to; each plant is read once."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from filmcheck.plant.plant import Plant, load_plant, settings_above, settled

SHEET_SUFFIXES = (".yaml", ".yml", ".json")

Tell = Callable[[Path, str], None]
"""Takes a path that nothing can be read from, and why."""


class Plants:
    """The plants of one run, by the path of their settings."""

    def __init__(self) -> None:
        """Start with none read."""
        self._above: dict[Path, Path | None] = {}
        self._read: dict[Path | None, Plant] = {}

    def settings(self, folder: Path) -> Path | None:
        """Give the settings that hold in a folder."""
        if folder not in self._above:
            self._above[folder] = settings_above(folder)
        return self._above[folder]

    def plant(self, settings: Path | None) -> Plant:
        """Give the plant of some settings; without settings, one that knows nothing."""
        if settings not in self._read:
            self._read[settings] = load_plant(settings)
        return self._read[settings]

    @property
    def read(self) -> list[Path | None]:
        """The settings of the plants read so far; those that a walk passed count, sheets or none."""
        return list(self._read)


def sheet_files(paths: Iterable[Path], plants: Plants, tell: Tell) -> list[Path]:
    """List the files to lint in the order asked for, each once; folders give the sheets below them, sorted.

    A file that is named is taken whatever it is. Below a folder only YAML and JSON files count that lie where
    the settings of their plant say that its jobs are, and none of its settings, registers and rule packs.
    """
    found: dict[Path, None] = {}
    for path in map(settled, paths):
        if _is_folder(path):
            below = [file for file in _files_below(path, tell) if _is_sheet(file, plants)]
            found.update(dict.fromkeys(below))
            if not below:
                tell(path, "no job sheet lies below this folder")
        else:
            found.setdefault(path)
    return list(found)


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except OSError:  # a right that is lacking, or too long a name: reading it will tell
        return False


def _files_below(folder: Path, tell: Tell) -> Iterator[Path]:
    """Walk a folder. Dot folders are left out, links to folders are not followed, so no loop can catch it."""

    def trouble(error: OSError) -> None:
        tell(Path(error.filename), f"the folder cannot be read: {error.strerror}")

    for here, folders, names in os.walk(folder, onerror=trouble):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            if name.endswith(SHEET_SUFFIXES) and not name.startswith("."):
                yield Path(here, name)


def _is_sheet(path: Path, plants: Plants) -> bool:
    plant = plants.plant(plants.settings(path.parent))
    if plant.owns(path):
        return False
    return not plant.job_folders or not plant.job_folders.isdisjoint(path.parents)
