"""The report for the page of a proposed change: a short summary in Markdown, bounded and safe to show.

It keeps to what CommonMark 0.31 and the common extension for tables share. Whatever comes from a sheet is text: no
link, picture, heading, tag or mention is made of it.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from filmcheck.records.finding import Finding, Notice, Report
from filmcheck.reports.led import Led, gravity
from filmcheck.reports.page_lines import count
from filmcheck.reports.text import STANDING_LINE, counted_levels, nothing_found

MOST_ROWS = 40
"""Rows of a table. Pages of proposed changes take some ten thousand letters, and nobody reads more."""

NAMED = 5
"""Files that a notice names; the others are counted."""

MOST_LETTERS = 300
"""Letters of one cell."""

Cells = Sequence[str]


def markdown_report(report: Report, *, rows: int = MOST_ROWS) -> str:
    """Set a report as Markdown that ends with a line end.

    Each table has ``rows`` rows at the most, the gravest first, and says how many it leaves out.
    """
    found = sorted(report.findings, key=lambda one: gravity(Led(one)))
    cautions = {rule.id: rule.caution for rule in report.rules}
    found = [replace(one, caution=one.caution or cautions.get(one.rule, "")) for one in found]
    faults = [finding for finding in found if finding.counts]
    unsettled = [finding for finding in found if finding.kind == "review" and finding.permit is None]
    known = [f for f in found if f.kind == "fail" and f.permit is None and not f.counts]
    blocks = [
        f"## {_verdict(report, faults)}",
        _counts(report, faults, unsettled, known),
        _table("New faults" if _compared(report) else "Faults", _FAULT, map(_fault, faults), rows),
        _table("Borderline: a fault at one end of what is given", _FAULT, map(_fault, unsettled), rows),
        _table("Could not be judged", ("Job", "Missing", "Place", "Rules"), _wanted(found), rows),
        _table("Accepted by permit", _PERMIT, _permitted(found), rows),
        _table("Known before, no longer there", ("Place", "What", "Rule"), map(_gone, report.absent), rows),
        _table("Not read", ("File", "Why"), sorted((_code(t.file), safe_text(t.text)) for t in report.troubles), rows),
        _table("Notices", ("What", "Files"), map(_notice, report.notices), rows),
        f"*{STANDING_LINE}*",
    ]
    return "\n\n".join(block for block in blocks if block) + "\n"


def _compared(report: Report) -> bool:
    return bool(report.absent) or any(finding.baseline for finding in report.findings)


# --- the head


def _verdict(report: Report, faults: list[Finding]) -> str:
    new = "new " * any(finding.kind == "fail" for finding in report.findings)
    return f"Job sheets: {counted_levels(finding.level for finding in faults) or nothing_found(report, new)}"


def _counts(report: Report, faults: list[Finding], unsettled: list[Finding], known: list[Finding]) -> str:
    """Count everything, so that what a table leaves out is counted here."""
    kinds = Counter(finding.kind for finding in report.findings)
    permitted = sum(finding.permit is not None for finding in report.findings)
    parts = [
        count(len(faults), "fault"),
        f"{len(unsettled)} borderline",
        f"{count(kinds['open'], 'check')} not judged",
        f"{permitted} accepted by permit",
        f"{len(known)} known before",
        f"{len(report.absent)} gone",
        f"{count(len(report.troubles), 'file')} not read",
    ]
    read = count(len(report.files), "file") + " read" + f", {count(report.jobs, 'job')} judged" * bool(report.jobs)
    return " · ".join([part for part in parts if not part.startswith("0 ")] + [read])


# --- the tables


def _notice(notice: Notice) -> tuple[str, str]:
    named = ", ".join(map(_code, notice.files[:NAMED]))
    return safe_text(notice.text), named + f", {len(notice.files) - NAMED} more" * (len(notice.files) > NAMED)


_FAULT = ("Level", "Place", "What", "Do")
_PERMIT = ("Place", "What", "Who and until when", "Why")


def _fault(finding: Finding) -> Cells:
    level = "borderline" if finding.kind == "review" else finding.level.replace("none", "ungraded")
    caution = f" **Caution:** {safe_text(finding.caution)}" if finding.caution else ""
    what = f"{safe_text(finding.says)} {_code(finding.rule)}"
    return level, _place(finding), what, safe_text(finding.instead) + caution


def _gone(finding: Finding) -> Cells:
    return _place(finding), safe_text(finding.says), _code(finding.rule)


def _wanted(findings: Iterable[Finding]) -> Iterator[Cells]:
    """Give one row for each datum that a job lacks, with every rule that waits for it."""
    waiting: dict[tuple[str, str, str], list[Finding]] = {}
    for finding in findings:
        if finding.kind == "open":
            for text in finding.missing or (finding.says,):
                waiting.setdefault((finding.place.file, finding.job, text), []).append(finding)
    for (_, job, text), group in sorted(waiting.items()):
        rules = sorted({finding.rule for finding in group})
        named = [_code(rule) for rule in rules[:3]] + [f"{len(rules) - 3} more"] * (len(rules) > 3)
        yield safe_text(job), safe_text(text), _place(min(group, key=lambda one: one.place)), ", ".join(named)


def _permitted(findings: Iterable[Finding]) -> Iterator[Cells]:
    for finding in findings:
        permit = finding.permit
        if permit is not None:
            word = "concession by " if permit.granted_after else ""
            end = f"until {permit.until}" if permit.until else "without end"
            caution = f" **Caution:** {safe_text(permit.caution)}" if permit.caution else ""
            who = f"{word}{safe_text(permit.approved_by)}, {safe_text(end)}"
            what = f"{safe_text(finding.says)} {_code(finding.rule)}"
            yield _place(finding), what, who, safe_text(permit.reason or "no reason given") + caution


def _table(heading: str, columns: Cells, rows: Iterable[Cells], most: int) -> str:
    every = list(rows)
    if not every:
        return ""
    lines = [f"### {heading} ({len(every)})", "", _line(columns), "|" + " --- |" * len(columns)]
    lines += [_line(row) for row in every[:most]]
    if len(every) > most:
        lines += ["", f"… and {len(every) - most} more, left out here. The full report has them all."]
    return "\n".join(lines)


def _line(cells: Cells) -> str:
    return "| " + " | ".join(cell or " " for cell in cells) + " |"


# --- making text safe


def _place(finding: Finding) -> str:
    return _code(str(finding.place))


def safe_text(text: str) -> str:
    """Make text of what a sheet or a rule says: every mark that Markdown or HTML would take for its own is escaped.

    A mention calls people, a number sign leads to an issue and an address becomes a link without any mark of
    Markdown: their letters are written by number.
    """
    safe = _flat(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    safe = re.sub(r"[\\`*_\[\]|~$]", r"\\\g<0>", safe)
    return re.sub(
        r"@|#(?!\d+;)|://|(?<=www)\.", lambda found: "".join(f"&#{ord(c)};" for c in found[0]), safe, flags=re.I
    )


def _code(text: str) -> str:
    """Put a name into a code span, in which nothing counts but the backtick, and in a table the bar."""
    flat = _flat(text).replace("`", "'").replace("|", "¦")
    return f"`{flat}`" if flat else ""


def _flat(text: str) -> str:
    """Put text on one line, take control characters out, and cut what is too long."""
    flat = " ".join(text.split())
    flat = "".join(c if c.isprintable() or c == " " else "\N{REPLACEMENT CHARACTER}" for c in flat)
    return flat if len(flat) <= MOST_LETTERS else flat[: MOST_LETTERS - 1] + "…"
