"""What a change touches: the sheets that changed, and every sheet that names a register entry which changed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from filmcheck.plant.entries import EntryName, all_entries, entry_mark, named_entries
from filmcheck.plant.plant import REGISTER_TEXTS, SETTINGS_FILE, Plant, listed_paths, read_sheet, shown, type_plant_file
from filmcheck.plant.record import Datum, find
from filmcheck.plant.short_sheet import made_whole
from filmcheck.reading.text_file import LONGEST, decode, read_text
from filmcheck.records.errors import UseError
from filmcheck.records.finding import Notice
from filmcheck.running.git import GitTree, UnsafeGitError, real_path, redirections


@dataclass(slots=True)
class Changes:
    """Files that changed, as against a revision or simply as named."""

    files: frozenset[Path]
    revision: str = "HEAD"
    tree: GitTree | None = None
    notices: tuple[Notice, ...] = ()
    """What the reader of the report should know of how the changes were found."""
    _entries: dict[Path | None, frozenset[EntryName] | None] = field(default_factory=dict, init=False)
    _resettled: frozenset[Path] = field(default=frozenset(), init=False)
    """Folders whose settings changed, or were deleted, so that another plant's now hold."""

    def __post_init__(self) -> None:
        """Pick out the settings among the files."""
        self._resettled = frozenset(real_path(file.parent) for file in self.files if file.name == SETTINGS_FILE)

    @classmethod
    def since(cls, revision: str, folder: Path) -> Changes:
        """Ask git what has changed since a revision, files that it does not track yet included.

        Files that git was told to take for unchanged, and what lies in repositories within this one, count as changed.
        """
        tree = GitTree.above(folder)
        commit = tree.commit(revision)
        told, folders = tree.unwatched()
        notices = [
            Notice("git-variable", f"{name} is set, names another repository, and is not heeded")
            for name in redirections(tree.top)
        ]
        if told:
            says = "git was told to take these files for unchanged; they were looked at all the same"
            notices.append(Notice("git-unwatched", says, tuple(map(shown, sorted(told)))))
        files = frozenset((*tree.changed(commit), *told, *folders))
        return cls(files, commit, tree, tuple(notices))

    @classmethod
    def of_files(cls, files: Iterable[Path], plant: Plant) -> Changes:
        """Take files that were named as changed, held against git's last commit where there is one."""
        tree: GitTree | None = None
        notices: tuple[Notice, ...] = ()
        if plant.root is not None:
            try:
                tree = GitTree.above(plant.root)
            except UnsafeGitError as error:
                notices = (Notice("git-not-asked", f"git was not asked what has changed: {error.found}"),)
            except UseError:
                pass  # no repository, so nothing to hold the files against
        return cls(frozenset(files), "HEAD", tree, notices)

    def touches(self, path: Path, plant: Plant) -> bool:
        """Whether the change touches a sheet: itself, an entry that it names, or what holds for every sheet."""
        real = real_path(path)
        if path in self.files or real in self.files or not self._resettled.isdisjoint(real.parents):
            return True
        if not self.files.isdisjoint(real.parents):  # a folder whose changes git cannot tell
            return True
        changed = self._changed(plant)
        if changed is None:
            return True
        if not changed:
            return False
        sheet = read_sheet(path, "job-sheet", fence=plant.fence)
        whole = made_whole(sheet.record, plant).record
        return any((entry.register, entry.section, entry.name) in changed for entry in named_entries(whole))

    def _changed(self, plant: Plant) -> frozenset[EntryName] | None:
        """Give the entries that changed; None where settings, rules or permits did, which touch every sheet."""
        if plant.root not in self._entries:
            self._entries[plant.root] = self._compared(plant)
        return self._entries[plant.root]

    def _compared(self, plant: Plant) -> frozenset[EntryName] | None:
        registers = _register_files(plant)
        owned = {real_path(path) for path in plant.own_files}
        own = [path for path in map(real_path, self.files) if path in owned or not owned.isdisjoint(path.parents)]
        mappings = {real_path(path) for path, _ in listed_paths(plant.settings, plant.root or Path(), "mappings")}
        own = [path for path in own if mappings.isdisjoint((path, *path.parents))]  # no sheet hangs on them
        if any(path not in registers for path in own):
            return None
        found: set[EntryName] = set()
        for path in own:
            for register in registers[path]:
                found |= self._entries_changed(plant, register, path)
        return frozenset(found)

    def _entries_changed(self, plant: Plant, register: str, path: Path) -> set[EntryName]:
        now = {(r, s, n): entry_mark(plant, r, s, n) for r, s, n, _ in all_entries(plant) if r == register}
        before = self._before(plant, register, path)
        return {entry for entry in {*now, *before} if now.get(entry) != before.get(entry)}

    def _before(self, plant: Plant, register: str, path: Path) -> dict[EntryName, str]:
        """Give the entries as they were. A register that was not there had none."""
        if self.tree is None:
            return {}
        try:
            name = real_path(path).relative_to(self.tree.top).as_posix()
            raw = self.tree.text(self.revision, name, LONGEST)
        except (UseError, ValueError):
            return {}
        text = decode(raw) if raw is not None else None
        now = read_text(path)
        if not isinstance(text, str) or (isinstance(now, str) and _lines(text) == _lines(now)):
            # It was named as changed and has been committed since: against what it changed, nobody can tell.
            return {}
        old = Plant(plant.root, plant.settings, {register: type_plant_file(text, path.name, register).record}, {})
        return {(r, s, n): entry_mark(old, r, s, n) for r, s, n, _ in all_entries(old)}


def _register_files(plant: Plant) -> dict[Path, list[str]]:
    """Give the files of the registers, each with the registers that it is: one file may be named for two."""
    root = plant.root or Path()
    found: dict[Path, list[str]] = {}
    for register in REGISTER_TEXTS:
        field = find(plant.settings, ("registers", register))
        if isinstance(field, Datum):
            found.setdefault(real_path(root / field.text), []).append(register)
    return found


def _lines(text: str) -> str:
    """Give a text with the line ends that git keeps."""
    return text.replace("\r\n", "\n")
