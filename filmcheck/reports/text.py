"""The report for people: GNU message lines that editors jump to, and under each one as much as was asked for."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterable

from filmcheck.records.finding import LEVELS, Finding, Kind, Level, Notice, Report, Trouble
from filmcheck.records.place import Place
from filmcheck.reports.job_table import JobRow, job_rows
from filmcheck.reports.lacks import Lack, by_groups, missing
from filmcheck.reports.led import Led, gravity, told_apart
from filmcheck.reports.page_lines import (
    INDENT,
    NARROWEST,
    Page,
    count,
    headline,
    listed,
    more_follow,
    one_line,
    shortened,
)
from filmcheck.reports.text_faults import MOST_NAMED, Depth, messages, short_line

STANDING_LINE = (
    "The numbers are estimates from what the sheets say. The instructions of the press, tooling and "
    "material makers and the local codes come first."
)
"""Printed under every report, a clean one too: nobody may read a report as a clearance."""

SOUND_LINE = "no fault found. An estimate; makers' instructions and codes come first."

MANY_BORDERLINE = 6
"""Borderline checks from which on the report says how they are settled."""
SETTLED_BY = (
    "A borderline check rests on a range, most often one of a generic entry: --full names it, `filmcheck figures JOB"
    " --wanting` ranks what to measure."
)

LONGEST_CELL = 24
"""Letters of a job's number, stage, press or day in the table of jobs."""
MOST_ROWS = 25
"""Jobs in the table of the usual report; of the others the errors are counted."""
MOST_CAUTIONS = 2
"""Cautions that the usual report gives of one thing missing; where there are more, one stands for all."""
COMMON_CAUTION = (
    "Nips, knives, UV, hot lamps, static and solvent vapour hurt people: guards and shielding stay on, machines locked"
    " off; qualified people and the local codes come before this report. --full has the caution of each rule."
)
MOST_LACKS = 15
"""Missing data that the usual report names, those first that most jobs wait for."""


def text_report(
    report: Report,
    *,
    show_passes: bool = False,
    colour: bool = False,
    width: int = 80,
    depth: Depth = "usual",
) -> str:
    """Set ``report`` as text that ends with a line end.

    The line with place and message is never broken (GNU message form); what is indented under it is wrapped
    at ``width`` columns, 40 at the least. ``show_passes`` adds what was checked and passed and what did not
    apply. ``colour`` adds ANSI colours and changes no letter. ``depth`` is how much is told of each fault.
    """
    sheets = frozenset(line.file for line in report.job_lines) if len(report.job_lines) > 1 else frozenset()
    page = Page(max(width, NARROWEST), colour, {rule.id: rule.caution for rule in report.rules}, sheets)
    if _is_sound(report) and not show_passes:
        return f"{count(report.jobs, 'job')}: {SOUND_LINE}\n"
    together = sorted(told_apart(report.findings), key=lambda each: _by_place(each.head))
    faults = [each for each in together if each.head.kind == "fail"]
    blocks = [
        messages("Faults", faults, page, depth),
        _borderline(_of(together, "review"), page, depth),
        _accepted([one for one in sorted(report.findings, key=_by_place) if one.permit is not None], page, depth),
        _listing("Known before, not counted", _known(report), page, told=True),
        _listing("Known before, no longer there", list(report.absent), page, told=True),
        _lacking(report, page, depth),
        _troubles(report.troubles, page),
        _notices(report.notices, page),
        *_passes(report, page, show_passes),
        _jobs(report, page, depth),
        _clean(report),
        _summary(report, together, page),
        "\n".join(page.wrapped(STANDING_LINE, "")),
    ]
    blocks[-1] += "\n"  # here, not on the whole, which may be large
    return "\n\n".join(block for block in blocks if block)


def _borderline(together: list[Led], page: Page, depth: Depth) -> str:
    """Tell of checks that hold at one end of a range only, and, where they are many, what settles them."""
    told = messages("Borderline: a fault at one end of what is given", together, page, depth)
    if len(together) < MANY_BORDERLINE:
        return told
    return "\n".join([told, *page.wrapped(SETTLED_BY, "")])


def _is_sound(report: Report) -> bool:
    """Whether there is nothing to tell but that nothing was found."""
    quiet = not report.troubles and not report.notices and not report.absent
    return report.jobs > 0 and quiet and all(one.kind in ("pass", "notApplicable") for one in report.findings)


def _of(together: Iterable[Led], kind: Kind) -> list[Led]:
    return [each for each in together if each.head.kind == kind]


def _by_place(finding: Finding) -> tuple[Place, int, str, str, str]:
    return finding.place, LEVELS.index(finding.level), finding.rule, finding.address, finding.says


