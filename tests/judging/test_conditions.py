"""Conditions: Kleene's tables, comparisons of ranges, and things of a path, each against a plain reckoning."""

from __future__ import annotations

import operator
from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from filmcheck.judging.comparison import Compared, IsGiven, Near, OneOf
from filmcheck.judging.condition import Condition
from filmcheck.judging.context import Context
from filmcheck.judging.expression import Literal, Name, sort_of
from filmcheck.judging.joined import AllHold, EitherHolds, Opposite, WhenThen
from filmcheck.judging.position import Anchor, Position
from filmcheck.judging.quantifier import Things
from filmcheck.judging.relations import RELATIONS
from filmcheck.judging.verdict import Outcome, Verdict
from filmcheck.records.value import Figured, Missing, Need, Value, exact

Make = Callable[..., Context]
UNDECIDED = (Verdict.OPEN, Verdict.REVIEW)
COUNT = sort_of("number")
X, Y, TOLERANCE = (Name(name, COUNT) for name in ("x", "y", "tolerance"))


@dataclass(frozen=True)
class Fixed(Condition):
    """A condition that comes to a chosen verdict."""

    verdict: Verdict
    mark: int = 0

    def decide(self, context: Context) -> Verdict:
        return self.verdict

    def explain(self, context: Context) -> Outcome:
        return Outcome(self.verdict)


def verdict_of(condition: Condition, context: Context) -> Verdict:
    """Decide, and see that the explanation comes to the same."""
    verdict = condition.decide(context)
    assert condition.explain(context).verdict is verdict
    return verdict


def trees(leaf: st.SearchStrategy[Condition]) -> st.SearchStrategy[Condition]:
    def grown(inner: st.SearchStrategy[Condition]) -> st.SearchStrategy[Condition]:
        parts = st.lists(inner, min_size=1, max_size=3).map(tuple)
        when_then = st.builds(WhenThen, inner, inner)
        return parts.map(AllHold) | parts.map(EitherHolds) | inner.map(Opposite) | when_then

    return st.recursive(leaf, grown, max_leaves=8)


LEAVES = st.builds(Fixed, st.sampled_from(list(Verdict)), st.integers(0, 3))


def kleene(condition: Condition) -> float:
    """Kleene's strong tables: and is the least, or the greatest, not the rest to one.

    Source: S. C. Kleene, Introduction to Metamathematics (1952), section 64; from memory.
    """
    if isinstance(condition, AllHold):
        return min(kleene(part) for part in condition.parts)
    if isinstance(condition, EitherHolds):
        return max(kleene(part) for part in condition.parts)
    if isinstance(condition, Opposite):
        return 1 - kleene(condition.part)
    if isinstance(condition, WhenThen):
        return max(1 - kleene(condition.when), kleene(condition.then))
    assert isinstance(condition, Fixed)
    return {Verdict.HOLDS: 1.0, Verdict.FAILS: 0.0}.get(condition.verdict, 0.5)


def settled(condition: Condition, truths: dict[int, bool]) -> bool:
    """Two-valued logic, with every open leaf settled by its mark."""
    if isinstance(condition, AllHold):
        return all(settled(part, truths) for part in condition.parts)
    if isinstance(condition, EitherHolds):
        return any(settled(part, truths) for part in condition.parts)
    if isinstance(condition, Opposite):
        return not settled(condition.part, truths)
    if isinstance(condition, WhenThen):
        return not settled(condition.when, truths) or settled(condition.then, truths)
    assert isinstance(condition, Fixed)
    return truths[condition.mark] if condition.verdict in UNDECIDED else condition.verdict is Verdict.HOLDS


@given(trees(LEAVES))
def test_joined_conditions_follow_kleene(make_context_of: Make, condition: Condition) -> None:
    verdict = verdict_of(condition, make_context_of())
    assert {Verdict.HOLDS: 1.0, Verdict.FAILS: 0.0}.get(verdict, 0.5) == kleene(condition)


@given(trees(LEAVES))
def test_what_is_decided_stays_so_whatever_is_found_out_later(make_context_of: Make, condition: Condition) -> None:
    verdict = verdict_of(condition, make_context_of())
    outcomes = {settled(condition, dict(enumerate(truths))) for truths in product((False, True), repeat=4)}
    assert verdict in UNDECIDED or outcomes == {verdict is Verdict.HOLDS}


