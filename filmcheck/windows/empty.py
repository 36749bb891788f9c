"""An empty window: the two demands that meet there, where they stand, and what else could be set to open it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import islice, product
from typing import NamedTuple

from filmcheck.judging.rule import Rule
from filmcheck.judging.verdict import FAILS
from filmcheck.records.window import Demand, Opening
from filmcheck.windows.found import Bad, Found, inward
from filmcheck.windows.search import Search
from filmcheck.windows.set_points import SetPoint
from filmcheck.windows.trial import Key

MOST_OPENINGS, MOST_OTHERS = 2, 6
"""Openings that are told, and other set-points that are tried for one."""
MOST_NEAR = 3
"""Values that are judged by all rules where another set-point opens a window for the two demands."""
NEAR = 3.0
"""Times its own value up to which another set-point is tried."""


class Conflict(NamedTuple):
    """Two demands that leave nothing between them, and the ends that they set, in parts of a step."""

    demands: tuple[Demand, Demand]
    ends: tuple[int, int]


def meeting(search: Search, found: Found, of: Key | None = None) -> Conflict | None:
    """Find two demands, ``of`` a rule and thing one of them, that leave nothing between them; None where are no two."""
    tried = found.tried
    keys = sorted({key for _, bad in tried for key in bad})
    good = {key: [n for n, (_, bad) in enumerate(tried) if key not in bad] for key in keys}
    for one, other in product(keys, repeat=2):
        if (of is None or of in (one, other)) and good[one] and good[other] and good[one][-1] < good[other][0]:
            (low, end), (high, start) = (
                _end(search, found, good[one][-1], one, 1),
                _end(search, found, good[other][0], other, -1),
            )
            if end < start:  # else both hold between two values that were tried
                return Conflict((low, high), (end, start))
    return None


def _end(search: Search, found: Found, good: int, key: Key, way: int) -> tuple[Demand, int]:
    """Find the end of what a demand allows, between the last value tried that it holds for and the next one."""
    only = frozenset({key})
    first, beyond = found.tried[good][0], found.tried[good + way][0]
    at, _ = search.edge(first, beyond, only, lambda bad: bad & only)
    rule = search.bench.by_id[key[0]]
    holds = f"{'up to' if way > 0 else 'from'} {search.number(at)}"
    return Demand(rule.id, rule.text.title, key[1], holds, next(iter(search.asked_at(at + way, key)), None)), at


def openings(search: Search, points: Sequence[SetPoint], met: Conflict) -> tuple[Opening, ...]:
    """Find other set-points with which some value of this one meets both demands, and breaks nothing else."""
    asked = {one.rule for one in met.demands}
    others = [point for point in points if point is not search.point and _reads(search, point, asked)]
    others.sort(key=lambda point: (point.settable.asked_for, point.settable.kind != search.point.settable.kind))
    tried = (_opening(search, point, met) for point in others[:MOST_OTHERS])
    return tuple(islice((one for one in tried if one is not None), MOST_OPENINGS))


def _reads(search: Search, point: SetPoint, asked: set[str]) -> bool:
    """Whether a set-point can move one of the demands, all else as it is: another press brings another path."""
    return point.settable.links != "press" and not asked.isdisjoint(search.bench.looking_at(point))


def _opening(search: Search, other: SetPoint, met: Conflict) -> Opening | None:
    """Try the values of another set-point: first by the two demands alone, then, at a few of what is left, by all."""
    ways = Search(search.bench, other, finer=1)
    keys = [(one.rule, one.thing) for one in met.demands]
    own = search.number(round(search.point.own / float(search.part)))

    def beside(text: str, fine: int = search.fine) -> Search | None:
        datum = other.with_text(text)
        return Search(search.bench, search.point, [(other, datum)], fine) if datum is not None else None

    def opens(text: str) -> bool:
        inner = beside(text)
        # What fails at either end comes first, so that the other demand is mostly not asked.
        return inner is not None and any(
            all(key not in inner.bad(at, frozenset({key})) for key in asked)
            for at, asked in zip(met.ends, (keys[::-1], keys), strict=True)
        )

    def opening(text: str, further: str) -> Opening | None:
        inner = beside(text, 1)
        then = _nearest(inner, frozenset(keys), {**search.rules, **ways.rules}) if inner else ""
        return Opening(other.address, text, further, then if then != own else "", other.datum.place) if then else None

    names = [(name, "") for name in other.choices if name != other.datum.text and opens(name)]
    ends = names if other.choices else _outward(ways, lambda at: opens(ways.number(at)))
    return next((found for text, further in ends if (found := opening(text, further))), None)


def _nearest(inner: Search, keys: Bad, rules: dict[str, Rule]) -> str:
    """Give the value nearest to the sheet's own that breaks nothing: of those for which the two demands hold, a few."""
    bench, own = inner.bench, inner.point.own / float(inner.part)
    standing = frozenset(key for key, verdict in bench.base.items() if verdict is FAILS) - keys
    inner.rules = {rule: bench.by_id[rule] for rule, _ in keys}
    found = inner.run(relaxed=lambda bad: bad & keys).stretches
    ends = list(filter(None, (inward(stretch, inner.fine) for stretch in found)))
    near = {at for low, high in ends for at in (min(max(round(own), low), high), low, high)}
    inner.rules = rules
    tried = sorted(near, key=lambda at: abs(at - own))[:MOST_NEAR]
    return next((inner.number(at) for at in tried if inner.holds(at, standing)), "")


def _outward(ways: Search, opens: Callable[[int], bool]) -> Iterator[tuple[str, str]]:
    """Go from the sheet's own value down and up, and give on either side the first that opens."""
    part, size = float(ways.part), abs(ways.point.own)
    own = round(ways.point.own / part)
    near = [at for at in ways.places if size / NEAR <= abs(part * at) <= size * NEAR]
    places = [at for at in near if abs(at - own) > 3 or not ways.point.unit]  # what is nearer, halving the way finds
    for side, word in (
        (sorted(at for at in places if at < own)[::-1], "less"),
        ([a for a in places if a > own], "more"),
    ):
        for last, at, beyond in zip([own, *side], side, [*side[1:], None], strict=False):
            if opens(at):
                further = f"or {word}" if beyond is not None and opens(beyond) else ""
                yield ways.number(_first(last, at, opens)), further
                break


def _first(shut: int, open_at: int, opens: Callable[[int], bool]) -> int:
    while abs(open_at - shut) > 1:
        middle = (shut + open_at) // 2
        shut, open_at = (shut, middle) if opens(middle) else (middle, open_at)
    return open_at
