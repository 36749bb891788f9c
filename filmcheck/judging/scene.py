"""The scene in which a condition is asked: the figures of a job, the limits, and the things at hand."""

from __future__ import annotations

from typing import NamedTuple

from filmcheck.figures.figures import Figures
from filmcheck.judging.limit import Limit
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured

ITS, THAT = "its.", "that."


class Scene(NamedTuple):
    """``item`` is the thing at hand (``its.``), ``outer`` the one around it (``that.``)."""

    figures: Figures
    limits: dict[str, Limit]
    item: Item | None = None
    outer: Item | None = None

    def ask(self, name: str) -> Figured:
        """Give a figure by the name that a rule uses."""
        if name.startswith(THAT):
            return self.figures(ITS + name[len(THAT) :], self.outer)
        return self.figures(name, self.item)

    def at(self, item: Item) -> Scene:
        """Step to a thing; the one at hand so far becomes the outer one."""
        return Scene(self.figures, self.limits, item, self.item)
