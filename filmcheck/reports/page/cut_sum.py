"""Draws the depth of the blade as a sum of micrometres, against the window of the die."""

from __future__ import annotations

from filmcheck.records.job_view import JobView
from filmcheck.reports.page.marks import box, line, picture, plain_number, words

WIDE, LEFT, ROW, TOP = 520.0, 150.0, 22.0, 46.0
MICRO = 1e6


def cut_sum(view: JobView) -> str:
    """Draw each error of the cut where the last one ended: deeper to the right, shallower to the left."""

    def size(name: str) -> float | None:
        amount = view.figures.get(name)
        return amount.high * MICRO if amount is not None and isinstance(amount.high, float) else None

    liner, built = size("liner.caliper"), size("die.for_liner_caliper")
    if liner is None or built is None:
        return "<p>The cut cannot be summed up: the caliper of the liner or that of the die is not known.</p>"
    steps = [("liner against the die's", liner - built)]
    steps += [(name, found) for name, found in (("growth warm", size("cut.growth")),) if found is not None]
    steps += [(name, -found) for name, found in (("wear", size("die.wear")),) if found is not None]
    spread, window = size("cut.run_out") or 0.0, size("die.cut_window")
    warm = sum(step for _, step in steps)
    cold = warm - (size("cut.growth") or 0.0)
    reach = max(1.0, *(abs(end) for end in _ends(steps, spread)), abs(cold - spread), window or 0.0) * 1.1
    middle = LEFT + (WIDE - LEFT) / 2
    scale = (WIDE - LEFT) / 2 / reach
    tall = TOP + ROW * (len(steps) + 2)
    parts = _frame(window, middle, scale, tall)
    at = 0.0
    for row, (name, step) in enumerate(steps):
        parts += _bar(row, name, at, at + step, f"{step:+.3g} µm", middle, scale)
        at += step
    ends = cold - spread, warm + spread
    parts += _bar(len(steps), "cold to warm, run-out ±", *ends, f"± {plain_number(spread)} µm", middle, scale)
    told = f"{_depth(ends[0])} cold to {_depth(ends[1])} warm than the die was built for"
    bound = f", die's window ± {plain_number(window)} µm" if window is not None else ", window of the die not known"
    parts.append(words(4, tall - 6, told + bound, "small"))
    return picture(WIDE, tall + 6, f"Cut: {told}{bound}", "".join(parts))


def _depth(size: float) -> str:
    return f"{plain_number(abs(size))} µm {'deeper' if size >= 0 else 'shallower'}"


def _ends(steps: list[tuple[str, float]], spread: float) -> list[float]:
    ends, at = [0.0], 0.0
    for _, step in steps:
        at += step
        ends.append(at)
    return [*ends, at - spread, at + spread]


def _frame(window: float | None, middle: float, scale: float, tall: float) -> list[str]:
    parts = [words(4, 14, "how deep the blade stands, µm", "small")]
    if window is not None:
        parts.append(box(middle - window * scale, TOP - 8, 2 * window * scale, tall - TOP - ROW + 8, "cell holds"))
        parts.append(words(middle - window * scale + 3, TOP - 11, f"−{plain_number(window)}", "tiny"))
        parts.append(words(middle + window * scale - 3, TOP - 11, f"+{plain_number(window)}", "tiny", "end"))
    parts.append(line(middle, TOP - 8, middle, tall - ROW, "zero"))
    return parts


def _bar(row: int, name: str, start: float, end: float, text: str, middle: float, scale: float) -> list[str]:
    y = TOP + row * ROW
    low, high = sorted((start, end))
    x = middle + high * scale + 4
    close = x > WIDE - 60
    return [
        words(LEFT - 8, y + 12, name, "tiny", "end"),
        box(middle + low * scale, y + 2, max((high - low) * scale, 1.5), ROW - 7, "bar"),
        words(middle + low * scale - 4 if close else x, y + 12, text, "tiny", "end" if close else ""),
    ]
