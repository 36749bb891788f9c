"""The web behind a station: its pull and its surface."""

from __future__ import annotations

from typing import NamedTuple

from filmcheck.records.value import Figured
from filmcheck.web.spans import Pull
from filmcheck.web.walk import Surface


class State(NamedTuple):
    """The web at a station. Tensions are the lowest and highest over the roll."""

    pull: Pull
    front: Pull
    """The pull in front of the station."""
    surface: Surface
    why: tuple[str, ...] = ()

    @property
    def lowest(self) -> Figured:
        """Lowest line tension behind the station."""
        return self.pull.lowest

    @property
    def highest(self) -> Figured:
        """Highest line tension behind the station."""
        return self.pull.highest

    @property
    def charged(self) -> bool:
        """Whether the web is likely to carry charge behind the station."""
        return self.surface.charged

    @property
    def clean(self) -> bool:
        """Whether the web has been cleaned after its charge was taken off."""
        return self.surface.clean
