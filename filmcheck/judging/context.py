"""The evaluation context of a condition: the figures of a job, the limits, and the things at hand."""

from __future__ import annotations

from typing import NamedTuple

from filmcheck.figures.figures import Figures
from filmcheck.judging.limit import Limit
from filmcheck.plant.job import Item
from filmcheck.records.value import Figured

ITS, THAT = "its.", "that."


class Context(NamedTuple):
    """``item`` is the thing at hand (``its.``), ``outer`` the one around it (``that.``)."""

    figures: Figures
    limits: dict[str, Limit]
    item: Item | None = None
    outer: Item | None = None

    def ask(self, name: str) -> Figured:
        """Give a figure by the name that a rule uses."""
        if name[:5] == THAT:
            return self.figures(ITS + name[5:], self.outer)
        return self.figures(name, self.item)

    def at(self, item: Item) -> Context:
        """Step to a thing; the one at hand so far becomes the outer one."""
        return Context(self.figures, self.limits, item, self.item)
