"""What a tool must have where none of the register fits: whole teeth, for a gear has no others."""

from __future__ import annotations

from filmcheck.figures.figures import Figures
from filmcheck.records.value import Value, number
from filmcheck.units.quantity import convert

FEWEST, MOST = 40, 200
"""Teeth of the cylinders that narrow presses carry: common practice, no source."""


def gear_that_fits(figures: Figures, fit: float, unit: str) -> str:
    """Say which whole number of teeth, the nearest to the die's, carries whole labels; empty where it cannot be told.

    ``fit`` is how far, in m, a repeat on paper may miss whole labels. Where no gear does, it names the nearest one for
    as many labels around, and what label and gap together are on it, in a ``unit`` of length.
    """
    told = [figures(name) for name in ("layout.label_repeat", "die.circumference", "die.teeth", "layout.labels_around")]
    sizes = [float(one.low) for one in told if isinstance(one, Value) and isinstance(one.low, int | float)]
    if len(sizes) < 4 or min(sizes) <= 0:
        return ""
    repeat, around, teeth, labels = sizes
    pitch = around / teeth
    own = figures("die.labels_around")
    cut = number(own.low) if isinstance(own, Value) else 0.0
    so = ""
    if cut not in (0, labels):
        of_die = f"{convert(around / cut, unit, 'length'):.6g} {unit}"
        so = f" The die that is named cuts {cut:.0f} around: label and gap together are {of_die}."
    for whole in sorted(range(FEWEST, MOST + 1), key=lambda whole: abs(whole - teeth)):
        count = round(whole * pitch / repeat)
        if count and abs(whole * pitch - count * repeat) <= fit:
            return f"{whole} teeth of the die's pitch carry {count} of these labels.{so}"
    nearest = max(round(labels * repeat / pitch), 1)
    each, asked = (convert(size, unit, "length") for size in (nearest * pitch / labels, repeat))
    return (
        f"No gear of {FEWEST} to {MOST} teeth of this pitch carries whole labels of {asked:.4g} {unit}; "
        f"{nearest} teeth carry {labels:.0f} of {each:.6g} {unit}, label and gap together.{so}"
    )
