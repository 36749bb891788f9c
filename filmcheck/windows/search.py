"""The values of one set-point that hold: found by judging, between judged values by bisection."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from functools import cached_property, partial
from heapq import merge
from itertools import pairwise
from math import ceil, floor

from filmcheck.judging.context import Context
from filmcheck.judging.verdict import OPEN, REVIEW, Verdict
from filmcheck.records.place import Place
from filmcheck.units.quantity import convert
from filmcheck.windows.found import Bad, Excuse, Found, Stretch, common, stretch_between
from filmcheck.windows.set_points import SetPoint
from filmcheck.windows.trial import Bench, Change, Key, Trial
from filmcheck.windows.turns import turns

FINER = 20
"""Parts of a step to which an edge is found."""

SPREAD = (1.1, 1.5, 3.0, 10.0, 40.0)
"""Times the sheet's own value, up and down: where a set-point is tried first."""
PARTS = 8
"""Parts of a scale that has an end, such as 0 to 100 %, where it is tried first."""
MOST_COUNTS = 24
STEPS = 500
"""How far a size is tried at the least, in steps: some 500 N, or 25 mm of a gap. A slip leaves one far too small."""

_NOTHING: Bad = frozenset()
_NO_SUCH: Bad = frozenset({("value-wrong", "")})


