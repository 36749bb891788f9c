"""A stand-in for the figures of a job, so that conditions and arithmetic are tested on chosen values alone."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple, cast

import pytest

from filmcheck.figures.figures import Figures
from filmcheck.judging.context import Context
from filmcheck.judging.limit import Limit
from filmcheck.plant.job import Item
from filmcheck.records.place import Place, Span
from filmcheck.records.value import Figured, Missing, Need, Value

HERE = Place("sheet.yaml", Span(1, 1, 1, 1))


class Stations(NamedTuple):
    """The part of a job that conditions look at."""

    stations: tuple[Item, ...]


class Chosen:
    """Figures by name, and those of stations by kind, number and field."""

    def __init__(
        self,
        figures: Mapping[str, Figured],
        path: list[str],
        fields: Mapping[tuple[int, str], Figured],
        bounds: Mapping[str, Value],
    ) -> None:
        self.figures, self.fields, self.enclosed = figures, fields, bounds
        self.known: dict[Any, Figured] = {}
        self.job = Stations(tuple(Item(kind, f"{kind} {n}", n, (), HERE) for n, kind in enumerate(path, 1)))

    def __call__(self, name: str, item: Item | None = None) -> Figured:
        if name.startswith("its.") and item is not None:
            return self.fields.get((item.number, name[4:]), Missing((Need(name, name),)))
        return self.figures.get(name, Missing((Need(name, name),)))

    def work_out(self, _key: Any, name: str, item: Item | None) -> Figured:
        return self(name, item)

    def bounds(self, name: str, item: Item | None = None) -> Value | None:
        return self.enclosed.get(name)

    def things(self, kind: str) -> tuple[Item, ...]:
        return tuple(item for item in self.job.stations if item.kind == kind)

    def once(self, name: str, work: Callable[[Any], Any]) -> Any:
        return work(self)

    def owned(self, name: str, item: Item | None) -> tuple[str, Item | None]:
        return name, item

    def lack(self, kind: str) -> Missing | None:
        return None

    def route(self, name: str, item: Item | None) -> None:
        """Give no route: nothing here was worked out."""


Make = Callable[..., Context]


def context(
    figures: Mapping[str, Figured] | None = None,
    path: list[str] | None = None,
    fields: Mapping[tuple[int, str], Figured] | None = None,
    limits: dict[str, Limit] | None = None,
    bounds: Mapping[str, Value] | None = None,
) -> Context:
    """Make a context of chosen values."""
    chosen: Any = Chosen(figures or {}, path or [], fields or {}, bounds or {})
    return Context(cast(Figures, chosen), limits or {})


@pytest.fixture(scope="session")
def make_context_of() -> Make:
    """Give the maker of contexts."""
    return context
