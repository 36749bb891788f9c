"""Operating windows of a job, put into records: where each set-point holds, and what ends it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from filmcheck.judging.rule import Rule
from filmcheck.judging.verdict import FAILS, OPEN
from filmcheck.records.window import Choice, Demand, PairMap, Reach, Window
from filmcheck.windows.search import Bad, Found, Search, Stretch, inward
from filmcheck.windows.set_points import SetPoint
from filmcheck.windows.settable import PAIRS
from filmcheck.windows.trial import Bench, Verdicts

Titles = Mapping[str, Rule]
MOST_NAMED = 3
CELLS = 11, 9
"""Values across and down in a map."""
WIDTH = 0.6
"""How far a map reaches to either side of the sheet's own value, as a share of it."""


def window_of(bench: Bench, point: SetPoint) -> Window:
    """Find the window of one set-point, all else as on the sheet."""
    search = Search(bench, point)
    found = search.run()
    titles = {rule.id: rule for rule in bench.owed}
    reaches = tuple(_reach(search, stretch, titles) for stretch in found.stretches)
    return Window(
        address=point.address,
        who=point.settable.who,
        own=point.datum.text,
        step="" if point.choices else point.text_of(point.step),
        place=point.datum.place,
        inside=_inside(found, point, search),
        reaches=reaches,
        choices=tuple(Choice(name, demands(bad, titles)) for name, bad in found.choices),
        meeting=() if reaches or point.choices else meeting(search, found, titles),
    )


def demands(bad: Bad, titles: Titles) -> tuple[Demand, ...]:
    """Name the rules behind what is bad, the gravest first."""
    order = ("error", "warning", "note", "none")
    known = sorted(bad, key=lambda key: (order.index(titles[key[0]].level) if key[0] in titles else 3, key))
    return tuple(_demand(key, titles) for key in known)


def _demand(key: tuple[str, str], titles: Titles, holds: str = "") -> Demand:
    rule = titles.get(key[0])
    return Demand(key[0], rule.text.title if rule else "", key[1], holds)


def _reach(search: Search, stretch: Stretch, titles: Titles) -> Reach:
    point = search.point
    settable = inward(stretch, search.fine) or (stretch.low, stretch.high)
    own_low, own_high = Decimal(repr(point.own)), Decimal(repr(point.own_high))
    low, high = search.part * stretch.low, search.part * stretch.high
    within = low <= own_low and own_high <= high
    return Reach(
        search.number(stretch.low),
        search.number(stretch.high),
        search.number(settable[0]),
        search.number(settable[1]),
        demands(stretch.below, titles),
        demands(stretch.above, titles),
        _margin(point, own_low - low) if within else "",
        _margin(point, high - own_high) if within else "",
    )


def _margin(point: SetPoint, size: Decimal) -> str:
    return point.text_of(Decimal(f"{float(size):.4g}"))


def _inside(found: Found, point: SetPoint, search: Search) -> bool:
    if found.point.choices:
        return any(name == str(point.datum.content) and not bad for name, bad in found.choices)
    low, high = (Decimal(repr(end)) / search.part for end in (point.own, point.own_high))
    return any(stretch.low <= low and high <= stretch.high for stretch in found.stretches)


def meeting(search: Search, found: Found, titles: Titles) -> tuple[Demand, ...]:
    """Of a window that is empty, name two demands that leave nothing between them, each with the end that it sets."""
    tried = found.tried
    keys = sorted({key for _, bad in tried for key in bad})
    good = {key: [n for n, (_, bad) in enumerate(tried) if key not in bad] for key in keys}
    for one in keys:
        for other in keys:
            if good[one] and good[other] and good[one][-1] < good[other][0]:
                return (
                    _demand(one, titles, f"up to {_end(search, tried, good[one][-1], one)}"),
                    _demand(other, titles, f"from {_end(search, tried, good[other][0], other, up=False)}"),
                )
    return ()


def _end(search: Search, tried: Sequence[tuple[int, Bad]], good: int, key: tuple[str, str], *, up: bool = True) -> str:
    beyond = good + 1 if up else good - 1
    if not 0 <= beyond < len(tried):
        return search.number(tried[good][0])
    only = frozenset({key})
    at, _ = search._edge(tried[good][0], tried[beyond][0], only, lambda bad: bad & only)
    return search.number(at)


def standing(base: Verdicts, titles: Titles) -> tuple[tuple[Demand, ...], tuple[Demand, ...]]:
    """Give what cannot be told on the sheet as it is, and what is broken there."""
    told = ((OPEN,), (FAILS,))
    first, second = (demands(frozenset(k for k, v in base.items() if v in some), titles) for some in told)
    return first, second


def pairs(points: Sequence[SetPoint]) -> Iterable[tuple[SetPoint, SetPoint]]:
    """Give the pairs of set-points of a job that trade off against each other."""
    for one, other in PAIRS:
        for first in points:
            if (first.settable.kind, first.settable.field) == one:
                for second in points:
                    if (second.settable.kind, second.settable.field) == other:
                        yield first, second


def pair_map(bench: Bench, across: SetPoint, down: SetPoint) -> PairMap:
    """Try two set-points together around the sheet's own values, and map what is bad."""
    titles = {rule.id: rule for rule in bench.owed}
    columns, rows = _values(across, CELLS[0]), tuple(reversed(_values(down, CELLS[1])))
    tried: list[list[Bad]] = []
    for low in rows:
        datum = down.with_text(low)
        search = Search(bench, across, [(down, datum)] if datum is not None else [])
        extra = Search(bench, down).rules
        search.rules = [rule for rule in bench.owed if rule in search.rules or rule in extra]
        tried.append([search.bad_text(text) for text in columns])
    cells = [bad for row in tried for bad in row]
    never = frozenset.intersection(*cells) if cells else frozenset()
    seen: dict[str, str] = {}
    lines = []
    for low, row in zip(rows, tried, strict=True):
        line = ""
        for text, bad in zip(columns, row, strict=True):
            moved = demands(bad - never, titles)
            own = text == _own(across) and low == _own(down)
            if moved:
                letter = seen.setdefault(moved[0].rule, "abcdefghijklmnpqrstuvwyz"[len(seen) % 24])
                line += "x" if own else letter
            else:
                line += "o" if own else "."
        lines.append(line)
    legend = tuple((letter, _demand((rule, ""), titles)) for rule, letter in seen.items())
    return PairMap(across.address, down.address, columns, rows, tuple(lines), legend)


def _own(point: SetPoint) -> str:
    return point.text_of(Decimal(repr(round(point.own, 10))))


def _values(point: SetPoint, count: int) -> tuple[str, ...]:
    """Give values around the sheet's own, whole steps apart, the own in the middle as far as it can be."""
    own, step = Decimal(repr(round(point.own, 10))), point.step
    half = count // 2
    each = max(Decimal(1), (own * Decimal(str(WIDTH)) / half / step).to_integral_value()) * step
    values = [own + each * n for n in range(-half, count - half)]
    return tuple(point.text_of(value) for value in values if value > 0)
