"""Runs within this process, that tell what was reported and how many sheets were judged afresh."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from pathlib import Path

from filmcheck.reports.sarif import sarif_text
from filmcheck.reports.sarif_choice import EVERY_KIND
from filmcheck.reports.text import text_report
from filmcheck.run import Options, lint
from filmcheck.running.cache_folder import cache_folder
from filmcheck.running.plant_context import SheetResult
from filmcheck.running.verdict_cache import VerdictCache
from filmcheck.running.workers import Task

DAY = date(2026, 12, 1)


class CountingCache(VerdictCache):
    """A cache that counts the results it is asked to keep: those of the sheets that were judged afresh."""

    fresh = 0

    def keep(self, task: Task, result: SheetResult) -> None:
        self.fresh += 1
        super().keep(task, result)


@dataclass(frozen=True, eq=False)
class Reports:
    """The reports of one run. Where two differ only their marks are printed: a line by line account takes minutes."""

    text: str
    sarif: str

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Reports) and (self.text, self.sarif) == (other.text, other.sarif)

    def __hash__(self) -> int:
        return hash((self.text, self.sarif))

    def __repr__(self) -> str:
        marks = (f"{len(each)} letters {sha256(each.encode()).hexdigest()[:12]}" for each in (self.text, self.sarif))
        return f"<text of {', SARIF of '.join(marks)}>"


@dataclass(frozen=True)
class Ran:
    """What a run reported, and how many sheets it judged afresh."""

    reports: Reports
    fresh: int

    @property
    def text(self) -> str:
        return self.reports.text

    @property
    def sarif(self) -> str:
        return self.reports.sarif


def lint_here(
    *paths: Path,
    kept: bool = True,
    today: date = DAY,
    passes: bool = False,
    workers: int = 1,
    after: Callable[[int], None] | None = None,
) -> Ran:
    """Lint the current folder, by default with the cache."""

    def progress(done: int, of: int) -> None:
        if after is not None:
            after(done)

    folder = cache_folder() if kept else None
    store = CountingCache(folder) if folder is not None else None
    options = Options(today=today, passes=passes, cache=store, progress=progress, workers=workers)
    report = lint(paths or (Path("."),), options)
    reports = Reports(text_report(report, show_passes=passes), sarif_text(report, kinds=EVERY_KIND))
    return Ran(reports, store.fresh if store is not None else report.jobs)
