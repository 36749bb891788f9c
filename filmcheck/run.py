"""One run, in its five steps: read, resolve, compute, judge, report."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import chain
from pathlib import Path

from filmcheck.judging.repository import Repository
from filmcheck.plant.plant import load_plant, read_sheet, settings_above, settled, shown, shown_full, type_text
from filmcheck.plant.sheet_files import PASSED_OVER, Plants, sheet_files
from filmcheck.records.finding import Finding, Notice, Report, Trouble
from filmcheck.records.version import VERSION
from filmcheck.running.changes import Changes
from filmcheck.running.plant_context import PlantContext, SheetResult, judge_sheet, make_context, sum_sheet_up
from filmcheck.running.verdict_cache import VerdictCache
from filmcheck.running.workers import Task, judged

PlantContexts = dict[Path | None, PlantContext]
"""A context for each plant, by its settings."""

Take = Callable[[Task, SheetResult], None]
"""Takes what came of a sheet."""


@dataclass(frozen=True, slots=True)
class Options:
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
    notices: list[Notice] = field(default_factory=list)
    passed_over: dict[str, list[str]] = field(default_factory=dict)
    done: int = 0

    def pass_over(self, reason: str, path: str) -> None:
        """Keep that a walk passed something over."""
        self.passed_over.setdefault(reason, []).append(shown_full(path))

    def trouble(self, path: Path, text: str) -> None:
        """Keep that nothing could be read from a path."""
        self.troubles.append(Trouble(shown(path), text))


def lint(paths: Sequence[Path | str] | Path | str, options: Options | None = None) -> Report:
    """Lint job sheets, given as files or folders. Raises PackError or UseError; bad sheets become findings."""
    given = [Path(path) for path in ([paths] if isinstance(paths, (Path, str)) else paths)]
    options = options or Options()
    gathered, plants = Gathered(), Plants()
    files = sheet_files(given, plants, gathered.trouble, gathered.pass_over)
    contexts = {settings: make_context(plants.plant(settings)) for settings in _settings(files, plants)}
    repositories = {
        settings: Repository(context.plant, context.rules, context.house) for settings, context in contexts.items()
    }
    sheets = _sheets(files, plants, gathered, options.since)
    number, of = options.share
    own = sheets[number - 1 :: of]
    # What is wrong with a plant itself, or over all of its jobs, is told by one share alone.
    others = _others(files, plants, sheets, own, options.since) if number == 1 else []
    total = len(own) + len(others)

    def take(task: Task, result: SheetResult) -> None:
        gathered.findings += result.findings
        repositories[task.settings].add(result.summary)
        gathered.done += 1
        if options.progress:
            options.progress(gathered.done, total)

    shown_own = list(map(shown_full, own))
    tasks = (Task(path, file, plants.settings(path), own=True) for path, file in zip(own, shown_own, strict=True))
    summed = (Task(path, shown_full(path), plants.settings(path), own=False) for path in others)
    _go_over(chain(tasks, summed), contexts, options, take)
    whole = options.since is None and not gathered.troubles
    about = {shown_full(path) for path in sheets} if options.since else None
    for settings, context in contexts.items() if number == 1 else ():
        gathered.findings += context.plant_findings()
        gathered.findings += repositories[settings].findings(whole=whole and _is_whole(context, given), about=about)
    gathered.notices += options.since.notices if options.since is not None else ()
    if number > 1:
        gathered.troubles.clear()
        gathered.files.clear()
        gathered.notices.clear()
        gathered.passed_over.clear()
    gathered.files += shown_own
    return _report(gathered, contexts.values(), len(own), whole=whole and _is_all(contexts, given, options.share))


def lint_text(text: str, path: Path | str, options: Options | None = None) -> Report:
    """Lint the text of one job sheet as if it stood at a path, which need not be there; its plant is looked for there.

    Nothing between sheets is judged, and of the options ``today`` and ``passes`` alone count. Raises as ``lint`` does.
    """
    options = options or Options()
    full = settled(Path(path))
    context = make_context(load_plant(settings_above(full.parent)))
    sheet = type_text(text, shown(full), "job-sheet")
    result = judge_sheet(sheet, context, options.today, passes=options.passes)
    gathered = Gathered([*result.findings, *context.plant_findings()], [shown(full)])
    return _report(gathered, [context], 1, whole=False)


def _report(gathered: Gathered, contexts: Iterable[PlantContext], jobs: int, *, whole: bool) -> Report:
    texts = {rule.id: rule.text for context in contexts for rule in context.rules}
    findings = tuple(sorted(gathered.findings, key=_order))
    return Report(
        findings,
        tuple(texts.values()),
        tuple(gathered.files),
        tuple(gathered.troubles),
        VERSION,
        jobs=jobs,
        whole=whole,
        notices=(*gathered.notices, *_passed_over(gathered.passed_over)),
        also_read=tuple(dict.fromkeys(file for context in contexts for file in context.files_read)),
    )


def _passed_over(found: dict[str, list[str]]) -> Iterator[Notice]:
    for reason, says in PASSED_OVER.items():
        if reason in found:
            yield Notice(reason.replace(" ", "-"), says, tuple(sorted(set(found[reason]))), reason)


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
    return list(dict.fromkeys((*sheets, *_touched(changed, plants, gathered)))) if changed else sheets


def _touched(changed: list[str], plants: Plants, gathered: Gathered) -> Iterator[str]:
    """Give the sheets that a change of their plant's own files touches."""
    for settings in dict.fromkeys(map(plants.settings, changed)):
        if settings is not None:
            plant = plants.plant(settings)
            near = Changes.of_files([Path(path) for path in changed if plants.settings(path) == settings], plant)
            gathered.notices += near.notices
            below = sheet_files(sorted(plant.job_folders) or [settings.parent], plants, lambda path, text: None)
            yield from (path for path in below if plants.settings(path) == settings and near.touches(Path(path), plant))


