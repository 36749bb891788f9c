"""One run, in its five steps: read, resolve, compute, judge, report."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import chain
from pathlib import Path

from filmcheck.bench import Bench, SheetResult, judge_sheet, make_bench, sum_sheet_up
from filmcheck.changes import Changes
from filmcheck.finding import Finding, Report, Trouble
from filmcheck.judging.repository import Repository
from filmcheck.plant.plant import read_sheet, settled, shown, shown_full
from filmcheck.plant.sheet_files import Plants, sheet_files
from filmcheck.verdict_cache import VerdictCache
from filmcheck.version import VERSION
from filmcheck.workers import Task, judged

Benches = dict[Path | None, Bench]
"""A bench for each plant, by its settings."""

Take = Callable[[Task, SheetResult], None]
"""Takes what came of a sheet."""


@dataclass(frozen=True, slots=True)
class Wishes:
    """How a run is to go about its work. None of it changes what is found, save ``since`` and ``share``."""

    today: date = field(default_factory=date.today)
    passes: bool = False
    workers: int = 1
    cache: VerdictCache | None = None
    share: tuple[int, int] = (1, 1)
    since: Changes | None = None
    progress: Callable[[int, int], None] | None = None


@dataclass(slots=True)
class Gathered:
    """What a run has found so far."""

    findings: list[Finding] = field(default_factory=list)
    files: list[str] = field(default_factory=list)
    troubles: list[Trouble] = field(default_factory=list)
    done: int = 0

    def trouble(self, path: Path, text: str) -> None:
        """Keep that nothing could be read from a path."""
        self.troubles.append(Trouble(shown(path), text))


def lint(paths: Sequence[Path], wishes: Wishes | None = None) -> Report:
    """Lint job sheets, given as files or folders. Raises PackError or UseError; bad sheets become findings."""
    wishes = wishes or Wishes()
    gathered, plants = Gathered(), Plants()
    files = sheet_files(paths, plants, gathered.trouble)
    benches = {settings: make_bench(plants.plant(settings)) for settings in _settings(files, plants)}
    repositories = {settings: Repository(bench.plant, bench.rules, bench.house) for settings, bench in benches.items()}
    sheets = _sheets(files, plants, gathered, wishes.since)
    number, of = wishes.share
    own = sheets[number - 1 :: of]
    # What is wrong with a plant itself, or over all of its jobs, is told by one share alone.
    others = _others(files, plants, sheets, own, wishes.since) if number == 1 else []
    total = len(own) + len(others)

    def take(task: Task, result: SheetResult) -> None:
        gathered.findings += result.findings
        repositories[task.settings].add(result.summary)
        gathered.done += 1
        if wishes.progress:
            wishes.progress(gathered.done, total)

    shown_own = list(map(shown_full, own))
    tasks = (Task(path, file, plants.settings(path), own=True) for path, file in zip(own, shown_own, strict=True))
    summed = (Task(path, shown_full(path), plants.settings(path), own=False) for path in others)
    _go_over(chain(tasks, summed), benches, wishes, take)
    whole = wishes.since is None and not gathered.troubles
    about = {shown_full(path) for path in sheets} if wishes.since else None
    for settings, bench in benches.items() if number == 1 else ():
        gathered.findings += bench.plant_findings()
        gathered.findings += repositories[settings].findings(whole=whole and _is_whole(bench, paths), about=about)
    if number > 1:
        gathered.troubles.clear()
        gathered.files.clear()
    gathered.files += shown_own
    return _report(gathered, benches.values(), len(own), whole=whole and _is_all(benches, paths, wishes.share))


def _report(gathered: Gathered, benches: Iterable[Bench], jobs: int, *, whole: bool) -> Report:
    texts = {rule.id: rule.text for bench in benches for rule in bench.rules}
    findings = tuple(sorted(gathered.findings, key=_order))
    return Report(
        findings,
        tuple(texts.values()),
        tuple(gathered.files),
        tuple(gathered.troubles),
        VERSION,
        jobs=jobs,
        whole=whole,
    )


def _settings(files: Iterable[str], plants: Plants) -> list[Path | None]:
    found = dict.fromkeys(map(plants.settings, files))
    return list(dict.fromkeys((*plants.read, *found)))


def _sheets(files: list[str], plants: Plants, gathered: Gathered, since: Changes | None) -> list[str]:
    """Give the job sheets among the files, with those that a changed register touches; the rest is read already."""
    sheets: list[str] = []
    changed: list[str] = []
    for path in files:
        (changed if plants.owns(path) else sheets).append(path)
    gathered.files += map(shown_full, changed)
    if since is not None:
        return [path for path in sheets if since.touches(Path(path), plants.plant(plants.settings(path)))]
    return list(dict.fromkeys((*sheets, *_touched(changed, plants)))) if changed else sheets


def _touched(changed: list[str], plants: Plants) -> Iterator[str]:
    """Give the sheets that a change of their plant's own files touches."""
    for settings in dict.fromkeys(map(plants.settings, changed)):
        if settings is not None:
            plant = plants.plant(settings)
            near = Changes.of_files([Path(path) for path in changed if plants.settings(path) == settings], plant)
            below = sheet_files(sorted(plant.job_folders) or [settings.parent], plants, lambda path, text: None)
            yield from (path for path in below if plants.settings(path) == settings and near.touches(Path(path), plant))


def _others(files: list[str], plants: Plants, sheets: list[str], own: list[str], since: Changes | None) -> list[str]:
    """Give the sheets that are only summed up, to hold this run's own against them: of other shares, or untouched."""
    if not own or (since is None and len(own) == len(sheets)):
        return []
    taken = set(own)
    near = [path for path in files if not plants.owns(path)] if since else []
    return [path for path in dict.fromkeys((*sheets, *near)) if path not in taken]


def _go_over(tasks: Iterable[Task], benches: Benches, wishes: Wishes, take: Take) -> None:
    """Hand on what comes of each sheet, in whatever order: from the cache where it knows them, else judged afresh."""
    cache = wishes.cache

    def judge(task: Task) -> SheetResult:
        bench = benches[task.settings]
        sheet = read_sheet(task.path, "job-sheet", task.file)
        if not task.own:
            return sum_sheet_up(sheet, bench, wishes.today)
        return judge_sheet(sheet, bench, wishes.today, passes=wishes.passes)

    if cache:
        cache.begin(benches, wishes.today, passes=wishes.passes)
        tasks = cache.unknown(tasks, take)
    for task, result in judged(tasks, judge, wishes.workers):
        if cache:
            cache.keep(task, result)
        take(task, result)
    if cache:
        cache.close()


def _is_all(benches: Benches, paths: Sequence[Path], share: tuple[int, int]) -> bool:
    """Whether this run alone judges every job of the plants it met."""
    plants = [bench for settings, bench in benches.items() if settings is not None]
    return share == (1, 1) and all(_is_whole(bench, paths) for bench in plants)


def _is_whole(bench: Bench, paths: Sequence[Path]) -> bool:
    """Whether every job sheet of a plant lies below the folders that the run was given."""
    root = bench.plant.root
    wanted = bench.plant.job_folders or ({root} if root is not None else set())
    given = {settled(path) for path in paths}
    return bool(wanted) and all(folder in given or not given.isdisjoint(folder.parents) for folder in wanted)


def _order(finding: Finding) -> tuple[object, str, str]:
    return finding.place, finding.rule, finding.says
