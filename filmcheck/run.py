"""One run, in its five steps: read, resolve, compute, judge, report."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from filmcheck.bench import Bench, SheetResult, judge_sheet, make_bench, sum_sheet_up
from filmcheck.changes import Changes
from filmcheck.finding import Finding, Report, Trouble
from filmcheck.judging.repository import JobSummary, Repository
from filmcheck.plant.plant import read_sheet, settled, shown
from filmcheck.plant.sheet_files import Plants, sheet_files
from filmcheck.verdict_cache import VerdictCache
from filmcheck.version import VERSION
from filmcheck.workers import Task, judged_in_turn, judged_together

Sheet = tuple[Path, Path | None]
"""A job sheet and the settings of its plant."""


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
    jobs: int = 0

    def trouble(self, path: Path, text: str) -> None:
        """Keep that nothing could be read from a path."""
        self.troubles.append(Trouble(shown(path), text))


def lint(paths: Sequence[Path], wishes: Wishes | None = None) -> Report:
    """Lint job sheets, given as files or folders. Raises PackError or UseError; bad sheets become findings."""
    wishes = wishes or Wishes()
    gathered, plants = Gathered(), Plants()
    files = sheet_files(paths, plants, gathered.trouble)
    benches = {settings: make_bench(plants.plant(settings)) for settings in _settings(files, plants)}
    judged = _sheets(files, plants, benches, gathered, wishes.since)
    first = wishes.share[0] == 1
    tasks = [Task(*sheet, index % wishes.share[1] == wishes.share[0] - 1) for index, sheet in enumerate(judged)]
    own = [task for task in tasks if task.own]
    # What is wrong with a plant itself, or over all of its jobs, is told by one share alone.
    others = _others(files, plants, judged, benches) if first and wishes.since else []
    results = _results([*tasks, *others] if first else own, benches, wishes)
    whole = wishes.since is None and not gathered.troubles
    about = {shown(path) for path, _ in judged} if wishes.since else None
    for settings, bench in benches.items() if first else ():
        summaries = [result.summary for task, result in results if task.settings == settings]
        complete = whole and None not in summaries and _is_whole(bench, paths)
        gathered.findings += _of_plant(bench, summaries, complete, about)
    for _, result in results:
        gathered.findings += result.findings
    if not first:
        gathered.troubles.clear()
        gathered.files.clear()
    gathered.files += [shown(task.path) for task in own]
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


def _settings(files: Iterable[Path], plants: Plants) -> list[Path | None]:
    found = dict.fromkeys(plants.settings(path.parent) for path in files)
    return list(dict.fromkeys((*plants.read, *found)))


def _sheets(
    files: list[Path], plants: Plants, benches: dict[Path | None, Bench], gathered: Gathered, since: Changes | None
) -> list[Sheet]:
    """Give the job sheets among the files, with those that a changed register touches; the rest is read already."""
    placed = [(path, plants.settings(path.parent)) for path in files]
    sheets = {pair: None for pair in placed if not benches[pair[1]].plant.owns(pair[0])}
    changed = [pair for pair in placed if pair not in sheets]
    gathered.files += [shown(path) for path, _ in changed]
    if since is not None:
        return [pair for pair in sheets if since.touches(pair[0], benches[pair[1]].plant)]
    for settings in dict.fromkeys(settings for _, settings in changed if settings is not None):
        plant = benches[settings].plant
        near = Changes.of_files([path for path, owner in changed if owner == settings], plant)
        below = sheet_files(sorted(plant.job_folders) or [settings.parent], plants, lambda path, text: None)
        sheets.update({(path, settings): None for path in below if near.touches(path, plant)})
    return list(sheets)


def _others(files: list[Path], plants: Plants, judged: list[Sheet], benches: dict[Path | None, Bench]) -> list[Task]:
    """Give the sheets that no change touches: only summed up, to hold the touched ones against them."""
    touched = set(judged)
    placed = [(path, plants.settings(path.parent)) for path in files]
    return [
        Task(*pair, own=False) for pair in placed if pair not in touched and not benches[pair[1]].plant.owns(pair[0])
    ]


def _results(tasks: list[Task], benches: dict[Path | None, Bench], wishes: Wishes) -> list[tuple[Task, SheetResult]]:
    """Judge the sheets, in their order: from the cache where it knows them, else at one bench or at several."""
    cache = wishes.cache
    known = _known(cache, tasks, benches, wishes) if cache else {}
    fresh = [task for task in tasks if task not in known]
    judged = judged_together if wishes.workers > 1 and len(fresh) > 1 else judged_in_turn

    def judge(task: Task) -> SheetResult:
        bench = benches[task.settings]
        sheet = read_sheet(task.path, "job-sheet")
        if not task.own:
            return sum_sheet_up(sheet, bench, wishes.today)
        return judge_sheet(sheet, bench, wishes.today, passes=wishes.passes)

    for done, (task, result) in enumerate(judged(fresh, judge, wishes.workers), len(known) + 1):
        known[task] = result
        if cache:
            cache.keep(task, result)
        if wishes.progress:
            wishes.progress(done, len(tasks))
    if cache:
        cache.close()
    return [(task, known[task]) for task in tasks]


def _known(
    cache: VerdictCache, tasks: list[Task], benches: dict[Path | None, Bench], wishes: Wishes
) -> dict[Task, SheetResult]:
    """Ask the cache; of a sheet that is only to be summed up, whoever judged it left the sum there."""
    whole = {task._replace(own=True): task for task in tasks}
    found = cache.known(list(whole), benches, wishes.today, passes=wishes.passes)
    return {
        whole[task]: result if whole[task].own else SheetResult((), result.summary, False)
        for task, result in found.items()
    }


def _of_plant(
    bench: Bench, summaries: Iterable[JobSummary | None], complete: bool, about: set[str] | None
) -> list[Finding]:
    jobs = [summary for summary in summaries if summary is not None]
    repository = Repository(jobs, bench.plant, bench.rules, bench.house)
    return bench.plant_findings() + repository.findings(whole=complete, about=about)


def _is_all(benches: dict[Path | None, Bench], paths: Sequence[Path], share: tuple[int, int]) -> bool:
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
