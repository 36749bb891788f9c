"""The dictionary of the rule language as text for the terminal and as a page."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from filmcheck.records.rule_entry import SORTS, WordEntry
from filmcheck.reports.page_lines import WIDTH

_HEADS = {
    "figure": "Figures",
    "kind": "Kinds of things",
    "place": "Places",
    "test": "Tests",
    "condition": "Words of conditions",
    "function": "Functions",
    "key": "Keys of a pack",
}
MOST_RULES = 4


def word_table(entries: Iterable[WordEntry]) -> str:
    """List words for people: what each is and means, an example, and where it is used."""
    lines: list[str] = []
    for entry in entries:
        kind = ", ".join((entry.sort, *entry.dimensions)) if entry.dimensions else entry.sort
        lines.append(f"{entry.name}  ({kind})")
        lines += _indented(entry.meaning)
        if entry.words:
            lines += _indented(f"one of: {', '.join(entry.words)}")
        if entry.example:
            lines += _indented(f"such as: {entry.example}")
        if entry.used_by:
            more = f" and {len(entry.used_by) - MOST_RULES} more" if len(entry.used_by) > MOST_RULES else ""
            lines += _indented(f"used by: {', '.join(entry.used_by[:MOST_RULES])}{more}")
    return "\n".join(lines) + "\n" if lines else ""


def _indented(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH - 4, initial_indent="    ", subsequent_indent="    ") if text else []


def word_page(entries: Iterable[WordEntry]) -> str:
    """Write the dictionary as a page of Markdown, one table a sort."""
    listed = tuple(entries)
    lines = [
        "# The words of rules",
        "",
        "Made by `filmcheck rules words --format markdown`; search: `filmcheck rules words TEXT`.",
        "The whole way may be written too: `job.web.width` for `web.width`, `stock.liner.caliper` for `liner.caliper`.",
        "",
    ]
    for sort in SORTS:
        own = [entry for entry in listed if entry.sort == sort]
        if own:
            lines += [f"## {_HEADS[sort]}", "", "| word | is | means | such as |", "|---|---|---|---|"]
            lines += [_row(entry) for entry in own] + [""]
    return "\n".join(lines[:-1]) + "\n"


def _row(entry: WordEntry) -> str:
    kind = " or ".join(entry.dimensions) or entry.sort
    meaning = f"{entry.meaning} One of: {', '.join(entry.words)}." if entry.words else entry.meaning
    example = f"`{entry.example}`" if entry.example else ""
    return f"| `{entry.name}` | {kind} | {_plain(meaning)} | {example.replace('|', '&#124;')} |"


def _plain(text: str) -> str:
    return text.replace("|", "&#124;").replace("<", "&lt;").replace(">", "&gt;")