@given(st.lists(trees(LEAVES), min_size=1, max_size=3).map(tuple))
def test_de_morgan(make_context_of: Make, parts: tuple[Condition, ...]) -> None:
    turned = EitherHolds(tuple(Opposite(part) for part in parts))
    assert verdict_of(Opposite(AllHold(parts)), make_context_of()) is verdict_of(turned, make_context_of())


def test_what_is_lacking_outweighs_what_is_borderline(make_context_of: Make) -> None:
    parts = (Fixed(Verdict.REVIEW), Fixed(Verdict.OPEN))
    assert verdict_of(AllHold(parts), make_context_of()) is Verdict.OPEN
    assert verdict_of(EitherHolds(parts), make_context_of()) is Verdict.OPEN


ENDS = st.integers(-20, 20)
RANGES = st.tuples(ENDS, ENDS).map(sorted)
PLAIN: dict[str, Callable[[float, float], bool]] = {
    "at_most": operator.le,
    "at_least": operator.ge,
    "below": operator.lt,
    "above": operator.gt,
    "equals": operator.eq,
    "not": operator.ne,
}


def inner_points(low: int, high: int) -> list[float]:
    """Give the ends, every whole number between them, and the middles between those."""
    return [low + step / 2 for step in range(2 * (high - low) + 1)]


def test_every_relation_has_a_plain_reckoning() -> None:
    assert PLAIN.keys() == RELATIONS.keys()


@pytest.mark.sample(3)
@pytest.mark.parametrize("relation", RELATIONS)
@given(left=RANGES, right=RANGES)
@settings(max_examples=150)
def test_the_verdict_of_ranges_is_that_of_all_their_points(
    make_context_of: Make, relation: str, left: list[int], right: list[int]
) -> None:
    context = make_context_of({"x": Value(*left), "y": Value(*right)})
    verdict = verdict_of(Compared(X, relation, Y), context)
    truths = {PLAIN[relation](x, y) for x in inner_points(*left) for y in inner_points(*right)}
    wanted = {frozenset({True}): Verdict.HOLDS, frozenset({False}): Verdict.FAILS}
    assert verdict is wanted.get(frozenset(truths), Verdict.REVIEW)


@given(left=RANGES, right=RANGES, tolerance=st.tuples(st.integers(0, 9), st.integers(0, 9)).map(sorted))
def test_nearness_of_ranges_is_that_of_all_their_points(
    make_context_of: Make, left: list[int], right: list[int], tolerance: list[int]
) -> None:
    context = make_context_of({"x": Value(*left), "y": Value(*right), "tolerance": Value(*tolerance)})
    verdict = verdict_of(Near(X, Y, TOLERANCE), context)
    truths = {
        abs(x - y) <= t for x in inner_points(*left) for y in inner_points(*right) for t in inner_points(*tolerance)
    }
    wanted = {frozenset({True}): Verdict.HOLDS, frozenset({False}): Verdict.FAILS}
    assert verdict is wanted.get(frozenset(truths), Verdict.REVIEW)


@given(left=RANGES, choices=st.lists(ENDS, min_size=1, max_size=4))
def test_a_choice_of_amounts(make_context_of: Make, left: list[int], choices: list[int]) -> None:
    literals = tuple(Literal(exact(float(choice)), COUNT, str(choice)) for choice in choices)
    verdict = verdict_of(OneOf(X, literals), make_context_of({"x": Value(*left)}))
    if left[0] == left[1]:
        assert verdict is (Verdict.HOLDS if left[0] in choices else Verdict.FAILS)
    else:
        reached = any(left[0] <= choice <= left[1] for choice in choices)
        assert verdict is (Verdict.REVIEW if reached else Verdict.FAILS)


@pytest.mark.parametrize(
    ("figure", "given_holds"),
    [
        (exact("film"), Verdict.HOLDS),
        (Missing((Need("x", "x"),)), Verdict.FAILS),
        (Missing((Need("stock", "stock clear is not in the stock register"),)), Verdict.OPEN),
        (Missing((Need("x", "x"), Need("stock", "stock clear is not in the stock register"))), Verdict.OPEN),
    ],
    ids=["there", "not written", "entry not found", "both"],
)
def test_given(make_context_of: Make, figure: Figured, given_holds: Verdict) -> None:
    context = make_context_of({"x": figure})
    assert verdict_of(IsGiven(X, wanted=True), context) is given_holds
    assert verdict_of(IsGiven(X, wanted=False), context) is verdict_of(Opposite(Fixed(given_holds)), context)


