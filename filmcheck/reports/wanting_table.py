"""What would settle most on a job, as a table for people."""

from __future__ import annotations

from collections.abc import Sequence

from filmcheck.records.finding import Want


def wanting_table(file: str, wants: Sequence[Want]) -> str:
    """Set the data that checks wait for, those that settle most first."""
    if not wants:
        return f"{file}: nothing is missing or too wide. What is open still waits for a fault or rests on the model.\n"
    head = f"{file}: what would settle most\n\nchecks  with others  datum"
    return "\n".join([head, *map(_line, wants), ""])


def _line(want: Want) -> str:
    where = f" ({want.where})" if want.where else ""
    return f"{want.alone:>6}  {want.together:>11}  {want.name}: {want.state}{where}"
