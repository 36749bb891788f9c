"""Figures of what the press register says of a station, where the sheet says it too."""

from __future__ import annotations

from collections.abc import Callable

from filmcheck.figures.figure import Ask, Figure, asked, held
from filmcheck.figures.scopes import scoped_name
from filmcheck.plant.job import Item
from filmcheck.plant.record import Datum, find
from filmcheck.records.value import Figured, Missing, Need, Source, Value
from filmcheck.units.quantity import Quantity


def _fitted(name: str) -> Callable[[Ask, Item | None], Figured]:
    def look(ask: Ask, item: Item | None) -> Figured:
        item = held(item)
        records = item.records[1:]
        field = find(records[0], (name,)) if records else None
        if isinstance(field, Datum) and isinstance(field.content, (str, Quantity)):
            said = field.content
            low, high = (said.low, said.high) if isinstance(said, Quantity) else (said, said)
            return Value(low, high, Source(f"press {item.label}: {name}", field))
        label = f"{name} of {item.label} on the press"
        return Missing((Need(label, label, records[0].key_place if records else item.place),))

    return look


def _figure(kind: str, name: str, meaning: str, dimension: str = "word") -> Figure:
    look = asked(_fitted(name))
    return Figure(scoped_name(kind, f"fitted_{name}"), dimension, meaning, "as given", "press register", (look,))


FIGURES = (
    _figure("unwind", "control", "What keeps the tension at the unwind, by the press register."),
    _figure("die cut", "gauge", "Whether the die station has a pressure gauge, by the press register."),
    _figure("static control", "kind", "Kind of static control fitted here, by the press register."),
    _figure("turn bar", "wrap", "Angle of contact around the bar, by the press register.", "angle"),
    _figure("turn bar", "slant", "Angle between web and the plane square to the bar, by the press register.", "angle"),
    _figure("web cleaner", "kind", "Kind of web cleaner fitted here, by the press register."),
)
