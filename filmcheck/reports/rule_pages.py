"""Rules as a reader sees them at the terminal: a table of many, and a page of one."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator

from filmcheck.records.finding import LEVELS
from filmcheck.records.rule_entry import FigureEntry, LimitEntry, RuleEntry
from filmcheck.reports.page_lines import WIDTH, wrapped

_LABEL = 10


def rule_table(rules: Iterable[RuleEntry]) -> str:
    """List rules by family, each with its level, the stage from which it is owed, and its title; then count them."""
    listed = list(rules)
    lines: list[str] = []
    for family, own in families(listed):
        lines += ["", family, "-" * len(family)]
        widest = max(len(rule.text.id) for rule in own)
        lines += [_row(rule, widest) for rule in own]
    return "\n".join([*lines[1:], *[""] * bool(lines), *_counts(listed)]) + "\n"


def _row(rule: RuleEntry, widest: int) -> str:
    safety = "  (safety)" if rule.safety else ""
    return f"{rule.text.id:<{widest}}  {rule.text.level:<7}  {rule.text.from_stage:<9}  {rule.text.title}{safety}"


def _counts(rules: list[RuleEntry]) -> list[str]:
    levels = Counter(rule.text.level for rule in rules)
    stages = Counter(rule.text.from_stage for rule in rules)
    told = [
        ("", ", ".join(f"{levels[level]} {level}" for level in LEVELS if levels[level])),
        ("from stage ", ", ".join(f"{stage} {stages[stage]}" for stage in stages)),
        ("for safety ", str(sum(rule.safety for rule in rules))),
    ]
    head = f"{len(rules)} rule{'' if len(rules) == 1 else 's'}"
    return [f"{head}: {'; '.join(label + text for label, text in told if text)}" if rules else f"{head}"]


def families(rules: Iterable[RuleEntry]) -> Iterator[tuple[str, list[RuleEntry]]]:
    """Give the rules of each family, in the order in which the families come."""
    listed = list(rules)
    for family in dict.fromkeys(rule.text.family for rule in listed):
        yield family, [rule for rule in listed if rule.text.family == family]


def rule_pages(rules: Iterable[RuleEntry]) -> str:
    """Write the pages of rules, one below the other."""
    return "\n\n".join(rule_page(rule) for rule in rules)


def rule_page(rule: RuleEntry) -> str:
    """Write the page of one rule."""
    text = rule.text
    head = [text.id, "=" * len(text.id), *textwrap.wrap(text.title, WIDTH), ""]
    facts: list[tuple[str, Iterable[str]]] = [
        ("family", [text.family]),
        ("level", [level_words(rule)]),
        ("judged", [judged_words(rule)]),
        ("applies", _joined("where ", rule.applies)),
        ("requires", _joined("", rule.requires)),
        ("warns", _joined("only, where ", rule.only_warns)),
        ("says", [rule.says]),
        ("do", [rule.instead]),
        ("why", [text.because]),
        ("basis", [own_basis(rule)]),
        ("caution", [text.caution]),
        ("limits", [limit_words(limit) for limit in rule.limits]),
        ("figures", [figure_words(figure) for figure in rule.figures]),
        ("rests on", [f"{document}: {fields}" for document, fields in rule.needs]),
        ("proved by", [f"{verdict}: {name}" for verdict, name in rule.cases]),
        ("stands in", [f"{rule.pack}:{rule.line}"]),
    ]
    return "\n".join([*head, *(line for label, texts in facts for line in _fact(label, texts))]) + "\n"


def level_words(rule: RuleEntry) -> str:
    """Say how grave a rule is and from when its data are owed."""
    safety = "; for safety: it can hurt someone" if rule.safety else ""
    return f"{rule.text.level}; its data are owed from stage {rule.text.from_stage} on{safety}"


def judged_words(rule: RuleEntry) -> str:
    """Say what a rule is judged on."""
    if rule.found_by:
        return f"by the {rule.found_by}, not by a condition"
    return f"for each {rule.for_each}, one finding each" if rule.for_each else "once for each job"


def own_basis(rule: RuleEntry) -> str:
    """Give the basis of a rule, where it is not just that of its limits, which are told anyway."""
    told = "; ".join(dict.fromkeys(limit.basis for limit in rule.limits))
    own = rule.text.basis
    return "" if own == told else own[:1].upper() + own[1:]


def limit_words(limit: LimitEntry) -> str:
    """Write a limit in one sentence with its basis."""
    meaning = f" {limit.meaning}" if limit.meaning else ""
    return f"{limit.name}: {limit.value} ({limit.basis}).{meaning}"


def figure_words(figure: FigureEntry) -> str:
    """Write a figure with its name in packs, its meaning and its formula."""
    rest = figure_rest(figure)
    return f"{figure.called} ({figure.name}){f': {rest}' if rest else ''}"


def figure_rest(figure: FigureEntry) -> str:
    """Say what a figure means and how it is worked out, as far as its name does not say so."""
    return " ".join(filter(None, (figure.meaning, f"Formula: {figure.formula}." if figure.formula else "")))


def _joined(before: str, clauses: tuple[str, ...]) -> list[str]:
    return [f"{before if index == 0 else 'and '}{clause}" for index, clause in enumerate(clauses)]


def _fact(label: str, texts: Iterable[str]) -> list[str]:
    lines: list[str] = []
    for text in filter(None, texts):
        lines += wrapped(text, f"{'' if lines else label:<{_LABEL}} ")
    return lines