def _known(report: Report) -> list[Finding]:
    found = sorted(report.findings, key=_by_place)
    return [one for one in found if one.kind == "fail" and one.permit is None and not one.counts]


# --- what is accepted, known, or could not be judged


def _accepted(findings: list[Finding], page: Page, depth: Depth) -> str:
    """Show what was accepted with who answers for it: a permit is a decision, and decisions have names."""
    parts = []
    for finding in findings:
        permit = finding.permit
        if permit is None:
            continue
        word = "concession" if permit.granted_after else "permit"
        end = f", until {permit.until}" if permit.until else ", without end"
        told = f"by {permit.approved_by}{end}: {permit.reason or 'no reason given'}"
        says = finding.says if depth == "full" else headline(finding.says)
        by = page.labelled(word, [told]) if depth == "full" else page.one_labelled(word, told)
        head = page.head(finding.place, "accepted", says, finding.rule)
        parts.append("\n".join([head, *by * (depth != "short"), *page.labelled("caution", [permit.caution])]))
    return page.block("Accepted by permit", parts, apart=depth == "full")


def _listing(heading: str, findings: list[Finding], page: Page, *, told: bool = False) -> str:
    """One line a finding: the rules that had nothing to say are many and each needs little room."""
    lines = []
    for finding in findings:
        # Of a pass not what the rule says: its sentence tells of the fault, which is not there.
        rest = [finding.rule, finding.says if told else "; ".join(finding.arithmetic)]
        lines.append(": ".join(filter(None, map(one_line, [str(finding.place), *rest]))))
    return page.block(heading, lines, apart=False)


def _passes(report: Report, page: Page, show: bool) -> list[str]:
    found = sorted(report.findings, key=_by_place) if show else []
    return [
        _listing(heading, [one for one in found if one.kind == kind], page)
        for heading, kind in (("Checked and passed", "pass"), ("Did not apply", "notApplicable"))
    ]


def _lacking(report: Report, page: Page, depth: Depth) -> str:
    every = missing(report.findings)
    if depth == "usual":
        every = by_groups(every)
    most = len(every) if depth == "full" else MOST_LACKS
    lines = [line for lack in every[:most] for line in _lack(lack, page, depth)]
    if len(every) > most:
        lines.append(f"{count(len(every) - most, 'more thing')} missing; --full names all.")
    return page.block("Could not be judged", lines, apart=False)


def _lack(lack: Lack, page: Page, depth: Depth) -> list[str]:
    where = lack.place if lack.shared or len(lack.jobs) == 1 else ""
    named = listed(lack.rules, 3 if depth != "full" else len(lack.rules))
    lines = [page.head(where, "cannot tell", lack.says, named)]
    if depth != "short" and len(lack.jobs) > 1:
        lines += page.labelled("jobs", [listed(lack.jobs, MOST_NAMED if depth == "usual" else len(lack.jobs))])
    cautions = sorted({one.caution or page.cautions.get(one.rule, "") for one in lack.findings} - {""})
    if len(cautions) > MOST_CAUTIONS and depth != "full":
        cautions = [COMMON_CAUTION]
    return [*lines, *page.labelled("caution", cautions)]


def _troubles(troubles: Iterable[Trouble], page: Page) -> str:
    lines = sorted(f"{one_line(trouble.file)}: {one_line(trouble.text)}" for trouble in troubles)
    return page.block("Not read", lines, apart=False)


def _notices(notices: Iterable[Notice], page: Page) -> str:
    lines: list[str] = []
    for notice in notices:
        named = listed(notice.files, MOST_NAMED)
        told = one_line(notice.text + (f": {named}" if named else ""))
        lines += textwrap.wrap(told, page.width, subsequent_indent=" " * INDENT, break_on_hyphens=False)
    return page.block("Notices", lines, apart=False)


# --- the end of the report


def _jobs(report: Report, page: Page, depth: Depth) -> str:
    """Set the table of jobs, where there are several; those without findings are only counted."""
    if len(report.job_lines) < 2:
        return ""
    rows = job_rows(report)
    told = [row for row in rows if not row.is_settled]
    shown = rows if depth == "full" else told[:MOST_ROWS]
    cells = [("job", "stage", "press", "day", "err", "warn", "open", "worst fault"), *map(_cells, shown)]
    widths = [max(len(row[at]) for row in cells) for at in range(len(cells[0]) - 1)]
    lines = [_table_line(row, widths) for row in cells] if shown else []
    rest = []
    if len(told) > len(shown):
        left = told[len(shown) :]
        errors = sum(row.errors for row in left)
        rest.append(f"{count(len(left), 'more job')} with {count(errors, 'error') if errors else 'less'}")
    settled = sum(row.is_settled for row in rows)
    if settled and depth != "full":
        rest.append(f"{count(settled, 'job')} without findings")
    return page.block("Jobs", [*lines, *(["; ".join(rest)] if rest else [])], apart=False)


