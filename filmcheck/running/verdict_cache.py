"""Verdicts kept by content: of the sheet, the register entries it names, the rules and the settings.

What is kept is only ever a shortcut. Each row carries a seal, is matched against everything it hung on, and is
passed over wherever anything differs; a damaged or locked file costs time and changes no result.
"""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from contextlib import suppress
from datetime import date
from hashlib import sha256
from itertools import islice
from os.path import lexists
from pathlib import Path
from stat import S_ISREG
from typing import NamedTuple
from zlib import compress, decompress
from zlib import error as DecompressError  # noqa: N812  it is the class of an exception

from filmcheck.plant.entries import EntryName, placed_mark
from filmcheck.plant.plant import PERMITS
from filmcheck.running.cache_folder import code_mark, is_ours
from filmcheck.running.plain_results import Words, plain_result
from filmcheck.running.plant_context import PlantContext, SheetResult
from filmcheck.running.sealed_file import cache_key, is_sealed, seal
from filmcheck.running.workers import Task

TOGETHER = 400
"""Rows asked for, or written, in one go."""

MOST = 1_000_000_000
"""Bytes of kept verdicts from which on the older half is let go."""

LARGEST = 4_000_000
"""Bytes of a sheet; of a larger one nothing is kept."""

SQLITE_TROUBLE = (sqlite3.Error, UnicodeDecodeError)
"""What a damaged file brings about; the second where the name that SQLite complains of is no text."""

Stamp = tuple[int, ...]


class Seen(NamedTuple):
    """What stands for a sheet in the cache, and how its file looked when that was worked out."""

    key: bytes
    content: bytes
    stamp: Stamp


class VerdictCache:
    """The verdicts of earlier runs, in one SQLite file."""

    def __init__(self, folder: Path) -> None:
        """Open the file; where that fails, know nothing and keep nothing."""
        self._contexts: Mapping[Path | None, PlantContext] = {}
        self._context_marks: dict[Path | None, bytes] = {}
        self._day = ""
        self._seen: dict[str, Seen] = {}
        self._new: list[tuple[bytes, bytes]] = []
        self._words = Words()
        self._path = folder / "verdicts.sqlite"
        key = cache_key()
        self._key = key or b""
        self._store = _opened(self._path) if key else None

    def begin(self, contexts: Mapping[Path | None, PlantContext], today: date, *, passes: bool) -> None:
        """Take the contexts of a run, before anything is asked or kept."""
        self._contexts = contexts
        # Rules without a mark are such as changed while they were read: nothing can be held against them later.
        marked = {settings: context for settings, context in contexts.items() if context.packs.mark}
        self._context_marks = {settings: _context_mark(context, passes=passes) for settings, context in marked.items()}
        self._day = today.isoformat()

    def unknown(self, tasks: Iterable[Task], take: Callable[[Task, SheetResult], None]) -> Iterator[Task]:
        """Give the tasks of which nothing is known; hand on the results that still hold of the others.

        Of a sheet that is only to be summed up, whoever judged it left the sum here.
        """
        waiting = iter(tasks)
        while some := list(islice(waiting, TOGETHER)):
            known = dict(self._known(some))
            for path, (task, result) in known.items():
                del self._seen[path]
                take(task, result)
            yield from (task for task in some if task.path not in known)

    def keep(self, task: Task, result: SheetResult) -> None:
        """Keep a result; it is written together with others. A sheet that changes during the run is not kept."""
        seen = self._seen.pop(task.path, None)
        if seen is None or self._store is None or not task.own or _content(task.path) != (seen.content, seen.stamp):
            return
        hangs_on = self._marks(_entries(result), task.settings)
        plain = [plain_result(result), hangs_on, self._day if result.asked_today else ""]
        payload = compress(json.dumps(plain, separators=(",", ":")).encode("ascii"), 1)
        self._new.append((seen.key, seal(self._key, seen.key + payload) + payload))
        if len(self._new) >= TOGETHER:
            self._write()

    def close(self) -> None:
        """Write what is left and let the file go."""
        if self._new:
            self._write()
            self._thin_out()
        self._let_go()

    def _known(self, tasks: list[Task]) -> Iterator[tuple[str, tuple[Task, SheetResult]]]:
        by_key = {seen.key: task for task in tasks if (seen := self._look_at(task)) is not None}
        for key, row in self._rows(by_key):
            result = self._read(key, row, task := by_key[key])
            if result is not None:
                yield task.path, (task, result)

    def _look_at(self, task: Task) -> Seen | None:
        mark = self._context_marks.get(task.settings)
        if mark is None or not self._contexts[task.settings].plant.fence.holds(task.path):
            return None
        found = _content(task.path)
        if found is None:
            return None
        name = sha256(task.file.encode("utf-8", "surrogateescape")).digest()
        seen = self._seen[task.path] = Seen(sha256(mark + name + found[0]).digest(), *found)
        return seen

    def _rows(self, keys: Collection[bytes]) -> list[tuple[bytes, bytes]]:
        if self._store is None:
            return []
        marks = ",".join("?" * len(keys))
        try:
            rows = self._store.execute(f"SELECT key, row FROM verdicts WHERE key IN ({marks})", list(keys))  # noqa: S608
            return [(key, row) for key, row in rows if key in keys and isinstance(row, bytes)]
        except SQLITE_TROUBLE as error:
            self._let_go(error)
            return []

    def _read(self, key: bytes, row: bytes, task: Task) -> SheetResult | None:
        if not is_sealed(self._key, row[:32], key + row[32:]):
            return None
        try:
            plain, hangs_on, day = json.loads(decompress(row[32:]))
            entries = (tuple(each[:3]) for each in hangs_on)
            if day not in ("", self._day) or hangs_on != self._marks(entries, task.settings):
                return None
            result = self._words.result(plain, task.file)
            return result if task.own else SheetResult((), result.summary, False)
        except (ValueError, TypeError, IndexError, KeyError, DecompressError):
            return None

    def _marks(self, entries: Iterable[EntryName], settings: Path | None) -> list[list[str]]:
        plant = self._contexts[settings].plant
        return [[*entry, placed_mark(plant, entry)] for entry in entries]

    def _write(self) -> None:
        rows, self._new = self._new, []
        if self._store is None:
            return
        try:
            with self._store:
                self._store.executemany("INSERT OR REPLACE INTO verdicts VALUES (?, ?)", rows)
        except SQLITE_TROUBLE as error:
            self._let_go(error)  # full, locked or damaged: go on without

    def _thin_out(self) -> None:
        """Let the older half go where too much is kept: every edit of a sheet or a rule leaves verdicts behind."""
        if self._store is None:
            return
        try:
            words = ("page_count", "freelist_count", "page_size")
            pages, free, size = (self._store.execute(f"PRAGMA {word}").fetchone()[0] for word in words)
            if (pages - free) * size > MOST:
                with self._store:
                    middle = "(SELECT (min(rowid) + max(rowid)) / 2 FROM verdicts)"
                    self._store.execute(f"DELETE FROM verdicts WHERE rowid <= {middle}")  # noqa: S608
        except SQLITE_TROUBLE as error:
            self._let_go(error)

    def _let_go(self, error: Exception | None = None) -> None:
        """Close the file; one that is damaged is thrown away, so that the next run begins with a new one."""
        store, self._store = self._store, None
        if store is not None:
            with suppress(sqlite3.Error):
                store.close()
        if error is not None and _is_broken(error):
            _discard(self._path)


