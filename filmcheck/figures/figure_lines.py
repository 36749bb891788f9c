"""Makes plain records of all figures of a job, for a report that knows nothing of how they are worked out."""

from __future__ import annotations

from collections.abc import Iterable

from filmcheck.figures.calculated import formula_of
from filmcheck.figures.catalogue import CATALOGUE, find_scoped
from filmcheck.figures.figure import Figure
from filmcheck.figures.figures import ITS, Figures
from filmcheck.figures.scopes import owners_of, parsed
from filmcheck.figures.wording import Units, amount_text, both_units, is_carried, needs_of, sources, working
from filmcheck.plant.job import Item
from filmcheck.records.figure_line import Amount, FigureLack, FigureLine, WalkLine
from filmcheck.records.finding import Related
from filmcheck.records.value import Figured, Missing, Source, Value
from filmcheck.units.quantity import DIMENSIONS, Quantity, convert, parse_quantity

READABLE = (1e-3, 1e5)
"""A number outside of this is shown in another unit than the sheet's: 254 m and not 254000 mm."""

Absent = tuple[tuple[str, tuple[str, ...]], ...]
Used = tuple[str, Item | None]
"""A figure, and the thing that it is of."""


def figure_lines(figures: Figures, units: Units, part: str = "") -> tuple[FigureLine, ...]:
    """Work out the figures of the catalogue for a job, in the catalogue's order; units are the plant's own.

    With a ``part`` only those are worked out that have it in their name, or in the name of their thing.
    """
    return tuple(
        _line(figures, units, figure, name, item)
        for figure in CATALOGUE.values()
        for name, item in _occurrences(figures, figure)
        if _has(part, figure.name, item.label if item is not None else "")
    )


def absent_figures(figures: Figures, part: str = "") -> Absent:
    """Name the things that the job has none of, though the catalogue has figures of them."""
    absent: dict[str, list[str]] = {}
    for figure in CATALOGUE.values():
        if _has(part, figure.name) and not _occurrences(figures, figure):
            absent.setdefault(parsed(figure.name).kind, []).append(figure.name)
    return tuple((kind, tuple(names)) for kind, names in absent.items())


def walk_lines(figures: Figures, units: Units, part: str = "") -> tuple[WalkLine, ...]:
    """Give the state of the web behind each station, or behind those that have a part in their label."""
    return tuple(_walk_line(figures, units, item) for item in figures.job.stations if _has(part, item.label))


def _has(part: str, *names: str) -> bool:
    return any(part.casefold() in name.casefold() for name in names)


def _occurrences(figures: Figures, figure: Figure) -> list[tuple[str, Item | None]]:
    """Give the names and things under which a job has a figure: one of the job, or one of each thing."""
    head, field, _ = parsed(figure.name)
    # A kind of thing may have a figure of its own by this name, and then not this one.
    kinds = [kind for kind in owners_of(head) if find_scoped(kind, field) is figure]
    if not kinds or any(figures.lack(kind) for kind in kinds):
        return [(figure.name, None)]
    things = [item for kind in kinds for item in figures.things(kind)]
    return [(ITS + field, item) for item in sorted(things, key=lambda item: item.number)]


def _line(figures: Figures, units: Units, figure: Figure, name: str, item: Item | None) -> FigureLine:
    lack = _lack(figures, figure) if item is None else None
    value = lack or figures(name, item)
    known = isinstance(value, Value)
    found = sources(figures, name, item) if known else []
    used = _used(figures, name, item) if known else []
    return FigureLine(
        name=figure.name,
        of=item.label if item is not None else "",
        dimension=figure.dimension,
        unit=DIMENSIONS[figure.dimension].unit if figure.dimension in DIMENSIONS else "",
        meaning=figure.meaning,
        formula=formula_of(figure),
        source=figure.source,
        amount=amount_of(value, figure.dimension, units, found),
        arithmetic=working(figures, name, item, units) if known else "",
        inputs=inputs_among(figures, used),
        rests_on=figures_among(figures, used, name),
        assumes=value.assumes if isinstance(value, Value) else (),
        missing=told_needs(value),
    )


