"""Limits: numbers with a basis, kept as data beside the rules, which a plant may set otherwise."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from filmcheck.records.finding import Related
from filmcheck.records.place import Place
from filmcheck.records.value import Figured, Missing, Source, Value
from filmcheck.units.quantity import Quantity

BASES = ("published", "common practice", "from memory", "house")


@dataclass(frozen=True)
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

    @cached_property
    def plain_figure(self) -> Figured:
        """The value that holds where no word of the table does."""
        return self._figure(self.value) if self.value is not None else Missing(())

    @cached_property
    def figures(self) -> dict[str, Value]:
        """The values of the table by their words."""
        return {word: self._figure(quantity) for word, quantity in self.table.items()}

    def _figure(self, quantity: Quantity) -> Value:
        source = Source(f"limit {self.name}", Related(self.place, quantity.text))
        return Value(quantity.low, quantity.high, source)
