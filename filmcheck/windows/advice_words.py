"""Advice in words: what a set-point is called, that no value will do for it, what a rule says without numbers."""

from __future__ import annotations

import re
from collections.abc import Sequence

from filmcheck.judging.template import Template
from filmcheck.records.window import Demand, Opening
from filmcheck.windows.empty import Conflict
from filmcheck.windows.search import Search
from filmcheck.windows.set_points import SetPoint

Shut = tuple[Search, Conflict]
"""A set-point that no value will do for, and the demands that meet there."""


def for_a_repeat(stage: str, says: str) -> str:
    """Say what can still be done about a job that has run, and leave what to set to a repeat order."""
    now = "has run" if stage == "finishing" else "is released"
    rolls = "hold and inspect its rolls" if stage == "finishing" else "inspect the rolls that are still here"
    repeat = f" For a repeat order: {_going_on(says)}" if says else ""
    concession = "what is not right needs a concession"
    return f"The job {now}. If it ran so, {rolls}: {concession}. If it ran otherwise, correct the sheet.{repeat}"


def while_it_runs(says: str) -> str:
    """Say before what is on the press is changed that it runs."""
    return f"The job is running: stop it, and hold what it has made. {says}"


def otherwise(says: str) -> str:
    """Put what a rule says as another way than the value told before it."""
    return f"Or: {_going_on(says)}" if says else ""


def _going_on(says: str) -> str:
    begins = says[:2].lower() if says[1:2].islower() or says[1:2] == " " else says[:2]
    return begins + says[2:]


def no_value(shut: Shut, others: Sequence[tuple[Opening, str]] = ()) -> str:
    """Say that nothing will do there, which demands meet and where they stand, and what else could be set."""
    demands = " and ".join(_demanded(one) for one in shut[1].demands)
    opened = "; or ".join(
        f"{name} at {one.wanted}{f', with this one at {one.then}' if one.then else ''}" for one, name in others
    )
    end = f" What opens it: {opened}." if opened else ""
    return f"No value of {called(shut[0].point)} will do: {demands}.{end}"


def _demanded(one: Demand) -> str:
    thing = f" ({one.thing})" if one.thing else ""
    return f"{one.rule}{thing} holds {one.holds}{f' ({one.place})' if one.place else ''}"


def called(point: SetPoint) -> str:
    """Name a set-point in words."""
    field = point.settable.field.removeprefix("tooling.").removeprefix("layout.")
    words = point.settable.words or field.replace("_", " ").replace(".", " ")
    labels = " and ".join(one.label for one in sorted((point, *point.shared), key=lambda one: one.path[:2]))
    if words == "setting":
        return labels
    return f"the {words} of {labels}" if point.label else f"the {words}"


def plain_words(template: Template) -> str:
    """Keep of a rule's way out the sentences without numbers, or that can do without: what no number can say."""
    begins = {part.group: part.text for part in reversed(template) if part.group}
    put_in = {group for group, first in begins.items() if first.strip() and first[0] in " ,:;"}
    kept = [part for part in template if part.group not in put_in]
    text = "".join("\0" if part.expression is not None or part.special else part.text for part in kept)
    sentences = re.split(r"(?<=[.?!])\s+", text)
    return " ".join(one for one in sentences if one[:1].isupper() and not re.search(r"[\0\d]", one))
