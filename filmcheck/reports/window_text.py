"""Operating windows for people, as text with a small map for pairs; and for programs, as JSON (RFC 8259)."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Container, Iterator, Sequence
from typing import Any

from filmcheck.records.window import Demand, JobWindows, Opening, PairMap, Reach, Window
from filmcheck.reports.page_lines import WIDTH, wrapped

STANDING_LINE = (
    "A window holds for one set-point with all else as on the sheet, and is as good as the sheet's numbers. "
    "The instructions of the makers and the local codes come first."
)
_MOST = 3


def window_text(windows: JobWindows) -> str:
    """Set the windows of a job as text."""
    blocks = [
        f"Job {windows.job}, operating windows ({windows.file})",
        *("\n".join(_window(window)) for window in windows.windows),
        *("\n".join(_map(drawn)) for drawn in windows.maps),
        "\n".join(_rest(windows)),
        "\n".join(textwrap.wrap(STANDING_LINE, WIDTH)),
    ]
    return "\n\n".join(block for block in blocks if block) + "\n"


def window_json(windows: JobWindows) -> str:
    """Write the windows as JSON, in the units of the sheet."""
    told: dict[str, Any] = {
        "job": windows.job,
        "file": windows.file,
        "windows": [_window_object(window) for window in windows.windows],
        "maps": [_map_object(drawn) for drawn in windows.maps],
        "cannotTell": [_demand_object(demand) for demand in windows.open],
        "broken": [_demand_object(demand) for demand in windows.standing],
    }
    return json.dumps(told, ensure_ascii=False, indent=2) + "\n"


def _window(window: Window) -> Iterator[str]:
    where = "inside" if window.inside else "outside"
    nothing = not window.reaches and not any(not choice.bad for choice in window.choices)
    state = "nothing holds" if nothing else where
    yield f"{window.address}: {window.own}  [{state}]"
    step = f", in steps of {window.step}" if window.step else ""
    yield f"    set by   {window.who}{step}; {window.place}"
    for reach in window.reaches:
        yield from _reach(reach)
    for label, demand in zip(("above", "below"), window.meeting, strict=False):
        yield from _lines(label, _met(demand))
    if nothing and not window.choices and not window.meeting:
        yield from _lines("holds", "no value that was tried")
    for opening in window.openings:
        yield from _lines("opens", _opened(opening))
    if window.choices:
        good = [choice.name for choice in window.choices if not choice.bad]
        yield from _lines("holds", ", ".join(good) or "none of them")
    for choice in window.choices:
        if choice.bad:
            yield from _lines("not", f"{choice.name}: {_demands(choice.bad)}")


def _reach(reach: Reach) -> Iterator[str]:
    yield from _lines("holds", reach.settable)
    below, above = _demands(reach.below), _demands(reach.above)
    margin_below = f" (margin {reach.margin_below})" if reach.margin_below and below else ""
    margin_above = f" (margin {reach.margin_above})" if reach.margin_above and above else ""
    if below:
        yield from _lines("below", f"{reach.low}{margin_below}: {below}")
    if above:
        yield from _lines("above", f"{reach.high}{margin_above}: {above}")


def _lines(label: str, text: str) -> tuple[str, ...]:
    return wrapped(text, f"    {label:<9}")


def _demands(demands: Sequence[Demand], told: Container[str] = ()) -> str:
    """Name each rule once, with the things of which it was asked; by its id alone where that is told already."""
    things: dict[tuple[str, str], list[str]] = {}
    for demand in demands:
        things.setdefault((demand.title, demand.rule), []).extend([demand.thing] if demand.thing else [])
    named = [f"{'' if rule in told else title}{_of(found)} [{rule}]".strip() for (title, rule), found in things.items()]
    return "; ".join(named[:_MOST]) + _and_more(named)


def _of(things: Sequence[str]) -> str:
    return f" ({', '.join(things[:_MOST])}{_and_more(things)})" if things else ""


def _and_more(some: Sequence[str]) -> str:
    return f" and {len(some) - _MOST} more" if len(some) > _MOST else ""


def _opened(opening: Opening) -> str:
    return f"{opening.address} at {opening.wanted}{f', and {opening.then} here' if opening.then else ''}"


def _met(demand: Demand) -> str:
    """Tell one of two demands that leave nothing between them, as an edge is told."""
    end = demand.holds.removeprefix("up to ").removeprefix("from ")
    where = f", {demand.place}" if demand.place else ""
    return f"{end}: {_demands([demand])}{where}"


def _map(drawn: PairMap) -> Iterator[str]:
    yield f"{drawn.down} (up) against {drawn.across} (across)"
    wide = max(len(text) for text in drawn.down_values)
    for value, row in zip(drawn.down_values, drawn.rows, strict=True):
        yield f"    {value:>{wide}}  {' '.join(row)}"
    yield f"    {'':>{wide}}  {drawn.across_values[0]} to {drawn.across_values[-1]}, left to right in even steps"
    yield "    . holds   o the sheet's own, holds   x the sheet's own, does not hold"
    told: set[str] = set()  # the title of a rule is told once
    for letter, bad in drawn.legend:
        yield from _lines(letter, _demands(bad, told))
        told |= {demand.rule for demand in bad}


def _rest(windows: JobWindows) -> Iterator[str]:
    if windows.standing:
        yield from textwrap.wrap(f"broken on the sheet as it is: {_demands_all(windows.standing)}", WIDTH)
    if windows.open:
        yield from textwrap.wrap(f"cannot tell, so that no window knows of them: {_demands_all(windows.open)}", WIDTH)


def _demands_all(demands: Sequence[Demand]) -> str:
    return ", ".join(dict.fromkeys(demand.rule for demand in demands))


def _demand_object(demand: Demand) -> dict[str, str]:
    place = str(demand.place) if demand.place else ""
    told = {"rule": demand.rule, "title": demand.title, "thing": demand.thing, "holds": demand.holds, "place": place}
    return {name: text for name, text in told.items() if text}


def _window_object(window: Window) -> dict[str, Any]:
    return {
        "setPoint": window.address,
        "setBy": window.who,
        "own": window.own,
        "step": window.step,
        "place": str(window.place),
        "inside": window.inside,
        "holds": [
            {
                "low": reach.low,
                "high": reach.high,
                "settableLow": reach.set_low,
                "settableHigh": reach.set_high,
                "marginBelow": reach.margin_below,
                "marginAbove": reach.margin_above,
                "below": [_demand_object(demand) for demand in reach.below],
                "above": [_demand_object(demand) for demand in reach.above],
            }
            for reach in window.reaches
        ],
        "choices": [
            {"name": choice.name, "bad": [_demand_object(demand) for demand in choice.bad]} for choice in window.choices
        ],
        "meeting": [_demand_object(demand) for demand in window.meeting],
        "openings": [
            {"setPoint": one.address, "value": one.wanted, "then": one.then, "place": str(one.place)}
            for one in window.openings
        ],
    }


def _map_object(drawn: PairMap) -> dict[str, Any]:
    return {
        "across": drawn.across,
        "down": drawn.down,
        "acrossValues": list(drawn.across_values),
        "downValues": list(drawn.down_values),
        "rows": list(drawn.rows),
        "legend": {letter: [_demand_object(demand) for demand in bad] for letter, bad in drawn.legend},
    }
