"""Texts of rules without a job: each field as what it will hold, ‹line tension of the unwind› or ‹number› N."""

from __future__ import annotations

from filmcheck.figures.plain_names import kind_words
from filmcheck.judging.expression import LimitName, Name
from filmcheck.judging.phrases import Telling, limit_value
from filmcheck.judging.template import Part, Template


def template_words(template: Template, telling: Telling) -> str:
    """Write a text of a rule. Of optional pieces that follow each other only one is shown on a job, so they are or."""
    texts: list[str] = []
    before = 0
    for part in template:
        text = _part(part, telling)
        if text:
            texts.append(f" or {text.lstrip()}" if part.group and before and part.group != before else text)
            before = part.group
    return " ".join("".join(texts).split())


def _part(part: Part, telling: Telling) -> str:
    if part.special == "it":
        return f"‹{kind_words(telling.kind).partition(' (')[0]}›"
    if part.special == "reason":
        return "‹which of the demands is not met›"
    expression = part.expression
    if expression is None:
        return part.text
    if isinstance(expression, LimitName) and not part.unit:
        known = telling.limits.get(expression.name)
        return limit_value(known) if known else f"‹limit {expression.name.replace('_', ' ')}›"
    if isinstance(expression, Name):
        return f"‹{expression.describe(telling).removeprefix('the ')}›"
    return f"‹number› {part.unit}" if part.unit else "‹number›"
