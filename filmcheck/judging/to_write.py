"""What to write where a datum is missing: its key, with an example that is accepted there."""

from __future__ import annotations

from functools import lru_cache

from filmcheck.figures.given import given_figures
from filmcheck.figures.scopes import scoped_name, station_shapes
from filmcheck.records.value import Need

_EXAMPLES = {"date": "2026-11-25", "truth": "true", "number": "3"}


def to_write(need: Need) -> str:
    """Give ``k1: 20 kPa`` for a datum that simply is not written; empty where something else stands in the way."""
    text = example(need.name) if need.absent else ""
    for key in reversed(need.within if text else ()):
        text = f"{key}: {{{text}}}"
    return text


@lru_cache(maxsize=1024)
def example(name: str) -> str:
    """Give the key and an example for a figure by the name under which it is missed; empty for one that is not given.

    The name of a thing's field begins with the label of the thing: ``uv lamp 1: setting``.
    """
    label, _, field = name.rpartition(": ")
    if label:
        kind = max((kind for kind in station_shapes() if f"{label} ".startswith(f"{kind} ")), key=len, default="")
        name = scoped_name(kind, field)
    given = given_figures().get(name)
    if given is None:
        return ""
    value = given.example or (given.words[0] if given.words else _EXAMPLES.get(given.dimensions[0], ""))
    return f"{name.rpartition('.')[2]}: {value}" if value else ""
