"""Findings put together by their cause: the one that tells it, and what follows from it."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from typing import NamedTuple

from filmcheck.records.finding import LEVELS, Finding, Level


class Led(NamedTuple):
    """A finding that tells its own cause, and those that follow from it, in the order in which they came."""

    head: Finding
    follows: tuple[Finding, ...] = ()

    @property
    def level(self) -> Level:
        """The gravest level of them all: a slip of the pen is as grave as what comes of it."""
        return min((one.level for one in self.all), key=LEVELS.index)

    @property
    def all(self) -> tuple[Finding, ...]:
        """The head, and what follows from it."""
        return (self.head, *self.follows)

    @property
    def faults(self) -> tuple[Finding, ...]:
        """The faults that follow."""
        return tuple(one for one in self.follows if one.kind == "fail")

    @property
    def unsettled(self) -> tuple[Finding, ...]:
        """What cannot be told, or is borderline, until the cause is out of the way."""
        return tuple(one for one in self.follows if one.kind != "fail")


def led(findings: Iterable[Finding]) -> list[Led]:
    """Put findings together. One whose cause is not among them stands for itself."""
    every = list(findings)
    # Jobs that take a datum from one register have findings of one name; each follows that of its own job.
    of_job = {(one.job, one.name): id(one) for one in reversed(every) if not one.follows_from}
    heads = {name: head for (_, name), head in reversed(of_job.items())}
    behind: dict[int, list[Finding]] = defaultdict(list)
    own: list[Finding] = []
    for one in every:
        head = of_job.get((one.job, one.follows_from), heads.get(one.follows_from))
        if head is None:
            own.append(one)
        else:
            behind[head].append(one)
    return [Led(one, tuple(behind.pop(id(one), ()))) for one in own]


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    """Put what follows from a finding behind it."""
    return [one for each in led(findings) for one in each.all]


def told_apart(findings: Iterable[Finding]) -> list[Led]:
    """Put together what asks for something: faults that count, what is borderline, and what cannot be told."""
    return led(one for one in findings if one.counts or (one.kind in ("review", "open") and one.permit is None))


def tally(findings: Iterable[Finding]) -> Counter[str]:
    """Count causes by level, or as borderline, each check that cannot be told as open, and what is accepted."""
    every = list(findings)
    causes = [each for each in told_apart(every) if each.head.kind != "open"]
    found = Counter("borderline" if each.head.kind == "review" else each.level for each in causes)
    found["open"] = sum(one.kind == "open" for one in every)
    found["accepted"] = sum(one.permit is not None for one in every)
    return +found


def gravity(each: Led) -> tuple[object, ...]:
    """Order by level, the gravest first, then by place."""
    one = each.head
    return LEVELS.index(each.level), one.place, one.rule, one.address, one.says
