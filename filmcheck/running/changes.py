"""What a change touches: the sheets that changed, and every sheet that names a register entry which changed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from filmcheck.plant.entries import all_entries, entry_mark, named_entries
from filmcheck.plant.plant import REGISTER_TEXTS, SETTINGS_FILE, Plant, read_sheet, type_text
from filmcheck.plant.record import Datum, find
from filmcheck.plant.short_sheet import made_whole
from filmcheck.records.errors import UseError

Entry = tuple[str, str, str]


@dataclass(slots=True)
class Changes:
    """Files that changed, as against a revision or simply as named."""

    files: frozenset[Path]
    revision: str = "HEAD"
    root: Path | None = None
    _entries: dict[Path | None, frozenset[Entry] | None] = field(default_factory=dict, init=False)
    _resettled: frozenset[Path] = field(default=frozenset(), init=False)
    """Folders whose settings changed, or were deleted, so that another plant's now hold."""

    def __post_init__(self) -> None:
        """Pick out the settings among the files."""
        self._resettled = frozenset(file.parent.resolve() for file in self.files if file.name == SETTINGS_FILE)

    @classmethod
    def since(cls, revision: str, folder: Path) -> Changes:
        """Ask git what has changed since a revision, files that it does not track yet included."""
        top = Path(_git(folder, "rev-parse", "--show-toplevel").removesuffix("\n"))
        commit = _git(top, "rev-parse", "--verify", "--end-of-options", f"{revision}^{{commit}}").strip()
        # Of a file that was renamed, the old name counts too: settings may still name it.
        names = _git(top, "diff", "--name-only", "--no-renames", "-z", commit, "--").split("\0")
        names += _git(top, "ls-files", "--others", "--exclude-standard", "-z").split("\0")
        return cls(frozenset(top / name for name in names if name), commit, top)

    @classmethod
    def of_files(cls, files: Iterable[Path], plant: Plant) -> Changes:
        """Take files that were named as changed, held against git's last commit where there is one."""
        root: Path | None = None
        if plant.root is not None:
            try:
                root = Path(_git(plant.root, "rev-parse", "--show-toplevel").removesuffix("\n"))
            except UseError:
                root = None
        return cls(frozenset(files), "HEAD", root)

    def touches(self, path: Path, plant: Plant) -> bool:
        """Whether the change touches a sheet: itself, an entry that it names, or what holds for every sheet."""
        real = path.resolve()
        if path in self.files or real in self.files or not self._resettled.isdisjoint(real.parents):
            return True
        changed = self._changed(plant)
        if changed is None:
            return True
        if not changed:
            return False
        sheet = read_sheet(path, "job-sheet")
        whole = made_whole(sheet.record, plant).record
        return any((entry.register, entry.section, entry.name) in changed for entry in named_entries(whole))

    def _changed(self, plant: Plant) -> frozenset[Entry] | None:
        """Give the entries that changed; None where settings, rules or permits did, which touch every sheet."""
        if plant.root not in self._entries:
            self._entries[plant.root] = self._compared(plant)
        return self._entries[plant.root]

    def _compared(self, plant: Plant) -> frozenset[Entry] | None:
        registers = _register_files(plant)
        owned = {path.resolve() for path in plant.own_files}
        own = [path for path in map(Path.resolve, self.files) if path in owned or not owned.isdisjoint(path.parents)]
        if any(path not in registers for path in own):
            return None
        found: set[Entry] = set()
        for path in own:
            for register in registers[path]:
                found |= self._entries_changed(plant, register, path)
        return frozenset(found)

    def _entries_changed(self, plant: Plant, register: str, path: Path) -> set[Entry]:
        now = {(r, s, n): entry_mark(plant, r, s, n) for r, s, n, _ in all_entries(plant) if r == register}
        before = self._before(plant, register, path)
        return {entry for entry in {*now, *before} if now.get(entry) != before.get(entry)}

    def _before(self, plant: Plant, register: str, path: Path) -> dict[Entry, str]:
        """Give the entries as they were. A register that was not there had none."""
        if self.root is None:
            return {}
        try:
            name = path.resolve().relative_to(self.root.resolve()).as_posix()
            text = _git(self.root, "show", f"{self.revision}:{name}")
        except (UseError, ValueError):
            return {}
        if text == _text(path):
            # It was named as changed and has been committed since: against what it changed, nobody can tell.
            return {}
        sheet = type_text(text, path.name, register)
        old = Plant(plant.root, plant.settings, {register: sheet.record}, {})
        return {(r, s, n): entry_mark(old, r, s, n) for r, s, n, _ in all_entries(old)}


def _register_files(plant: Plant) -> dict[Path, list[str]]:
    """Give the files of the registers, each with the registers that it is: one file may be named for two."""
    root = plant.root or Path()
    found: dict[Path, list[str]] = {}
    for register in REGISTER_TEXTS:
        field = find(plant.settings, ("registers", register))
        if isinstance(field, Datum):
            found.setdefault((root / field.text).resolve(), []).append(register)
    return found


def _text(path: Path) -> str | None:
    """Read a file as git gives it: with line ends as Python reads them."""
    try:
        return path.read_text(encoding="utf-8", errors="surrogateescape")
    except OSError:
        return None


def _git(folder: Path, *words: str) -> str:
    import subprocess  # only a run that asks for changes needs it

    try:
        done = subprocess.run(  # noqa: S603  fixed words; the revision is checked by git itself
            ["git", "-C", str(folder), *words],  # noqa: S607  git is looked up like any other command
            capture_output=True,
            text=True,
            encoding="utf-8",
            errors="surrogateescape",
            check=False,
        )
    except OSError as error:
        raise UseError("git is not there, so nothing can be told of changes", way_out="Install git.") from error
    if done.returncode != 0:
        says = done.stderr.strip().splitlines()[0] if done.stderr.strip() else f"git knows no {words[-1]}"
        raise UseError(f"git cannot tell what has changed: {says}", way_out="Give a revision that git knows.")
    return done.stdout
