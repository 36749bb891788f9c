"""The short road to a verdict: conditions made into functions that decide and keep no evidence.

Most rules hold on most jobs, and then nobody wants to know why. What does not hold is judged again on the long road
(``conditions``), which gathers the evidence; a test holds both roads against each other on every rule and sheet.
"""

from __future__ import annotations

from collections.abc import Callable

from filmcheck.figures.figures import Figures
from filmcheck.figures.scopes import kinds_in
from filmcheck.figures.tracks import Parts, parts_of
from filmcheck.judging.conditions import (
    RELATIONS,
    AllHold,
    Compared,
    Condition,
    EitherHolds,
    IsGiven,
    OneOf,
    Opposite,
    Things,
)
from filmcheck.judging.expression import Binary, Expression, LimitName, Literal, Name
from filmcheck.judging.limit import Limit
from filmcheck.judging.rule import Rule
from filmcheck.judging.scene import ITS, THAT, Scene
from filmcheck.judging.verdict import Verdict
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured, Missing, Value

Decide = Callable[[Figures, Item | None, Item | None], Verdict]
Read = Callable[[Figures, Item | None, Item | None], Figured]
Limits = dict[str, Limit]

WHOLE = ("", 0)
MOST_THINGS, MOST_MASKS, MOST_PASSED = 64, 6, 200
"""Bounds of what a rule remembers, so that a hundred thousand sheets do not fill the memory."""

PATIENCE = 100
"""Jobs in a row that were like none before, after which a rule no longer compares: it hangs on what always varies."""

HOLDS, FAILS, OPEN, REVIEW = Verdict.HOLDS, Verdict.FAILS, Verdict.OPEN, Verdict.REVIEW
_OPPOSITE = {HOLDS: FAILS, FAILS: HOLDS, OPEN: OPEN, REVIEW: REVIEW}


class _Passed:
    """What a rule passed so far, of one thing or of whole jobs: contents by the mask of what the verdict hung on."""

    __slots__ = ("by_mask", "waited")

    def __init__(self) -> None:
        self.by_mask: dict[int, tuple[Parts, set[tuple[int, ...]]]] = {}
        self.waited = 0

    def mask_of(self, figures: Figures) -> int | None:
        """Give the mask under which a job reads as one that was passed."""
        for mask, (parts, contents) in self.by_mask.items():
            if figures.contents(parts) in contents:
                self.waited = 0
                return mask
        self.waited += 1
        return None

    def remember(self, figures: Figures) -> None:
        """Keep what the verdict just reached hangs on, as it reads on this job."""
        mask = figures.mask
        passed = self.by_mask.get(mask)
        if passed is None:
            if len(self.by_mask) >= MOST_MASKS:
                return
            passed = self.by_mask[mask] = (parts_of(mask), set())
        parts, contents = passed
        if len(contents) >= MOST_PASSED:
            contents.clear()  # what comes next is more like the last sheets than like the first
        contents.add(figures.contents(parts))


class Decider:
    """The short roads of one rule: whether it applies, and whether what it requires holds."""

    __slots__ = ("_passed", "applies", "for_each", "kinds", "requires", "rule")

    def __init__(self, rule: Rule, limits: Limits) -> None:
        """Make the functions once; they serve for every job."""
        self.applies = decider(rule.applies, limits) if rule.applies is not None else None
        self.requires = decider(rule.requires, limits) if rule.requires is not None else None
        self.kinds = kinds_in(rule.for_each) if rule.for_each else ()
        self.for_each = rule.for_each
        self.rule = rule
        self._passed: dict[tuple[str, int], _Passed] = {}

    def is_settled(self, figures: Figures) -> bool:
        """Whether the rule has nothing to say of a job: of any of the things that it judges one by one."""
        return self._settled(WHOLE, figures, None)

    def _settled(self, which: tuple[str, int], figures: Figures, thing: Item | None) -> bool:
        """Take the verdict over where all that it hangs on reads as on a job that the rule passed; else decide.

        The mask of the figures then tells what the verdict hangs on.
        """
        passed = self._passed.get(which)
        if passed is None and len(self._passed) < MOST_THINGS:
            passed = self._passed[which] = _Passed()
        elif passed is not None and passed.waited >= PATIENCE:
            passed = None
        if passed is not None:
            mask = passed.mask_of(figures)
            if mask is not None:
                figures.mask = mask
                return True
        figures.mask = 0
        settled = self._all_settled(figures) if thing is None and self.for_each else self._holds(figures, thing)
        if settled and passed is not None:
            passed.remember(figures)
        return settled

    def _all_settled(self, figures: Figures) -> bool:
        if figures.lack(self.for_each) is not None:
            return False
        for kind in self.kinds:
            for thing in figures.things(kind):
                before = figures.mask
                if not self._settled((kind, thing.number), figures, thing):
                    return False
                figures.mask |= before
        return True

    def _holds(self, figures: Figures, item: Item | None) -> bool:
        """Whether the rule does not apply, or what it requires holds."""
        if self.applies is not None and self.applies(figures, item, None) is FAILS:
            return True
        return self.requires is not None and self.requires(figures, item, None) is HOLDS


