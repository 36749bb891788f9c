"""The share of a run that is spread over several machines, written 2/8."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import click

_SHARE = re.compile(r"(\d{1,4})\s*(?:/|of)\s*(\d{1,4})")


if TYPE_CHECKING:
    _Share = click.ParamType[tuple[int, int]]
else:  # before 8.4 click knows no types of parameters in brackets
    _Share = click.ParamType


class ShareType(_Share):
    """Reads ``2/8`` or ``2 of 8``."""

    name = "k/n"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> tuple[int, int]:
        """Give which share it is, and of how many."""
        found = _SHARE.fullmatch(str(value).strip())
        if found is None or not 1 <= int(found[1]) <= int(found[2]):
            self.fail(f"{value} is no share; write which one and of how many, such as 2/8", param, ctx)
        return int(found[1]), int(found[2])


SHARE = ShareType()
