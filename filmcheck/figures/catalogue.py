"""The one catalogue of figures that are worked out. Those that are read stand in ``given``."""

from __future__ import annotations

from functools import lru_cache

from filmcheck.figures import (
    adhesive,
    air,
    bookings,
    checks,
    creep,
    cure,
    fittings,
    job_itself,
    laid_on,
    laminate,
    lamps,
    layout,
    matrix,
    parent_roll,
    press_order,
    rolls,
    tension,
    tools,
    walked,
    wound,
    wound_rolls,
    wound_slip,
    zone_strain,
    zones,
)
from filmcheck.figures.figure import Figure
from filmcheck.figures.scopes import OF_JOB, scoped_name, scopes_of

_FAMILIES = (
    job_itself,
    laminate,
    laid_on,
    tension,
    parent_roll,
    walked,
    zones,
    zone_strain,
    creep,
    lamps,
    cure,
    layout,
    tools,
    rolls,
    checks,
    bookings,
    fittings,
    press_order,
    wound_rolls,
    wound,
    wound_slip,
    adhesive,
    matrix,
    air,
)

CATALOGUE: dict[str, Figure] = {figure.name: figure for family in _FAMILIES for figure in family.FIGURES}


@lru_cache(maxsize=4096)
def find_scoped(kind: str, field: str) -> Figure | None:
    """Give the figure of a thing of this kind that bears this name; None where the name must be read."""
    for scope in scopes_of(kind):
        figure = None if scope in OF_JOB else CATALOGUE.get(scoped_name(scope, field))
        if figure is not None:
            return figure
    return None
