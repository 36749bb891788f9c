"""Sets the text of a sheet with a mark at every line that a finding stands on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from filmcheck.records.finding import Finding
from filmcheck.reports.page.marks import SIGNS, WORDS, standing

AROUND = 2
"""Lines shown around a mark where the whole text is left out."""
LONGEST = 240
"""Letters of a line that are shown."""
MOST_LINES = 600


def marked_sheet(text: str, file: str, findings: Sequence[Finding], job: str, *, whole: bool) -> str:
    """Set the text, or only the lines around marks."""
    marks: dict[int, list[tuple[int, Finding]]] = {}
    for number, one in enumerate(findings, 1):
        if one.place.file == file:
            marks.setdefault(one.place.span.line, []).append((number, one))
    lines = text.splitlines()[:MOST_LINES]
    shown = range(1, len(lines) + 1) if whole else sorted(_around(marks, len(lines)))
    if not shown:
        return ""
    rows, before = [], 0
    for at in shown:
        if at != before + 1 and before:
            rows.append("⋮\n")
        rows.append(_row(at, lines[at - 1], marks.get(at, []), job))
        before = at
    name = escape(f"Text of {file}")
    return f'<pre class="sheet" role="group" tabindex="0" aria-label="{name}">{"".join(rows)}</pre>'


def _around(marks: dict[int, list[tuple[int, Finding]]], last: int) -> set[int]:
    return {near for at in marks for near in range(at - AROUND, at + AROUND + 1) if 1 <= near <= last}


def _row(at: int, text: str, marks: Sequence[tuple[int, Finding]], job: str) -> str:
    cut = text if len(text) <= LONGEST else text[:LONGEST] + "…"
    row = f'<span class="at">{at:4}</span> {escape(cut)}'
    if not marks:
        return row + "\n"
    return f"<mark>{row}</mark> {' '.join(_links(marks, job))}\n"


def _links(marks: Sequence[tuple[int, Finding]], job: str) -> Iterator[str]:
    for number, one in marks:
        stands = standing(one)
        name = f"{WORDS[stands]} {number}"
        yield f'<a href="#{job}f{number}" class="{stands}" aria-label="{name}">{SIGNS[stands]}{number}</a>'