def _opened(path: Path) -> sqlite3.Connection | None:
    for attempt in (1, 2):
        try:
            _make_private(path)
            store = sqlite3.connect(path, timeout=2)
            store.text_factory = bytes  # what is no text is found by its seal
            store.execute("PRAGMA trusted_schema=OFF")  # a file that somebody else has made may hold views of its own
            store.execute("PRAGMA journal_mode=WAL")
            store.execute("PRAGMA synchronous=OFF")  # every row has its seal, so a torn one is only passed over
            store.execute("CREATE TABLE IF NOT EXISTS verdicts (key BLOB PRIMARY KEY, row BLOB)")
            store.execute("SELECT key, row FROM verdicts LIMIT 1").fetchone()
            return store
        except SQLITE_TROUBLE as error:
            if not _is_broken(error):
                return None  # locked or not to be written: another run may need it as it is
        except OSError:
            return None
        if attempt == 1:
            _discard(path)
    return None


def _is_broken(error: Exception) -> bool:
    """Whether an error tells of a damaged or foreign file, and not of a lock, a lacking right or a full disk."""
    code = getattr(error, "sqlite_errorcode", None)
    return not isinstance(error, sqlite3.OperationalError) or code == sqlite3.SQLITE_ERROR


def _make_private(path: Path) -> None:
    """Make the file such that only we may write to it; one that others could write to is thrown away.

    Raises OSError where something else than a file is in its place: opening a pipe may never end.
    """
    if lexists(path) and not path.is_file() and not path.is_symlink():
        raise FileExistsError(path)
    if path.is_symlink() or (path.is_file() and not is_ours(path)):
        _discard(path)
    for name in (f"{path}-wal", f"{path}-shm"):
        if os.path.islink(name):
            os.unlink(name)
    os.close(os.open(path, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o600))


def _discard(path: Path) -> None:
    for name in (path, path.with_name(path.name + "-wal"), path.with_name(path.name + "-shm")):
        try:
            name.unlink(missing_ok=True)
        except OSError:
            return


def _content(path: str) -> tuple[bytes, Stamp] | None:
    """Give a mark of the content of a file and of when it changed; nothing for what is no file, or too large."""
    try:
        status = os.stat(path)
        if not S_ISREG(status.st_mode) or status.st_size > LARGEST:
            return None
        stamp = (status.st_ino, status.st_size, status.st_mtime_ns, status.st_ctime_ns)
        with open(path, "rb", buffering=0) as file:
            return sha256(file.read()).digest(), stamp
    except OSError:
        return None


def _entries(result: SheetResult) -> Iterator[EntryName]:
    for entry in result.summary.entries if result.summary is not None else ():
        yield entry.register, entry.section, entry.name


def _context_mark(context: PlantContext, *, passes: bool) -> bytes:
    """Mark everything but the sheet and the entries that a verdict hangs on."""
    plant = context.plant
    common = [plant.settings.place.file, *([permits.place.file] if (permits := plant.registers.get(PERMITS)) else [])]
    texts = [plant.files[file].text for file in common if file in plant.files]
    registers = [(name, sheet.tree is None) for name, sheet in plant.files.items()]
    mark = sha256(code_mark() + context.packs.mark + bytes([passes]))
    mark.update(repr((common, texts, registers, sorted(plant.registers))).encode("utf-8", "surrogatepass"))
    return mark.digest()
