"""Draws a wound roll in section, its rings the darker the harder they are pressed, and the pressure over the radius."""

from __future__ import annotations

from filmcheck.records.job_view import JobView
from filmcheck.reports.page.marks import line, num, picture, plain_number, words

WIDE, HIGH = 470.0, 196.0
MIDDLE, OUTSIDE = (84.0, 96.0), 76.0
"""Middle of the roll, and its radius on the drawing."""
LEFT, RIGHT, TOP, TALL = 216.0, 452.0, 34.0, 118.0
RINGS = 8

Curve = tuple[tuple[float, float], ...]


def roll_section(view: JobView, which: str) -> str:
    """Draw the finished roll or the press roll; where the model lacks a number, say so."""
    roll = view.rolls.get(which)
    if roll is None or len(roll.pressure) < 2:
        return f"<p>The pressure in the {which} cannot be told: the sheet or the stock lacks data of the model.</p>"
    greatest = max(pressure for _, pressure in roll.pressure)
    label = (
        f"{which} in section: pressure {plain_number(roll.pressure[0][1] / 1000)} kPa on the core,"
        f" at most {plain_number(greatest / 1000)} kPa, none at the outside"
    )
    parts = [*_rings(roll.pressure, greatest or 1.0), *_curve(roll.pressure, (greatest or 1.0) * 1.1)]
    return picture(WIDE, HIGH, label, "".join(parts))


def _rings(curve: Curve, greatest: float) -> list[str]:
    """Draw the roll from the outside in, each ring over the one before."""
    core, full = curve[0][0], curve[-1][0]
    parts = []
    for at in range(RINGS, 0, -1):
        outer = core + (full - core) * at / RINGS
        middle = outer - (full - core) / RINGS / 2
        pressed = min(curve, key=lambda point: abs(point[0] - middle))[1] / greatest
        parts.append(_circle(outer / full, "paper"))
        parts.append(_circle(outer / full, "ring", f' fill-opacity="{0.1 + 0.65 * pressed:.2f}"'))
    x, y = MIDDLE
    return [
        *parts,
        _circle(core / full, "core"),
        words(x, y - 2, "core", "tiny", "middle"),
        words(x, y + 9, f"{plain_number(core * 2000)} mm", "tiny", "middle"),
        words(x, y + OUTSIDE + 16, f"{plain_number(full * 2000)} mm across", "tiny", "middle"),
    ]


def _circle(share: float, kind: str, more: str = "") -> str:
    x, y = MIDDLE
    return f'<circle cx="{num(x)}" cy="{num(y)}" r="{num(OUTSIDE * share)}" class="{kind}"{more}/>'


def _curve(curve: Curve, most: float) -> list[str]:
    core, full = curve[0][0], curve[-1][0]
    places = [
        (LEFT + (RIGHT - LEFT) * (radius - core) / (full - core), TOP + TALL * (1 - pressure / most))
        for radius, pressure in curve
    ]
    track = " ".join(f"{num(x)},{num(y)}" for x, y in places)
    foot = TOP + TALL
    parts = [words(LEFT - 34, TOP - 16, "pressure between the turns, kPa", "small")]
    for share in (0.0, 0.5, 1.0):
        y = TOP + TALL * (1 - share)
        parts.append(line(LEFT, y, RIGHT, y, "grid"))
        parts.append(words(LEFT - 4, y + 3.5, plain_number(most * share / 1000), "tiny", "end"))
    return [
        *parts,
        f'<polygon points="{num(LEFT)},{num(foot)} {track} {num(RIGHT)},{num(foot)}" class="band"/>',
        f'<polyline points="{track}" class="curve"/>',
        words(LEFT, foot + 13, f"core, radius {plain_number(core * 1000)} mm", "tiny"),
        words(RIGHT, foot + 13, f"outside {plain_number(full * 1000)} mm", "tiny", "end"),
        words(LEFT - 34, foot + 30, "A model's figure: no measured roll has been matched.", "tiny"),
    ]
