"""Rules as a reader sees them: a table of all, and a page of one."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from filmcheck.finding import RuleText

WIDTH = 80


def rule_table(rules: Iterable[RuleText]) -> str:
    """List rules by family, each with its level, the stage from which it is owed, and its title."""
    listed = list(rules)
    lines: list[str] = []
    for family in dict.fromkeys(rule.family for rule in listed):
        lines += ["", family, "-" * len(family)]
        own = [rule for rule in listed if rule.family == family]
        widest = max(len(rule.id) for rule in own)
        lines += [f"{rule.id:<{widest}}  {rule.level:<7}  {rule.from_stage:<9}  {rule.title}" for rule in own]
    lines += ["", f"{len(listed)} rules"]
    return "\n".join(lines[1:]) + "\n"


def rule_page(rule: RuleText, place: str, cases: Sequence[tuple[str, str]]) -> str:
    """Write the page of one rule."""
    head = [rule.id, "=" * len(rule.id), rule.title, ""]
    facts = [
        ("family", rule.family),
        ("level", f"{rule.level}, owed from stage {rule.from_stage}"),
        ("why", rule.because),
        ("do", rule.instead),
        ("basis", rule.basis),
        ("caution", rule.caution),
        ("stands in", place),
    ]
    lines = [line for label, text in facts if text for line in _fact(label, text)]
    proof = ["", "Proof", "-----", *[f"{verdict:<15} {name}" for name, verdict in cases]] if cases else []
    return "\n".join([*head, *lines, *proof]) + "\n"


def _fact(label: str, text: str) -> list[str]:
    return textwrap.wrap(f"{label:<10} {text}", WIDTH, subsequent_indent=" " * 11, break_on_hyphens=False)
