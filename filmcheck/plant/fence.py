"""The folders that a plant may read from: its own, and those that the user, not the tree, allows besides.

Settings and links come with the tree, which may be a stranger's. What they name outside of the plant's folder could be
any file of the user, and its text would stand in the report.
"""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from os.path import dirname, islink, realpath
from pathlib import Path

from filmcheck.reading.nodes import Fault
from filmcheck.records.place import Span

ALSO_READ = "FILMCHECK_ALSO_READ"
"""The variable that names folders outside of the plant which may be read, apart as in PATH."""

OUTSIDE = "The path leads out of the plant's folder."
WAY_IN = f"Put the file into the plant. Only you can allow another folder: name it in {ALSO_READ}."


@dataclass(frozen=True, slots=True)
class Fence:
    """Says of a path whether what it leads to lies within; links are followed, and those that circle lie outside.

    Without a plant, ``loose``, a file that the user names elsewhere has the folder that it is named in for its fence.
    """

    tops: tuple[str, ...]
    loose: bool = False
    _folders: dict[str, bool] = field(default_factory=dict, compare=False, repr=False)
    """What is known of folders; files are asked for each time, for one may be a link."""

    @classmethod
    def around(cls, *folders: Path, loose: bool = False) -> Fence:
        """Fence some folders in, and with them those that the user allows."""
        allowed = [folder for folder in os.environ.get(ALSO_READ, "").split(os.pathsep) if folder]
        return cls(tuple(dict.fromkeys(map(realpath, (*map(os.fspath, folders), *allowed)))), loose)

    def holds(self, path: str | Path) -> bool:
        """Whether what a path, given in full, leads to lies within."""
        text = os.fspath(path)
        folder = dirname(text)
        try:
            if islink(text):
                return self._within(realpath(text), folder)
            if folder not in self._folders:
                self._folders[folder] = self._within(realpath(folder), folder)
            return self._folders[folder] or self._within(realpath(text), folder)
        except (OSError, ValueError):  # a name that no file can have; reading it will tell
            return True

    def _within(self, real: str, folder: str) -> bool:
        tops = self.tops
        if self.loose and not _is_below(folder, tops):
            tops = (*tops, realpath(folder))
        return _is_below(real, tops)


def _is_below(path: str, tops: tuple[str, ...]) -> bool:
    return any(path == top or path.startswith(os.path.join(top, "")) for top in tops)


def outside() -> Fault:
    """Give the fault of a file that lies outside. Nothing of it is told, not even whether it is there."""
    return Fault("file-unreadable", Span(1, 1, 1, 1), OUTSIDE, WAY_IN)
