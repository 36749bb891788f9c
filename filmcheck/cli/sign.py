"""``filmcheck sign``: sign job sheets off, with the marks of the register entries that they stand on."""

from __future__ import annotations

from codecs import BOM_UTF8
from datetime import date
from pathlib import Path

import click

from filmcheck.cli.option_types import day_option
from filmcheck.cli.streams import put
from filmcheck.plant.plant import shown
from filmcheck.plant.signing import SignOff, sign_off, signed_text
from filmcheck.records.errors import UseError
from filmcheck.running.safe_write import check_place, write_whole


@click.command("sign", short_help="Sign job sheets off.")
@click.argument("jobs", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="JOB...")
@click.option("--by", required=True, help="Who signs: a name or a role.")
@day_option("--date", "day", says="Day of the sign-off; today if not given.")
@click.option("--write", is_flag=True, help="Put the block on the sheet, in the place of the one that it has.")
def sign_command(jobs: tuple[Path, ...], by: str, day: date, write: bool) -> None:
    """Print the block that signs the job sheets JOB off, or put it on them.

    The block holds a mark of every register entry that the sheet names. When an entry changes afterwards,
    filmcheck lint says so (entry-changed) until the sheet is signed again. Signing judges nothing: lint first.
    """
    signed = [sign_off(job, by, day) for job in jobs]
    if not write:
        heads = [f"# {shown(each.path)}\n" if len(signed) > 1 else "" for each in signed]
        put("\n".join(head + each.block for head, each in zip(heads, signed, strict=True)))
        return
    for each in signed:
        check_place(each.path)
        signed_text(each)  # whatever stands against one of them is told before any is written
    for each in signed:
        write_signed(each)
    put("".join(f"signed {shown(each.path)}\n" for each in signed))


def write_signed(signed: SignOff) -> None:
    """Write the signed sheet in the place of the old one, with its byte order mark if it has one. Raises UseError."""
    try:
        old = signed.path.read_bytes()
    except OSError as error:
        raise UseError(f"{signed.path} cannot be written: {error.strerror}") from error
    if old.removeprefix(BOM_UTF8).decode("utf-8", "replace") != signed.sheet.text:
        raise UseError(f"{signed.path} has changed while it was being signed", way_out="Sign it again.")
    new = BOM_UTF8 * old.startswith(BOM_UTF8) + signed_text(signed).encode("utf-8")
    write_whole(signed.path, new, instead_of=old)
