"""One sheet that was read: judged, with advice on what fails."""

from __future__ import annotations

from datetime import date

from filmcheck.plant.plant import Sheet
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.plant_context import PlantContext, SheetResult


def judge_sheet(sheet: Sheet, context: PlantContext, day: date, *, passes: bool = False) -> SheetResult:
    """Resolve the names of a sheet that was read, compute and judge the job, and give advice on what fails."""
    result = judge_as_is(sheet, context, day, passes=passes)
    if not any(finding.counts or finding.kind == "open" for finding in result.findings):
        return result
    from filmcheck.running.advised import advised  # what tries values is not loaded for sheets that are in order

    return result._replace(findings=tuple(advised(sheet, context, day, result.findings)))
