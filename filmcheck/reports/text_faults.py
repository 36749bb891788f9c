"""How one fault is told in the report for people: its line, what to do, why, and what follows from it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Literal

from filmcheck.records.finding import Finding
from filmcheck.reports.led import Led, gravity
from filmcheck.reports.page_lines import Page, headline, listed, one_line, that_follow

Depth = Literal["short", "usual", "full"]
"""One line a finding; with what to do and why; with sums, places and basis."""

MOST_TOLD = 26
"""Faults that the usual report tells with what to do; the others, none of them graver, have one line, as notes do."""
MOST_LIKE = 3
"""Lines that one rule has among those; the others are counted."""
SLIPS = (
    *("value-wrong", "key-unknown", "key-missing", "key-twice", "unit-missing", "unit-unknown", "dimension-wrong"),
    *("size-implausible", "name-unknown", "tension-as-pressure"),
)
"""Faults of what was typed, each mended in one step."""
MANY_SLIPS = 5
"""From so many in one file on they are told close together: where it stands, and what to write."""
MOST_NAMED = 5
"""Names that one line gives; the others are counted."""


def messages(heading: str, together: list[Led], page: Page, depth: Depth) -> str:
    """Tell of the faults: the gravest with what to do and why, the others in one line each."""
    if depth == "short":
        return page.block(heading, [short_line(each, page) for each in together], apart=False)
    if depth == "full":
        return page.block(heading, ["\n".join(_full(each, page)) for each in together])
    folded = _folded(together)
    graver = [each for each in folded if each[0].level not in ("note", "none")]
    in_depth = {id(each) for each in sorted(graver, key=lambda each: gravity(each[0]))[:MOST_TOLD]}
    parts = _parts([each for each in folded if id(each) in in_depth], page)
    left = [each for each in folded if id(each) not in in_depth]
    if left:
        head = [f"{len(left)} more in one line each (--full tells all):"] if parts else []
        parts.append("\n".join([*head, *_briefly(left, page)]))
    return page.block(heading, parts)


def _folded(together: list[Led]) -> list[list[Led]]:
    """Put together what is word for word the same of several jobs, for they take one datum from a register."""
    found: dict[tuple[object, ...], list[Led]] = {}
    for each in together:
        one = each.head
        key = (one.place, one.rule, one.address, each.level, one.says, one.instead, *_also(each))
        found.setdefault(key, []).append(each)
    return list(found.values())


def _parts(together: list[list[Led]], page: Page) -> list[str]:
    """Tell of each fault, and of many slips in one file close together."""
    told: set[str] = set()
    slips = Counter(each[0].head.place.file for each in together if each[0].head.rule in SLIPS)
    parts: list[str] = []
    before = ""
    for each in together:
        file = each[0].head.place.file
        close = each[0].head.rule in SLIPS and slips[file] >= MANY_SLIPS
        lines = "\n".join(_closely(each[0], page) if close else _usual(each, page, told))
        if close and before == file:
            parts[-1] += f"\n{lines}"
        else:
            parts.append(lines)
        before = file if close else ""
    return parts


def _closely(each: Led, page: Page) -> list[str]:
    """Tell of a slip where it stands and what to write; what only waits for it is counted at the end of the report."""
    one = each.head
    return [
        page.head(one.place, _word(each), headline(one.says), one.rule),
        *page.labelled("do", [one.instead]),
        *(page.labelled("also", _also(each)) if each.faults else []),
        *page.labelled("caution", _cautions(each, page)),
    ]


def _briefly(left: list[list[Led]], page: Page) -> Iterator[str]:
    """Give one line a finding, and of a rule that many jobs meet only some: a changed register may concern them all."""
    found: dict[str, list[list[Led]]] = {}
    for same in left:
        like = found.setdefault(same[0].head.rule, [])
        like.append(same)
        if len(like) <= MOST_LIKE:
            yield short_line(same[0], page, _jobs(same, page))
    for rule, like in found.items():
        more = [each.head for same in like[MOST_LIKE:] for each in same]
        if more:
            jobs = dict.fromkeys(one.job for one in more if one.job)
            on = f" on {listed(jobs, MOST_NAMED)}" if jobs else ""
            yield f"{len(more)} more of {rule}{on}; --short has a line for each"


def short_line(each: Led, page: Page, jobs: Iterable[str] | None = None) -> str:
    """Tell of a fault in one line, with the jobs that it was found on where it stands on no sheet."""
    one = each.head
    named = list(_jobs([each], page) if jobs is None else jobs)
    on = f" ({listed(named, MOST_NAMED)})" if named else ""
    return page.head(one.place, _word(each), headline(one.says) + that_follow(len(each.follows)) + on, one.rule)


def _jobs(same: list[Led], page: Page) -> list[str]:
    """Name the jobs on which something was found that stands in a register: its line names none."""
    if not page.sheets or same[0].head.place.file in page.sheets:
        return []
    return list(dict.fromkeys(one_line(each.head.job) for each in same if each.head.job))


def _usual(same: list[Led], page: Page, told: set[str]) -> list[str]:
    """Tell what to do and why; why but once for each rule."""
    each = same[0]
    one = each.head
    jobs = _jobs(same, page)
    why = "" if one.rule in told else one.because
    told.add(one.rule)
    return [
        page.head(one.place, _word(each), headline(one.says), one.rule),
        *page.labelled("job" if len(jobs) == 1 else "jobs", [listed(jobs, MOST_NAMED)]),
        *page.labelled("do", [one.instead]),
        *page.one_labelled("why", why),
        *page.labelled("also", _also(each)),
        *page.labelled("caution", _cautions(each, page)),
    ]


def _full(each: Led, page: Page) -> list[str]:
    one = each.head
    lines = [page.head(one.place, _word(each), one.says, one.rule), *_reasons(one, page)]
    for follow in each.faults:
        lines += page.labelled("also", [f"{_where(follow, one)}{follow.level}: {follow.says}  [{follow.rule}]"])
        lines += [*page.labelled("sum", follow.arithmetic), *page.labelled("basis", [follow.basis])]
    lines += page.labelled("open", _waiting(each))
    return [*lines, *page.labelled("caution", _cautions(each, page))]


def _reasons(one: Finding, page: Page) -> list[str]:
    return [
        *page.labelled("job", _jobs([Led(one)], page)),
        *page.labelled("sum", one.arithmetic),
        *page.labelled("from", [_sources(one)]),
        *page.labelled("do", [one.instead]),
        *page.labelled("why", [one.because]),
        *page.labelled("basis", [one.basis]),
    ]


def _word(each: Led) -> str:
    # A fault may be given level "none" (SARIF 2.1.0 §3.27.10); it is then a fault that nobody has graded.
    return "borderline" if each.head.kind == "review" else each.level.replace("none", "ungraded")


def _where(follow: Finding, head: Finding) -> str:
    place = follow.place
    return f"line {place.span.line} " if place.file == head.place.file else f"{place} "


def _also(each: Led) -> list[str]:
    """Name what follows: rules with the things that they speak of, other jobs, and what waits for an answer."""
    named = Counter(f"{one.rule} ({one.thing})" if one.thing else one.rule for one in each.faults)
    texts = [text if times == 1 else f"{text} ({times} times)" for text, times in named.items()]
    others = dict.fromkeys(one.job for one in each.faults if one.job and one.job != each.head.job)
    told = [f"fails: {listed(texts, 2 * MOST_NAMED)}"] if texts else []
    told += [f"on jobs {listed(others, MOST_NAMED)}"] if others else []
    return ["; ".join([*told, *_waiting(each)])]


def _waiting(each: Led) -> list[str]:
    if not each.unsettled:
        return []
    rules = sorted({one.rule for one in each.unsettled})
    waiting = "check waits" if len(each.unsettled) == 1 else "checks wait"
    return [f"{len(each.unsettled)} {waiting} for it: {listed(rules, MOST_NAMED)}"]


def _cautions(each: Led, page: Page) -> list[str]:
    found = [one.caution or page.cautions.get(one.rule, "") for one in each.all if one.kind != "open"]
    return [text for text in dict.fromkeys(found) if text]


def _sources(finding: Finding) -> str:
    """Name the data behind a finding in one run of text: by line on its own sheet, by file elsewhere."""
    told = []
    for related in finding.related:
        place = related.place
        own = place.file == finding.place.file
        told.append(f"line {place.span.line} {related.text}" if own else f"{related.text} ({place})")
    return "; ".join(told)
