"""What is told of a sheet before and after it was changed: what is gone, what is new, what is worse."""

from __future__ import annotations

from collections.abc import Iterable

from filmcheck.judging.causes import Who
from filmcheck.records.finding import Finding

REASONS_BETWEEN = "; "
"""What stands between the reasons in a finding that has several."""
_TOLD = ("fail", "review", "open")
"""Kinds of finding, the gravest first."""


def gone_by(before: Iterable[Finding], after: Iterable[Finding]) -> frozenset[Who] | None:
    """Give the faults that are gone; None where one is new, or where something cannot be told any more."""
    was, now = _told_by(before), _told_by(after)
    if any(_worse(kinds, was.get(who, ())) for who, kinds in now.items()):
        return None
    return frozenset(who for who, kinds in was.items() if "fail" in kinds and who not in now)


def settled_by(before: Iterable[Finding], after: Iterable[Finding]) -> frozenset[Who]:
    """Give what is no fault and is gone."""
    was, now = _told_by(before), _told_by(after)
    return frozenset(who for who, kinds in was.items() if "fail" not in kinds and who not in now)


def better(before: Iterable[Finding], after: Iterable[Finding]) -> bool:
    """Whether less is told than before, and nothing of it is new."""
    was, now = _told_by(before), _told_by(after)
    fewer = sum(map(len, now.values())) < sum(map(len, was.values()))
    return fewer and not any(_worse(kinds, was.get(who, ())) for who, kinds in now.items())


def _told_by(findings: Iterable[Finding]) -> dict[Who, tuple[str, ...]]:
    """Gather what is told of each datum: a fault may be there more than once, and for more than one reason."""
    told: dict[Who, tuple[str, ...]] = {}
    for one in findings:
        if one.kind in _TOLD:
            who = one.rule, one.address
            told[who] = (*told.get(who, ()), *([one.kind] * (1 + one.says.count(REASONS_BETWEEN))))
    return told


def _worse(kinds: tuple[str, ...], before: tuple[str, ...]) -> bool:
    """Whether more is told than before, or something graver."""
    grave, was = (sorted(map(_TOLD.index, some)) for some in (kinds, before))
    return len(grave) > len(was) or any(new < old for new, old in zip(grave, was, strict=False))
