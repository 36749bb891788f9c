"""The dimensions of figures by name: worked-out ones have one, given ones those that the sheet may choose from."""

from __future__ import annotations

from filmcheck.figures.catalogue import CATALOGUE, find_scoped
from filmcheck.figures.given import ROOTS, given_figures
from filmcheck.figures.scopes import SINGLE, owners_of


def job_dimensions(name: str) -> tuple[str, ...]:
    """Give the dimensions of a figure of the job itself; empty where there is none of this name."""
    head = name.split(".")[0].replace("_", " ")
    if head in SINGLE:
        return field_dimensions(head, name.partition(".")[2])
    if owners_of(head):
        return ()
    figure = CATALOGUE.get(name)
    if figure is not None:
        return (figure.dimension,)
    given = given_figures().get(name) if name.partition(".")[0] in ROOTS else None  # idlers are on the press alone
    return given.dimensions if given else ()


def field_dimensions(kind: str, field: str) -> tuple[str, ...]:
    """Give the dimensions of a field of things of a kind."""
    figure = find_scoped(kind, field)
    if figure is not None:
        return (figure.dimension,)
    given = given_figures().get(f"{kind.replace(' ', '_')}.{field}")
    return given.dimensions if given is not None else ()
