"""Sets the findings of a job for the page: each can be unfolded to its sums, places and basis."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from html import escape

from filmcheck.records.finding import Finding
from filmcheck.reports.lacks import waiting_rules
from filmcheck.reports.led import led
from filmcheck.reports.page.marks import sign, standing
from filmcheck.reports.page_lines import that_follow


def finding_list(findings: Sequence[Finding], job: str, *, lean: bool = False) -> str:
    """Set what counts, what is accepted and what is borderline, by number; what is open is told apart.

    They come as ``in_order`` gives them, and what follows from another is folded into that one.
    """
    rows, number = [], 1
    for each in led(findings):
        follow = "".join(_finding(one, f"{job}f{at}", at, lean=lean) for at, one in enumerate(each.follows, number + 1))
        rows.append(_finding(each.head, f"{job}f{number}", number, lean=lean, follow=follow, behind=len(each.follows)))
        number += len(each.all)
    return "".join(rows)


def _finding(one: Finding, name: str, number: int, *, lean: bool, follow: str = "", behind: int = 0) -> str:
    rows = [("do", one.instead), ("why", one.because), ("caution", one.caution)]
    if not lean:
        rows += [("sum", "\n".join(one.arithmetic)), ("from", "\n".join(_from(one))), ("basis", one.basis)]
    if one.permit is not None:
        rows.append(("permit", f"{one.permit.reason} ({one.permit.approved_by or 'nobody'}, until {one.permit.until})"))
    rows.append(("at", str(one.place)))
    told = "".join(f"<dt>{what}</dt><dd>{escape(text)}</dd>" for what, text in rows if text)
    return (
        f'<details class="finding {standing(one)}"><summary>{sign(standing(one))}{number}. {escape(one.says)}'
        f" <code>{escape(one.rule)}</code>{that_follow(behind)}</summary>"
        f'<div id="{name}"><dl>{told}</dl>{follow}</div></details>'
    )


def _from(one: Finding) -> Iterator[str]:
    for related in one.related:
        at = related.place
        where = f"line {at.span.line}" if at.file == one.place.file else str(at)
        yield f"{related.text} ({where})"


def open_list(findings: Iterable[Finding]) -> str:
    """Set what could not be judged by what is lacking."""
    waiting = {datum: sorted(set(rules)) for datum, rules in waiting_rules(findings).items()}
    if not waiting:
        return ""
    rows = "".join(
        f"<li><b>{escape(text)}</b>: {', '.join(f'<code>{escape(rule)}</code>' for rule in rules)}</li>"
        for text, rules in sorted(waiting.items(), key=lambda one: (-len(one[1]), one[0]))
    )
    many = "1 datum is lacking" if len(waiting) == 1 else f"{len(waiting)} data are lacking"
    return f"<details><summary>{sign('open')}{many}</summary><ul>{rows}</ul></details>"
