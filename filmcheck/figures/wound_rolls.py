"""The three wound rolls of a job as things: how each is found, and where its data stand.

The parent roll as the laminate came, the press roll, the finished roll. Rules name them ``supplied roll``,
``press roll``, ``finished roll``, or all together ``wound roll``, and then ask all of them for the same fields.
"""

from __future__ import annotations

from filmcheck.figures.calculated import calculated
from filmcheck.figures.figure import Ask, Figure, Route, asked
from filmcheck.figures.scopes import parsed
from filmcheck.plant.job import Item, where_set, why_unusable
from filmcheck.plant.record import Datum, Record, Unusable, deepest, find
from filmcheck.records.value import Figured, Missing, Need, Source, Value
from filmcheck.units.quantity import Quantity

PARENT, PRESS, FINISHED = "parent roll", "press roll", "finished roll"


def supplied_roll(ask: Ask) -> tuple[Item, ...]:
    """Give the roll on the unwind, where the path has one."""
    found = ask.things("unwind")[:1]
    return tuple(Item("supplied roll", PARENT, 1, (), unwind.stands) for unwind in found)


def press_roll(ask: Ask) -> tuple[Item, ...]:
    """Give the roll that the press winds, where the path has a rewind."""
    found = ask.things("rewind")[:1]
    return tuple(Item("press roll", PRESS, 2, rewind.records[:1], rewind.stands) for rewind in found)


def finished_roll(ask: Ask) -> tuple[Item, ...]:
    """Give the roll that goes to the customer. A sheet that does not say how it is wound owes it all the same."""
    record = find(ask.job.sheet, ("finishing",))
    records = (record,) if isinstance(record, Record) else ()
    return (Item("finished roll", FINISHED, 3, records, deepest(ask.job.sheet, ("finishing",))),)


def _own_taper(ask: Ask, item: Item | None) -> Figured:
    """Read the taper that the sheet sets; the press register has a word under the same name."""
    records = item.records if item is not None else ()
    field = find(records[0], ("taper",)) if records else None
    if isinstance(field, Datum) and isinstance(field.content, Quantity):
        return Value(field.content.low, field.content.high, Source("rewind.taper", field))
    if isinstance(field, Unusable):
        return Missing((why_unusable(field, "rewind.taper"),))
    if item is None:
        return Missing((Need("rewind.taper", "rewind.taper", ask.job.sheet.key_place),))
    place, within = where_set(ask.job.sheet, item)
    return Missing((Need("rewind.taper", "rewind.taper", place, within=within),))


def _machine_taper(ask: Ask, item: Item | None) -> Figured:
    """Read the taper that the press can wind, by the press register."""
    records = item.records[1:] if item is not None else ()
    field = find(records[0], ("taper",)) if records else None
    if isinstance(field, Datum):
        return Value(str(field.content), str(field.content), Source("press rewind: taper", field))
    place = records[0].key_place if records else (item.place if item is not None else None)
    return Missing((Need("taper of the press rewind", "taper of the press rewind", place),))


_FIELDS: tuple[tuple[str, str, str, tuple[str, str, str]], ...] = (
    ("core", "length", "Bore of its core.", ("unwind.roll.core", "rewind.core", "finishing.core")),
    ("asked_core", "length", "Bore of the core that the customer asks for.", ("", "", "customer.core")),
    ("core_wall", "length", "Wall of its core.", ("unwind.roll.core_wall", "rewind.core_wall", "finishing.core_wall")),
    (
        "core_diameter",
        "length",
        "Outside diameter of its core.",
        ("unwind.core_diameter", "rewind.core_diameter", "finishing.core_diameter"),
    ),
    (
        "full_diameter",
        "length",
        "Outside diameter of the full roll.",
        ("unwind.roll.diameter", "rewind.full_diameter", "finishing.full_diameter"),
    ),
    (
        "line_start_tension",
        "line tension",
        "Line tension at which it is wound at its core.",
        ("parent_roll.line_tension", "rewind.line_start_tension", "finishing.line_start_tension"),
    ),
    (
        "total_start_tension",
        "force",
        "Total tension at which it is wound at its core.",
        ("", "rewind.total_start_tension", "finishing.total_start_tension"),
    ),
    (
        "line_end_tension",
        "line tension",
        "Line tension at which it is wound at its outside.",
        ("", "rewind.end_tension", "finishing.end_tension"),
    ),
    ("taper", "ratio", "Taper of its winding tension.", ("parent_roll.taper", "rewind.taper", "finishing.taper")),
    (
        "taper_law",
        "word",
        "Law of its taper.",
        ("parent_roll.taper_law", "rewind.taper_law", "finishing.taper_law"),
    ),
    ("machine_taper", "word", "Taper that its machine can wind.", ("", "rewind.machine_taper", "finisher.taper")),
    (
        "machine_least",
        "force",
        "Least total tension that its machine can hold.",
        ("", "rewind.tension_least", "finisher.tension_least"),
    ),
    (
        "machine_most",
        "force",
        "Most total tension that its machine can hold.",
        ("", "rewind.tension_most", "finisher.tension_most"),
    ),
    ("caliper", "length", "Thickness of its web.", ("laminate.caliper", "product.caliper", "product.caliper")),
    (
        "stiffness",
        "line tension",
        "Stiffness of its web.",
        ("laminate.stiffness", "product.stiffness", "product.stiffness"),
    ),
    (
        "areal_mass",
        "areal mass",
        "Mass of its web per area.",
        ("laminate.areal_mass", "product.areal_mass", "product.areal_mass"),
    ),
    ("width", "length", "Width of the roll.", ("web.width", "web.width", "layout.lane_width")),
    ("winding_speed", "speed", "Speed at which it is wound.", ("", "web.speed", "finishing.speed")),
    (
        "lay_on",
        "word",
        "Whether its machine has a lay-on roller.",
        ("", "rewind.lay_on", "finisher.lay_on"),
    ),
)


def _fields() -> tuple[Figure, ...]:
    made = []
    for field, dimension, meaning, names in _FIELDS:
        for roll, name in zip(("supplied_roll", "press_roll", "finished_roll"), names, strict=True):
            if name:
                made.append(Figure(f"{roll}.{field}", dimension, meaning, "as given", "definition", (same(name),)))
    return tuple(made)


def same(name: str) -> Route:
    """Make the route of a figure that is another one under a name of its own.

    It is handed on whole, so that it keeps its place on the sheet and the words in which the sheet gives it. A field of
    the unwind or the rewind is asked of that thing itself, which is one step less than by the name of the only one.
    """
    kind, field, _ = parsed(name)
    own = f"its.{field}"

    def of_thing(ask: Ask, item: Item | None) -> Figured:
        things = ask.things(kind)
        return ask(own, things[0]) if things else ask(name)

    asks = of_thing if kind in ("unwind", "rewind") else lambda ask, item: ask(name)
    return asked(asks, f"{{{name}}}", (name,))


FIGURES = (
    Figure(
        "rewind.taper",
        "ratio",
        "Taper of the press rewind, as the sheet sets it.",
        "as given",
        "job sheet",
        (asked(_own_taper),),
    ),
    Figure(
        "rewind.machine_taper",
        "word",
        "Taper that the press rewind can wind.",
        "as given",
        "press register",
        (asked(_machine_taper),),
    ),
    Figure(
        "parent_roll.line_tension",
        "line tension",
        "Line tension at which the parent roll was wound; a total tension counts over the width of the web.",
        "T′ = F / w",
        "definition",
        (calculated("parent_roll.tension:line tension"), calculated("parent_roll.tension:force / web.width")),
    ),
    *_fields(),
)
