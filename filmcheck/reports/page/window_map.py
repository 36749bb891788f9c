"""Draws a map of two set-points: where the job holds, what is bad elsewhere, and where the sheet stands."""

from __future__ import annotations

from html import escape

from filmcheck.records.window import Demand, PairMap
from filmcheck.reports.page.marks import box, picture, words

CELL, LOW, LEFT, TOP = 34.0, 20.0, 74.0, 26.0
HOLDS = ".o"
"""The marks of a `PairMap` for cells that hold."""


def window_map(drawn: PairMap) -> str:
    """Draw the map, with the rules behind its letters below."""
    rows, columns = len(drawn.down_values), len(drawn.across_values)
    parts = [words(4, 14, f"{drawn.down} (up) against {drawn.across} (across)", "small")]
    for at, (value, row) in enumerate(zip(drawn.down_values, drawn.rows, strict=True)):
        y = TOP + at * LOW
        parts.append(words(LEFT - 6, y + 14, value, "tiny", "end"))
        parts += [_cell(LEFT + n * CELL, y, letter) for n, letter in enumerate(row)]
    foot = TOP + rows * LOW + 13
    if columns:
        parts.append(words(LEFT, foot, drawn.across_values[0], "tiny"))
        parts.append(words(LEFT + columns * CELL, foot, drawn.across_values[-1], "tiny", "end"))
    held = sum(letter in HOLDS for row in drawn.rows for letter in row)
    label = f"Map of {drawn.down} against {drawn.across}: {held} cells hold"
    wide = max(LEFT + columns * CELL + 10, 330.0)
    legend = "".join(
        f"<li><b>{escape('✖' if letter == 'x' else letter)}</b> {'; '.join(dict.fromkeys(map(_demand, bad)))}</li>"
        for letter, bad in drawn.legend
    )
    own = (
        "<li><b>◎</b> the sheet's own, holds</li><li><b>✖</b> the sheet's own, does not hold</li><li>blank: holds</li>"
    )
    return f'{picture(wide, foot + 10, label, "".join(parts))}<ul class="legend">{own}{legend}</ul>'


def _demand(one: Demand) -> str:
    return f"{escape(one.title or one.rule)} <code>{escape(one.rule)}</code>"


def _cell(x: float, y: float, letter: str) -> str:
    kind = "holds" if letter in HOLDS else "bad"
    shown = {".": "", "o": "◎", "x": "✖"}.get(letter, letter)
    drawn = box(x, y, CELL - 1.5, LOW - 1.5, f"cell {kind}")
    return drawn + (words(x + CELL / 2 - 1, y + 13.5, shown, "small", "middle") if shown else "")
