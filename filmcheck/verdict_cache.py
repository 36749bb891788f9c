"""Verdicts kept by content: of the sheet, the register entries it names, the rules and the settings.

What is kept is only ever a shortcut. Each row carries a checksum, is matched against everything it hung on, and is
passed over wherever anything differs; a damaged or locked file costs time and changes no result.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from filmcheck.bench import Bench, SheetResult
from filmcheck.cache_folder import code_mark
from filmcheck.finding import Edit, Finding, Permit, Related
from filmcheck.judging.repository import JobSummary
from filmcheck.plant.entries import Named, entry_mark
from filmcheck.plant.plant import PERMITS, shown
from filmcheck.position import Place, Span
from filmcheck.workers import Task

TOGETHER = 400
"""Rows asked for, or written, in one go."""


class VerdictCache:
    """The verdicts of earlier runs, in one SQLite file."""

    def __init__(self, folder: Path) -> None:
        """Open the file; where that fails, know nothing and keep nothing."""
        self._keys: dict[Task, bytes] = {}
        self._deps: dict[Task, Bench] = {}
        self._new: list[tuple[bytes, bytes]] = []
        self._day = ""
        self._store = _opened(folder / "verdicts.sqlite")

    def known(
        self, tasks: list[Task], benches: dict[Path | None, Bench], today: date, *, passes: bool
    ) -> dict[Task, SheetResult]:
        """Give the results that still hold."""
        self._day = today.isoformat()
        if self._store is None:
            return {}
        marks = {settings: _bench_mark(bench, passes=passes) for settings, bench in benches.items()}
        for task in tasks:
            text = _content(task.path)
            if task.own and text is not None:
                name = shown(task.path).encode("utf-8", "surrogateescape")
                self._keys[task] = sha256(marks[task.settings] + sha256(name).digest() + text).digest()
                self._deps[task] = benches[task.settings]
        return dict(self._found())

    def keep(self, task: Task, result: SheetResult) -> None:
        """Keep a result; it is written together with others."""
        key = self._keys.get(task)
        if key is None or self._store is None:
            return
        payload = json.dumps(
            [_plain(result), self._hangs_on(result, self._deps[task]), self._day if result.asked_today else ""],
            separators=(",", ":"),
        ).encode("ascii")
        self._new.append((key, sha256(key + payload).digest() + payload))
        if len(self._new) >= TOGETHER:
            self._write()

    def close(self) -> None:
        """Write what is left and let the file go."""
        self._write()
        if self._store is not None:
            self._store.close()
            self._store = None

    def _found(self) -> Iterator[tuple[Task, SheetResult]]:
        by_key = {key: task for task, key in self._keys.items()}
        keys = list(by_key)
        words = Words()
        for start in range(0, len(keys), TOGETHER):
            for key, row in self._rows(keys[start : start + TOGETHER]):
                task = by_key[key]
                result = self._read(key, row, self._deps[task], words)
                if result is not None:
                    yield task, result

    def _rows(self, keys: list[bytes]) -> list[tuple[bytes, bytes]]:
        if self._store is None:
            return []
        marks = ",".join("?" * len(keys))
        try:
            rows = self._store.execute(f"SELECT key, row FROM verdicts WHERE key IN ({marks})", keys)  # noqa: S608
            return [(key, row) for key, row in rows if isinstance(key, bytes) and isinstance(row, bytes)]
        except sqlite3.Error:
            return []

    def _read(self, key: bytes, row: bytes, bench: Bench, words: Words) -> SheetResult | None:
        if row[:32] != sha256(key + row[32:]).digest():
            return None
        try:
            plain, hangs_on, day = json.loads(row[32:])
            fits = day in ("", self._day) and hangs_on == self._marks([tuple(each[:3]) for each in hangs_on], bench)
            return words.result(plain) if fits else None
        except (ValueError, TypeError, IndexError, KeyError):
            return None

    def _hangs_on(self, result: SheetResult, bench: Bench) -> list[list[str]]:
        entries = result.summary.entries if result.summary is not None else ()
        return self._marks([(entry.register, entry.section, entry.name) for entry in entries], bench)

    def _marks(self, entries: Iterable[tuple[str, str, str]], bench: Bench) -> list[list[str]]:
        return [[*entry, _placed_mark(bench, *entry)] for entry in entries]

    def _write(self) -> None:
        rows, self._new = self._new, []
        if self._store is None or not rows:
            return
        try:
            with self._store:
                self._store.executemany("INSERT OR REPLACE INTO verdicts VALUES (?, ?)", rows)
        except sqlite3.Error:
            self._store = None  # full, locked or damaged: go on without


def _opened(path: Path) -> sqlite3.Connection | None:
    for attempt in (1, 2):
        try:
            store = sqlite3.connect(path, timeout=2)
            store.execute("PRAGMA journal_mode=WAL")
            store.execute("PRAGMA synchronous=OFF")  # every row has its checksum, so a torn one is only passed over
            store.execute("CREATE TABLE IF NOT EXISTS verdicts (key BLOB PRIMARY KEY, row BLOB) WITHOUT ROWID")
            store.execute("SELECT key, row FROM verdicts LIMIT 1").fetchone()
            return store
        except sqlite3.OperationalError:
            return None  # locked or not to be written: another run may need it as it is
        except (sqlite3.Error, OSError):
            if attempt == 1:
                _discard(path)
    return None


def _discard(path: Path) -> None:
    for name in (path, path.with_name(path.name + "-wal"), path.with_name(path.name + "-shm")):
        try:
            name.unlink(missing_ok=True)
        except OSError:
            return


def _content(path: Path) -> bytes | None:
    try:
        return path.read_bytes() if path.is_file() and path.stat().st_size < 4_000_000 else None
    except OSError:
        return None


def _bench_mark(bench: Bench, *, passes: bool) -> bytes:
    """Mark everything but the sheet and the entries that a verdict hangs on."""
    plant = bench.plant
    common = [plant.settings.place.file, *([permits.place.file] if (permits := plant.registers.get(PERMITS)) else [])]
    texts = [plant.files[file].text for file in common if file in plant.files]
    registers = [(name, sheet.tree is None) for name, sheet in plant.files.items()]
    mark = sha256(code_mark() + bench.packs_mark + bytes([passes]))
    mark.update(repr((common, texts, registers, sorted(plant.registers))).encode("utf-8", "surrogatepass"))
    return mark.digest()


def _placed_mark(bench: Bench, register: str, section: str, name: str) -> str:
    """Mark an entry by content and by place, for findings cite where its numbers stand."""
    entry = bench.plant.entries(register, section).get(name)
    place = str(entry.place) + str(entry.place.span) if entry is not None else _names_mark(bench, register, section)
    return f"{entry_mark(bench.plant, register, section, name)} {place}"


@lru_cache(maxsize=64)
def _hashed(names: tuple[str, ...]) -> str:
    return sha256(repr(names).encode("utf-8", "surrogatepass")).hexdigest()[:16]


def _names_mark(bench: Bench, register: str, section: str) -> str:
    """Mark the names there are, for the finding on an unknown one offers the nearest."""
    return _hashed(tuple(bench.plant.entries(register, section)))


# --- to plain lists and back


def _plain(result: SheetResult) -> list[Any]:
    summary = result.summary
    return [
        [_plain_finding(finding) for finding in result.findings],
        list(summary) if summary else None,
        result.asked_today,
    ]


def _plain_finding(finding: Finding) -> list[Any]:
    permit = finding.permit
    held = [getattr(permit, name) for name in Permit.__slots__] if permit else None
    related = [[each.place, each.text] for each in finding.related]
    edits = [[each.place, each.text] for each in finding.edits]
    plain = {"related": related, "edits": edits, "permit": held}
    return [plain.get(name, getattr(finding, name)) for name in Finding.__slots__]


def _named(plain: list[Any], place: Callable[[list[Any]], Place]) -> Named:
    what, register, section, name, stands = plain
    return Named(what, register, section, name, place(stands))


class Words:
    """Builds results from plain lists; texts that recur by the thousand are kept once."""

    def __init__(self) -> None:
        """Start with no text known."""
        self._texts: dict[str, str] = {}
        self._places: dict[tuple[Any, ...], Place] = {}

    def result(self, plain: list[Any]) -> SheetResult:
        """Build the result of a sheet."""
        findings, summary, asked_today = plain
        return SheetResult(tuple(map(self._finding, findings)), self._summary(summary), bool(asked_today))

    def _text(self, text: str) -> str:
        return self._texts.setdefault(text, text)

    def _place(self, plain: list[Any]) -> Place:
        file, span = plain
        return Place(self._text(file), Span(*span))

    def _finding(self, plain: list[Any]) -> Finding:
        parts = dict(zip(Finding.__slots__, plain, strict=True))
        for name, value in parts.items():
            if isinstance(value, str):
                parts[name] = self._text(value)
        parts["place"] = self._place(parts["place"])
        parts["arithmetic"], parts["missing"] = tuple(parts["arithmetic"]), tuple(map(self._text, parts["missing"]))
        parts["related"] = tuple(Related(self._place(place), text) for place, text in parts["related"])
        parts["edits"] = tuple(Edit(self._place(place), text) for place, text in parts["edits"])
        parts["permit"] = self._permit(parts["permit"])
        return Finding(**parts)

    def _permit(self, plain: list[Any] | None) -> Permit | None:
        if plain is None:
            return None
        parts = dict(zip(Permit.__slots__, plain, strict=True))
        return Permit(**{**parts, "place": self._place(parts["place"])})

    def _summary(self, plain: list[Any] | None) -> JobSummary | None:
        if plain is None:
            return None
        summary = JobSummary(*plain)
        entries = tuple(_named(each, self._place) for each in plain[7])
        return summary._replace(place=self._place(plain[2]), entries=entries)
