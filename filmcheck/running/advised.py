"""Findings of one sheet with advice: values and corrections that were judged, and what brought what about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import islice

from filmcheck.judging.causes import Mended, with_causes
from filmcheck.plant.plant import Sheet, type_text
from filmcheck.reading.nodes import Mapping as Tree
from filmcheck.records.finding import Finding
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.plant_context import PlantContext
from filmcheck.windows.advice import Adviser
from filmcheck.windows.form import form_edits
from filmcheck.windows.lacking import with_judged
from filmcheck.windows.spans import applied
from filmcheck.windows.trial import Bench

MOST_MENDED = 3
"""Faults of form that are mended for a trial."""


def advised(sheet: Sheet, context: PlantContext, day: date, findings: Sequence[Finding]) -> Sequence[Finding]:
    """Give the findings on a sheet with advice on what fails and on what it lacks."""

    def judged(changed: Sheet) -> Sequence[Finding]:
        return judge_as_is(changed, context, day).findings

    def bench(changed: Sheet) -> Bench:
        return Bench.of(changed.record, changed.file, context.plant, day, context.rules, context.house)

    if isinstance(sheet.tree, Tree):
        findings = with_judged(
            sheet,
            context.plant,
            findings,
            lambda record: judged(replace(sheet, record=record)),
            lambda record: bench(replace(sheet, record=record)),
        )
    if not any(finding.counts for finding in findings):
        return findings
    mended: tuple[Mended, ...] = ()
    if isinstance(sheet.tree, Tree):
        findings = Adviser(sheet, lambda: bench(sheet), judged, findings, context.by_id).advise()
        mended = tuple(_trials(sheet, context, day, findings))
    return with_causes(findings, sheet.file, sheet.tree, context.by_id, mended)


def _trials(sheet: Sheet, context: PlantContext, day: date, before: Iterable[Finding]) -> Iterator[Mended]:
    """Mend faults of form one by one, and see what is gone then: that follows from them."""
    was = {(one.rule, one.address): {*one.missing} for one in before if one.kind in ("fail", "open", "review")}
    for edit, _ in islice(form_edits(sheet, context.plant), MOST_MENDED):
        changed = type_text(applied(sheet.text, [edit]), sheet.file, "job-sheet")
        after = judge_as_is(changed, context, day).findings
        is_now = {(one.rule, one.address): {*one.missing} for one in after if one.kind != "pass"}
        # What still cannot be told, but by then lacks less, waits for this fault too.
        yield Mended(edit.place, frozenset(who for who in was if who not in is_now or was[who] - is_now[who]))
