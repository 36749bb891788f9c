"""Operating windows of a job, put into records: where each set-point holds, and what ends it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from string import ascii_letters, digits

from filmcheck.judging.verdict import FAILS, OPEN
from filmcheck.records.finding import LEVELS
from filmcheck.records.window import Choice, Demand, PairMap, Reach, Window
from filmcheck.windows.empty import meeting, openings
from filmcheck.windows.found import Bad, Found, Stretch, common, inward
from filmcheck.windows.search import Search
from filmcheck.windows.set_points import SetPoint
from filmcheck.windows.settable import PAIRS
from filmcheck.windows.trial import Bench

LETTERS = "".join(one for one in ascii_letters + digits if one not in "ox")
"""What stands in a map for what is bad together: small letters first."""
CELLS = 11, 9
"""Values across and down in a map."""
WIDTH = 0.6
"""How far a map reaches to either side of the sheet's own value, as a share of it."""


def window_of(bench: Bench, point: SetPoint, others: Sequence[SetPoint] = ()) -> Window:
    """Find the window of one set-point, all else as on the sheet; of an empty one, which of others would open it."""
    search = Search(bench, point)
    found = search.run()
    reaches = tuple(_reach(search, stretch) for stretch in found.stretches)
    met = None if reaches or point.choices else meeting(search, found)
    return Window(
        address=point.address,
        who=point.settable.who,
        own=point.datum.text,
        step="" if point.choices else point.text_of(point.step),
        place=point.datum.place,
        inside=_inside(found, point, search),
        reaches=reaches,
        choices=tuple(Choice(name, demands(bad, bench)) for name, bad in found.choices),
        meeting=met.demands if met else (),
        openings=openings(search, others, met) if met else (),
    )


def demands(bad: Bad, bench: Bench) -> tuple[Demand, ...]:
    """Name the rules behind what is bad, the gravest first."""
    known = {key: bench.by_id.get(key[0]) for key in sorted(bad)}
    found = sorted(known.items(), key=lambda one: LEVELS.index(one[1].level if one[1] else "none"))
    return tuple(Demand(key[0], rule.text.title if rule else "", key[1]) for key, rule in found)


def _reach(search: Search, stretch: Stretch) -> Reach:
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
        demands(stretch.below, search.bench),
        demands(stretch.above, search.bench),
        _margin(point, own_low - low) if within else "",
        _margin(point, high - own_high) if within else "",
    )


def _margin(point: SetPoint, size: Decimal) -> str:
    return point.text_of(Decimal(f"{float(size):.4g}")) if size else ""


def _inside(found: Found, point: SetPoint, search: Search) -> bool:
    if found.point.choices:
        return any(name == str(point.datum.content) and not bad for name, bad in found.choices)
    low, high = (Decimal(repr(end)) / search.part for end in (point.own, point.own_high))
    return any(stretch.low <= low and high <= stretch.high for stretch in found.stretches)


def demands_now(bench: Bench) -> tuple[tuple[Demand, ...], tuple[Demand, ...]]:
    """Give what cannot be told on the sheet as it is, and what is broken there."""
    first, second = (demands(frozenset(k for k, v in bench.base.items() if v is one), bench) for one in (OPEN, FAILS))
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
    columns, rows = _values(across, CELLS[0]), tuple(reversed(_values(down, CELLS[1])))
    tried: list[list[Bad]] = []
    for low in rows:
        datum = down.with_text(low)
        search = Search(bench, across, [(down, datum)] if datum is not None else [])
        search.rules |= bench.looking_at(down)
        tried.append([search.bad_text(text) for text in columns])
    never = common(bad for row in tried for bad in row)
    letters: dict[Bad, str] = {}
    own: list[tuple[str, tuple[Demand, ...]]] = []
    lines = []
    for low, row in zip(rows, tried, strict=True):
        line = ""
        for text, bad in zip(columns, row, strict=True):
            moved = bad - never
            if text == _own(across) and low == _own(down):
                line += "x" if moved else "o"
                own += [("x", demands(moved, bench))] if moved else []
            else:
                line += letters.setdefault(moved, LETTERS[len(letters) % len(LETTERS)]) if moved else "."
        lines.append(line)
    legend = (*own, *((letter, demands(bad, bench)) for bad, letter in letters.items()))
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
