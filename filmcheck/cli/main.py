"""The ``filmcheck`` command: the map of its parts, and the one place that catches what nobody expected."""

from __future__ import annotations

import io
import sys

import click

from filmcheck.cli.figures import figures_command
from filmcheck.cli.lint import lint_command
from filmcheck.cli.rules import rules_command
from filmcheck.cli.start import start_command
from filmcheck.cli.streams import complain, prepare_streams
from filmcheck.errors import FilmcheckError


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96})
@click.version_option(package_name="filmcheck", message="filmcheck %(version)s")
def filmcheck() -> None:
    """Check job sheets for thin film liner before the job goes to press.

    filmcheck reads a job sheet, looks up the press, stock and tools that it names, works out what the job will
    really do to the web, and says what is wrong, why, by how much, and what to set instead.

    \b
    Exit status: 0 nothing at or above the chosen level; 1 findings;
    2 wrong use or a broken rule pack; 3 a fault of filmcheck itself.
    """


filmcheck.add_command(lint_command)
filmcheck.add_command(figures_command)
filmcheck.add_command(rules_command)
filmcheck.add_command(start_command)


def main() -> None:
    """Run the command; no traceback ever reaches a user."""
    prepare_streams()
    try:
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
    except Exception as error:  # the one catch-all
        complain(f"filmcheck has a fault of its own: {type(error).__name__}: {error}")
        complain("Please report it with the sheet that brought it about.")
        sys.exit(3)


def _shown(error: click.ClickException) -> str:
    """Give what click would write to the terminal itself, for its words may hold names from the command line."""
    page = io.StringIO()
    error.show(file=page)
    return page.getvalue().rstrip("\n")
