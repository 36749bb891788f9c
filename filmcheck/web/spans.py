"""The pull of the web along its path: what sets it, what multiplies it, what it adds up to in front of each nip.

Between two things that set it the web is a span. Its pull is set at its beginning, by the unwind's brake or by a nip
that holds the tension behind it; or at its end, by a nip that runs faster than the one before: the strain is carried
through, with mass conserved; or by the rewind, where the last nip holds its speed only. From there it is carried over
bars and idlers, forwards or backwards.

Force and line tension are walked side by side. One of them is what the sheet says, and the other takes the width of the
web; a force on a width that is known as a range only is then still that force.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Sequence
from typing import NamedTuple

from filmcheck.formulas import span_strain
from filmcheck.records.value import Figured, Missing, Need, exact
from filmcheck.web.walk import Surface, combine

SETTERS = ("unwind", "nip", "rewind")
"""Kinds of station that set the pull of the web."""


class Pull(NamedTuple):
    """The pull of the web at one place: at the two ends of the roll, per width and in all."""

    lowest: Figured
    highest: Figured
    lowest_total: Figured
    highest_total: Figured


class Passage(NamedTuple):
    """What carries the web in the spans in front of a setter and behind it, and how much longer warmth made it."""

    front: Figured
    behind: Figured
    slack: Figured
    films: tuple[tuple[Figured, Figured], ...] = ()
    """Pulls of films, per width and in all, that end with the face in the span behind."""


class Step(NamedTuple):
    """What one element does to the pull of the web: set it, multiply it, add to it."""

    label: str
    kind: str
    sets: Pull | None = None
    draw: Figured | None = None
    multiplies: Figured | None = None
    adds: tuple[Figured, Figured] | None = None
    """Per width and in all."""
    passage: Callable[[], Passage] | None = None
    """Of a setter; asked for only where a nip draws, for it takes the warmth of the web."""


class State(NamedTuple):
    """The web at an element: the pull in front of it and behind it, how that came about, the surface behind it."""

    front: Pull
    pull: Pull
    why: tuple[str, ...] = ()
    surface: Surface = Surface()


def walk(steps: Sequence[Step], width: Figured, unset: Missing) -> list[State]:
    """Give the pull at each element of a path; ``unset`` says what is lacking where nothing sets it yet."""
    setters = [place for place, step in enumerate(steps) if step.kind in SETTERS]
    pull, found = Pull(unset, unset, unset, unset), list[State]()
    why: tuple[str, ...] = ()
    for place, step in enumerate(steps):
        front = pull
        if step.kind in SETTERS:
            later = next((other for other in setters if other > place), None)
            pull, why = _set_at(steps, place, later, front, width)
        else:
            pull, why = _over(step, pull), (*why, *_told(step))
        found.append(State(front, pull, why))
    return found


def _set_at(
    steps: Sequence[Step], place: int, later: int | None, front: Pull, width: Figured
) -> tuple[Pull, tuple[str, ...]]:
    """Give the pull behind a setter: its own, else what the setter at the end of the span makes of it."""
    step = steps[place]
    if step.sets is not None and not _unsaid(step.sets):
        return step.sets, (f"set at {step.label}",)
    span = steps[place + 1 : later]
    end = steps[later] if later is not None else None
    if step.kind == "nip" and end is not None and end.kind == "nip" and end.draw is not None:
        made = _drawn(front, step, end, width)
        # The draw stretches the web; a film that comes to it in the span adds its own pull on top.
        return _back([one for one in span if one.kind != "laminate"], made), (f"drawn by {end.label}",)
    if step.draw is not None and end is not None and end.kind == "rewind" and end.sets is not None:
        # Behind a nip that holds its speed only the winder can hold the pull.
        return _back(span, end.sets), (f"held by {end.label}",)
    lack = step.sets.lowest if step.sets is not None else front.lowest
    return Pull(lack, lack, lack, lack), (f"set at {step.label}",)


def _unsaid(pull: Pull) -> bool:
    """Whether a pull simply is not written; one that is written and at fault must not be made up for."""
    return all(isinstance(end, Missing) and not end.is_spoiled for end in (pull.lowest, pull.lowest_total))


def _told(step: Step) -> tuple[str, ...]:
    if step.multiplies is not None:
        return (f"multiplied at {step.label}",)
    return (f"raised by {step.label}",) if step.adds is not None else ()


def _over(step: Step, pull: Pull) -> Pull:
    """Carry a pull over one element."""
    if step.multiplies is not None:
        pull = _each(operator.mul, pull, (step.multiplies, step.multiplies))
    if step.adds is not None:
        pull = _each(operator.add, pull, step.adds)
    return pull


def _each(work: Callable[..., float], pull: Pull, other: tuple[Figured, Figured]) -> Pull:
    """Work on both ends of a pull with what is given per width and in all; on a pull that has one end, once."""
    line, total = other
    lowest, lowest_total = combine(work, pull.lowest, line), combine(work, pull.lowest_total, total)
    highest = lowest if pull.highest is pull.lowest else combine(work, pull.highest, line)
    one_total = pull.highest_total is pull.lowest_total
    return Pull(lowest, highest, lowest_total, lowest_total if one_total else combine(work, pull.highest_total, total))


def _back(span: Sequence[Step], pull: Pull) -> Pull:
    """Carry a pull that is set at the end of a span back to its beginning."""
    for step in reversed(span):
        if step.adds is not None:
            pull = _each(operator.sub, pull, step.adds)
        if step.multiplies is not None:
            pull = _each(operator.truediv, pull, (step.multiplies, step.multiplies))
    return pull


def _drawn(front: Pull, start: Step, end: Step, width: Figured) -> Pull:
    """Give the pull in front of a nip that runs faster than the one before: strain carried on, mass conserved."""
    if start.passage is None or end.passage is None or end.draw is None:
        return Pull(*[Missing((Need("draw", f"nothing is known of the web at {end.label}"),))] * 4)
    before, after = start.passage(), end.passage()
    soft, cold, stiff, warm = before.behind, before.slack, after.front, after.slack
    for film in before.films:
        front = _each(operator.sub, front, film)
    # Warmth that is the very same figure at both nips is no difference, however uncertain it is.
    slack = exact(0.0) if warm is cold else combine(operator.sub, warm, cold)
    line = [_in_span(before, soft, stiff, end.draw, slack, exact(1.0)) for before in front[:2]]
    total = [_in_span(before, soft, stiff, end.draw, slack, width) for before in front[2:]]
    return Pull(*line, *total)


def _in_span(before: Figured, soft: Figured, stiff: Figured, draw: Figured, slack: Figured, width: Figured) -> Figured:
    """Give a pull in all behind one of ``before``: a stiffness per width times the width of the web is that in all.

    With a width of 1 it is the pull per width. A stiffness that is the same in both spans is one, however uncertain.
    """
    work = span_strain.line_tension_in_span
    if soft is stiff:
        return combine(lambda f, s, d, a, w: work(f, s * w, s * w, d, a), before, soft, draw, slack, width)
    return combine(lambda f, s, z, d, a, w: work(f, s * w, z * w, d, a), before, soft, stiff, draw, slack, width)
