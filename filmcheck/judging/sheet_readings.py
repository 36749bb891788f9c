"""Faults of a sheet that need figures to be told: the two readings of a tension need width and caliper."""

from __future__ import annotations

from filmcheck.figures.figures import Figures
from filmcheck.plant.tension_readings import tension_faults
from filmcheck.reading.nodes import FileFault
from filmcheck.records.value import Value


def reading_faults(figures: Figures) -> tuple[FileFault, ...]:
    """Find tensions that most likely mean something else than they say."""
    width, caliper = (_amount(figures, name) for name in ("web.width", "laminate.caliper"))
    return tension_faults(figures.job.sheet, width, caliper)


def _amount(figures: Figures, name: str) -> float | None:
    value = figures(name)
    return value.low if isinstance(value, Value) and isinstance(value.low, float) else None
