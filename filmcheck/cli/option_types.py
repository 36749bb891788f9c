"""What options of several commands take: a day, text or JSON, the number of processes, the share of a run."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime
from typing import Any, TypeVar

import click

_Command = TypeVar("_Command", bound=Callable[..., Any])
_SHARE = re.compile(r"(\d{1,4})\s*(?:/|of)\s*(\d{1,4})")


def share(ctx: click.Context, param: click.Parameter, given: str) -> tuple[int, int]:
    """Give which share ``2/8`` or ``2 of 8`` is, and of how many."""
    found = _SHARE.fullmatch(given.strip())
    if found is None or not 1 <= int(found[1]) <= int(found[2]):
        raise click.BadParameter(f"{given} is no share; write which one and of how many, such as 2/8")
    return int(found[1]), int(found[2])


def day_option(*names: str, says: str) -> Callable[[_Command], _Command]:
    """Make an option for a day; where it is not given, that is today."""
    return click.option(*names, type=click.DateTime(["%Y-%m-%d"]), callback=_day, help=says)


def _day(ctx: click.Context, param: click.Parameter, given: datetime | None) -> date:
    return given.date() if given is not None else date.today()


TODAY = day_option("--today", says="Day that counts as today, for sheets without a date.")
TEXT_OR_JSON = click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="text is for people; json is for programs.",
)
WORKERS = click.option(
    "--workers",
    type=click.IntRange(0, 64),
    default=1,
    show_default=True,
    help="Number of processes; 0 is one for each core.",
)
