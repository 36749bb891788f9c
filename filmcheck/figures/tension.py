"""Figures of tension where it is set: unwind, rewind and finishing."""

from __future__ import annotations

from filmcheck.figures.asking import Ask
from filmcheck.figures.calculated import calculated
from filmcheck.figures.figure import Figure, Route, asked
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Missing, exact

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
_RANGE = (
    ("unwind", "brake", "its.brake_range", "the brake or load cell can hold"),
    ("rewind", "tension", "its.tension_range", "the rewind can hold"),
    ("finisher", "tension", "finisher.tension_range", "the finishing machine can hold"),
)


def end_of_range(name: str, end: int) -> Route:
    """Make a route to one end of a range that a register allows: 0 the least, 1 the most."""

    # The range is an allowed span here and no uncertainty: each end is a figure of its own.
    def find(ask: Ask, item: Item | None) -> Figured:
        value = ask(name, item)
        return (
            value if isinstance(value, Missing) else exact((value.low, value.high)[end])._replace(source=value.source)
        )

    return asked(find)


def _allowed() -> tuple[Figure, ...]:
    made = []
    for scope, what, name, text in _RANGE:
        for word, end in (("least", 0), ("most", 1)):
            meaning = f"{word.capitalize()} total tension that {text}."
            route = end_of_range(name, end)
            made.append(Figure(f"{scope}.{what}_{word}", "force", meaning, "end of the range", "press data", (route,)))
    return tuple(made)


FIGURES = (
    *_UNWIND,
    *_allowed(),
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
