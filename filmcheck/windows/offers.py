"""What a search found, as values to offer: the nearest to the sheet's own first, each with how far it holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from filmcheck.units.faults import comma_list
from filmcheck.windows.found import Found, Stretch
from filmcheck.windows.search import Search
from filmcheck.windows.trial import Key


def names_that_hold(found: Found) -> Iterator[tuple[str, str]]:
    """Give the names that hold, each with others that do."""
    good = [name for name, bad in found.choices if not bad and name != str(found.point.datum.content)]
    for name in good:
        others = [other for other in good if other != name]
        yield name, f"{comma_list(others[:3], 'or')} would do too" if others else ""


def sizes_that_hold(
    search: Search, stretches: Iterable[Stretch], curing: Key, is_here: bool
) -> Iterator[tuple[str, str]]:
    """Give the values inside a window, the nearest to the sheet's own first, each with how far it holds.

    For a finding that stands elsewhere some are only changed within reason.
    """
    point = search.point
    near = (one for stretch in stretches for one in _within(search, stretch, curing, is_here))
    for *_, text, holds in sorted(near) if point.kept or point.own != point.own_high else near:
        yield text, holds


def _within(search: Search, stretch: Stretch, curing: Key, is_here: bool) -> Iterator[tuple[int, Decimal, str, str]]:
    """Give of a stretch the sizes kept, the part of the sheet's own range, and the end that is nearest."""
    point, low, high = search.point, stretch.low, stretch.high
    own_low, own_high = Decimal(repr(point.own)) / search.part, Decimal(repr(point.own_high)) / search.part
    holds = _holds(search, low, high, bool(stretch.below), bool(stretch.above))
    for size, text in point.kept:
        at = Decimal(repr(size)) / search.part
        if low <= at <= high:
            yield -1, abs(at - own_low), text, f"the stock is kept in it{holds and '; '}{holds}"
    if own_low != own_high and max(own_low, Decimal(low)) < min(own_high, Decimal(high)):
        first = search.number(max(int(own_low.to_integral_value(ROUND_CEILING)), low))
        last = search.number(min(int(own_high.to_integral_value(ROUND_FLOOR)), high))
        yield 0, Decimal(-1), f"{first.removesuffix(point.unit).strip()} to {last}", holds
    nearest = low if own_low < low else high if own_high > high else None
    if nearest is not None and (is_here or not own_high or nearest <= point.settable.far * float(own_high)):
        asked = search.nearest_to_asked(curing, low, high)
        yield 0, abs(nearest - own_low), search.number(nearest if asked is None else asked), holds


def _holds(search: Search, low: int, high: int, below: bool, above: bool) -> str:
    if below and above and low != high:
        return f"{search.number(low)} to {search.number(high)} holds"
    if below:
        return "" if low == high else "more holds too"
    return "less holds too" if above and low != high else ""
