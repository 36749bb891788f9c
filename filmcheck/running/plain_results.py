"""Results of sheets to plain lists and back, as the kept verdicts hold them."""

from __future__ import annotations

from typing import Any

from filmcheck.judging.ground_checks import Reading
from filmcheck.judging.job_summary import JobSummary, Standing
from filmcheck.plant.entries import Named, placeless
from filmcheck.records.finding import Edit, Finding, Permit, Related
from filmcheck.records.place import Place, Span
from filmcheck.running.plant_context import SheetResult

MOST_WORDS = 20_000
"""Texts and spans that are remembered, so that those that recur are held once."""


def plain_result(result: SheetResult) -> list[Any]:
    """Give a result as lists, texts and numbers alone."""
    summary = result.summary
    return [
        [_plain_finding(finding) for finding in result.findings],
        list(summary) if summary else None,
        result.asked_today,
    ]


def _plain_finding(finding: Finding) -> list[Any]:
    permit = finding.permit
    held = [getattr(permit, name) for name in Permit.__slots__] if permit else None
    related = [[each.place, each.text] for each in finding.related]
    edits = [[each.place, each.text] for each in finding.edits]
    plain = {"related": related, "edits": edits, "permit": held}
    return [plain.get(name, getattr(finding, name)) for name in Finding.__slots__]


class Words:
    """Builds results from plain lists; texts and spans that recur by the thousand are kept once."""

    def __init__(self) -> None:
        self._texts: dict[str, str] = {}
        self._spans: dict[tuple[int, ...], Span] = {}

    def result(self, plain: list[Any], file: str) -> SheetResult:
        """Build the result of a sheet, shown as ``file``."""
        if len(self._texts) + len(self._spans) > MOST_WORDS:
            self._texts.clear()
            self._spans.clear()
        self._texts[file] = file
        findings, summary, asked_today = plain
        return SheetResult(tuple(map(self._finding, findings)), self._summary(summary), bool(asked_today))

    def _text(self, text: str) -> str:
        return self._texts.setdefault(text, text)

    def _place(self, plain: list[Any]) -> Place:
        file, span = plain
        where = tuple(span)
        return Place(self._text(file), self._spans.get(where) or self._spans.setdefault(where, Span(*where)))

    def _finding(self, plain: list[Any]) -> Finding:
        parts = dict(zip(Finding.__slots__, plain, strict=True))
        for name, value in parts.items():
            if isinstance(value, str):
                parts[name] = self._text(value)
        parts["place"] = self._place(parts["place"])
        for name in ("arithmetic", "missing", "to_write"):
            parts[name] = tuple(map(self._text, parts[name]))
        parts["related"] = tuple(Related(self._place(place), self._text(text)) for place, text in parts["related"])
        parts["edits"] = tuple(Edit(self._place(place), text) for place, text in parts["edits"])
        parts["permit"] = self._permit(parts["permit"])
        return Finding(**parts)

    def _permit(self, plain: list[Any] | None) -> Permit | None:
        if plain is None:
            return None
        parts = dict(zip(Permit.__slots__, plain, strict=True))
        return Permit(**{**parts, "place": self._place(parts["place"])})

    def _summary(self, plain: list[Any] | None) -> JobSummary | None:
        if plain is None:
            return None
        parts = dict(zip(JobSummary._fields, plain, strict=True))
        for name in ("stage", "press", "date"):
            parts[name] = self._text(parts[name])
        parts["place"] = self._place(parts["place"])
        parts["entries"] = tuple(map(self._named, parts["entries"]))
        parts["ground"] = tuple(Reading(part, ohm, text, tuple(span)) for part, ohm, text, span in parts["ground"])
        parts["others"] = tuple(map(self._standing, parts["others"]))
        return JobSummary(**parts)

    def _standing(self, plain: list[Any]) -> Standing:
        standing = Standing(*plain)
        lacks, meant_lacks = (tuple(map(self._text, texts)) for texts in (standing.lacks, standing.meant_lacks))
        return standing._replace(lacks=lacks, meant_lacks=meant_lacks)

    def _named(self, plain: list[Any]) -> Named:
        *words, stands = plain
        what, register, section, name = map(self._text, words)
        if not stands[0]:
            return placeless(what, register, section, name)
        return Named(what, register, section, name, self._place(stands))
