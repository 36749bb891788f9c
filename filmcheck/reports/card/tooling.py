"""The part of the set-up card on the cut: die, repeat and growth, readings of the pressure, imprint and snap."""

from __future__ import annotations

from filmcheck.records.job_view import JobView
from filmcheck.reports.card.card import BLANK, Section

UNKNOWN = "not known"
MOST_READINGS = 6
"""Rolls that get a line of their own for readings."""


def die_section(view: JobView) -> Section:
    """Tell die, teeth, repeat, and what the blade does warm."""
    text = view.text
    window = text("die.cut_window")
    rows = (
        ("die", text("tooling.die", UNKNOWN)),
        ("on cylinder, anvil", ", ".join(filter(None, map(text, ("tooling.magnetic_cylinder", "tooling.anvil"))))),
        ("print cylinder", text("tooling.print_cylinder")),
        ("teeth: die", _teeth(view, "die")),
        ("teeth: print cylinder", _teeth(view, "print_cylinder")),
        ("die repeat", text("die.circumference", UNKNOWN)),
        ("print repeat", text("print_cylinder.circumference")),
        ("labels around, lanes", f"{text('layout.labels_around', UNKNOWN)}, {text('layout.lanes', UNKNOWN)}"),
        ("label repeat", text("layout.label_repeat", UNKNOWN)),
        ("built for liner of", f"{text('die.for_liner_caliper', UNKNOWN)} {text('die.for_liner')}"),
        ("growth warm to expect", text("cut.growth") or text("die.growth", UNKNOWN)),
        ("blade too deep, at most", f"{text('cut.deepest', UNKNOWN)}" + f" of {window}" * bool(window)),
        ("revolutions of this job", text("die.planned_revolutions")),
        ("die life used after it", text("die.life_share")),
    )
    note = "Read the pressure again once the die is warm: it cuts deeper by the growth."
    return Section("Die and repeat", tuple(row for row in rows if row[1]), notes=(note,))


def _teeth(view: JobView, tool: str) -> str:
    teeth = view.given.get(f"{tool}.teeth", "")
    pitch = view.given.get(f"{tool}.pitch") or view.given.get(f"{tool}.module", "")
    return f"{teeth} of {pitch}" if teeth and pitch else teeth


def readings_section(view: JobView) -> Section:
    """Give lines for the readings of the die pressure: at set-up, warm, and on every roll."""
    if not any(station.kind == "die cut" for station in view.stations):
        return Section("Readings to take")
    rewind = next((one for one in view.stations if one.kind == "rewind"), None)
    rolls = rewind.given.get("rolls", "1") if rewind is not None else "1"
    count = int(rolls) if rolls.isdecimal() and len(rolls) < 4 else 1
    drift = view.limits.get("die_pressure_drift")
    note = f"The pressure may drift by {drift.text} from that of the set-up." if drift is not None else ""
    more = f"{count - MOST_READINGS} more rolls: go on overleaf." if count > MOST_READINGS else ""
    head = ("when", "pressure left", "right", "imprint", "snap")
    times = ("set-up", "die warm", *(f"roll {number}" for number in range(1, min(count, MOST_READINGS) + 1)))
    rows = tuple((when, BLANK, BLANK, BLANK, BLANK) for when in times)
    return Section("Readings to take", rows, head, tuple(filter(None, (note, more))))


def checks_section(view: JobView) -> Section:
    """Tell what is checked, when, on how much of the web."""
    rows = tuple(
        (
            check.given.get("check", UNKNOWN),
            check.given.get("at", UNKNOWN),
            check.given.get("covers", ""),
            _sample(check.given.get("sample", ""), check.given.get("strips", "")),
        )
        for check in view.checks
    )
    needed = view.text("snap.needed_sample")
    lanes = view.text("layout.lanes")
    notes = (
        "Imprint: complete, with no gap, and not embossed, in every cavity.",
        f"Snap: at least {needed or 'two die repeats'} long, full width, cut into"
        f" {lanes or 'as many'} strips{'' if lanes else ' as lanes'}, pulled by hand at both ends. A break sends you to"
        " web, die and anvil.",
        "No stain or marker check on film liner: nothing soaks in.",
    )
    return Section("Imprint and snap", rows, ("check", "at", "covers", "sample") if rows else (), notes)


def _sample(length: str, strips: str) -> str:
    return ", ".join(filter(None, (length, f"{strips} strips" if strips else "")))