def _others(files: list[str], plants: Plants, sheets: list[str], own: list[str], since: Changes | None) -> list[str]:
    """Give the sheets that are only summed up, to hold this run's own against them: of other shares, or untouched."""
    if not own or (since is None and len(own) == len(sheets)):
        return []
    taken = set(own)
    near = [path for path in files if not plants.owns(path)] if since else []
    return [path for path in dict.fromkeys((*sheets, *near)) if path not in taken]


def _go_over(tasks: Iterable[Task], contexts: PlantContexts, options: Options, take: Take) -> None:
    """Hand on what comes of each sheet, in whatever order: from the cache where it knows them, else judged afresh."""
    cache = options.cache

    def judge(task: Task) -> SheetResult:
        context = contexts[task.settings]
        sheet = read_sheet(task.path, "job-sheet", task.file, fence=context.plant.fence)
        if not task.own:
            return sum_sheet_up(sheet, context, options.today)
        return judge_sheet(sheet, context, options.today, passes=options.passes)

    if cache:
        cache.begin(contexts, options.today, passes=options.passes)
        tasks = cache.unknown(tasks, take)
    for task, result in judged(tasks, judge, options.workers):
        if cache:
            cache.keep(task, result)
        take(task, result)
    if cache:
        cache.close()


def _is_all(contexts: PlantContexts, paths: Sequence[Path], share: tuple[int, int]) -> bool:
    """Whether this run alone judges every job of the plants it met."""
    plants = [context for settings, context in contexts.items() if settings is not None]
    return share == (1, 1) and all(_is_whole(context, paths) for context in plants)


def _is_whole(context: PlantContext, paths: Sequence[Path]) -> bool:
    """Whether every job sheet of a plant lies below the folders that the run was given."""
    root = context.plant.root
    wanted = context.plant.job_folders or ({root} if root is not None else set())
    given = {settled(path) for path in paths}
    return bool(wanted) and all(folder in given or not given.isdisjoint(folder.parents) for folder in wanted)


def _order(finding: Finding) -> tuple[object, str, str]:
    return finding.place, finding.rule, finding.says
