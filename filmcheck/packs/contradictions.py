"""Finds conditions that no job can meet, or that every job meets: such a rule could never fail or never pass.

Every test of one figure against fixed words or amounts is tried at all points where its verdict could change, with
the same comparisons that judge a job. What cannot be decided so is taken to be sound.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from itertools import pairwise

from filmcheck.judging.condition import Clause, Condition
from filmcheck.judging.expression import Expression
from filmcheck.judging.joined import Opposite
from filmcheck.records.value import Plain, exact, number

Domain = Callable[[Expression], tuple[str, ...]] | None
"""Gives the words that a figure can be; none where any word may be written. None where nothing is to be looked for."""

MOST_BRANCHES = 256
"""Ways to meet a condition that are looked into; one with more is taken to be sound."""


def never(condition: Condition, domain: Domain) -> str:
    """Say which demands no job can meet together; an empty text where one may meet the condition."""
    branches = condition.branches(True, MOST_BRANCHES) if domain is not None else ()
    clashes = [_clash(branch, domain) for branch in branches or ()]
    return clashes[0] if clashes and all(clashes) else ""


def always(condition: Condition, domain: Domain) -> bool:
    """Whether every job with the data meets the condition."""
    return bool(never(Opposite(condition), domain))


def _clash(branch: tuple[Clause, ...], domain: Domain) -> str:
    asked: dict[Condition, bool] = {}
    by_figure: dict[Expression, list[Clause]] = {}
    for holds, test in branch:
        if asked.setdefault(test, holds) is not holds:
            return _joined([(True, test), (False, test)])
        if test.about is not None:
            by_figure.setdefault(test.about, []).append((holds, test))
    for figure, atoms in by_figure.items():
        clash = _unmeetable(figure, atoms, domain)
        if clash:
            return _joined(clash)
    return ""


def _unmeetable(figure: Expression, atoms: list[Clause], domain: Domain) -> list[Clause]:
    """Give tests of one figure that cannot come out so together, as few as show it."""
    absent = [atom for atom in atoms if not atom[1].literals and not atom[0]]  # not given
    tests = [atom for atom in atoms if atom[1].literals]
    if absent and len(atoms) > len(absent):
        return [absent[0], next(atom for atom in atoms if atom not in absent)]
    points = _points(figure, tests, domain)
    if not tests or any(_all_met(tests, point) for point in points):
        return []
    for index, one in enumerate(tests):
        for other in tests[:index]:
            if not any(_all_met([one, other], point) for point in points):
                return [other, one]
    return tests


def _points(figure: Expression, tests: list[Clause], domain: Domain) -> list[Plain]:
    """Give the values at which the tests are to be tried."""
    ends = [end for _, test in tests for literal in test.literals for end in (literal.value.low, literal.value.high)]
    if figure.sort.name == "truth":
        return [True, False]
    if figure.sort.name == "word":
        return [*(domain(figure) if domain else ())] or [*ends, ""]
    if figure.sort.name == "date":
        days = [end for end in ends if isinstance(end, date)]
        return [day + timedelta(away) for day in days for away in (-1, 0, 1)]
    numbers = sorted({number(end) for end in ends})
    middles = [(a + b) / 2 for a, b in pairwise(numbers)]
    far = [numbers[0] - 1 - abs(numbers[0]), numbers[-1] + 1 + abs(numbers[-1])] if numbers else []
    return [*numbers, *middles, *far]


def _all_met(tests: list[Clause], point: Plain) -> bool:
    return all(test.met_by(exact(point)) is holds for holds, test in tests)


def _joined(atoms: list[Clause]) -> str:
    return " and ".join(dict.fromkeys(f"'{test.source_of(holds)}'" for holds, test in atoms))
