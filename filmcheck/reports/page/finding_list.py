"""Sets the findings of a job for the page: each can be unfolded to its sums, places and basis."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from html import escape

from filmcheck.records.finding import BELONGS, Finding
from filmcheck.reports.page.marks import sign, standing


def finding_list(findings: Sequence[Finding], job: str, *, lean: bool = False) -> str:
    """Set what counts, what is accepted and what is borderline, by number; what is open is told apart."""
    rows = [_finding(one, f"{job}f{number}", number, lean=lean) for number, one in enumerate(findings, 1)]
    return "".join(rows)


def _finding(one: Finding, name: str, number: int, *, lean: bool) -> str:
    rows = [("do", one.instead), ("why", one.because), ("caution", one.caution)]
    if not lean:
        rows += [("sum", "\n".join(one.arithmetic)), ("from", "\n".join(_from(one))), ("basis", one.basis)]
    if one.permit is not None:
        rows.append(("permit", f"{one.permit.reason} ({one.permit.approved_by or 'nobody'}, until {one.permit.until})"))
    rows.append(("at", str(one.place)))
    told = "".join(f"<dt>{what}</dt><dd>{escape(text)}</dd>" for what, text in rows if text)
    return (
        f'<details class="finding {standing(one)}"><summary>{sign(standing(one))}{number}. {escape(one.says)}'
        f' <code>{escape(one.rule)}</code></summary><div id="{name}"><dl>{told}</dl></div></details>'
    )


def _from(one: Finding) -> Iterator[str]:
    for related in one.related:
        at = related.place
        where = f"line {at.span.line}" if at.file == one.place.file else str(at)
        yield f"{related.text} ({where})"


def open_list(findings: Iterable[Finding]) -> str:
    """Set what could not be judged by what is lacking."""
    waiting: dict[str, set[str]] = {}
    for one in findings:
        for text in one.missing or (one.says,):
            waiting.setdefault(text.partition(BELONGS)[0], set()).add(one.rule)
    if not waiting:
        return ""
    rows = "".join(
        f"<li><b>{escape(text)}</b>: {', '.join(f'<code>{escape(rule)}</code>' for rule in sorted(rules))}</li>"
        for text, rules in sorted(waiting.items(), key=lambda one: (-len(one[1]), one[0]))
    )
    return f"<details><summary>{sign('open')}{_many(waiting)}</summary><ul>{rows}</ul></details>"


def _many(waiting: dict[str, set[str]]) -> str:
    return "1 datum is lacking" if len(waiting) == 1 else f"{len(waiting)} data are lacking"
