"""The dimensions of figures by name: worked-out ones have one, given ones those that the sheet may choose from."""

from __future__ import annotations

from filmcheck.figures.catalogue import CATALOGUE, find_scoped
from filmcheck.figures.given import ROOTS, given_figures
from filmcheck.figures.scopes import SINGLE, owners_of, parsed, scoped_name


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
