"""``filmcheck correct``: corrections of job sheets that were judged before they are offered."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from filmcheck.cli.option_types import TODAY
from filmcheck.cli.streams import put
from filmcheck.records.errors import UseError


@click.command("correct", short_help="Show, and write, what would cure the faults of a sheet.")
@click.argument("jobs", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="JOB...")
@click.option("--yes", is_flag=True, help="Write the corrections of form: spelling of keys, units and names.")
@click.option("--set", "chosen", multiple=True, metavar="SET-POINT", help="Write the correction of this set-point.")
@TODAY
def correct_command(jobs: tuple[Path, ...], yes: bool, chosen: tuple[str, ...], today: date) -> None:
    """Show what would cure the faults of the job sheets JOB, as a unified diff, and write what is chosen.

    Without an option nothing is written. Corrections of form may be written together; a set-point is written only
    where it is named, on one sheet at a time. Each was judged: its fault is gone and no other comes. Whatever stands
    beside what is corrected stays byte for byte. What guards people is never corrected.

    Exit status 1 says that there are corrections which were not written.
    """
    if chosen and len(jobs) > 1:
        raise UseError("set-points are corrected on one sheet at a time", way_out="Name one job sheet.")
    left = [_correct(job, yes, chosen, today) for job in jobs]
    if any(left):
        raise SystemExit(1)


def _correct(job: Path, yes: bool, chosen: tuple[str, ...], day: date) -> bool:
    """Show and write the corrections of one sheet; whether some were left."""
    from filmcheck.running.correct_run import (
        difference,
        form_corrections,
        offered,
        set_point_corrections,
        start_correcting,
        with_set_point,
        write_corrected,
    )

    at = first = start_correcting(job, day)
    said: list[str] = []
    left = False
    for correction, new in form_corrections(at):
        said.append(f"{correction.name}: {correction.says}")
        left = left or not yes
        at = new
    shown = difference(at)
    if not yes:
        at = first
    for wanted in chosen:
        new_at = with_set_point(at, wanted)
        if new_at is None:
            said.append(f"{wanted} needs no correction, or no value cures it")
        else:
            at = new_at
            shown = difference(at)
    for correction in set_point_corrections(at):
        address = correction.name.partition(" = ")[0]
        shown += difference(offered(at, correction))
        said.append(f"{correction.says}, to cure {', '.join(correction.cures)}; write it with --set '{address}'")
        left = True
    put(f"{first.sheet.file}\n" + shown + "".join(f"    {line}\n" for line in said))
    if (yes or chosen) and write_corrected(at):
        put(f"    corrected {first.sheet.file}\n")
    elif not said:
        put("    nothing to correct\n")
    return left
