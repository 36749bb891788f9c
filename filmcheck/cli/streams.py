"""What a command writes, and to where: it must not break on a poor terminal, nor play tricks on a good one."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import TextIO

import click

from filmcheck.records.errors import UseError
from filmcheck.reports.plain_text import plain_json, plain_text
from filmcheck.running.safe_write import check_place, write_whole

_NEVER_A_REPORT = (".yaml", ".yml")
JSON_FORMS = ("sarif", "json")


def prepare_streams() -> None:
    """Let a stream that cannot show a letter show a question mark in its place, not end the run."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def put(text: str, form: str = "text", *, colour: bool = False) -> None:
    """Write to standard output. Raises UseError where it takes nothing; a reader that has gone is let go.

    Every form but text is written as UTF-8, whatever the terminal has: JSON knows no other (RFC 8259, 8.1).
    """
    shown = harmless(text, form, colour=colour)
    try:
        click.echo(shown if form == "text" else shown.encode(errors="replace"), nl=False)
        if sys.stdout is not None:  # it is none where it was closed before the start
            sys.stdout.flush()
    except BrokenPipeError:
        _turn_to_nothing(sys.stdout)
    except (OSError, ValueError) as error:  # ValueError: the stream was closed
        _turn_to_nothing(sys.stdout)
        raise UseError(f"the report cannot be written to standard output: {reason(error)}") from error


def complain(text: str) -> None:
    """Write to standard error; where that takes nothing, nobody can be told."""
    try:
        click.echo(plain_text(text), err=True)
    except (OSError, ValueError):
        _turn_to_nothing(sys.stderr)


def harmless(text: str, form: str, *, colour: bool = False) -> str:
    """Take from a report what would steer a terminal or a build service."""
    return plain_json(text) if form in JSON_FORMS else plain_text(text, colour=colour)


def reason(error: Exception) -> str:
    """Say in a few words what the machine has against something."""
    return getattr(error, "strerror", None) or str(error)


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


def write_report(target: Path, text: str, form: str, read: Iterable[str]) -> None:
    """Write a report to a file, never over one that was read. Raises UseError."""
    write_whole(target, harmless(text, form).encode(errors="replace"), never=read)


def _turn_to_nothing(stream: TextIO) -> None:
    """Lead a stream into the void, so that what is still held back does not trouble the end of the run."""
    with suppress(OSError, ValueError, AttributeError):  # one that is closed needs none
        nothing = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nothing, stream.fileno())
        os.close(nothing)
