"""The report for people: GNU message lines that editors jump to, and under each one the reasons."""

from __future__ import annotations

import re
import textwrap
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from filmcheck.records.finding import BELONGS, LEVELS, Finding, Kind, Notice, Report, Trouble
from filmcheck.records.place import Place

STANDING_LINE = (
    "The numbers are estimates from what the sheets say. The instructions of the press, tooling and "
    "material makers and the local codes come first."
)
"""Printed under every report, a clean one too: nobody may read a report as a clearance."""

_INDENT = 4
_LABEL = 9
_NARROWEST = 40
_NAMED = 5
"""Files that a notice names; the others are counted."""
_SPACES = "\N{NO-BREAK SPACE}\N{THIN SPACE}\N{NARROW NO-BREAK SPACE}"
_WITHOUT_SPACES = dict.fromkeys(map(ord, _SPACES))
_COLOURS = {
    "error": "1;31",
    "warning": "33",
    "note": "36",
    "borderline": "35",
    "cannot tell": "34",
    "quiet": "2",
    "heading": "1",
}


@dataclass(frozen=True, slots=True)
class _Page:
    """How to set the text, and what the rules say for themselves."""

    width: int
    colour: bool
    cautions: dict[str, str]

    def paint(self, text: str, tone: str) -> str:
        code = _COLOURS.get(tone)
        return f"\x1b[{code}m{text}\x1b[0m" if self.colour and code else text


@dataclass(frozen=True, slots=True)
class _Want:
    """One datum that is not there, and every finding that waits for it."""

    text: str
    findings: tuple[Finding, ...]


def text_report(report: Report, *, show_passes: bool = False, colour: bool = False, width: int = 80) -> str:
    """Set ``report`` as text that ends with a line end.

    The line with place and message is never broken (GNU message form); what is indented under it is wrapped
    at ``width`` columns, 40 at the least. ``show_passes`` adds what was checked and passed and what did not
    apply. ``colour`` adds ANSI colours and changes no letter.
    """
    page = _Page(
        max(width, _NARROWEST),
        colour,
        {rule.id: rule.caution for rule in report.rules},
    )
    found = sorted(report.findings, key=_by_place)
    blocks = [
        _messages("Faults", [finding for finding in _of(found, "fail") if finding.counts], page),
        _messages("Borderline: a fault at one end of what is given", _unsettled(found), page),
        _accepted([finding for finding in found if finding.permit is not None], page),
        _listing("Known before, not counted", [f for f in found if _is_known(f)], page, told=True),
        _listing("Known before, no longer there", list(report.absent), page, told=True),
        _wants(_wanted(_of(found, "open")), page),
        _troubles(report.troubles, page),
        _notices(report.notices, page),
    ]
    if show_passes:
        blocks.append(_listing("Checked and passed", _of(found, "pass"), page))
        blocks.append(_listing("Did not apply", _of(found, "notApplicable"), page))
    blocks += [_clean(report), _summary(report, page), "\n".join(_wrapped(STANDING_LINE, "", page))]
    blocks[-1] += "\n"  # here, not on the whole, which may be large
    return "\n\n".join(block for block in blocks if block)


def _of(findings: Iterable[Finding], kind: Kind) -> list[Finding]:
    return [finding for finding in findings if finding.kind == kind]


def _by_place(finding: Finding) -> tuple[Place, int, str, str, str]:
    return finding.place, LEVELS.index(finding.level), finding.rule, finding.address, finding.says


def _unsettled(findings: list[Finding]) -> list[Finding]:
    return [finding for finding in _of(findings, "review") if finding.permit is None]


def _is_known(finding: Finding) -> bool:
    return finding.kind == "fail" and finding.permit is None and not finding.counts


# --- blocks


def _messages(heading: str, findings: list[Finding], page: _Page) -> str:
    return _block(heading, ["\n".join(_message(finding, page)) for finding in findings], page)


def _wants(wants: list[_Want], page: _Page) -> str:
    return _block("Could not be judged", ["\n".join(_want(want, page)) for want in wants], page)


def _troubles(troubles: Iterable[Trouble], page: _Page) -> str:
    lines = sorted(f"{_one_line(trouble.file)}: {_one_line(trouble.text)}" for trouble in troubles)
    return _block("Not read", ["\n".join(lines)] if lines else [], page)


