"""Figures of tension where it is set: unwind, rewind and finishing."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from filmcheck.figures.calculated import calculated
from filmcheck.figures.figure import Ask, Figure, Route, asked
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Value, exact

WALL = "the core wall is not given and is counted as none"


def tension_pair(scope: str, field: str, what: str, extra: tuple[Route, ...] = ()) -> tuple[Figure, Figure]:
    """Make the two figures, total and per width, of a tension that may be written either way."""
    owner = "finishing" if scope == "finishing" else "its"
    written = f"{owner}.{field}"
    total = Figure(
        f"{scope}.total_{field}",
        "force",
        f"Total tension {what}.",
        "F = T′ w",
        "definition",
        (calculated(f"{written}:force"), calculated(f"{written}:line tension × web.width"), *extra),
    )
    line = Figure(
        f"{scope}.line_{field}",
        "line tension",
        f"Line tension {what}: force per width.",
        "T′ = F / w",
        "definition",
        (calculated(f"{written}:line tension"), calculated(f"{owner}.total_{field} / web.width")),
    )
    return total, line


_UNWIND = tension_pair(
    "unwind",
    "tension",
    "at the unwind, as set",
    (
        calculated("its.stress × laminate.caliper × web.width"),
        calculated("its.brake_torque / (its.roll.diameter / 2)"),
    ),
)


def allowed(scope: str, what: str, name: str, holds: str) -> Iterator[Figure]:
    """Make the figures of both ends of a range that a register allows: it is no uncertainty, each is its own figure."""
    for word, end in (("least", "low"), ("most", "high")):
        meaning = f"{word.capitalize()} total tension that {holds}."
        route = asked(partial(_end_of_range, name, end))
        yield Figure(f"{scope}.{what}_{word}", "force", meaning, "end of the range", "press data", (route,))


def _end_of_range(name: str, end: str, ask: Ask, item: Item | None) -> Figured:
    value = ask(name, item)
    return exact(getattr(value, end))._replace(source=value.source) if isinstance(value, Value) else value


FIGURES = (
    *_UNWIND,
    *allowed("unwind", "brake", "its.brake_range", "the brake or load cell can hold"),
    *allowed("rewind", "tension", "its.tension_range", "the rewind can hold"),
    *allowed("finisher", "tension", "finisher.tension_range", "the finishing machine can hold"),
    *tension_pair("rewind", "start_tension", "at the press rewind, at the core"),
    *tension_pair("finishing", "start_tension", "at the finished roll, at the core"),
    *tension_pair("finishing", "unwind_tension", "that pulls the press roll off in finishing"),
    *tension_pair("nip", "tension", "behind the nip, as set"),
    Figure(
        "web.line_proved_tension",
        "line tension",
        "Lowest line tension that still held register in a trial.",
        "T′ = F / w",
        "definition",
        (calculated("web.proved_tension:line tension"), calculated("web.proved_tension:force / web.width")),
    ),
)
