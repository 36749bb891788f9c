"""A datum that would settle verdicts which nobody can give yet."""

from __future__ import annotations

from typing import NamedTuple


class Want(NamedTuple):
    """A datum that is missing, or a range that is too wide, and how many checks wait for it."""

    name: str
    state: str
    """``missing``, or the range as written."""
    where: str
    alone: int
    """Checks that wait for nothing else."""
    together: int
    """Checks that wait for other data as well."""