def _notices(notices: Iterable[Notice], page: _Page) -> str:
    lines: list[str] = []
    for notice in notices:
        named = [*notice.files[:_NAMED], *[f"{len(notice.files) - _NAMED} more"] * (len(notice.files) > _NAMED)]
        told = notice.text + (f": {', '.join(named)}" if named else "")
        lines += textwrap.wrap(_one_line(told), page.width, subsequent_indent=" " * _INDENT, break_on_hyphens=False)
    return _block("Notices", ["\n".join(lines)] if lines else [], page)


def _accepted(findings: list[Finding], page: _Page) -> str:
    """Show what was accepted with who answers for it: a permit is a decision, and decisions have names."""
    parts = []
    for finding in findings:
        permit = finding.permit
        if permit is None:
            continue
        word = "concession" if permit.granted_after else "permit"
        end = f", until {permit.until}" if permit.until else ", without end"
        told = f"by {permit.approved_by}{end}: {permit.reason or 'no reason given'}"
        head = _head(finding.place, "accepted", finding.says, page) + _tag(finding.rule, page)
        parts.append("\n".join([head, *_labelled(word, [told], page), *_labelled("caution", [permit.caution], page)]))
    return _block("Accepted by permit", parts, page)


def _listing(heading: str, findings: list[Finding], page: _Page, *, told: bool = False) -> str:
    """One line a finding: the rules that had nothing to say are many and each needs little room."""
    lines = []
    for finding in findings:
        # Of a pass not what the rule says: its sentence tells of the fault, which is not there.
        rest = [finding.rule, finding.says if told else "; ".join(finding.arithmetic)]
        lines.append(": ".join(filter(None, map(_one_line, [str(finding.place), *rest]))))
    return _block(heading, ["\n".join(lines)] if lines else [], page)


def _block(heading: str, parts: list[str], page: _Page) -> str:
    if not parts:
        return ""
    return f"{page.paint(heading, 'heading')}\n{'-' * len(heading)}\n" + "\n\n".join(parts)


# --- one message


def _message(finding: Finding, page: _Page) -> list[str]:
    # A fault may be given level "none" (SARIF 2.1.0 §3.27.10); it is then a fault that nobody has graded.
    word = "borderline" if finding.kind == "review" else finding.level.replace("none", "ungraded")
    caution = finding.caution or page.cautions.get(finding.rule, "")
    return [
        _head(finding.place, word, finding.says, page) + _tag(finding.rule, page),
        *_labelled("sum", finding.arithmetic, page),
        *_labelled("from", [_sources(finding)], page),
        *_labelled("do", [finding.instead], page),
        *_labelled("why", [finding.because], page),
        *_labelled("basis", [finding.basis], page),
        *_labelled("caution", [caution], page),
    ]


def _sources(finding: Finding) -> str:
    """Name the data behind a finding in one run of text: by line on its own sheet, by file elsewhere."""
    told = []
    for related in finding.related:
        place = related.place
        own = place.file == finding.place.file
        told.append(f"line {place.span.line} {related.text}" if own else f"{related.text} ({place})")
    return "; ".join(told)


def _head(place: Place, word: str, text: str, page: _Page) -> str:
    return f"{_one_line(str(place))}: {page.paint(word, word)}: {_one_line(text)}"


def _tag(rule: str, page: _Page) -> str:
    return "  " + page.paint(f"[{_one_line(rule)}]", "quiet")


def _labelled(label: str, texts: Iterable[str], page: _Page) -> list[str]:
    """Give each text under the label, wrapped with a hanging indent; the label stands before the first."""
    lines: list[str] = []
    for text in filter(None, map(_one_line, texts)):
        lines += _wrapped(text, " " * _INDENT + ("" if lines else f"{label} ").ljust(_LABEL), page)
    if lines:
        lines[0] = lines[0].replace(label, page.paint(label, "quiet"), 1)
    return lines


def _wrapped(text: str, first: str, page: _Page) -> tuple[str, ...]:
    return _lines(text, first, page.width)


@lru_cache(maxsize=1024)
def _lines(text: str, first: str, width: int) -> tuple[str, ...]:
    """Wrap a text; what a rule says for itself comes again with each of its findings."""
    # Hyphens are kept whole: a rule's name broken over two lines cannot be searched for.
    lines = textwrap.wrap(
        text,
        width,
        initial_indent=first,
        subsequent_indent=" " * len(first),
        break_long_words=False,
        break_on_hyphens=False,
    )
    return tuple(lines)


def _one_line(text: str) -> str:
    """Put text on one line and make control characters harmless: what a sheet says goes to a terminal."""
    flat = re.sub(r"[ \t\r\n]+", " ", text).strip()
    if flat.translate(_WITHOUT_SPACES).isprintable():
        return flat
    return "".join(c if c.isprintable() or c in _SPACES else "\N{REPLACEMENT CHARACTER}" for c in flat)