class Search:
    """Tries values of one set-point on a job; every value is judged only once.

    ``allowed`` are verdicts that need not hold: those that the set-point does not move, and for advice those that are
    bad already.
    """

    def __init__(self, bench: Bench, point: SetPoint, also: Sequence[Change] = (), finer: int = FINER) -> None:
        """``also`` are other values that hold all the while."""
        self.bench, self.point, self.also = bench, point, tuple(also)
        self.rules = bench.looking_at(point)
        self.fine = finer if point.unit else 1
        self.part = point.step / self.fine
        self.own = _whole(point.own, self.part)
        self._trials: dict[str, Trial] = {}
        self._found: dict[Key, int | None] = {}

    def number(self, at: int) -> str:
        """Write the value of so many parts."""
        return self.point.text_of(self.part * at)

    def bad_text(self, text: str, of: Bad | None = None) -> Bad:
        """Give what is bad with a text in the place of the set-point's; asked ``of`` some keys, those among them."""
        trial = self._trials.get(text)
        if trial is None:
            datum = self.point.with_text(text)
            if datum is None:
                return _NO_SUCH
            trial = self._trials[text] = self.bench.trial([*self.also, (self.point, datum)])
        rules = self.rules
        asked = rules.values() if of is None else [rules[rule] for rule in {rule for rule, _ in of} if rule in rules]
        said = trial.all(asked)
        return frozenset(key for key, verdict in said.items() if self._is_bad(key, verdict))

    def bad(self, at: int, of: Bad | None = None) -> Bad:
        """Give what is bad at so many parts."""
        return self.bad_text(self.number(at), of)

    def holds(self, at: int, but: Bad) -> bool:
        """Whether nothing but what need not hold is bad at so many parts; the first that is ends the asking."""
        return all(self.bad(at, frozenset({(rule, "")})) <= but for rule in self.rules)

    def asked_at(self, at: int, key: Key) -> tuple[Place, ...]:
        """Give where that stands which a rule asks of a thing, other than at this set-point."""
        self.bad(at, frozenset())
        return self._trials[self.number(at)].asked_at(self.bench.by_id[key[0]], key[1], self.point.datum.place)

    def _is_bad(self, key: Key, verdict: Verdict) -> bool:
        """Whether a verdict stands against a value: what is undecided on the sheet as it is says nothing by it."""
        return verdict not in (OPEN, REVIEW) or self.bench.base.get(key) is not verdict

    def moves(self, key: Key) -> bool:
        """Whether a rule holds at some of the values that are tried first; only that rule is asked."""
        only = frozenset({key})
        if key[0] not in self.rules:
            return False
        if self.point.choices:
            return any(key not in self.bad_text(text, only) for text in self.point.choices)
        near = sorted(self.places, key=lambda at: abs(at - self.own))
        return any(key not in self.bad(at, only) for at in near) or self._sought(key) is not None

    def run(self, *, relaxed: Excuse | None = None, curing: Key | None = None) -> Found:
        """Try the set-point out. ``relaxed`` takes from what is bad that which need not hold.

        Of names, those alone are tried with which the rule of ``curing`` holds.
        """
        if self.point.choices:
            choices = self.point.choices
            if curing is not None:
                only = frozenset({curing})
                choices = tuple(text for text in choices if curing not in self.bad_text(text, only))
            tried = [(text, self.bad_text(text)) for text in choices]
            never = common(bad for _, bad in tried)
            take = relaxed or (lambda bad: bad - never)
            return Found(self.point, (), (), tuple((text, take(bad)) for text, bad in tried))
        places, take = self._tried(relaxed)
        stretches = tuple(self._stretches(places, take))
        return Found(self.point, stretches, tuple((at, take(self.bad(at))) for at in places))

    def nearest(self, curing: Key, relaxed: Excuse | None = None) -> Iterator[Stretch]:
        """Give the stretches, the nearest to the sheet's own value first; what lies further is tried when asked for."""
        places, take = self._tried(relaxed)
        own = bisect_left(places, self.own)
        if not take(self.bad(places[own])):
            return iter(sorted(self._stretches(places, take), key=self.far))
        ways = (self._stretches(way, take, curing) for way in (places[own:], places[own::-1]))
        return merge(*ways, key=self.far)

    def far(self, stretch: Stretch) -> tuple[Decimal, str]:
        """Say how far a stretch lies from the sheet's own value, in parts of a step, and where it is nearest."""
        own = Decimal(repr(self.point.own)) / self.part
        end = stretch.low if own < stretch.low else stretch.high
        return abs(end - own), self.number(end)

    def _tried(self, relaxed: Excuse | None) -> tuple[list[int], Excuse]:
        """Give the values to try, among them those for which a rule holds that fails at all others."""
        places = self.places
        places = sorted({*places, *filter(None, map(self._sought, sorted(self._never(places))))})
        never = frozenset() if relaxed else self._never(places)
        return places, relaxed or (lambda bad: bad - never)

    def _never(self, places: Sequence[int]) -> Bad:
        """Give what is bad at every value; what already is not at one is not asked for at the others."""
        never = self.bad(places[len(places) // 2])
        for at in places:
            never &= self.bad(at, never)
        return never

    def _sought(self, key: Key) -> int | None:
        """Look for a value for which a rule holds that fails at all that are tried first: where it fails by least."""
        if key not in self._found:
            self._found[key] = self._least(key, self.places)
        return self._found[key]

    def nearest_to_asked(self, key: Key, low: int, high: int) -> int | None:
        """Give, from one value to another, the one nearest to what a rule asks a figure to be near; None of others."""
        if not self.bench.trial([]).asks_nearness(self.bench.by_id[key[0]], key[1]):
            return None
        low, high = _narrowed(low, high, partial(self._short, key))
        return min(range(low, high + 1), key=partial(self._short, key))

    def _short(self, key: Key, at: int) -> float:
        """Say by how much a rule is missed at so many parts."""
        self.bad(at, frozenset({key}))
        return self._trials[self.number(at)].shortfall(self.bench.by_id[key[0]], key[1])

    def _least(self, key: Key, places: Sequence[int]) -> int | None:
        only, short = frozenset({key}), partial(self._short, key)
        misses = [short(at) for at in places]
        least = [n for n, miss in enumerate(misses) if miss == min(misses)]
        if len(least) > 2 or least[-1] - least[0] > 1:  # two beside each other have it between them
            return None
        low, high = places[max(least[0] - 1, 0)], places[min(least[-1] + 1, len(places) - 1)]
        low, high = _narrowed(low, high, short)
        return next((at for at in range(low, high + 1) if key not in self.bad(at, only)), None)

    @cached_property
    def places(self) -> list[int]:
        """Give the values that are tried first, in parts of a step: whole steps, and the sheet's own."""
        low, high = self._ends()
        point, fine = self.point, self.fine
        first = self.own
        found = {first, _whole(point.own_high, self.part)}
        if not point.unit and high - low <= MOST_COUNTS:
            return sorted({*found, *range(low, high + 1)})
        if point.dimension in ("ratio", "temperature", "temperature difference"):
            found |= {low + (high - low) * n // PARTS for n in range(PARTS + 1)}
            found |= {first - fine, first + fine, first - 3 * fine, first + 3 * fine}
        else:
            found |= {round(first * by / fine) * fine for by in SPREAD} | {
                round(first / by / fine) * fine for by in SPREAD
            }
            found |= {low, high, first - fine, first + fine}
        for turn in self._turns:
            found |= {floor(turn) - 1, floor(turn), ceil(turn), ceil(turn) + 1}
        return sorted(at for at in found if low <= at <= high)

    @cached_property
    def _turns(self) -> tuple[float, ...]:
        """Give where rules turn, in parts of a step."""
        base = Context(self.bench.figures, self.bench.house.limits)
        return tuple(turn / float(self.part) for turn in turns(self.point, self.rules.values(), base))

    def _ends(self) -> tuple[int, int]:
        """Give the least and the most that a sheet can say there, in parts of a step."""
        point = self.point
        if not point.unit:
            own = max(1, int(point.own))
            return 1, max(MOST_COUNTS, own * 40)
        low, high = point.shape.plausible or (0.0, 0.0)
        if not point.shape.plausible or point.dimension != point.shape.dimensions[0]:
            # The schema tells a plausible size in one dimension only.
            top = 100.0 if point.unit == "%" else max(point.own_high * SPREAD[-1], float(point.step) * STEPS)
            low_at, high_at = int(point.step / self.part), _whole(top, self.part)
        else:
            ends = (Decimal(repr(convert(end, point.unit, point.dimension))) / self.part for end in (low, high))
            least, most = ends
            low_at = int(least.to_integral_value(ROUND_CEILING))
            high_at = int(most.to_integral_value(ROUND_FLOOR))
            if point.dimension == "length":  # no gap and no trim are another lay-out, not less of them
                low_at = max(low_at, self.fine)
        if point.dimension == "ratio":
            high_at = min(high_at, _whole(100.0, self.part) if point.unit == "%" else high_at)
        own = _whole(point.own_high, self.part)
        span = max(own * int(SPREAD[-1]), STEPS * self.fine)
        if point.dimension not in ("temperature", "temperature difference", "ratio"):
            high_at = min(high_at, span)
        low_at = min(low_at, self.own)
        return low_at, max(high_at, own)

    def _stretches(self, places: Sequence[int], take: Excuse, curing: Key | None = None) -> Iterator[Stretch]:
        """Give the stretches that hold on the way along values; a rule that fails on both sides leaves none between."""
        start, by_start = places[0], _NOTHING
        shut = frozenset({curing} if curing else ())
        for at, then in pairwise(places):
            if shut and take(self.bad(at, shut)) & take(self.bad(then, shut)):
                continue
            bad, worse = take(self.bad(at)), take(self.bad(then))
            if not bad and worse:
                last, by = self.edge(at, then, worse, take)
                yield stretch_between(start, last, by_start, by)
            elif bad and not worse:
                start, by_start = self.edge(then, at, bad, take)
            elif not bad & worse:
                between = self._between(at, bad, then, worse, take) if bad else None
                if between is not None:
                    yield between
        if not take(self.bad(places[-1])):
            yield stretch_between(start, places[-1], by_start, _NOTHING)

    def edge(self, good: int, wrong: int, by: Bad, take: Excuse) -> tuple[int, Bad]:
        """Halve the way from a value that holds to one that does not, down to a part of a step.

        Only the rules that end it are asked: the others hold on both sides. What is silent on the far side, or cannot
        be told there, may fail in between: all are asked at the end.
        """
        start = good
        while abs(wrong - good) > 1:
            middle = (good + wrong) // 2
            bad = take(self.bad(middle, by))
            if bad:
                wrong, by = middle, bad
            else:
                good = middle
        others = take(self.bad(good)) if good != start else _NOTHING
        return self.edge(start, good, others, take) if others else (good, by)

    def _between(self, at: int, bad: Bad, then: int, worse: Bad, take: Excuse) -> Stretch | None:
        """Look between two values that are bad by different rules for one that holds."""
        low, high = at, then
        while abs(high - low) > 1:
            middle = (low + high) // 2
            now = take(self.bad(middle))
            if not now:
                first, below = self.edge(middle, low, bad, take)
                last, above = self.edge(middle, high, worse, take)
                return stretch_between(first, last, below, above)
            if now & bad and now & worse:
                return None
            if now & bad:
                low, bad = middle, now
            elif now & worse:
                high, worse = middle, now
            else:
                return None
        return None


def _narrowed(low: int, high: int, short: Callable[[int], float]) -> tuple[int, int]:
    """Narrow down where between two values something is missed by least."""
    while high - low > 2:
        third = (high - low) // 3
        low, high = (low, high - third) if short(low + third) <= short(high - third) else (low + third, high)
    return low, high


def _whole(value: float, part: Decimal) -> int:
    return int((Decimal(repr(value)) / part).to_integral_value())
