"""One run that ranks what is missing or too wide on a job by how many verdicts it would settle."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path

from filmcheck.records.finding import Finding, lack_parts
from filmcheck.records.value import GENERIC
from filmcheck.records.want import Want
from filmcheck.running.figure_run import sheet_and_plant
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.plant_context import make_context

RANGE = " to "
"""What a range has between its ends, as it is written."""


def wanting(path: Path, day: date) -> tuple[Want, ...]:
    """Give what would settle most, first. Raises UseError where there is no sheet, or one that cannot be read."""
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
