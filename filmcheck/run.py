"""One run, in its five steps: read, resolve, compute, judge, report. Start reading here.

``lint`` finds the sheets and the plants that they belong to, and goes over them. For each sheet ``_go_over`` reads it
(``read_sheet``: text, tree, schema, units); ``judge_as_is`` in ``running/judge_as_is.py`` resolves its names
(``resolve``), works figures out as they are asked for (``Figures``) and judges (``judge_job``). What came of the sheets
is reported as one ``Report``; ``reports/`` writes it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

from filmcheck.judging.repository import Repository
from filmcheck.plant.entries import EntryName
from filmcheck.plant.plant import read_sheet, settings_above, settled, shown, shown_full, type_text
from filmcheck.plant.sheet_files import Plants, sheet_files
from filmcheck.records.finding import Report
from filmcheck.running.chosen_sheets import is_all, is_whole, others_of, settings_of, sheets_of
from filmcheck.running.gathered import Gathered, make_report, told_of_registers, with_waiting
from filmcheck.running.plant_context import PlantContext, SheetResult, make_context
from filmcheck.running.plant_store import stored_plant
from filmcheck.running.workers import Task, judged

if TYPE_CHECKING:
    from filmcheck.running.changes import Changes
    from filmcheck.running.verdict_cache import VerdictCache


__all__ = ["Options", "lint", "lint_text"]

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


def lint(paths: Sequence[Path | str] | Path | str, options: Options | None = None) -> Report:
    """Lint job sheets, given as files or folders. Raises PackError or UseError; bad sheets become findings."""
    given = [Path(path) for path in ([paths] if isinstance(paths, (Path, str)) else paths)]
    options = options or Options()
    gathered, plants = Gathered(), Plants(stored_plant)
    files = sheet_files(given, plants, gathered.trouble, gathered.pass_over)
    contexts = {settings: make_context(plants.plant(settings)) for settings in settings_of(files, plants)}
    repositories = {
        settings: Repository(context.plant, context.heads.values(), context.house)
        for settings, context in contexts.items()
    }
    sheets = sheets_of(files, plants, gathered, options.since)
    number, of = options.share
    own = sheets[number - 1 :: of]
    # What is wrong with a plant itself, or over all of its jobs, is told by one share alone.
    others = others_of(files, plants, sheets, own, options.since) if number == 1 else []
    total = len(own) + len(others)
    named: dict[Path | None, set[EntryName]] = {settings: set() for settings in contexts}

    def take(task: Task, result: SheetResult) -> None:
        gathered.findings += result.findings
        repositories[task.settings].add(result.summary)
        if task.own and result.summary is not None:
            gathered.job_lines.append(result.summary.line)
            named[task.settings].update(entry[1:4] for entry in result.summary.entries)
        gathered.done += 1
        if options.progress:
            options.progress(gathered.done, total)

    shown_own = list(map(shown_full, own))
    tasks = (Task(path, file, plants.settings(path), own=True) for path, file in zip(own, shown_own, strict=True))
    summed = (Task(path, shown_full(path), plants.settings(path), own=False) for path in others)
    _go_over(chain(tasks, summed), contexts, options, take)
    whole = options.since is None and not gathered.troubles
    about = {shown_full(path) for path in sheets} if options.since else None
    asked = {shown_full(path) for path in files if plants.owns(path)}
    for settings, context in contexts.items() if number == 1 else ():
        told, notices = told_of_registers(context.plant_findings(), context.plant, named[settings], asked)
        gathered.findings = with_waiting(told, gathered.findings)
        gathered.notices += notices
        gathered.findings += repositories[settings].findings(whole=whole and is_whole(context, given), about=about)
    gathered.notices += options.since.notices if options.since is not None else ()
    if number > 1:
        gathered.troubles.clear()
        gathered.files.clear()
        gathered.notices.clear()
        gathered.passed_over.clear()
    gathered.files += shown_own
    return make_report(gathered, contexts.values(), whole=whole and is_all(contexts, given, options.share))


def _go_over(tasks: Iterable[Task], contexts: PlantContexts, options: Options, take: Take) -> None:
    """Hand on what comes of each sheet, in whatever order: from the cache where it knows them, else judged afresh."""
    cache = options.cache

    def judge(task: Task) -> SheetResult:
        from filmcheck.running.judge_as_is import sum_sheet_up
        from filmcheck.running.judge_sheet import judge_sheet

        context = contexts[task.settings]
        sheet = read_sheet(task.path, "job-sheet", task.file, fence=context.plant.fence)
        if not task.own:
            return sum_sheet_up(sheet, context, options.today)
        return judge_sheet(sheet, context, options.today, passes=options.passes)

    if cache:
        cache.begin(contexts, options.today, passes=options.passes)
        tasks = cache.unknown(tasks, take)
    for task, result in judged(_once_ready(tasks, contexts), judge, options.workers):
        if cache:
            cache.keep(task, result)
        take(task, result)
    if cache:
        cache.close()


def _once_ready(tasks: Iterable[Task], contexts: PlantContexts) -> Iterator[Task]:
    """Have all that judging takes in place before a first sheet is judged, and before workers are forked that share it.

    Where every verdict is kept, nothing of it is loaded: a run then takes half the time.
    """
    waiting = iter(tasks)
    for first in waiting:
        import filmcheck.running.judge_sheet  # noqa: F401

        for context in contexts.values():
            _ = context.rules
        yield first
        yield from waiting


def lint_text(text: str, path: Path | str, options: Options | None = None) -> Report:
    """Lint the text of one job sheet as if it stood at a path, which need not be there; its plant is looked for there.

    Nothing between sheets is judged, and of the options ``today`` and ``passes`` alone count. Raises as ``lint`` does.
    """
    from filmcheck.running.judge_sheet import judge_sheet

    options = options or Options()
    full = settled(Path(path))
    context = make_context(stored_plant(settings_above(full.parent)))
    sheet = type_text(text, shown(full), "job-sheet")
    result = judge_sheet(sheet, context, options.today, passes=options.passes)
    gathered = Gathered([*result.findings, *context.plant_findings()], [shown(full)])
    gathered.job_lines += [result.summary.line] if result.summary is not None else []
    return make_report(gathered, [context], whole=False)
