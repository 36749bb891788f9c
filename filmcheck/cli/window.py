"""``filmcheck window``: the values of a set-point for which a job has no fault."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from filmcheck.cli.option_types import TEXT_OR_JSON, TODAY
from filmcheck.cli.streams import put
from filmcheck.records.errors import UseError


@click.command("window", short_help="Show the values of a set-point for which a job has no fault.")
@click.argument("job", type=click.Path(path_type=Path))
@click.argument("set_point", required=False, default="")
@click.option("--beside", metavar="SET-POINT", default="", help="Map the set-point against this other one.")
@TEXT_OR_JSON
@TODAY
def window_command(job: Path, set_point: str, beside: str, form: str, today: date) -> None:
    """Show for which values of a SET-POINT the job sheet JOB has no fault, all else as on the sheet.

    Without a SET-POINT all windows of the job are shown. Each edge names the rule that sets it. A set-point is named
    as on the sheet, such as unwind.tension or finishing.taper; one that trades off against another gets a map of both.
    Every value was judged by the rules; none is worked out backwards.
    """
    from filmcheck.reports.window_text import window_json, window_text
    from filmcheck.running.window_run import find_windows

    if beside and not set_point:
        raise UseError("--beside needs a set-point to map against", way_out="Name one before it.")
    found = find_windows(job, today, set_point, beside)
    put(window_json(found) if form == "json" else window_text(found), form)
