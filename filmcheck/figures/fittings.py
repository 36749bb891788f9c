"""Figures of what the press register says of a station, where the sheet says it too."""

from __future__ import annotations

from collections.abc import Callable

from filmcheck.figures.asking import Ask
from filmcheck.figures.figure import Figure, asked
from filmcheck.plant.job import Item
from filmcheck.plant.record import Datum, find
from filmcheck.records.value import Figured, Missing, Need, Source, Value


def _fitted(name: str) -> Callable[[Ask, Item | None], Figured]:
    def look(ask: Ask, item: Item | None) -> Figured:
        if item is None:
            raise KeyError(name)
        records = item.records[1:]
        field = find(records[0], (name,)) if records else None
        if isinstance(field, Datum) and isinstance(field.content, str):
            return Value(field.content, field.content, Source(f"press {item.label}: {name}", field))
        label = f"{name} of {item.label} on the press"
        return Missing((Need(label, label, records[0].key_place if records else item.place),))

    return look


def _figure(kind: str, name: str, meaning: str) -> Figure:
    look = asked(_fitted(name))
    return Figure(f"{kind.replace(' ', '_')}.fitted_{name}", "word", meaning, "as given", "press register", (look,))


FIGURES = (
    _figure("unwind", "control", "What keeps the tension at the unwind, by the press register."),
    _figure("die cut", "gauge", "Whether the die station has a pressure gauge, by the press register."),
    _figure("static control", "kind", "Kind of static control fitted here, by the press register."),
    _figure("web cleaner", "kind", "Kind of web cleaner fitted here, by the press register."),
)