# --- what could not be judged


def _wanted(findings: list[Finding]) -> list[_Want]:
    """Gather findings of kind ``open`` by the datum that they wait for, within a file and a job."""
    groups: dict[tuple[str, str, str], list[Finding]] = {}
    for finding in findings:
        for text in finding.missing or (finding.says,):
            groups.setdefault((finding.place.file, finding.job, _one_line(text)), []).append(finding)
    wants = [_Want(text, tuple(waiting)) for (_, _, text), waiting in groups.items()]
    return sorted(wants, key=lambda want: (want.findings[0].place, want.text))


def _want(want: _Want, page: _Page) -> list[str]:
    place = want.findings[0].place
    others = sorted({finding.place.span for finding in want.findings} - {place.span})
    related = {f"{each.place}: {each.text}" for finding in want.findings for each in finding.related}
    rules = sorted({finding.rule for finding in want.findings})
    cautions = {f.caution or page.cautions.get(f.rule, "") for f in want.findings}
    return [
        _head(place, "cannot tell", want.text.removesuffix(f"{BELONGS}{place})"), page),
        *_labelled("rules", [", ".join(rules)], page),
        *_labelled("also at", [", ".join(f"{span.line}:{span.column}" for span in others)], page),
        *_labelled("see", sorted(related), page),
        *_labelled("caution", sorted(cautions), page),
    ]


# --- the end of the report


def _clean(report: Report) -> str:
    """Say plainly that nothing is wrong, and of how much that can be said."""
    kinds = {finding.kind for finding in report.findings}
    if any(finding.counts for finding in report.findings):
        return ""
    if "fail" in kinds:
        return "No fault found beyond those that are accepted or known."
    if not report.files and not report.findings:
        return "Nothing was read, so nothing was judged."
    bounds = ["read"] * bool(report.troubles) + ["judged"] * ("open" in kinds)
    sure = "No certain fault" if "review" in kinds else "No fault"
    return f"{sure} found" + (f" in what could be {' and '.join(bounds)}" if bounds else "") + "."


def _summary(report: Report, page: _Page) -> str:
    kinds = Counter(finding.kind for finding in report.findings)
    read = _count(len(report.files), "file") + (f", {_count(report.jobs, 'job')} judged" if report.jobs else "")
    permitted = sum(finding.permit is not None for finding in report.findings)
    passed = [notice for notice in report.notices if notice.counted]
    rows = [
        ("faults", _by_level(report)),
        ("borderline", _count(len(_unsettled(list(report.findings))), "check")),
        ("accepted", _count(permitted, "fault") + " by permit"),
        ("known", _count(sum(map(_is_known, report.findings)), "fault") + " known before, not counted"),
        ("gone", _count(len(report.absent), "fault") + " known before and no longer there"),
        ("not judged", _lacks(report)),
        ("passed", _count(kinds["pass"], "check")),
        ("not asked", _count(kinds["notApplicable"], "check") + " did not apply"),
        ("read", read),
        ("not read", _count(len(report.troubles), "file")),
        ("passed over", ", ".join(_count(len(each.files), each.counted) for each in passed) or "0 files"),
    ]
    always = {"faults", "read"}
    shown = [(label, text) for label, text in rows if label in always or not text.startswith("0 ")]
    lines = [line for label, text in shown for line in _wrapped(text, label.ljust(12), page)]
    return _block("Summary", ["\n".join(lines)], page)


def _by_level(report: Report) -> str:
    levels = Counter(finding.level for finding in report.findings if finding.counts)
    named = [_count(levels[level], level) for level in LEVELS[:-1] if levels[level]]
    return ", ".join(named + [f"{levels['none']} ungraded"] * bool(levels["none"])) or "none found"


def _lacks(report: Report) -> str:
    """Count what could not be judged, and name the data wanted most, three at the most."""
    unjudged = _of(report.findings, "open")
    wanted = Counter(_one_line(text).partition(BELONGS)[0] for finding in unjudged for text in finding.missing)
    ranked = sorted(wanted, key=lambda text: (-wanted[text], text))
    named = [f"{text} ({wanted[text]})" for text in ranked[:3]] + [f"{len(ranked) - 3} more"] * (len(ranked) > 3)
    return _count(len(unjudged), "check") + (f", for want of: {'; '.join(named)}" if named else "")


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
