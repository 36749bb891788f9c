"""Looks at one job for the set-up card and the page: what is written, the figures they show, and the curves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

from filmcheck.figures.figures import Figures
from filmcheck.figures.own_unit import own_unit
from filmcheck.figures.wording import Units, amount_text, both_units, dimension_of
from filmcheck.figures.wound import NEEDS, Winding, wound
from filmcheck.formulas.taper import hyperbolic_taper_tension, linear_taper_tension
from filmcheck.judging.limit import Limit
from filmcheck.packs.house import preferred_units
from filmcheck.plant.job import Item, resolve
from filmcheck.plant.plant import Sheet
from filmcheck.plant.record import Datum, Field, Record, Unusable, find
from filmcheck.records.figure_line import Amount
from filmcheck.records.finding import Finding
from filmcheck.records.job_view import DiameterStep, JobView, RollView, Thing
from filmcheck.records.value import Missing, Value, exact, number
from filmcheck.running.figure_run import sheet_and_plant
from filmcheck.running.judge_sheet import judge_sheet
from filmcheck.running.plant_context import PlantContext, make_context
from filmcheck.running.window_run import make_ready
from filmcheck.units.quantity import Quantity
from filmcheck.windows.window import pair_map, pairs, window_of

STEPS = 6
"""Rows of a table by diameter."""
TAPE = 0.005
"""Metres to which the diameters between are rounded."""
TAPES = {"in": 0.0127}
"""The same of a tape in other units: half inches."""
POINTS = 32
"""Points of a pressure curve."""
UNWIND, PRESS, FINISHED = "unwind", "press roll", "finished roll"
SET_AT_PRESS = ("tension", "setting", "start_tension", "taper", "finishing.start_tension", "finishing.taper")
"""Fields whose window the card tells."""

OF_JOB = (
    "web.width",
    "web.run_time",
    "laminate.caliper",
    "layout.label_repeat",
    "layout.cut_repeat",
    "layout.lane_width",
    "snap.needed_sample",
    "die.circumference",
    "print_cylinder.circumference",
    "die.growth",
    "cut.growth",
    "cut.run_out",
    "liner.caliper",
    "die.for_liner_caliper",
    "cut.deepest",
    "cut.shallowest",
    "die.cut_window",
    "die.wear",
    "die.planned_revolutions",
    "die.life_share",
    "web.hottest",
    "web.line_proved_tension",
    "liner.maximum_temperature",
    "finishing.core_diameter",
    "finishing.full_diameter",
    "finishing.roll_length",
    "finishing.roll_mass",
    "finishing.labels_wanted",
    "finishing.line_start_tension",
    "finishing.end_tension",
    "finishing.line_unwind_tension",
)
OF_STATION = {
    "": ("lowest_line_tension", "highest_line_tension", "web_temperature"),
    "unwind": (
        "total_tension",
        "line_tension",
        "core_diameter",
        "end_diameter",
        "highest_total_tension",
        "highest_line_tension",
        "brake_least",
        "brake_most",
        "rolls_needed",
    ),
    "uv lamp": ("over_need", "web_temperature"),
    "led lamp": ("over_need", "web_temperature"),
    "dryer": ("over_need", "web_temperature"),
    "die cut": ("creep_back",),
    "rewind": (
        "core_diameter",
        "full_diameter",
        "roll_length",
        "roll_mass",
        "line_start_tension",
        "total_start_tension",
        "end_tension",
    ),
}
OF_ZONE = (
    "lowest_total_tension",
    "highest_total_tension",
    "lowest_line_tension",
    "highest_line_tension",
    "allowed_least",
    "allowed_most",
)


def view_job(path: Path, day: date) -> tuple[JobView, tuple[Finding, ...], tuple[str, ...]]:
    """Look at one sheet, judged, with the windows of what is set at the press.

    Gives the view, what is wrong with the plant itself, and the files that were read. Raises UseError where there is
    no sheet, or one that cannot be read; PackError where a rule pack is broken.
    """
    sheet, plant = sheet_and_plant(path)
    context = make_context(plant)
    view = look_at(sheet, context, day, judge_sheet(sheet, context, day).findings)
    return with_windows(view, sheet, context, day), tuple(context.plant_findings()), (sheet.file, *context.files_read)


def look_at(sheet: Sheet, context: PlantContext, day: date, findings: Iterable[Finding]) -> JobView:
    """Look at a sheet that was judged: its figures, tables and curves."""
    job, _ = resolve(sheet.record, sheet.file, context.plant)
    figures = Figures(job, day)
    units = _force_of(figures) | preferred_units(context.plant.settings)
    documents = {name.replace(" ", "_"): document.record for name, document in job.documents.items()}
    given = dict(written_data(documents.pop("sheet")))
    for name, record in documents.items():
        given |= {f"{name}.{field}": text for field, text in written_data(record)}
    return JobView(
        job=job.name,
        file=sheet.file,
        given=given,
        figures=dict(_known(figures, units, OF_JOB)),
        stations=tuple(
            _thing(figures, units, item, (*OF_STATION[""], *OF_STATION.get(item.kind, ()))) for item in job.stations
        ),
        zones=tuple(_thing(figures, units, item, OF_ZONE) for item in figures.things("zone")),
        checks=tuple(_thing(figures, units, item, ()) for item in job.items.get("check", ())),
        rolls=_rolls(figures, units),
        limits=_limits(context.house.limits, units),
        findings=tuple(_with_caution(finding, context) for finding in findings),
    )


def _with_caution(finding: Finding, context: PlantContext) -> Finding:
    rule = context.by_id.get(finding.rule)
    return replace(finding, caution=finding.caution or rule.text.caution) if rule is not None else finding


def with_windows(view: JobView, sheet: Sheet, context: PlantContext, day: date) -> JobView:
    """Add the windows of what is set at the press and in finishing."""
    ready = make_ready(sheet, context, day)
    wanted = [point for point in ready.points if point.settable.field in SET_AT_PRESS]
    return replace(view, windows=tuple(window_of(ready.bench, point) for point in wanted))


def with_maps(view: JobView, sheet: Sheet, context: PlantContext, day: date) -> JobView:
    """Add the maps of start tension against taper, for the press roll and the finished roll."""
    ready = make_ready(sheet, context, day)
    tapers = [pair for pair in pairs(ready.points) if pair[1].settable.field.endswith("taper")]
    return replace(view, maps=tuple(pair_map(ready.bench, *pair) for pair in tapers))


def written_data(record: Record | None, before: str = "") -> Iterator[tuple[str, str]]:
    """Give every single datum below a record with its dotted name, as it is written."""
    for name, field in record.fields.items() if record is not None else ():
        yield from _written_field(field, f"{before}{name}")


def _written_field(field: Field, name: str) -> Iterator[tuple[str, str]]:
    if isinstance(field, Record):
        yield from written_data(field, f"{name}.")
    elif isinstance(field, Datum):
        yield name, field.text
    elif not isinstance(field, Unusable):
        words = [item.text for item in field.items if isinstance(item, Datum)]
        if words:
            yield name, ", ".join(words)


def _known(
    figures: Figures, units: Units, names: Iterable[str], item: Item | None = None
) -> Iterator[tuple[str, Amount]]:
    for name in names:
        asked = name if item is None else f"its.{name}"
        value = figures(asked, item)
        if isinstance(value, Value):
            dimension = dimension_of(*figures.owned(asked, item))
            unit = "" if dimension in units else own_unit(figures, asked, item, dimension)
            told = amount_text(value, dimension, units, unit) if unit else both_units(value, dimension, units)
            if unit and value.source is not None:
                told = value.source.text
            yield name, Amount(value.low, value.high, told)


def _force_of(figures: Figures) -> dict[str, str]:
    """Give the unit in which the sheet sets the unwind, else that in which the press register speaks of forces."""
    press = figures.job.documents["press"].record
    set_here = (find(record, ("tension",)) for item in figures.things("unwind") for record in item.records[:1])
    for field in (*set_here, find(press, ("tension_range",)) if press is not None else None):
        content = field.content if isinstance(field, Datum) else None
        if isinstance(content, Quantity) and content.dimension == "force":
            return {"force": content.unit}
    return {}


def _thing(figures: Figures, units: Units, item: Item, names: Iterable[str]) -> Thing:
    given: dict[str, str] = {}
    for record in reversed(item.records):
        given |= dict(written_data(record))
    at = item.place
    line = at.span.line if at.file == figures.job.file else 0
    end = max([line, *(_last_line(record) for record in item.records if record.place.file == figures.job.file)])
    return Thing(item.kind, item.label, line, given, dict(_known(figures, units, dict.fromkeys(names), item)), end)


def _last_line(record: Record) -> int:
    """Give the last line on which a datum of a record stands; its own end may be the start of what comes next."""
    return max(
        (_last_line(one) if isinstance(one, Record) else one.place.span.line for one in record.fields.values()),
        default=0,
    )


def _limits(limits: Mapping[str, Limit], units: Units) -> dict[str, Amount]:
    found = {name: (limit.plain_figure, limit.dimension) for name, limit in limits.items()}
    return {
        name: Amount(value.low, value.high, both_units(value, dimension, units))
        for name, (value, dimension) in found.items()
        if isinstance(value, Value)
    }


def _rolls(figures: Figures, units: Units) -> dict[str, RollView]:
    found = {}
    for unwind in figures.things("unwind")[:1]:
        found[UNWIND] = RollView(UNWIND, _running_down(figures, units, unwind))
    for kind in (PRESS, FINISHED):
        for item in figures.things(kind):
            found[kind] = RollView(kind, _growing(figures, units, item), _pressure(figures, item))
    return found


def _numbers(figures: Figures, item: Item, names: Iterable[str]) -> list[float] | None:
    """Give the exact values of several figures; None where one is lacking or a range."""
    values = [figures(name, item if name.startswith("its.") else None) for name in names]
    known = [value for value in values if isinstance(value, Value) and value.exact]
    return [number(value.low) for value in known] if len(known) == len(values) else None


def _between(first: float, last: float, unit: str) -> list[float]:
    """Give diameters from one to the other, those between rounded as people read a tape."""
    tape = TAPES.get(unit, TAPE)
    even = [first + (last - first) * step / (STEPS - 1) for step in range(1, STEPS - 1)]
    low, high = sorted((first, last))
    between = (round(at / tape) * tape for at in even)
    return [first, *dict.fromkeys(at for at in between if low < at < high), last]


def _running_down(figures: Figures, units: Units, unwind: Item) -> tuple[DiameterStep, ...]:
    """Table the force at the brake from the full roll to the smallest diameter that the job reaches."""
    names = ("its.roll.diameter", "its.end_diameter", "its.total_tension", "its.climb", "web.width")
    found = _numbers(figures, unwind, names)
    if found is None:
        return ()
    full, end, force, climb, width = found
    climbs = climb != 1.0
    unit = units.get("length") or own_unit(figures, "its.roll.diameter", unwind, "length") or "mm"
    steps = _between(full, end, unit) if end < full else [full]
    forces = [force * full / at if climbs else force for at in steps]
    return tuple(_step(at, pull, width, units, unit) for at, pull in zip(steps, forces, strict=True))


def _growing(figures: Figures, units: Units, roll: Item) -> tuple[DiameterStep, ...]:
    """Table the winding tension from the core to the full roll by the taper law of the sheet."""
    names = ("its.core_diameter", "its.full_diameter", "its.line_start_tension", "its.taper")
    width = figures("web.width")
    found, law = _numbers(figures, roll, names), figures("its.taper_law", roll)
    if found is None or isinstance(law, Missing) or isinstance(width, Missing) or not width.exact:
        return ()
    core, full, start, taper = found
    if not 0 < core < full or not 0 <= taper <= 1 or start < 0:
        return ()
    steps = []
    unit = units.get("length") or own_unit(figures, "its.full_diameter", roll, "length") or "mm"
    for at in _between(core, full, unit):
        if law.low == "linear":
            line = linear_taper_tension(start, taper, at / 2, core / 2, full / 2)
        else:
            line = hyperbolic_taper_tension(start, taper, at / 2, core / 2)
        steps.append(_step(at, line * number(width.low), number(width.low), units, unit))
    return tuple(steps)


def _step(diameter: float, force: float, width: float, units: Units, unit: str) -> DiameterStep:
    line = force / width
    texts = (
        amount_text(exact(diameter), "length", units, unit),
        amount_text(exact(force), "force", units, units.get("force", "N")),
        both_units(exact(line), "line tension", units),
    )
    return DiameterStep(diameter, force, line, texts)


def _pressure(figures: Figures, roll: Item) -> tuple[tuple[float, float], ...]:
    """Give the pressure between the turns over the radius; nothing where the model lacks a number or does not hold."""
    values = [figures(name, roll if name.startswith("its.") else None) for name in NEEDS]
    known = [value.low for value in values if isinstance(value, Value) and value.exact]
    if len(known) < len(values):
        return ()
    try:
        whole = wound(Winding(*known))  # type: ignore[arg-type]  # one of the needs is the word of the taper law
    except ValueError:
        return ()
    every = max(1, len(whole.radii) // POINTS)
    points = list(zip(whole.radii, whole.pressure, strict=True))
    return tuple(dict.fromkeys((*points[::every], points[-1])))
