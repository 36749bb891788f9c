"""Limits: numbers with a basis, kept as data beside the rules, which a plant may set otherwise."""

from __future__ import annotations

from dataclasses import dataclass, field

from filmcheck.records.place import Place
from filmcheck.units.quantity import Quantity

BASES = ("published", "common practice", "from memory", "house")


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit. ``table`` gives other values by the word that the figure ``by`` has on the job."""

    name: str
    value: Quantity | None
    basis: str
    source: str
    place: Place
    meaning: str = ""
    by: str = ""
    table: dict[str, Quantity] = field(default_factory=dict)

    @property
    def dimension(self) -> str:
        """The dimension that all of its values share."""
        known = self.value or next(iter(self.table.values()))
        return known.dimension

    @property
    def basis_text(self) -> str:
        """Say on what the limit rests."""
        return f"{self.basis}: {self.source}" if self.source else self.basis
