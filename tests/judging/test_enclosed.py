"""Comparisons that bounds may decide: the same verdict as by the figure, which is asked for only where it must be."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmcheck.judging.comparison import Compared
from filmcheck.judging.context import Context
from filmcheck.judging.enclosed import ComparedByBounds, compared
from filmcheck.judging.expression import Literal, Name, sort_of
from filmcheck.judging.relations import RELATIONS
from filmcheck.judging.verdict import Verdict
from filmcheck.records.value import Missing, Need, Value, exact

PRESSURE = sort_of("pressure")
CORE = Name("finished_roll.core_pressure", PRESSURE)
LIMIT = Name("limit", PRESSURE)
ENDS = st.integers(0, 9)  # further apart than the last digits, in which a comparison lets two units differ


@pytest.mark.sample(3)
@pytest.mark.parametrize("relation", RELATIONS)
@given(ends=st.tuples(ENDS, ENDS, ENDS, ENDS).map(sorted), limit=st.tuples(ENDS, ENDS).map(sorted))
def test_bounds_decide_as_the_figure_would(
    make_context_of: Callable[..., Context], relation: str, ends: list[int], limit: list[int]
) -> None:
    least, low, high, most = ends
    figures = {CORE.name: Value(low, high), "limit": Value(*limit)}
    context = make_context_of(figures, bounds={CORE.name: Value(least, most)})
    test = compared(CORE, relation, LIMIT)
    assert isinstance(test, ComparedByBounds)
    assert test.decide(context) is Compared(CORE, relation, LIMIT).decide(context)


def test_a_figure_is_worked_out_only_where_its_bounds_leave_it_open(make_context_of: Callable[..., Context]) -> None:
    bounds = {CORE.name: Value(2.0, 5.0)}
    for limit, unknown, known in ((5.0, Verdict.HOLDS, Verdict.HOLDS), (4.0, Verdict.OPEN, Verdict.HOLDS)):
        test = compared(CORE, "at_most", Literal(exact(limit), PRESSURE, "limit"))
        assert test.decide(make_context_of({}, bounds=bounds)) is unknown
        assert test.decide(make_context_of({CORE.name: exact(3.0)}, bounds=bounds)) is known


def test_without_bounds_or_a_limit_all_is_as_ever(make_context_of: Callable[..., Context]) -> None:
    test = compared(CORE, "at_most", LIMIT)
    assert test.decide(make_context_of({CORE.name: exact(3.0), "limit": exact(3.0)})) is Verdict.HOLDS
    assert test.decide(make_context_of({CORE.name: exact(3.0)}, bounds={CORE.name: exact(3.0)})) is Verdict.OPEN
    lacking = make_context_of({CORE.name: Missing((Need("x", "x"),)), "limit": exact(3.0)})
    assert test.decide(lacking) is Verdict.OPEN


def test_other_figures_are_compared_themselves() -> None:
    assert type(compared(Name("web.width", sort_of("length")), "at_most", LIMIT)) is Compared
    assert type(compared(LIMIT, "at_most", CORE)) is Compared
    assert type(compared(Name("its.core_pressure", PRESSURE), "at_most", LIMIT)) is ComparedByBounds
