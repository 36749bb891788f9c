"""Which sheets a run judges, which it only holds others against, and whether those are all that a plant has."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from os.path import realpath
from pathlib import Path
from typing import TYPE_CHECKING

from filmcheck.plant.plant import settled, shown_full
from filmcheck.plant.sheet_files import Plants, sheet_files
from filmcheck.records.finding import Notice
from filmcheck.running.gathered import Gathered
from filmcheck.running.plant_context import PlantContext

if TYPE_CHECKING:
    from filmcheck.running.changes import Changes


def settings_of(files: Iterable[str], plants: Plants) -> list[Path | None]:
    """Give the settings of the plants that a run meets."""
    found = dict.fromkeys(map(plants.settings, files))
    return list(dict.fromkeys((*plants.read, *found)))


def sheets_of(files: list[str], plants: Plants, gathered: Gathered, since: Changes | None) -> list[str]:
    """Give the job sheets among the files, with those that a changed register touches; the rest is read already."""
    sheets: list[str] = []
    changed: list[str] = []
    for path in files:
        (changed if plants.owns(path) else sheets).append(path)
    gathered.files += map(shown_full, changed)
    if since is not None:
        return [path for path in sheets if since.touches(Path(path), plants.plant(plants.settings(path)))]
    return list(dict.fromkeys((*sheets, *_touched(changed, plants, gathered)))) if changed else sheets


def _touched(changed: list[str], plants: Plants, gathered: Gathered) -> Iterator[str]:
    """Give the sheets that a change of their plant's own files touches, but for drafts that git does not keep."""
    from filmcheck.running.changes import Changes  # brings git, which no run of job sheets alone asks

    for settings in dict.fromkeys(map(plants.settings, changed)):
        if settings is not None:
            plant = plants.plant(settings)
            near = Changes.of_files([Path(path) for path in changed if plants.settings(path) == settings], plant)
            gathered.notices += near.notices
            below = sheet_files(sorted(plant.job_folders) or [settings.parent], plants, lambda path, text: None)
            drafts = set(map(realpath, near.tree.untracked())) if near.tree is not None else set()
            touched = [path for path in below if plants.settings(path) == settings and near.touches(Path(path), plant)]
            kept = [path for path in touched if realpath(path) not in drafts] or touched  # all, before the first commit
            judged = set(kept)
            left = tuple(shown_full(path) for path in touched if path not in judged)
            if left:
                gathered.notices.append(Notice("not-kept", "touched too, but not kept by git, so left out", left))
            yield from kept


def others_of(files: list[str], plants: Plants, sheets: list[str], own: list[str], since: Changes | None) -> list[str]:
    """Give the sheets that are only summed up, to hold this run's own against them: of other shares, or untouched."""
    if not own or (since is None and len(own) == len(sheets)):
        return []
    taken = set(own)
    near = [path for path in files if not plants.owns(path)] if since else []
    return [path for path in dict.fromkeys((*sheets, *near)) if path not in taken]


def is_all(contexts: Mapping[Path | None, PlantContext], paths: Sequence[Path], share: tuple[int, int]) -> bool:
    """Whether this run alone judges every job of the plants it met."""
    plants = [context for settings, context in contexts.items() if settings is not None]
    return share == (1, 1) and all(is_whole(context, paths) for context in plants)


def is_whole(context: PlantContext, paths: Sequence[Path]) -> bool:
    """Whether every job sheet of a plant lies below the folders that the run was given."""
    root = context.plant.root
    wanted = context.plant.job_folders or ({root} if root is not None else set())
    given = {settled(path) for path in paths}
    return bool(wanted) and all(folder in given or not given.isdisjoint(folder.parents) for folder in wanted)