@pytest.mark.parametrize("test", [Compared(X, "at_most", Y), OneOf(X, (Y,)), Near(X, Y, TOLERANCE)])
def test_what_is_missing_leaves_a_test_open_and_is_named(make_context_of: Make, test: Condition) -> None:
    outcome = test.explain(make_context_of({"y": exact(1), "tolerance": exact(1)}))
    assert outcome.verdict is Verdict.OPEN
    assert [need.name for need in outcome.needs] == ["x"]


# Things of a path, against loops over a plain list.

KINDS = ("nip", "print", "dryer")
PATHS = st.lists(st.sampled_from(KINDS), max_size=7)
ANCHORS = st.builds(Anchor, st.sampled_from(["first", "last"]), st.sampled_from(KINDS))
ASKED = Compared(Name("its.unit", COUNT), "equals", Literal(exact(1.0), COUNT, "1"))
TRUTHS: dict[bool | None, Figured] = {True: exact(1), False: exact(2), None: Missing((Need("unit", "unit"),))}


@st.composite
def positions(draw: st.DrawFn) -> Position | None:
    relation = draw(st.sampled_from(["", "before", "after", "next_to", "between"]))
    if not relation:
        return None
    anchors = tuple(draw(ANCHORS) for _ in range(2 if relation == "between" else 1))
    within = draw(st.none() | st.integers(1, 3)) if relation in ("before", "after") else None
    return Position(relation, anchors, within)


def stands(number: int, position: Position | None, path: list[str]) -> bool | None:
    """Say whether a station stands where asked; None where the path lacks an anchor."""
    if position is None:
        return True
    at = []
    for anchor in position.anchors:
        found = [index for index, kind in enumerate(path, 1) if kind == anchor.kind]
        if not found:
            return None
        at.append(found[0] if anchor.which == "first" else found[-1])
    near = position.within or len(path)
    return {
        "before": at[0] - near <= number < at[0],
        "after": at[0] < number <= at[0] + near,
        "next_to": number in (at[0] - 1, at[0] + 1),
        "between": min(at) < number < max(at),
    }[position.relation]


@given(
    path=PATHS,
    truths=st.lists(st.sampled_from([True, False, None]), min_size=7, max_size=7),
    position=positions(),
    quantity=st.sampled_from(["every", "some", "no", "count"]),
    least=st.integers(0, 3),
)
@settings(max_examples=400)
def test_things_of_a_path(
    make_context_of: Make,
    path: list[str],
    truths: list[bool | None],
    position: Position | None,
    quantity: str,
    least: int,
) -> None:
    fields = {(number, "unit"): TRUTHS[truth] for number, truth in enumerate(truths, 1)}
    right = Literal(exact(float(least)), COUNT, str(least))
    things = Things(quantity, "nip", None, ASKED, position, "at_least", right)
    verdict = verdict_of(things, make_context_of({}, path, fields))

    if stands(0, position, path) is None:
        assert verdict is Verdict.HOLDS  # nothing to stand before or after
        return
    meant = [n for n, kind in enumerate(path, 1) if kind == "nip" and stands(n, position, path)]
    outcomes = set()
    for answers in product((True, False), repeat=len(meant)):
        found = [
            truths[n - 1] if truths[n - 1] is not None else answer for n, answer in zip(meant, answers, strict=True)
        ]
        outcomes.add(
            {"every": all(found), "some": any(found), "no": not any(found), "count": sum(found) >= least}[quantity]
        )
    wanted = {frozenset({True}): Verdict.HOLDS, frozenset({False}): Verdict.FAILS}
    assert verdict is wanted.get(frozenset(outcomes), Verdict.OPEN)


def test_every_thing_that_is_meant(make_context_of: Make) -> None:
    """What is not meant may be anything; where it cannot be told whether it is meant, it must be right."""
    where = Compared(Name("its.kind", sort_of("word")), "equals", Literal(exact("bar"), sort_of("word"), "bar"))
    every = Things("every", "nip", where, ASKED)
    fields: dict[tuple[int, str], Figured] = {(1, "kind"): exact("brush"), (1, "unit"): exact(2)}
    assert verdict_of(every, make_context_of({}, ["nip"], fields)) is Verdict.HOLDS
    assert verdict_of(every, make_context_of({}, ["nip"], {(1, "unit"): exact(1)})) is Verdict.HOLDS
    assert verdict_of(every, make_context_of({}, ["nip"], {(1, "unit"): exact(2)})) is Verdict.OPEN
