"""One run over the windows of one job sheet: read, resolve, judge again and again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from filmcheck.plant.job import Job
from filmcheck.plant.nearest import nearest_hint
from filmcheck.plant.plant import Sheet
from filmcheck.records.errors import UseError
from filmcheck.records.window import JobWindows
from filmcheck.running.figure_run import sheet_and_plant
from filmcheck.running.plant_context import PlantContext, make_context
from filmcheck.windows.set_points import SetPoint, set_points
from filmcheck.windows.trial import Bench
from filmcheck.windows.window import demands_now, pair_map, pairs, window_of


@dataclass(frozen=True, slots=True)
class Ready:
    """A sheet made ready to be judged with other values."""

    sheet: Sheet
    context: PlantContext
    bench: Bench
    points: tuple[SetPoint, ...]

    @property
    def job(self) -> Job:
        """The sheet with its names resolved."""
        return self.bench.figures.job


def make_ready(sheet: Sheet, context: PlantContext, day: date) -> Ready:
    """Resolve a sheet, and list what can be set on it."""
    bench = Bench.of(sheet.record, sheet.file, context.plant, day, context.rules, context.house)
    return Ready(sheet, context, bench, set_points(bench.figures.job, context.plant))


def find_windows(path: Path, day: date, wanted: str = "", beside: str = "") -> JobWindows:
    """Find the windows of all set-points of a job, or of one, and with ``beside`` the map of two.

    Raises UseError where there is no sheet, one that cannot be read, or no such set-point on it.
    """
    sheet, plant = sheet_and_plant(path)
    ready = make_ready(sheet, make_context(plant), day)
    chosen = _chosen(ready.points, wanted) if wanted else ready.points
    windows = tuple(window_of(ready.bench, point, ready.points) for point in chosen)
    maps: list[tuple[SetPoint, SetPoint]] = []
    if beside:
        maps = [(chosen[0], _chosen(ready.points, beside)[0])]
    elif wanted:
        maps = [pair for pair in pairs(ready.points) if pair[0] in chosen or pair[1] in chosen]
    for pair in maps:
        for point in pair:
            if point.choices:
                raise UseError(f"{point.address} is set by name, so that it has no map")
    opened, broken = demands_now(ready.bench)
    drawn = tuple(pair_map(ready.bench, one, other) for one, other in maps)
    return JobWindows(ready.job.name, sheet.file, windows, drawn, opened, broken)


def _chosen(points: tuple[SetPoint, ...], wanted: str) -> tuple[SetPoint, ...]:
    """Give the set-points of a name: its whole address, or of several like ones the end of it."""
    folded = " ".join(wanted.replace("_", " ").split()).casefold()
    by_name = {point.address.replace("_", " ").casefold(): point for point in points}
    if folded in by_name:
        return (by_name[folded],)
    kind = [p for p in points if f"{p.settable.kind}.{p.settable.field}".replace("_", " ").casefold() == folded]
    part = kind or [point for name, point in by_name.items() if folded in name]
    if part:
        return tuple(part)
    known = [point.address for point in points]
    way_out = nearest_hint(wanted, known, f"There are: {', '.join(known)}.")
    raise UseError(f"the sheet has no set-point {wanted}", way_out=way_out)
