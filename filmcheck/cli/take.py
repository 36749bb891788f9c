"""``filmcheck take``: job sheets from a table of jobs."""

from __future__ import annotations

from pathlib import Path

import click

from filmcheck.cli.streams import put


@click.command("take", short_help="Make job sheets from a table (CSV or XLSX).")
@click.argument("table", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--with", "mapping", required=True, type=click.Path(path_type=Path), help="Mapping, in the plant.")
def take_command(table: Path, mapping: Path) -> None:
    """Make job sheets from FILE, a table of jobs as CSV or XLSX (with the extra filmcheck[xlsx]).

    The mapping says which column is which field of the sheet. A row is taken whole or not at all. Taken again, only
    what has changed in the table is changed on the sheets; what people wrote there stays. What was taken is kept
    beside the mapping, in a file that belongs into the repository with it.

    Exit status 1 says that some of it was not taken.
    """
    from filmcheck.running.take_run import take

    result = take(table, mapping)
    named = (f"{result.counts[what]} {what}" for what in ("new", "changed", "unchanged", "not taken"))
    lines = [*result.changed, *result.not_taken, f"{table.name}: {', '.join(named)}"]
    put("".join(f"{line}\n" for line in lines))
    if result.not_taken:
        raise SystemExit(1)
