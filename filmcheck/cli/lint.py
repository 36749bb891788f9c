"""``filmcheck lint``: the main job."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable
from datetime import date
from os.path import lexists
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from filmcheck.cli.option_types import TODAY, WORKERS, share
from filmcheck.cli.streams import check_target, is_terminal, put, write_report
from filmcheck.records.errors import UseError
from filmcheck.records.finding import LEVELS, Report
from filmcheck.reports.only import only as restricted
from filmcheck.reports.only import wanted
from filmcheck.reports.text import short_log, text_report
from filmcheck.reports.text_faults import Depth
from filmcheck.run import Options, lint
from filmcheck.running.cache_folder import cache_folder
from filmcheck.running.verdict_cache import VerdictCache

if TYPE_CHECKING:
    from filmcheck.running.changes import Changes

SLOW = 500
"""Sheets from which on a run takes long enough to show how far it is."""


@click.command("lint", short_help="Lint job sheets, or whole folders of them.")
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "--fail-from",
    type=click.Choice(["error", "warning", "note", "never"]),
    default="warning",
    show_default=True,
    help="Exit with 1 when a finding of this level or a graver one is there.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "sarif", "markdown"]),
    default="text",
    show_default=True,
    help="text is for people; sarif (SARIF 2.1.0) for programs that gather findings; markdown for a page of changes.",
)
@click.option("--short", "depth", flag_value="short", help="One line for each finding.")
@click.option("--full", "depth", flag_value="full", help="With sums, places and basis, and everything that is missing.")
@click.option(
    "--only",
    multiple=True,
    metavar="WHAT=PATTERN",
    help="Report only what fits: rule=unwind-*, level=error, job=QM-32*, stage=planned. The exit status follows.",
)
@click.option("--to", "target", type=click.Path(path_type=Path, dir_okay=False), help="Write the report to this file.")
@click.option(
    "--baseline",
    type=click.Path(path_type=Path, dir_okay=False, exists=True),
    help="A SARIF log of an earlier run: faults that it knows are shown apart and do not count.",
)
@click.option(
    "--since", metavar="REVISION", help="Lint only what has changed since this git revision, registers included."
)
@click.option(
    "--share",
    callback=share,
    metavar="K/N",
    default="1/1",
    help="Lint one share of the sheets, such as 2/8; eight runs make one.",
)
@WORKERS
@click.option("--no-cache", is_flag=True, help="Judge every sheet afresh.")
@click.option("--passes", is_flag=True, help="Report what was checked and found in order, too.")
@click.option("--kinds", is_flag=True, help="In SARIF: what is borderline and what cannot be told are results, too.")
@TODAY
@click.option("--run-id", default="", help="Name of this run in SARIF, such as label-jobs/nightly/.")
def lint_command(
    paths: tuple[Path, ...],
    fail_from: str,
    form: str,
    target: Path | None,
    baseline: Path | None,
    passes: bool,
    kinds: bool,
    today: date,
    run_id: str,
    since: str | None,
    share: tuple[int, int],
    workers: int,
    no_cache: bool,
    depth: Depth | None,
    only: tuple[str, ...],
) -> None:
    """Lint job sheets: PATHS are files, or folders that are walked; without any, the folder that you are in.

    The plant's settings (plant.yaml) are found by walking up from each sheet; they name the registers and the
    house rules. A sheet without a plant is still read, but what its names stand for cannot be told.

    A finding has its place, what to do, and why; what follows stands below it. NO_COLOR leaves colours out.
    """
    paths = paths_or_here(paths)
    asked = wanted(only)
    check_target(target, [baseline] if baseline is not None else [])
    options = Options(
        today=today,
        passes=passes,
        workers=workers or os.cpu_count() or 1,
        cache=None if no_cache else kept_verdicts(),
        share=share,
        since=_changes(since, paths),
        progress=progress_line() if is_terminal(sys.stderr) else None,
    )
    report = linted(paths, options)
    report = restricted(_compared(report, baseline) if baseline is not None else report, asked)
    seen = target is None and is_terminal(sys.stdout)
    colour = seen and not os.environ.get("NO_COLOR")
    width = shutil.get_terminal_size().columns if seen else 80
    looks = Looks(depth or "usual", passes=passes, kinds=kinds, colour=colour, width=width, run_id=run_id)
    text = _written(report, form, looks)
    if target is None:
        put(text, form, colour=colour)
    else:
        write_report(target, text, form, (*report.files, *report.also_read))
        put(short_log(report))
    sys.exit(exit_status(report, fail_from))


def exit_status(report: Report, fail_from: str) -> int:
    """Give 1 where a fault reaches the level, or a file could not be read; else 0."""
    if fail_from == "never":
        return 0
    gravest = LEVELS[: LEVELS.index(fail_from) + 1]
    reached = any(finding.counts and finding.level in gravest for finding in report.findings)
    return 1 if reached or report.troubles else 0


def linted(paths: tuple[Path, ...], options: Options) -> Report:
    """Lint, and let go of the cache whatever comes of it."""
    try:
        return lint(paths, options)
    finally:
        if options.cache is not None:
            options.cache.close()


def kept_verdicts() -> VerdictCache | None:
    """Give the cache of verdicts, where there can be one."""
    folder = cache_folder()
    return VerdictCache(folder) if folder is not None else None


def _changes(since: str | None, paths: tuple[Path, ...]) -> Changes | None:
    if since is None:
        return None
    from filmcheck.running.changes import Changes  # brings git

    first = paths[0] if paths[0].is_dir() else paths[0].parent
    return Changes.since(since, first)


def progress_line() -> Callable[[int, int], None]:
    """Count the sheets on one line of the terminal, a hundred at a time, and wipe it at the end."""

    def show(done: int, of: int) -> None:
        if of >= SLOW and (done % 100 == 0 or done == of):
            text = f"{done} of {of} sheets" if done < of else " " * 40
            click.echo(f"\r{text}", nl=False, err=True)
            click.echo("\r" if done == of else "", nl=False, err=True)

    return show


def _compared(report: Report, baseline: Path) -> Report:
    from filmcheck.reports.baseline import compare, read_baseline

    return compare(report, read_baseline(baseline))


def paths_or_here(paths: tuple[Path, ...]) -> tuple[Path, ...]:
    """Give the paths to go over: without any the working folder. Refuse those that lead to nothing.

    A link that leads nowhere is there, and becomes a finding.
    """
    for path in paths:
        if not lexists(path):
            raise UseError(f"{path} is not there", way_out="Give a job sheet or a folder that holds some.")
    return paths or (Path(),)


class Looks(NamedTuple):
    """How the report is to be written."""

    depth: Depth
    passes: bool
    kinds: bool
    colour: bool
    width: int
    run_id: str


def _written(report: Report, form: str, looks: Looks) -> str:
    if form == "text":
        return text_report(report, show_passes=looks.passes, colour=looks.colour, width=looks.width, depth=looks.depth)
    if form == "markdown":
        from filmcheck.reports.markdown import markdown_report

        return markdown_report(report)
    from filmcheck.reports.sarif import sarif_text
    from filmcheck.reports.sarif_choice import EVERY_KIND, FAULTS, UNSETTLED

    kinds = EVERY_KIND if looks.passes else FAULTS | UNSETTLED if looks.kinds else FAULTS
    return sarif_text(report, automation_id=looks.run_id or None, kinds=kinds)
