"""The one catalogue of figures that are worked out, and the dimensions of all; those that are read are in ``given``."""

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
from filmcheck.figures.given import ROOTS, given_figures
from filmcheck.figures.scopes import OF_JOB, SINGLE, owners_of, parsed, scoped_name, scopes_of

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


def job_dimensions(name: str) -> tuple[str, ...]:
    """Give the dimensions of a figure of the job itself; empty where there is none of this name."""
    head, field, _ = parts = parsed(name)
    if parts.kind in SINGLE:
        return field_dimensions(parts.kind, field)
    if owners_of(head):
        return ()
    figure = CATALOGUE.get(name)
    if figure is not None:
        return (figure.dimension,)
    given = given_figures().get(name) if head in ROOTS else None  # idlers are on the press alone
    return given.dimensions if given else ()


def field_dimensions(kind: str, field: str) -> tuple[str, ...]:
    """Give the dimensions of a field of things of a kind."""
    figure = find_scoped(kind, field)
    if figure is not None:
        return (figure.dimension,)
    given = given_figures().get(scoped_name(kind, field))
    return given.dimensions if given is not None else ()
