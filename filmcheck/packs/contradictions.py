"""Finds conditions that no job can meet, or that every job meets: such a rule could never fail or never pass.

Every test of one figure against fixed words or amounts is tried at all points where its verdict could change, with
the same comparisons that judge a job. What cannot be decided so is taken to be sound.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, timedelta
from itertools import pairwise, product

from filmcheck.judging.conditions import (
    RELATIONS,
    AllHold,
    Compared,
    Condition,
    EitherHolds,
    IsGiven,
    OneOf,
    Opposite,
)
from filmcheck.judging.expression import Expression, Literal
from filmcheck.judging.verdict import Verdict
from filmcheck.packs.short_words import expression_words, words
from filmcheck.records.value import Plain, Value, exact, number

Atom = tuple[bool, Condition]
"""A test that joins no others, and whether it must hold."""

Domain = Callable[[Expression], tuple[str, ...]]
"""Gives the words that a figure can be; none where any word may be written."""

MOST_BRANCHES = 256
"""Ways to meet a condition that are looked into; one with more is taken to be sound."""

_FLIPPED = {"not": "equals", "above": "at_most", "below": "at_least"}
_SAID = {
    ("equals", True): "is",
    ("equals", False): "is not",
    ("at_most", True): "at most",
    ("at_most", False): "above",
    ("at_least", True): "at least",
    ("at_least", False): "below",
}


def never(condition: Condition, domain: Domain) -> str:
    """Say which demands no job can meet together; an empty text where one may meet the condition."""
    branches = _branches(condition, True)
    clashes = [_clash(branch, domain) for branch in branches or ()]
    return clashes[0] if clashes and all(clashes) else ""


def always(condition: Condition, domain: Domain) -> bool:
    """Whether every job with the data meets the condition."""
    return bool(never(Opposite(condition), domain))


def _branches(condition: Condition, holds: bool) -> list[tuple[Atom, ...]] | None:
    """Give every way to meet a condition (or its opposite) as tests that must all come out so."""
    if isinstance(condition, Opposite):
        return _branches(condition.part, not holds)
    if not isinstance(condition, (AllHold, EitherHolds)):
        return [(_atom(condition, holds),)]
    parts = [_branches(part, holds) for part in condition.parts]
    known = [part for part in parts if part is not None]
    if len(known) < len(parts):
        return None
    if isinstance(condition, EitherHolds) is holds:
        return [branch for part in known for branch in part]
    size = 1
    for part in known:
        size *= len(part)
    if size > MOST_BRANCHES:
        return None
    return [tuple(atom for branch in way for atom in branch) for way in product(*known)]


def _atom(condition: Condition, holds: bool) -> Atom:
    if isinstance(condition, Compared) and condition.relation in _FLIPPED:
        return not holds, condition._replace(relation=_FLIPPED[condition.relation])
    if isinstance(condition, IsGiven) and not condition.wanted:
        return not holds, condition._replace(wanted=True)
    return holds, condition


def _clash(branch: tuple[Atom, ...], domain: Domain) -> str:
    asked: dict[tuple[str, Condition], bool] = {}
    by_figure: dict[Expression, list[Atom]] = {}
    for holds, test in branch:
        if asked.setdefault((type(test).__name__, test), holds) is not holds:
            return _joined([(True, test), (False, test)])
        if _is_fixed(test):
            by_figure.setdefault(test.left, []).append((holds, test))  # type: ignore[attr-defined]
    for figure, atoms in by_figure.items():
        clash = _unmeetable(figure, atoms, domain)
        if clash:
            return _joined(clash)
    return ""


def _is_fixed(test: Condition) -> bool:
    if isinstance(test, IsGiven):
        return True
    if isinstance(test, Compared):
        return isinstance(test.right, Literal)
    return isinstance(test, OneOf) and all(isinstance(choice, Literal) for choice in test.choices)


def _unmeetable(figure: Expression, atoms: list[Atom], domain: Domain) -> list[Atom]:
    """Give tests of one figure that cannot come out so together, as few as show it."""
    absent = [atom for atom in atoms if isinstance(atom[1], IsGiven) and not atom[0]]
    tests = [atom for atom in atoms if not isinstance(atom[1], IsGiven)]
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


def _points(figure: Expression, tests: list[Atom], domain: Domain) -> list[Plain]:
    """Give the values at which the tests are to be tried."""
    ends = [end for literal in _literals(tests) for end in (literal.value.low, literal.value.high)]
    if figure.sort.name == "truth":
        return [True, False]
    if figure.sort.name == "word":
        return list(domain(figure)) or [*ends, ""]
    if figure.sort.name == "date":
        days = [end for end in ends if isinstance(end, date)]
        return [day + timedelta(away) for day in days for away in (-1, 0, 1)]
    numbers = sorted({number(end) for end in ends})
    middles = [(a + b) / 2 for a, b in pairwise(numbers)]
    far = [numbers[0] - 1 - abs(numbers[0]), numbers[-1] + 1 + abs(numbers[-1])] if numbers else []
    return [*numbers, *middles, *far]


def _literals(tests: list[Atom]) -> Iterable[Literal]:
    for _, test in tests:
        sides = (test.right,) if isinstance(test, Compared) else getattr(test, "choices", ())
        yield from (side for side in sides if isinstance(side, Literal))


def _all_met(tests: list[Atom], point: Plain) -> bool:
    return all(_met(test, exact(point)) is holds for holds, test in tests)


def _met(test: Condition, value: Value) -> bool:
    if isinstance(test, Compared) and isinstance(test.right, Literal):
        return RELATIONS[test.relation](value, test.right.value) is Verdict.HOLDS
    return any(RELATIONS["equals"](value, literal.value) is not Verdict.FAILS for literal in _literals([(True, test)]))


def _joined(atoms: list[Atom]) -> str:
    return " and ".join(dict.fromkeys(_said(holds, test) for holds, test in atoms))


def _said(holds: bool, test: Condition) -> str:
    if isinstance(test, Compared):
        left, right = expression_words(test.left), expression_words(test.right)
        return f"'{left} {_SAID[test.relation, holds]} {right}'"
    if isinstance(test, IsGiven):
        return f"'{expression_words(test.left)} {'given' if holds else 'not given'}'"
    return f"'{words(test)}'" if holds else f"'not {words(test)}'"
