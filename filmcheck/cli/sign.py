"""``filmcheck sign``: sign job sheets off, with the marks of the register entries that they stand on."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import click

from filmcheck.cli.streams import put
from filmcheck.plant.plant import shown
from filmcheck.plant.signing import sign_off, signed_text, write_signed


@click.command("sign")
@click.argument("jobs", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="JOB...")
@click.option("--by", required=True, help="Who signs: a name or a role.")
@click.option(
    "--date", "day", type=click.DateTime(["%Y-%m-%d"]), help="Day of the sign-off; without it, that of today."
)
@click.option("--write", is_flag=True, help="Put the block on the sheet, in the place of the one that it has.")
def sign_command(jobs: tuple[Path, ...], by: str, day: datetime | None, write: bool) -> None:
    """Print the block that signs the job sheets JOB off, or put it on them.

    The block holds a mark of every register entry that the sheet names. When an entry changes afterwards,
    filmcheck lint says so (entry-changed) until the sheet is signed anew. Signing judges nothing: lint first.
    """
    signed = [sign_off(job, by, day.date() if day else date.today()) for job in jobs]
    if not write:
        heads = [f"# {shown(each.path)}\n" if len(signed) > 1 else "" for each in signed]
        put("\n".join(head + each.block for head, each in zip(heads, signed, strict=True)))
        return
    for each in signed:
        signed_text(each)  # whatever stands against one of them is told before any is written
    for each in signed:
        write_signed(each)
    put("".join(f"signed {shown(each.path)}\n" for each in signed))
