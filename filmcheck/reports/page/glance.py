"""The plant at a glance: jobs by stage, the worst first; what is missing most; findings by rule."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from html import escape

from filmcheck.records.finding import Finding
from filmcheck.records.job_view import PlantView, SheetView
from filmcheck.reports.lacks import missing
from filmcheck.reports.led import tally
from filmcheck.reports.page.marks import SIGNS, WORDS, box, num, sign, standing

STAGES = ("planned", "set-up", "running", "finishing", "released")
MOST_JOBS, MOST_ROWS = 20, 15
ORDER = ("error", "warning", "note", "none", "borderline", "open", "accepted")


def glance(view: PlantView) -> str:
    """Set the part of the page that tells of all jobs together."""
    return "".join((_counts(view), _stages(view.sheets), _missing(view), _rules(view)))


def _counts(view: PlantView) -> str:
    whole = tally(view.report.findings)
    told = "".join(
        f"<li>{sign(what)}<b>{whole[what]}</b> {many(what, whole[what])}</li>" for what in ORDER if whole[what]
    )
    sheets = len(view.sheets)
    sound = sum(not tally(sheet.findings) for sheet in view.sheets)
    return (
        f'<ul class="counts"><li><b>{sheets}</b> {"sheet" if sheets == 1 else "sheets"}</li>'
        f"<li>{sign('sound')}<b>{sound}</b> with nothing found</li>{told}</ul>"
    )


def many(what: str, count: int) -> str:
    """Give the word of a level for so many."""
    return WORDS[what] + "s" * (count != 1 and what in ("error", "warning", "note"))


def badge(findings: Iterable[Finding]) -> str:
    """Give the signs of a job with their counts."""
    found = tally(findings)
    if not found:
        return f'<span class="sign sound" title="{WORDS["sound"]}">{SIGNS["sound"]}</span>'
    return " ".join(
        f'<span class="sign {what}" title="{found[what]} {many(what, found[what])}">{SIGNS[what]}{found[what]}</span>'
        for what in ORDER
        if found[what]
    )


def _stages(sheets: Sequence[SheetView]) -> str:
    columns: dict[str, list[str]] = {stage: [] for stage in STAGES}
    for number, sheet in enumerate(sheets, 1):
        stage = sheet.given.get("stage", "")
        columns.setdefault(stage if stage in STAGES else "no stage", []).append(_chip(sheet, number))
    told = "".join(_column(stage, chips) for stage, chips in columns.items())
    return f'<h2 id="stages">Jobs by stage, the worst first</h2><div class="board">{told}</div>'


def _chip(sheet: SheetView, number: int) -> str:
    name = escape(sheet.job or sheet.file)
    name = f'<a href="#j{number}">{name}</a>' if has_part(sheet) else f"<span>{name}</span>"
    return f"<li>{name} <span class='badge'>{badge(sheet.findings)}</span></li>"


def has_part(sheet: SheetView) -> bool:
    """Whether a sheet has a part of its own on the page."""
    return sheet.view is not None or bool(tally(sheet.findings))


def _column(stage: str, chips: Sequence[str]) -> str:
    first, rest = chips[:MOST_JOBS], chips[MOST_JOBS:]
    more = f"<details><summary>{len(rest)} more</summary><ul>{''.join(rest)}</ul></details>" if rest else ""
    listed = f"<ul>{''.join(first)}</ul>" if first else "<p>none</p>"
    return f"<section><h3>{stage} ({len(chips)})</h3>{listed}{more}</section>"


def _bar(share: float) -> str:
    drawn = box(0, 0, 120 * share, 10, "bar")
    return f'<svg aria-hidden="true" width="{num(120)}" height="10" viewBox="0 0 120 10">{drawn}</svg>'


def _missing(view: PlantView) -> str:
    """List the data that are lacking on most jobs."""
    most = missing(view.report.findings)
    if not most:
        return ""
    top = len(most[0].jobs)
    rows = "".join(
        f'<tr><th scope="row">{escape(lack.text)}</th><td>{len(lack.jobs)}</td><td>{lack.checks}</td>'
        f"<td>{_bar(len(lack.jobs) / top)}</td></tr>"
        for lack in most[:MOST_ROWS]
    )
    return _table("missing", "What is missing most", ("lacking", "jobs", "checks waiting", ""), rows, len(most))


def _rules(view: PlantView) -> str:
    """List the rules that found most, with how their findings stand."""
    titles = {rule.id: rule.title for rule in view.report.rules}
    found: dict[str, Counter[str]] = {}
    for one in view.report.findings:
        if one.kind in ("fail", "review"):
            found.setdefault(one.rule, Counter())[standing(one)] += 1
    if not found:
        return ""
    gravest = {rule: min(ORDER.index(what) for what in many) for rule, many in found.items()}
    most = sorted(found, key=lambda rule: (gravest[rule], -found[rule].total(), rule))
    top = max(many.total() for many in found.values())
    rows = "".join(
        f'<tr><th scope="row"><code>{escape(rule)}</code> {escape(titles.get(rule, ""))}</th>'
        f"<td>{' '.join(f'{sign(what)}{found[rule][what]}' for what in ORDER if found[rule][what])}</td>"
        f"<td>{_bar(found[rule].total() / top)}</td></tr>"
        for rule in most[:MOST_ROWS]
    )
    return _table("rules", "Findings by rule", ("rule", "findings", ""), rows, len(most))


def _table(name: str, title: str, head: Sequence[str], rows: str, many: int) -> str:
    cells = "".join(f'<th scope="col">{cell}</th>' if cell else "<td></td>" for cell in head)
    more = f"<p>Left out here: {many - MOST_ROWS} more.</p>" if many > MOST_ROWS else ""
    return (
        f'<h2 id="{name}">{title}</h2><div class="wide" role="group" tabindex="0" aria-label="{title}">'
        f"<table><thead><tr>{cells}</tr></thead><tbody>{rows}</tbody></table></div>{more}"
    )
