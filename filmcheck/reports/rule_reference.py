"""Rules as Markdown: the reference of many with a table of contents, and the section of one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from filmcheck.records.rule_entry import FigureEntry, RuleEntry
from filmcheck.reports.rule_pages import families, figure_rest, judged_words, level_words, limit_words, own_basis

_SPECIAL = re.compile(r"([\\`*_\[\]<>#|])")

INTRODUCTION = """\
What every rule asks, why, and what to do. Each rule is told from the conditions by which it is judged, so that this
page cannot say anything else than the rules do. A figure that is not known makes a rule *cannot tell*, never *passed*.
Text in ‹angle quotes› is filled with the numbers of the job. Limits are the shipped ones; a plant may set its own.
"""


def rule_reference(rules: Iterable[RuleEntry]) -> str:
    """Write the reference of rules: contents by family, then a section for each."""
    listed = list(rules)
    lines = ["# Rules", "", INTRODUCTION, f"{len(listed)} rules.", "", "## Contents", ""]
    for family, own in families(listed):
        lines += [f"- [{escaped(family)}](#{anchor(family)})"]
        lines += [f"  - [{rule.text.id}](#{anchor(rule.text.id)}): {escaped(rule.text.title)}" for rule in own]
    for family, own in families(listed):
        lines += ["", f"## {escaped(family)}", ""]
        lines.append("\n\n".join(rule_section(rule).rstrip("\n") for rule in own))
    return "\n".join(lines) + "\n"


def rule_section(rule: RuleEntry) -> str:
    """Write the section of one rule."""
    text = rule.text
    lines = [f"### {text.id}", "", f"**{escaped(text.title)}**", ""]
    lines.append(f"Level: {level_words(rule)}. Judged {judged_words(rule)}. Pack: `{rule.pack}`.")
    lines += _clauses("Applies where", rule.applies)
    lines += _clauses("Requires that", rule.requires)
    lines += _clauses("Only warns where", rule.only_warns)
    lines += _paragraphs(
        ("Says", rule.says),
        ("Do", rule.instead),
        ("Why", text.because),
        ("Basis", own_basis(rule)),
        ("Caution", text.caution),
    )
    lines += _block("Limits", (escaped(limit_words(limit)) for limit in rule.limits))
    plain = [_figure(figure) for figure in rule.figures if not figure_rest(figure)]
    told = [_figure(figure) for figure in rule.figures if figure_rest(figure)]
    lines += _block("Figures", [*told, *([", ".join(plain)] if plain else [])])
    lines += _line("Rests on", (f"{document}: {_codes(fields)}" for document, fields in rule.needs))
    lines += _line("Proved", _proved(rule))
    return "\n".join(lines) + "\n"


def escaped(text: str) -> str:
    """Write a text so that Markdown shows it as it is."""
    return _SPECIAL.sub(r"\\\1", text)


def anchor(heading: str) -> str:
    """Give the link target that Markdown readers make of a heading: small letters, hyphens for spaces."""
    return re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-")


def _proved(rule: RuleEntry) -> Iterator[str]:
    for verdict in dict.fromkeys(verdict for verdict, _ in rule.cases):
        yield f"*{verdict}*: {escaped('; '.join(name for one, name in rule.cases if one == verdict))}"


def _line(label: str, items: Iterable[str]) -> list[str]:
    told = ". ".join(items)
    return ["", f"**{label}.** {told}."] if told else []


def _paragraphs(*facts: tuple[str, str]) -> Iterator[str]:
    for label, text in facts:
        if text:
            yield from ("", f"**{label}.** {escaped(text)}")


def _clauses(label: str, clauses: tuple[str, ...]) -> list[str]:
    if len(clauses) == 1:
        return ["", f"**{label}** {escaped(clauses[0])}."]
    return _block(label, (escaped(clause) for clause in clauses), mark="")


def _block(label: str, items: Iterable[str], mark: str = ".") -> list[str]:
    listed = list(items)
    if len(listed) == 1:
        return ["", f"**{label}{mark}** {listed[0]}"]
    return ["", f"**{label}{mark}**", "", *(f"- {item}" for item in listed)] if listed else []


def _figure(figure: FigureEntry) -> str:
    rest = figure_rest(figure)
    return f"{escaped(figure.called)} (`{figure.name}`){f': {escaped(rest)}' if rest else ''}"


def _codes(fields: str) -> str:
    return ", ".join(
        f"`{field}`" if "." in field or "_" in field or ":" in field else field for field in fields.split(", ")
    )
