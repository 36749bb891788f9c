"""Figures that a sheet or a register gives: their names, and where each stands."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from filmcheck.figures.scopes import CLASSES, LISTED, parsed, press_station_shapes, station_shapes
from filmcheck.plant.shape import Shape, shape_of

ROOTS: dict[str, tuple[str, tuple[str, ...]]] = {
    "job": ("sheet", ()),
    "press_time": ("sheet", ("press_time",)),
    "web": ("sheet", ("web",)),
    "layout": ("sheet", ("layout",)),
    "finishing": ("sheet", ("finishing",)),
    "preparation": ("sheet", ("preparation",)),
    "tooling": ("sheet", ("tooling",)),
    "press": ("press", ()),
    "stock": ("stock", ()),
    "face": ("stock", ("face",)),
    "adhesive": ("stock", ("adhesive",)),
    "liner": ("stock", ("liner",)),
    "stack": ("stock", ("stack",)),
    "parent_roll": ("stock", ("wound",)),
    "die": ("die", ()),
    "magnetic_cylinder": ("magnetic cylinder", ()),
    "anvil": ("anvil", ()),
    "print_cylinder": ("print cylinder", ()),
    "finisher": ("finisher", ()),
    "customer": ("customer", ()),
}
"""First word of a figure's name to: document of the job, and the path within it."""


class Given(NamedTuple):
    """A figure that is read, not worked out."""

    name: str
    dimensions: tuple[str, ...]
    meaning: str
    words: tuple[str, ...] = ()
    example: str = ""


def root_shape(root: str) -> Shape:
    """Give the shape below which the figures of a first word are found."""
    document, path = ROOTS[root]
    if document == "sheet":
        shape = shape_of("job-sheet")
    elif document in ("die", "magnetic cylinder", "anvil", "print cylinder"):
        shape = shape_of("tooling").fields[document.replace(" ", "_") + "s"].item
    else:
        register = {"press": "presses", "stock": "stocks", "finisher": "finishing", "customer": "customers"}
        shape = shape_of(register[document]).item
    for name in path:
        shape = shape.fields[name]
    return shape


def where_given(name: str) -> tuple[str, tuple[str, ...]]:
    """Give document and path of a figure of the job that is given; two empty ones where the name has no root."""
    head, field, _ = parsed(name)
    document, path = ROOTS.get(head, ("", ()))
    return document, (*path, *field.split(".")) if document and field else path


@lru_cache(maxsize=1)
def given_figures() -> dict[str, Given]:
    """Give every figure that can be read, by name; those of a thing under its scope (``uv_lamp.setting``)."""
    found: dict[str, Given] = {}
    for root in ROOTS:
        _leaves(root, root_shape(root), found)
    for kind, shape in (*station_shapes().items(), *press_station_shapes().items()):
        for name in (kind, *(group for group, kinds in CLASSES.items() if kind in kinds), "station"):
            _leaves(name.replace(" ", "_"), shape, found)
    for kind in LISTED:
        _leaves(kind, shape_of("job-sheet").fields[kind + "s"].item, found)
    _leaves("print.cylinder", shape_of("tooling").fields["print_cylinders"].item, found)
    return found


def _leaves(prefix: str, shape: Shape, found: dict[str, Given]) -> None:
    if shape.sort == "record":
        for name, inner in shape.fields.items():
            _leaves(f"{prefix}.{name}", inner, found)
    elif shape.sort == "quantity":
        found.setdefault(prefix, Given(prefix, shape.dimensions, shape.meaning, (), shape.example))
    elif shape.sort in ("list", "map"):
        return
    else:
        sort = "number" if shape.sort in ("count", "number") else shape.sort
        found.setdefault(prefix, Given(prefix, (sort,), shape.meaning, shape.words, shape.example))
