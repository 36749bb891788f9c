"""How a figure that no fixed route can work out asks for others."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Protocol, TypeVar

from filmcheck.plant.job import Item, Job
from filmcheck.records.value import Figured
from filmcheck.web.state import State

T = TypeVar("T")


class Ask(Protocol):
    """The figures of one job, as far as those see it that work out further ones."""

    @property
    def job(self) -> Job:
        """The job asked about."""

    @property
    def today(self) -> date:
        """The day on which filmcheck runs."""

    def __call__(self, name: str, item: Item | None = None) -> Figured:
        """Give a figure by name."""

    def things(self, kind: str) -> tuple[Item, ...]:
        """Give the things of a kind."""

    def once(self, name: str, work: Callable[[Ask], T]) -> T:
        """Give what the work comes to on this job, and do it only once."""

    def states(self) -> dict[Item, State]:
        """Give the state of the web behind each station."""

    def temperatures(self) -> dict[Item, Figured]:
        """Give the temperature of the web behind each station."""