def inputs_among(figures: Figures, used: Iterable[Used]) -> tuple[Related, ...]:
    """Give the data among what a figure uses, not those behind the figures among it."""
    values = [figures(*one) for one in used]
    given = [value.source for value in values if isinstance(value, Value) and value.source is not None]
    return tuple({source.place: Related(source.place, f"{source.name}: {source.text}") for source in given}.values())


def figures_among(figures: Figures, used: Iterable[Used], name: str = "") -> tuple[str, ...]:
    """Name the worked-out figures among what a figure of this name uses, as the catalogue calls them."""
    names: list[str] = []
    for one, owner in used:
        value = figures(one, owner)
        if isinstance(value, Value) and value.source is None and one != name:
            parts = parsed(one)
            scoped = find_scoped(owner.kind, parts.field) if owner is not None and parts.head == "its" else None
            names.append(scoped.name if scoped is not None else parts.base)
    return tuple(dict.fromkeys(names))


def _used(figures: Figures, name: str, item: Item | None) -> list[Used]:
    """Give the data and figures that a figure is worked out of."""
    value = figures(name, item)
    if isinstance(value, Missing) or value.source is not None:
        return [(name, item)]
    return uncarried(figures, needs_of(figures.route(name, item)), item)


def uncarried(figures: Figures, names: Iterable[str], item: Item | None) -> list[Used]:
    """Give what these names stand for; a figure that only carries another over by what it carries."""
    used: list[Used] = []
    for name in names:
        inner, owner = figures.owned(name, item)
        carried = is_carried(figures.route(inner, owner))
        used += _used(figures, inner, owner) if carried else [(inner, owner)]
    return used


def _lack(figures: Figures, figure: Figure) -> Missing | None:
    kinds = owners_of(parsed(figure.name).head)
    return next((lack for kind in kinds if (lack := figures.lack(kind)) is not None), None)


def told_needs(*values: Figured) -> tuple[FigureLack, ...]:
    """Give what some figures lack, each need once."""
    needs = [need for value in values if isinstance(value, Missing) for need in value.needs]
    return tuple(dict.fromkeys(FigureLack(need.says, need.place, need.absent) for need in needs))


def amount_of(value: Figured, dimension: str, units: Units, found: Iterable[Source] = ()) -> Amount | None:
    """Give a known figure with its texts, in the unit of the first datum found and in the plant's; None otherwise."""
    if isinstance(value, Missing):
        return None
    if dimension == "line tension":
        return Amount(value.low, value.high, both_units(value, dimension, units))
    text = amount_text(value, dimension, units, _unit_of_sheet(value, dimension, found))
    settled = amount_text(value, dimension, units)
    return Amount(value.low, value.high, text, settled if settled != text else "")


def _unit_of_sheet(value: Value, dimension: str, found: Iterable[Source]) -> str:
    """Give the unit in which the first datum of this dimension is written, where it suits the size of the value."""
    if dimension not in DIMENSIONS or not isinstance(value.high, (int, float)):
        return ""
    for source in found:
        read = parse_quantity(source.text, (dimension,))
        if isinstance(read, Quantity) and read.unit:
            size = abs(convert(float(value.high), read.unit, dimension))
            return read.unit if size == 0 or READABLE[0] <= size < READABLE[1] else ""
    return ""


def _walk_line(figures: Figures, units: Units, item: Item) -> WalkLine:
    state = figures.states()[item]
    ends = (state.pull.lowest, state.pull.highest, figures.temperatures()[item])
    dimensions = ("line tension", "line tension", "temperature")
    lowest, highest, temperature = (amount_of(end, dim, units) for end, dim in zip(ends, dimensions, strict=True))
    return WalkLine(
        station=item.label,
        place=item.place,
        lowest=lowest,
        highest=highest,
        temperature=temperature,
        charged=state.surface.charged,
        clean=state.surface.clean,
        why=state.why,
        assumes=tuple(dict.fromkeys(text for end in ends if isinstance(end, Value) for text in end.assumes)),
        missing=told_needs(*ends),
    )
