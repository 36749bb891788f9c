"""Draws the path of a job as a strip of stations, findings pinned to them, with tension and temperature below."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from math import ceil, floor, log10

from filmcheck.records.figure_line import Amount
from filmcheck.records.finding import Finding
from filmcheck.records.job_view import JobView, Thing
from filmcheck.reports.page.marks import SIGNS, WORDS, box, line, num, picture, plain_number, standing, words

LEFT, PITCH, BOX_TOP, BOX_HIGH = 58.0, 58.0, 58.0, 44.0
TENSION, HEAT = (128.0, 84.0), (252.0, 64.0)
"""Top and height of the two curves."""
HIGH = 340.0
MOST_PINS = 4
FINISHING = "finishing"
KELVIN = 273.15
ROLLS = {"parent roll": "unwind", "press roll": "rewind", "finished roll": FINISHING, "roll": "rewind"}
KEYS = {"tooling": "die cut", "layout": "die cut", "finishing": FINISHING, "results": FINISHING, "checks": FINISHING}
"""Where a finding on a group of the sheet is pinned: at the station that it is about."""

Pinned = dict[int, list[tuple[int, Finding]]]


def path_strip(view: JobView, findings: Sequence[Finding], text: str, job: str) -> str:
    """Draw the strip; pins lead to the findings of the job, by number, where it has a part on a page."""
    if not view.stations:
        return "<p>The sheet has no path, so that none is drawn.</p>"
    pinned = pins(view, findings, text)
    wide = LEFT + PITCH * (len(view.stations) + 1) + 14
    parts = [line(LEFT, BOX_TOP + BOX_HIGH / 2, wide - 10, BOX_TOP + BOX_HIGH / 2, "web")]
    for at, label in enumerate([*(one.label for one in view.stations), FINISHING]):
        parts += _station(at, label, pinned.get(at, []), job)
    parts += _tension(view)
    parts += _heat(view)
    return picture(wide, HIGH, f"The path of {view.job}, station by station", "".join(parts), role="group")


def pins(view: JobView, findings: Sequence[Finding], text: str) -> Pinned:
    """Say at which station each finding is pinned, by number; what belongs to none is left out."""
    lines = text.splitlines()
    found: Pinned = {}
    for number, one in enumerate(findings, 1):
        at = _at(view, one, lines)
        if at is not None:
            found.setdefault(at, []).append((number, one))
    return found


def _at(view: JobView, finding: Finding, lines: Sequence[str]) -> int | None:
    parts = finding.address.split("/")
    name = parts[1] if len(parts) > 2 else ""
    name = _made_at(name)
    name = ROLLS.get(re.sub(r"(?<=^roll) \d+$", "", name), name)
    labels = [station.label for station in view.stations]
    if name in labels:
        return labels.index(name)
    if name == FINISHING:
        return len(labels)
    at = finding.place.span.line
    if finding.place.file != view.file:
        return None
    for index, station in enumerate(view.stations):
        if 0 < station.line <= at <= station.end:
            return index
    kind = KEYS.get(_group(lines, at), "")
    kinds = [station.kind for station in view.stations]
    return len(labels) if kind == FINISHING else kinds.index(kind) if kind in kinds else None


def _group(lines: Sequence[str], at: int) -> str:
    """Give the outermost key below which a line of the sheet stands."""
    for one in reversed(lines[:at]):
        found = re.match(r"(\w+):", one)
        if found:
            return found[1]
    return ""


def _station(at: int, label: str, pinned: Sequence[tuple[int, Finding]], job: str) -> Iterator[str]:
    left = LEFT + at * PITCH
    yield box(left, BOX_TOP, PITCH - 8, BOX_HIGH, "station" if label != FINISHING else "station after")
    lines = label.replace("(", "").replace(")", "").replace(" of ", "/").split()
    lines = lines if len(lines) < 4 else [*lines[:2], " ".join(lines[2:])]
    top = BOX_TOP + BOX_HIGH / 2 + 3.5 - 5 * (len(lines) - 1)
    for row, word in enumerate(lines):
        yield words(left + (PITCH - 8) / 2, top + 10 * row, word[:11], "tiny", "middle")
    for row, (number, one) in enumerate(pinned[:MOST_PINS]):
        stands = standing(one)
        x, y = left + 2 + 24 * (row % 2), BOX_TOP - 24 - 24 * (row // 2)
        leads = f'a href="#{job}f{number}"' if job else "g"
        yield (
            f'<{leads} class="pin {stands}"><title>{WORDS[stands]} {number}</title>'
            f'<rect x="{num(x)}" y="{num(y)}" width="22.5" height="19" rx="3"/>'
            f"{words(x + 11.2, y + 13.5, f'{SIGNS[stands]}{number}', 'tiny', 'middle')}</{leads[0]}>"
        )
    if len(pinned) > MOST_PINS:
        yield words(left + PITCH - 8, 8, f"+{len(pinned) - MOST_PINS}", "tiny", "end")


def _axis(frame: tuple[float, float], low: float, high: float, wide: float, title: str) -> Iterator[str]:
    top, tall = frame
    yield words(4, top - 8, title, "small")
    for share in (0.0, 0.5, 1.0):
        y = top + tall * (1 - share)
        yield line(LEFT, y, wide, y, "grid")
        yield words(LEFT - 4, y + 3.5, plain_number(low + (high - low) * share), "tiny", "end")


def _round_up(value: float) -> float:
    """Round up to a number that suits an axis."""
    if value <= 0:
        return 1.0
    step = 10.0 ** floor(log10(value)) / 5
    return ceil(value / step) * step


def _float(amount: Amount | None, end: str = "high") -> float | None:
    value = getattr(amount, end) if amount is not None else None
    return value if isinstance(value, float) else None


def _tension(view: JobView) -> Iterator[str]:
    """Draw the band of line tension behind each station, N/m, and the limits that lie near it."""
    lows = [_float(one.figures.get("lowest_line_tension"), "low") for one in view.stations]
    highs = [_float(one.figures.get("highest_line_tension")) for one in view.stations]
    known = [value for value in highs if value is not None]
    limits = list(_tension_limits(view))
    most = _round_up(max([*known, *(value for *_, value, _ in limits)], default=0.0) * 1.05)
    limits += [one for one in _press_limits(view) if one[2] < most]
    wide = LEFT + PITCH * len(view.stations)
    yield from _axis(TENSION, 0.0, most, wide, "line tension, N/m, behind each station")
    top, tall = TENSION
    for at, (low, high) in enumerate(zip(lows, highs, strict=True)):
        x = LEFT + at * PITCH
        if low is None or high is None:
            yield words(x + PITCH / 2, top + tall / 2, "?", "small", "middle")
            continue
        y = top + tall * (1 - high / most)
        yield box(x, y, PITCH, tall * (high - low) / most, "band")
        yield line(x, y, x + PITCH, y, "curve")
    for first, last, value, name in limits:
        y = top + tall * (1 - value / most)
        yield line(LEFT + first * PITCH, y, LEFT + last * PITCH, y, "limit")
        yield words(LEFT + first * PITCH + 3, y - 3, name, "tiny")


def _tension_limits(view: JobView) -> Iterator[tuple[int, int, float, str]]:
    """Give the limits of unwind and rewind: from which station to which, N/m, and in words."""
    kinds = [station.kind for station in view.stations]
    most = _float(view.limits.get("film_unwind_tension"))
    if "unwind" in kinds and most is not None and view.given.get("stock.liner.material") == "film":
        behind = kinds.index("unwind") + 1
        nips = [at for at, kind in enumerate(kinds) if kind == "nip" and at >= behind]
        yield kinds.index("unwind"), nips[0] if nips else len(kinds), most, f"unwind limit {plain_number(most)}"
    start = _float(view.limits.get("rewind_start_most"))
    if "rewind" in kinds and start is not None:
        yield kinds.index("rewind"), kinds.index("rewind") + 1, start, f"start at most {plain_number(start)}"


def _press_limits(view: JobView) -> Iterator[tuple[int, int, float, str]]:
    """Give for each zone what the press can hold, the least and the most, in the same form."""
    width = _float(view.figures.get("web.width"))
    labels = [station.label for station in view.stations]
    starts = [labels.index(name) for zone in view.zones if (name := _made_at(zone.label)) in labels]
    if not width or not starts or len(starts) != len(view.zones):
        return
    for zone, first, last in zip(view.zones, starts, [*starts[1:], len(labels)], strict=True):
        for name, says in (("allowed_least", "press at least"), ("allowed_most", "press at most")):
            value = _float(zone.figures.get(name))
            if value:
                yield first, last, value / width, f"{says} {plain_number(value / width)}"


def _made_at(zone: str) -> str:
    """Give the station at which a zone is named."""
    return re.sub(r"^zone (behind|before) ", "", zone)


def _heat(view: JobView) -> Iterator[str]:
    """Draw the temperature of the web behind each station, °C, and what its liner bears."""
    values = [_float(one.figures.get("web_temperature")) for one in view.stations]
    bears = _float(view.figures.get("liner.maximum_temperature"))
    known = [value - KELVIN for value in values if value is not None]
    if not known:
        yield words(4, HEAT[0], "The temperature of the web cannot be told.", "small")
        return
    ends = [*known, *([bears - KELVIN] if bears is not None else [])]
    low, high = 10 * floor(min(ends) / 10), 10 * ceil((max(ends) + 2) / 10)
    wide = LEFT + PITCH * len(view.stations)
    yield from _axis(HEAT, low, high, wide, "web temperature, °C, an estimate")
    top, tall = HEAT
    before: float | None = None
    for at, value in enumerate(values):
        x = LEFT + at * PITCH
        if value is None:
            yield words(x + PITCH / 2, top + tall / 2, "?", "small", "middle")
            before = None
            continue
        y = top + tall * (1 - (value - KELVIN - low) / (high - low))
        if before is not None and before != y:
            yield line(x, before, x, y, "curve")
        yield line(x, y, x + PITCH, y, "curve")
        before = y
    if bears is not None:
        y = top + tall * (1 - (bears - KELVIN - low) / (high - low))
        yield line(LEFT, y, wide, y, "limit")
        yield words(LEFT + 3, y + 10, f"the liner must stay below {plain_number(bears - KELVIN)} °C", "tiny")


def numbers(stations: Sequence[Thing]) -> list[tuple[str, str, str]]:
    """Give the curves as a table: station, line tension, temperature."""
    rows = []
    for one in stations:
        low, high = one.text("lowest_line_tension", "?"), one.text("highest_line_tension", "?")
        rows.append((one.label, low if low == high else f"{low} to {high}", one.text("web_temperature", "?")))
    return rows
