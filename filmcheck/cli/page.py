"""``filmcheck page``: one HTML file with the plant at a glance and every job."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import click

from filmcheck.cli.option_types import TODAY, WORKERS
from filmcheck.cli.streams import check_target, write_report
from filmcheck.running.page_run import DRAWN, MAPPED


@click.command("page", short_help="Make one HTML file to look at: the plant, and job by job.")
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path))
@click.option(
    "--to",
    "target",
    required=True,
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write the page to this file.",
)
@click.option(
    "--drawn",
    type=click.IntRange(0),
    default=DRAWN,
    show_default=True,
    help="How many jobs are drawn, the worst first.",
)
@click.option(
    "--mapped",
    type=click.IntRange(0),
    default=MAPPED,
    show_default=True,
    help="How many jobs get maps of their windows.",
)
@WORKERS
@TODAY
def page_command(paths: tuple[Path, ...], target: Path, drawn: int, mapped: int, workers: int, today: date) -> None:
    """Make one HTML file to look at from the job sheets in PATHS: the plant at a glance, and job by job.

    Without PATHS it is made from the folder that you are in. The file loads nothing and runs no script, so that it can
    be mailed and kept. A target that ends in .svg gets the path of the worst job alone, as a picture.
    """
    from filmcheck.cli.lint import kept_verdicts, linted, paths_or_here
    from filmcheck.reports.page.html import page_html, poster
    from filmcheck.run import Options
    from filmcheck.running.page_run import view_plant

    paths = paths_or_here(paths)
    check_target(target)
    options = Options(
        today=today,
        workers=workers or os.cpu_count() or 1,
        cache=kept_verdicts(),
    )
    report = linted(paths, options)
    alone = target.suffix == ".svg"
    view = view_plant(report, paths, options.today, *((1, 0) if alone else (drawn, mapped)))
    text = poster(view) if alone else page_html(view)
    write_report(target, text, "html", (*report.files, *report.also_read))