def _cells(row: JobRow) -> tuple[str, ...]:
    line = row.line
    numbers = (str(number) if number else "" for number in (row.errors, row.warnings, row.open))
    worst = row.worst.rule if row.worst is not None else ("borderline" if row.borderline else "")
    words = (shortened(word, LONGEST_CELL) for word in (line.job or line.file, line.stage, line.press, line.day))
    return tuple(map(one_line, (*words, *numbers, worst)))


def _table_line(row: tuple[str, ...], widths: list[int]) -> str:
    cells = [
        cell.rjust(size) if 4 <= at <= 6 else cell.ljust(size)
        for at, (cell, size) in enumerate(zip(row, widths, strict=False))
    ]
    return "  ".join([*cells, row[-1]]).rstrip()  # a rule's name that is cut cannot be searched for


def _clean(report: Report) -> str:
    """Say plainly that nothing is wrong, and of how much that can be said."""
    kinds = {finding.kind for finding in report.findings}
    if any(finding.counts for finding in report.findings):
        return ""
    if "fail" in kinds:
        return "No fault found beyond those that are accepted or known."
    return f"N{nothing_found(report)[1:]}."


def nothing_found(report: Report, new: str = "") -> str:
    """Say that there is no fault, no ``new`` one, no certain one, or none in what could be read and judged."""
    if not report.files and not report.findings:
        return "nothing was read, so nothing was judged"
    kinds = {finding.kind for finding in report.findings}
    bounds = ["read"] * bool(report.troubles) + ["judged"] * ("open" in kinds)
    sure = "certain " * ("review" in kinds)
    return f"no {sure}{new}fault found" + (f" in what could be {' and '.join(bounds)}" if bounds else "")


def _summary(report: Report, together: list[Led], page: Page) -> str:
    kinds = Counter(finding.kind for finding in report.findings)
    read = count(len(report.files), "file") + (f", {count(report.jobs, 'job')} judged" if report.jobs else "")
    permitted = sum(finding.permit is not None for finding in report.findings)
    passed = [notice for notice in report.notices if notice.counted]
    rows = [
        ("faults", _by_level(together)),
        ("borderline", count(len(_of(together, "review")), "check")),
        ("accepted", count(permitted, "fault") + " by permit"),
        ("known", count(len(_known(report)), "fault") + " known before, not counted"),
        ("gone", count(len(report.absent), "fault") + " known before and no longer there"),
        ("not judged", count(kinds["open"], "check")),
        ("passed", count(kinds["pass"], "check")),
        ("not asked", count(kinds["notApplicable"], "check") + " did not apply"),
        ("read", read),
        ("not read", count(len(report.troubles), "file")),
        ("passed over", ", ".join(count(len(each.files), each.counted) for each in passed) or "0 files"),
    ]
    always = {"faults", "read"}
    shown = [(label, text) for label, text in rows if label in always or not text.startswith("0 ")]
    lines = [line for label, text in shown for line in page.wrapped(text, label.ljust(12))]
    return page.block("Summary", lines, apart=False)


def _by_level(together: list[Led]) -> str:
    faults = _of(together, "fail")
    named = counted_levels(each.level for each in faults)
    return (named or "none found") + more_follow(sum(len(each.faults) for each in faults))


def counted_levels(levels: Iterable[Level]) -> str:
    """Count faults by level, the gravest first; empty where there are none."""
    found = Counter(levels)
    named = [count(found[level], level) for level in LEVELS[:-1] if found[level]]
    return ", ".join(named + [f"{found['none']} ungraded"] * bool(found["none"]))


def short_log(report: Report, *, most: int = 10) -> str:
    """Tell on the console what a report that went into a file holds: the gravest faults, and the counts."""
    page = Page(200, False, {})
    together = told_apart(report.findings)
    faults = sorted(_of(together, "fail"), key=gravity)
    lines = [short_line(each, page) for each in faults[:most]]
    lines += [f"{count(len(faults) - most, 'more fault')} in the report"] * (len(faults) > most)
    unjudged = sum(one.kind == "open" for one in report.findings)
    told = [f"faults: {_by_level(together)}", count(unjudged, "check") + " not judged" if unjudged else ""]
    told += [count(len(report.troubles), "file") + " not read" if report.troubles else ""]
    return "\n".join([*lines, "; ".join(filter(None, told))]) + "\n"
