"""One run over the figures of one job sheet: read, resolve, compute; or what is wanting, by what it would settle.

Rules are loaded only for figures of the house, and to tell what is wanting.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from os.path import lexists
from pathlib import Path

from filmcheck.figures.figure_lines import absent_figures, figure_lines, walk_lines
from filmcheck.figures.figures import Figures
from filmcheck.judging.context import Context
from filmcheck.judging.own_figures import own_figure_lines
from filmcheck.packs.house import preferred_units
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import Plant, Sheet, load_plant, read_sheet, settings_above, settled
from filmcheck.records.errors import UseError
from filmcheck.records.figure_line import FigureLine, FigureSheet
from filmcheck.records.finding import Finding, Want, lack_parts
from filmcheck.records.place import Place
from filmcheck.records.value import GENERIC
from filmcheck.running.plant_context import make_context

LINT = "filmcheck lint tells what is wrong, and where."
RANGE = " to "
"""What a range has between its ends, as it is written."""


def work_out(path: Path | str, today: date | None = None, part: str = "") -> FigureSheet:
    """Work out every figure of a job sheet, or those with a part in their name; ``today`` is the day of the clock.

    Raises UseError where there is no sheet, or one that cannot be read.
    """
    sheet, plant = sheet_and_plant(Path(path))
    return _worked(sheet, plant, today or date.today(), part)


def sheet_and_plant(path: Path) -> tuple[Sheet, Plant]:
    """Read one job sheet and its plant. Raises UseError where there is no sheet, or one that cannot be read."""
    if not lexists(path):
        raise UseError(f"{path} is not there", way_out="Give a job sheet.")
    if path.is_dir():
        raise UseError(f"{path} is a folder", way_out="Give one job sheet.")
    plant = load_plant(settings_above(path.parent))
    if plant.owns(settled(path)):
        raise UseError(f"{path} belongs to the plant's settings, registers or rules", way_out="Give a job sheet.")
    return _read(path, plant), plant


def _read(path: Path, plant: Plant) -> Sheet:
    """Read a sheet; a fault in a part of it leaves the rest to work with."""
    sheet = read_sheet(path, "job-sheet", fence=plant.fence)
    if sheet.tree is None or not sheet.record.fields:
        found, place, way_out = "the sheet is empty", sheet.record.place, "Give a job sheet."
        if sheet.faults:
            fault = sheet.faults[0]
            found, place, way_out = fault.says, Place(sheet.file, fault.span), fault.hint or LINT
        raise UseError(found, place=place, way_out=way_out)
    return sheet


def _worked(sheet: Sheet, plant: Plant, today: date, part: str) -> FigureSheet:
    job, faults = resolve(sheet.record, sheet.file, plant)
    figures, units = Figures(job, today), preferred_units(plant.settings)
    own: tuple[FigureLine, ...] = ()
    if plant.rule_packs:
        context = make_context(plant)
        own = own_figure_lines(context.rules, Context(figures, context.house.limits), units, part)
    return FigureSheet(
        job=job.name,
        file=sheet.file,
        figures=(*figure_lines(figures, units, part), *own),
        walk=walk_lines(figures, units, part),
        absent=absent_figures(figures, part),
        faults=len(sheet.faults) + len(faults) + len(plant.faults),
    )


def wanting(path: Path, day: date) -> tuple[Want, ...]:
    """Give what would settle most, first. Raises UseError where there is no sheet, or one that cannot be read."""
    from filmcheck.running.judge_as_is import judge_as_is  # figures alone judge nothing

    sheet, plant = sheet_and_plant(path)
    return ranked(judge_as_is(sheet, make_context(plant), day).findings)


def ranked(findings: Iterable[Finding]) -> tuple[Want, ...]:
    """Rank the data that findings wait for: those that settle most by themselves first."""
    wants: dict[tuple[str, str, str], Want] = {}
    for finding in findings:
        needs = set(_needs(finding))
        for key in needs:
            want = wants.get(key, Want(*key, 0, 0))
            alone = len(needs) == 1
            wants[key] = want._replace(alone=want.alone + alone, together=want.together + (not alone))
    return tuple(sorted(wants.values(), key=lambda want: (-want.alone, -want.together, want.name, want.where)))


def _needs(finding: Finding) -> Iterator[tuple[str, str, str]]:
    if finding.kind == "open":
        for text in finding.missing:
            name, place = lack_parts(text)
            yield name, "missing", place
    elif finding.kind == "review":
        given = set()
        for each in finding.related:
            name, _, value = each.text.rpartition(": ")
            given.add(name)
            if RANGE in value:
                yield name, value, str(each.place)
        # What the walk of the web took from a generic entry stands in the notes of a sum alone.
        for note in "; ".join(finding.arithmetic).split("; "):
            name, generic, _ = note.partition(GENERIC)
            if generic and name not in given:
                yield name, "of a generic entry", ""
