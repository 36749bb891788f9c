"""Which things of a job a figure can belong to: kinds of station, and the classes that gather kinds."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import NamedTuple

from filmcheck.plant.shape import Shape, shape_of

LAMPS = ("uv lamp", "led lamp", "dryer")
INKED = ("print", "varnish")
WOUND = ("supplied roll", "press roll", "finished roll")
"""The rolls of a job: as the laminate came, as the press winds it, as it goes to the customer."""

SINGLE = ("unwind", "rewind", "die cut", "matrix strip", *WOUND)
"""Kinds of which a job has one, so that ``unwind.tension`` needs no more words."""

LISTED = ("check", "result", "deviation")
"""Kinds that the sheet lists outside its path."""

WALKED = ("zone",)
"""Kinds that come out of the walk of the web."""

NUMBERED = ("roll", "lane")
"""Kinds that the sheet only counts."""

OF_JOB = ("laminate",)
"""Kinds of station whose name means the web itself where it begins the name of a figure: laminate.caliper."""

CLASSES: dict[str, tuple[str, ...]] = {
    "lamp": LAMPS,
    "inked unit": INKED,
    "wound roll": WOUND,
    "rewound roll": WOUND[1:],
    "laid film": OF_JOB,
}


class FigureName(NamedTuple):
    """The name of a figure, taken apart: ``web.width``, ``uv_lamp.setting``, ``its.tension:line tension``."""

    head: str
    """The first word; ``its`` for the thing at hand, ``that`` for the one around it."""
    field: str
    dimension: str
    """The dimension in which it must be given; empty for any."""

    @property
    def kind(self) -> str:
        """The first word as kinds of things are called: uv lamp."""
        return self.head.replace("_", " ")

    @property
    def base(self) -> str:
        """The name without its dimension."""
        return f"{self.head}.{self.field}" if self.field else self.head

    @property
    def is_of_thing(self) -> bool:
        """Whether it belongs to a thing that the words around it say."""
        return self.head in ("its", "that")


@lru_cache(maxsize=8192)
def parsed(name: str) -> FigureName:
    """Take the name of a figure apart."""
    base, _, dimension = name.partition(":")
    head, _, field = base.partition(".")
    return FigureName(head, field, dimension)


def scoped_name(kind: str, field: str) -> str:
    """Give the name under which the field of a kind of thing is kept: uv_lamp.setting."""
    return f"{kind.replace(' ', '_')}.{field}"


def station_shapes() -> dict[str, Shape]:
    """Give the fields of each kind of station, as the job sheet knows them."""
    fields: dict[str, Shape] = shape_of("job-sheet").fields["path"].item.fields
    return fields


def press_station_shapes() -> dict[str, Shape]:
    """Give the fields of each kind of station, as the press register knows them."""
    fields: dict[str, Shape] = shape_of("presses").item.fields["stations"].item.fields
    return fields


def scopes_of(kind: str) -> tuple[str, ...]:
    """Give the names under which figures of a thing of this kind are kept, its own kind first."""
    own = (kind, *(name for name, kinds in CLASSES.items() if kind in kinds))
    apart = kind in (*LISTED, *WALKED, *NUMBERED, *WOUND)
    return own if apart else (*own, "station")


@cache
def kinds_in(word: str) -> tuple[str, ...]:
    """Give the kinds that a word of a rule stands for; empty where it stands for none."""
    if word in CLASSES:
        return CLASSES[word]
    if word == "station":
        return tuple(station_shapes())
    known = word in (*station_shapes(), *LISTED, *WALKED, *NUMBERED, *WOUND)
    return (word,) if known else ()


def owners_of(head: str) -> tuple[str, ...]:
    """Give the kinds of thing that figures belong to whose names begin with a word; none for those of the job."""
    word = head.replace("_", " ")
    return () if word in OF_JOB else kinds_in(word)


def all_words() -> tuple[str, ...]:
    """Give every word that stands for things of a job."""
    return ("station", *CLASSES, *station_shapes(), *LISTED, *WALKED, *NUMBERED, *WOUND)
