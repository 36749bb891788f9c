"""Finds the job sheets that a run is asked to lint, and the plant that each belongs to; each plant is read once.

A repository may hold a hundred thousand sheets, so a sheet is known by the text of its full path, and what its folder
settles is asked once a folder.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from os.path import dirname, normcase
from pathlib import Path
from typing import NamedTuple

from filmcheck.plant.fence import OUTSIDE
from filmcheck.plant.plant import Plant, load_plant, settings_above, settled
from filmcheck.reading.shipped import shipped_folder

SHEET_SUFFIXES = (".yaml", ".yml", ".json")

PassOver = Callable[[Path, str], None]
"""Takes a path that nothing can be read from, and why."""

DOT_FOLDER, DOT_FILE, LINKED_FOLDER, ELSEWHERE = "dot folder", "dot file", "linked folder", "stray file"
PASSED_OVER = {
    DOT_FOLDER: "folders whose name begins with a dot are not walked",
    DOT_FILE: "files whose name begins with a dot are not read",
    LINKED_FOLDER: "links to folders are not followed",
    ELSEWHERE: "the settings of the plant name other folders for its jobs",
}
"""Reasons for which a walk passes something over, each with what it says."""

Pass = Callable[[str, str], None]
"""Takes a reason and the full path that was passed over for it."""


class Folder(NamedTuple):
    """What the plant of a folder settles for the files in it."""

    settings: Path | None
    own_names: frozenset[str]
    """Files that are the plant's own: its settings, its registers and packs."""
    is_own: bool
    """Whether the folder lies within a rule pack, so that all in it is the plant's own."""
    is_for_jobs: bool
    """Whether it lies where the plant says that its jobs are."""

    def owns(self, name: str) -> bool:
        """Whether a file in it is the plant's own, and so no job sheet."""
        return self.is_own or normcase(name) in self.own_names


class Plants:
    """The plants of one run, by the path of their settings."""

    def __init__(self, load: Callable[[Path | None], Plant] = load_plant) -> None:
        self._load = load
        self._folders: dict[str, Folder] = {}
        self._read: dict[Path | None, Plant] = {}

    def settings(self, path: str) -> Path | None:
        """Give the settings that hold for a file, given by its full path."""
        return self.folder(dirname(path)).settings

    def owns(self, path: str) -> bool:
        """Whether a file, given by its full path, is its plant's own: settings, a register, or of a rule pack."""
        folder, name = os.path.split(path)
        return self.folder(folder).owns(name)

    def folder(self, path: str) -> Folder:
        """Give what holds in a folder, given by its full path."""
        if path not in self._folders:
            self._folders[path] = self._look_at(Path(path))
        return self._folders[path]

    def plant(self, settings: Path | None) -> Plant:
        """Give the plant of some settings; without settings, one that knows nothing."""
        if settings not in self._read:
            self._read[settings] = self._load(settings)
        return self._read[settings]

    @property
    def read(self) -> list[Path | None]:
        """The settings of the plants read so far; those that a walk passed count, sheets or none."""
        return list(self._read)

    def _look_at(self, folder: Path) -> Folder:
        settings = settings_above(folder)
        plant = self.plant(settings)
        own_names = frozenset(normcase(path.name) for path in plant.own_files if path.parent == folder)
        jobs = plant.job_folders
        is_for_jobs = not jobs or folder in jobs or not jobs.isdisjoint(folder.parents)
        return Folder(settings, own_names, plant.owns(folder), is_for_jobs)


def _heed_none(reason: str, path: str) -> None:
    """Take what was passed over, where nobody asks."""


def sheet_files(paths: Iterable[Path], plants: Plants, tell: PassOver, passed_over: Pass = _heed_none) -> list[str]:
    """List the files to lint by full path, in the order asked for, each once; folders give the sheets below, sorted.

    A file that is named is taken whatever it is. Below a folder only YAML and JSON files count that lie where
    the settings of their plant say that its jobs are, and none of its settings, registers and rule packs.
    """
    found: dict[str, None] = {}
    for path in map(settled, paths):
        if _is_folder(path):
            below = dict.fromkeys(_sheets_below(path, plants, tell, passed_over))
            found.update(below)
            if not below:
                tell(path, "no job sheet lies below this folder")
        else:
            found.setdefault(str(path))
    return list(found)


def _is_folder(path: Path) -> bool:
    try:
        return path.is_dir()
    except OSError:  # a right that is lacking, or too long a name: reading it will tell
        return False


def _sheets_below(top: Path, plants: Plants, tell: PassOver, passed_over: Pass) -> Iterator[str]:
    """Walk a folder. Dot folders are left out, links to folders are not followed, so no loop can catch it."""
    if not plants.plant(plants.folder(str(top)).settings).fence.holds(top):
        tell(top, f"the folder is not walked. {OUTSIDE}")
        return

    def trouble(error: OSError) -> None:
        tell(Path(error.filename), f"the folder cannot be read: {error.strerror}")

    for here, folders, names in os.walk(top, onerror=trouble):
        wanted = sorted(name for name in names if name.lower().endswith(SHEET_SUFFIXES))
        folder = plants.folder(here) if wanted or folders else None
        if folder is not None and folder.is_for_jobs:
            for name in folders:
                _tell_folder(here, name, passed_over)
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        own = (name for name in wanted if folder is not None and not folder.owns(name))
        for name in own:
            path, is_hidden = os.path.join(here, name), name.startswith(".")
            if folder is not None and folder.is_for_jobs:
                if not is_hidden:
                    yield path
                else:
                    passed_over(DOT_FILE, path)
            elif not is_hidden and not _is_schema(path):
                passed_over(ELSEWHERE, path)


def _is_schema(path: str) -> bool:
    """Whether a file is one of those that help an editor; ``filmcheck start`` puts them into a plant."""
    return os.path.lexists(shipped_folder("schemas") / os.path.basename(path))


def _tell_folder(here: str, name: str, passed_over: Pass) -> None:
    path = os.path.join(here, name)
    if name.startswith("."):
        if name != ".git":
            passed_over(DOT_FOLDER, path)
    elif os.path.islink(path):
        passed_over(LINKED_FOLDER, path)
