"""What a command writes, and to where: it must not break on a poor terminal, nor play tricks on a good one."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TextIO

import click

from filmcheck.records.errors import UseError
from filmcheck.running.safe_write import check_place, write_whole

_NEVER_A_REPORT = (".yaml", ".yml")
_SHOWN_AS_IS = "\n \N{NO-BREAK SPACE}\N{THIN SPACE}\N{NARROW NO-BREAK SPACE}"


def prepare_streams() -> None:
    """Let a stream that cannot show a letter show a question mark in its stead, not end the run."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def put(text: str, *, as_utf8: bool = False) -> None:
    """Write to standard output. Raises UseError where it takes nothing; a reader that has gone is let go.

    ``as_utf8`` sets aside the encoding of the terminal, for a form that has one of its own (JSON: RFC 8259, 8.1).
    """
    try:
        click.echo(text.encode() if as_utf8 else text, nl=False)
    except BrokenPipeError:
        _turn_to_nothing(sys.stdout)
    except OSError as error:
        _turn_to_nothing(sys.stdout)
        raise UseError(f"the report cannot be written to standard output: {error.strerror}") from error


def complain(text: str) -> None:
    """Write to standard error; letters that would steer the terminal are shown as a replacement character."""
    click.echo(harmless(text), err=True)


def harmless(text: str) -> str:
    """Take from a text what would steer a terminal; line ends stay."""
    flat = re.sub(r"[\t\r]", " ", text)
    return "".join(c if c.isprintable() or c in _SHOWN_AS_IS else "\N{REPLACEMENT CHARACTER}" for c in flat)


def is_terminal(stream: TextIO | None) -> bool:
    """Whether someone looks at the stream; one that was closed before the start is None."""
    return stream is not None and not stream.closed and stream.isatty()


def check_target(target: Path | None, never: Iterable[Path] = ()) -> None:
    """Refuse a report file that could not be written, before the work is done. Raises UseError."""
    if target is None:
        return
    if target.suffix in _NEVER_A_REPORT:
        raise UseError(
            f"a report is not written to {target}: that is the name of a sheet, a register or a rule pack",
            way_out="Give the report another ending, such as .txt or .sarif.",
        )
    if not target.absolute().parent.is_dir():
        raise UseError(f"{target} cannot be written: its folder is not there", way_out="Make the folder first.")
    check_place(target, never)


def write_report(target: Path, text: str, read: Iterable[str]) -> None:
    """Write a report to a file, never over one that was read. Raises UseError."""
    write_whole(target, text.encode(errors="replace"), never=read)


def _turn_to_nothing(stream: TextIO) -> None:
    """Lead a stream into the void, so that what is still held back does not trouble the end of the run."""
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, stream.fileno())
    os.close(nothing)