def decider(condition: Condition, limits: Limits) -> Decide:
    """Make the short road of a condition."""
    if isinstance(condition, Compared):
        return _compared(condition, limits)
    if isinstance(condition, AllHold):
        return _joined(condition.parts, limits, decides=FAILS, otherwise=HOLDS)
    if isinstance(condition, EitherHolds):
        return _joined(condition.parts, limits, decides=HOLDS, otherwise=FAILS)
    if isinstance(condition, Opposite):
        inner = decider(condition.part, limits)
        return lambda figures, item, outer: _OPPOSITE[inner(figures, item, outer)]
    if isinstance(condition, Things) and condition.quantity != "count":
        return _things(condition, limits)
    if isinstance(condition, OneOf):
        return _one_of(condition, limits)
    if isinstance(condition, IsGiven):
        return _given(condition, limits)
    return lambda figures, item, outer: condition.judge(Scene(figures, limits, item, outer)).verdict


def _reader(expression: Expression, limits: Limits) -> Read:
    if isinstance(expression, Name):
        return _asking(expression.name)
    if isinstance(expression, Literal):
        value = expression.value
        return lambda figures, item, outer: value
    if isinstance(expression, LimitName):
        return _limit(expression, limits[expression.name])
    if isinstance(expression, Binary):
        join, left, right = expression.of, _reader(expression.left, limits), _reader(expression.right, limits)
        return lambda figures, item, outer: join(left(figures, item, outer), right(figures, item, outer))
    return lambda figures, item, outer: expression.work(Scene(figures, limits, item, outer))


def _asking(name: str) -> Read:
    if name.startswith(THAT):
        inner = ITS + name[len(THAT) :]
        return lambda figures, item, outer: figures(inner, outer)
    return lambda figures, item, outer: figures(name, item)


def _limit(expression: LimitName, limit: Limit) -> Read:
    if limit.by:
        word = _asking(limit.by)
        return lambda figures, item, outer: expression.of(limit, word(figures, item, outer))
    fixed = expression.of(limit, None)
    return lambda figures, item, outer: fixed


def _compared(condition: Compared, limits: Limits) -> Decide:
    left_of, right_of = _reader(condition.left, limits), _reader(condition.right, limits)
    relate = RELATIONS[condition.relation]
    if condition.relation == "equals" and isinstance(condition.right, Literal):
        wanted = condition.right.value.low
        if isinstance(wanted, (str, bool)):
            return _is_word(left_of, wanted)

    def decide(figures: Figures, item: Item | None, outer: Item | None) -> Verdict:
        left = left_of(figures, item, outer)
        if left.__class__ is Missing:
            return OPEN
        right = right_of(figures, item, outer)
        return OPEN if right.__class__ is Missing else relate(left, right)  # type: ignore[arg-type]  # both are values

    return decide


def _is_word(read: Read, wanted: str | bool) -> Decide:
    def decide(figures: Figures, item: Item | None, outer: Item | None) -> Verdict:
        value = read(figures, item, outer)
        if isinstance(value, Missing):
            return OPEN
        return HOLDS if value.low == wanted else FAILS

    return decide


