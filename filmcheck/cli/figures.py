"""``filmcheck figures``: every number of a job, with its arithmetic."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from filmcheck.cli.option_types import TEXT_OR_JSON, TODAY
from filmcheck.cli.streams import put
from filmcheck.figures.catalogue import CATALOGUE
from filmcheck.plant.nearest import nearest_hint
from filmcheck.records.errors import UseError
from filmcheck.reports.figure_table import figure_table, figures_json, walk_table
from filmcheck.running.figure_run import work_out


@click.command("figures", short_help="Work out every figure of a job, with its arithmetic.")
@click.argument("job", type=click.Path(path_type=Path))
@TEXT_OR_JSON
@click.option("--walk", is_flag=True, help="Walk the web station by station instead: tension, temperature, static.")
@click.option("--wanting", is_flag=True, help="Rank what is missing or too wide by the verdicts that it would settle.")
@click.option("--only", "part", metavar="PART", default="", help="Only figures, or stations, whose name contains PART.")
@TODAY
def figures_command(job: Path, form: str, walk: bool, wanting: bool, part: str, today: date) -> None:
    """Work out every figure of the job sheet JOB, and show the arithmetic, so that each can be checked by hand.

    Under each figure stand its formula and source, the arithmetic with the numbers of this job, and the place of
    each number in sheet and registers. What cannot be told is listed apart, with what it lacks.
    """
    if wanting:
        if walk or part or form != "text":
            raise UseError("--wanting goes with no other option but --today")
        _put_wanting(job, today)
        return
    sheet = work_out(job, today, part)
    if part and not (sheet.walk if walk else sheet.figures or sheet.absent):
        _refuse(part, walk=walk)
    if form == "json":
        put(figures_json(sheet, walk=walk), form)
    else:
        put(walk_table(sheet) if walk else figure_table(sheet))


def _put_wanting(job: Path, day: date) -> None:
    from filmcheck.plant.plant import shown
    from filmcheck.reports.figure_table import wanting_table
    from filmcheck.running.figure_run import wanting

    put(wanting_table(shown(job), wanting(job, day)))


def _refuse(part: str, *, walk: bool) -> None:
    way_out = nearest_hint(part, () if walk else CATALOGUE, "Leave --only out to see all.")
    raise UseError(f"no {'station' if walk else 'figure'} has {part} in its name", way_out=way_out)
