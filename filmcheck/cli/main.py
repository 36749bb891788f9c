"""The ``filmcheck`` command: the map of its parts, and the one place that catches what nobody expected."""

from __future__ import annotations

import atexit
import gc
import io
import os
import sys
from importlib import import_module
from itertools import takewhile

import click

from filmcheck.cli.streams import complain, prepare_streams, reason
from filmcheck.records.errors import FilmcheckError, UseError
from filmcheck.records.version import VERSION

COMMANDS = ("card", "correct", "figures", "lint", "new", "page", "rules", "sign", "start", "take", "window")
"""The commands by name. Each lies in a module of its name, fetched when it is asked for: none waits for another's."""

COLLECT = (200_000, 20, 20)
"""When Python looks for circles of objects that nobody holds. A job leaves few; at the usual 700 the looking took a
twelfth of a run. The rules and registers of a start are fewer, so that it is over before the first look; a long run
holds some 13 MB more for it."""


class Commands(click.Group):
    """The commands of ``COMMANDS``, fetched on demand."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Give the names of all commands."""
        return [*COMMANDS]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Fetch one command; None where there is none of that name."""
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = getattr(import_module(f"filmcheck.cli.{cmd_name}"), f"{cmd_name}_command")
        return command


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96})
@click.version_option(VERSION, message="filmcheck %(version)s")
def filmcheck() -> None:
    """Check job sheets for thin film liner before the job goes to press.

    filmcheck reads a job sheet, looks up the press, stock and tools that it names, works out what the job will
    really do to the web, and says what is wrong, why, by how much, and what to set instead.

    \b
    Exit status: 0 nothing at or above the chosen level; 1 findings;
    2 wrong use or a broken rule pack; 3 a fault of filmcheck itself.
    """


def main() -> None:
    """Run the command; no traceback ever reaches a user."""
    gc.set_threshold(*COLLECT)
    atexit.register(gc.freeze)  # else Python looks through all there is once more at the end: a tenth of a start
    prepare_streams()
    if not _is_here():
        complain("the folder in which filmcheck runs is not there any more")
        complain("  Go to another folder and run it again.")
        sys.exit(2)
    try:
        _refuse_files_as_options(sys.argv[1:])
        sys.exit(filmcheck.main(standalone_mode=False))
    except click.ClickException as error:
        complain(_shown(error))
        sys.exit(2)
    except (click.Abort, KeyboardInterrupt):
        complain("stopped")
        sys.exit(2)
    except FilmcheckError as error:
        complain(str(error))
        sys.exit(error.exit_status)
    except MemoryError:
        complain("the machine has not enough memory for this run")
        complain("  Lint fewer sheets at once: filmcheck lint PATH --share 1/2, then 2/2.")
        sys.exit(2)
    except OSError as error:
        where = f"{error.filename}: " if isinstance(error.filename, str) else ""
        complain(f"the machine does not let filmcheck go on: {where}{reason(error)}")
        sys.exit(2)
    except Exception as error:  # the one catch-all
        complain(f"filmcheck has a fault of its own: {type(error).__name__}: {error}")
        complain("Please report it with the sheet that brought it about.")
        sys.exit(3)


def _is_here() -> bool:
    """Whether the working folder is there: it may have been deleted, and every path is read from it."""
    try:
        os.getcwd()
    except OSError:
        return False
    return True


def _refuse_files_as_options(words: list[str]) -> None:
    """Refuse a word that reads as an option and is a file: a hook hands on the names of the files of a change.

    A file in a folder ``--only=job=x`` would hide every finding of the run. Raises UseError.
    """
    for word in takewhile(lambda word: word != "--", words):
        if word.startswith("-") and os.path.lexists(word):
            raise UseError(
                f"{word} reads as an option, and a file of this name is there",
                way_out="Give the file another name; or write -- before the files, or ./ before its name.",
            )


def _shown(error: click.ClickException) -> str:
    """Give what click would write to the terminal itself, for its words may hold names from the command line."""
    page = io.StringIO()
    error.show(file=page)
    return page.getvalue().rstrip("\n")
