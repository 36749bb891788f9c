"""Whether two expressions are of one kind, so that they can be compared or added."""

from __future__ import annotations

from filmcheck.judging.expression import PURE, Expression, Sort

_PLAIN = ("count", "ratio")
_TEMPERATURES = ("temperature", "temperature difference")


def a_sort(sort: Sort) -> str:
    """Name a sort with its article: an areal mass, a speed."""
    if sort.name == "truth":
        return "a yes or no"
    return f"{'an' if sort.name[:1] in 'aeio' else 'a'} {sort.name}"


def one_kind(left: Expression, right: Expression) -> bool:
    """Whether two expressions can be compared.

    The dimension of arithmetic is known by its exponents only, so N/m may be a line tension or an areal energy.
    A declared figure is of its own kind: a torque is no energy, a temperature no difference of temperatures.
    """
    a, b = left.sort, right.sort
    if not (a.is_amount and b.is_amount):
        return a == b
    if a.exponents != b.exponents:
        return False
    declared = left.is_declared and right.is_declared
    told_apart = declared or {a.name, b.name} == set(_TEMPERATURES)
    plain = a.exponents == PURE and a.name in _PLAIN and b.name in _PLAIN
    return a.name == b.name or plain or not told_apart
