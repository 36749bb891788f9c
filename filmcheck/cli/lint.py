"""``filmcheck lint``: the main job."""

from __future__ import annotations

import sys
from datetime import date, datetime
from os.path import lexists
from pathlib import Path

import click

from filmcheck.cli.streams import check_target, is_terminal, put, write_report
from filmcheck.errors import UseError
from filmcheck.finding import LEVELS, Report
from filmcheck.reports.text import text_report
from filmcheck.run import lint


@click.command("lint")
@click.argument("paths", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--fail-from",
    type=click.Choice(["error", "warning", "note", "never"]),
    default="warning",
    show_default=True,
    help="Exit with 1 when a finding of this level or a graver one is there.",
)
@click.option("--format", "form", type=click.Choice(["text", "sarif"]), default="text", show_default=True)
@click.option("--to", "target", type=click.Path(path_type=Path, dir_okay=False), help="Write the report to this file.")
@click.option(
    "--baseline",
    type=click.Path(path_type=Path, dir_okay=False, exists=True),
    help="A SARIF log of an earlier run: faults that it knows are shown apart and do not count.",
)
@click.option("--passes", is_flag=True, help="Report what was checked and found in order, too.")
@click.option("--today", type=click.DateTime(["%Y-%m-%d"]), help="Day that counts as today, for sheets without a date.")
@click.option("--run-id", default="", help="Name of this run in SARIF, such as label-jobs/nightly/.")
def lint_command(
    paths: tuple[Path, ...],
    fail_from: str,
    form: str,
    target: Path | None,
    baseline: Path | None,
    passes: bool,
    today: datetime | None,
    run_id: str,
) -> None:
    """Lint job sheets: PATHS are files, or folders that are walked.

    The plant's settings (plant.yaml) are found by walking up from each sheet; they name the registers and the
    house rules. A sheet without a plant is still read, but what its names stand for cannot be told.
    """
    _check(paths)
    check_target(target)
    day = today.date() if today else date.today()
    report = lint(paths, today=day, passes=passes)
    if baseline is not None:
        report = _compared(report, baseline)
    text = _written(report, form, passes=passes, run_id=run_id, colour=target is None and is_terminal(sys.stdout))
    if target is None:
        put(text, as_utf8=form == "sarif")
    else:
        write_report(target, text, report.files)
    sys.exit(exit_status(report, fail_from))


def exit_status(report: Report, fail_from: str) -> int:
    """Give 1 where a fault reaches the level, or a file could not be read; else 0."""
    if fail_from == "never":
        return 0
    gravest = LEVELS[: LEVELS.index(fail_from) + 1]
    reached = any(finding.counts and finding.level in gravest for finding in report.findings)
    return 1 if reached or report.troubles else 0


def _compared(report: Report, baseline: Path) -> Report:
    from filmcheck.reports.baseline import compare, read_baseline

    return compare(report, read_baseline(baseline))


def _check(paths: tuple[Path, ...]) -> None:
    """Refuse paths that lead to nothing. A link that leads nowhere is there, and becomes a finding."""
    for path in paths:
        if not lexists(path):
            raise UseError(f"{path} is not there", way_out="Give a job sheet or a folder that holds some.")


def _written(report: Report, form: str, *, passes: bool, run_id: str, colour: bool) -> str:
    if form == "text":
        return text_report(report, show_passes=passes, colour=colour)
    from filmcheck.reports.sarif import sarif_text

    return sarif_text(report, automation_id=run_id or None)