def _joined(parts: tuple[Condition, ...], limits: Limits, *, decides: Verdict, otherwise: Verdict) -> Decide:
    made = tuple(decider(part, limits) for part in parts)

    def decide(figures: Figures, item: Item | None, outer: Item | None) -> Verdict:
        undecided = otherwise
        for part in made:
            verdict = part(figures, item, outer)
            if verdict is decides:
                return verdict
            if verdict is OPEN or (verdict is REVIEW and undecided is otherwise):
                undecided = verdict
        return undecided

    return decide


def _one_of(condition: OneOf, limits: Limits) -> Decide:
    read = _reader(condition.left, limits)
    words = {choice.value.low for choice in condition.choices if isinstance(choice, Literal)}
    only_words = len(words) == len(condition.choices) and all(isinstance(word, str) for word in words)
    if not only_words:
        return lambda figures, item, outer: condition.judge(Scene(figures, limits, item, outer)).verdict

    def decide(figures: Figures, item: Item | None, outer: Item | None) -> Verdict:
        value = read(figures, item, outer)
        if isinstance(value, Missing):
            return OPEN
        return HOLDS if value.low in words else FAILS

    return decide


def _given(condition: IsGiven, limits: Limits) -> Decide:
    read = _reader(condition.left, limits)
    found, absent = (HOLDS, FAILS) if condition.wanted else (FAILS, HOLDS)

    def decide(figures: Figures, item: Item | None, outer: Item | None) -> Verdict:
        value = read(figures, item, outer)
        if isinstance(value, Value):
            return found
        return absent if value.is_absent else OPEN

    return decide


def _things(condition: Things, limits: Limits) -> Decide:
    where = decider(condition.where, limits) if condition.where is not None else None
    has = decider(condition.has, limits) if condition.has is not None else None
    kinds = kinds_in(condition.kind)
    decide_things = _every(where, has) if condition.quantity == "every" else _some(where, has)
    turned = condition.quantity == "no"

    def decide(figures: Figures, item: Item | None, outer: Item | None) -> Verdict:
        if figures.lack(condition.kind) is not None:
            return OPEN
        things = [thing for kind in kinds for thing in figures.things(kind)]
        if condition.position is not None:
            anchors = [anchor.find(Scene(figures, limits, item, outer)) for anchor in condition.position.anchors]
            at = [anchor.number for anchor in anchors if anchor is not None]
            if len(at) < len(anchors):
                return HOLDS  # nothing to be before or after
            things = [thing for thing in things if condition.position.allows(thing.number, at)]
        verdict = decide_things(figures, things, item)
        return _OPPOSITE[verdict] if turned else verdict

    return decide


def _every(where: Decide | None, has: Decide | None) -> Callable[[Figures, list[Item], Item | None], Verdict]:
    def decide(figures: Figures, things: list[Item], item: Item | None) -> Verdict:
        undecided = HOLDS
        for thing in things:
            meant = HOLDS if where is None else where(figures, thing, item)
            if meant is FAILS:
                continue
            verdict = HOLDS if has is None else has(figures, thing, item)
            if verdict is HOLDS:
                continue
            if meant is not HOLDS:  # it may not be one of those meant
                verdict = OPEN if OPEN in (meant, verdict) else REVIEW
            if verdict is FAILS:
                return FAILS
            if verdict is OPEN or undecided is HOLDS:
                undecided = verdict
        return undecided

    return decide


def _some(where: Decide | None, has: Decide | None) -> Callable[[Figures, list[Item], Item | None], Verdict]:
    def decide(figures: Figures, things: list[Item], item: Item | None) -> Verdict:
        undecided = FAILS
        for thing in things:
            meant = HOLDS if where is None else where(figures, thing, item)
            if meant is FAILS:
                continue
            verdict = HOLDS if has is None else has(figures, thing, item)
            if verdict is FAILS:
                continue
            if verdict is HOLDS and meant is HOLDS:
                return HOLDS
            joint = OPEN if OPEN in (meant, verdict) else REVIEW
            if joint is OPEN or undecided is FAILS:
                undecided = joint
        return undecided

    return decide
