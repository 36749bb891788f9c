"""Reads the texts of rules, their fields and what may be left out; and writes them as they stand without a job."""

from __future__ import annotations

import re

from filmcheck.figures.plain_names import kind_words
from filmcheck.judging.expression import Expression, LimitName, Name
from filmcheck.judging.phrases import Telling, limit_value
from filmcheck.judging.template import BOUNDS, SPECIAL, Part, Template
from filmcheck.packs.arithmetic import UNNAMED, AtHand, read_as_written
from filmcheck.packs.names import NameFaultError, a_sort
from filmcheck.units.quantity import DIMENSIONS, UnitFault, parse_quantity

_FIELD = re.compile(r"\{([^{}]*)\}")
_OPTIONAL = re.compile(r"\[\[(.*?)\]\]", re.DOTALL)
_UNIT = re.compile(r"^(.*\S)\s+in\s+(\S.*)$")


def read_template(text: str, words: AtHand) -> Template:
    """Read a text with fields; raises NameFaultError for a field that is wrong."""
    if "{" in _FIELD.sub("", text) or "}" in _FIELD.sub("", text):
        raise NameFaultError(
            f"braces in '{text}' do not pair", "A figure stands in one pair, as in {web.speed in m/min}."
        )
    if "[[" in _OPTIONAL.sub("", text) or "]]" in _OPTIONAL.sub("", text):
        raise NameFaultError(f"double brackets are not closed in '{text}'")
    pieces = _OPTIONAL.split(text)  # every second piece stood in double brackets
    return tuple(
        part._replace(group=(index + 1) // 2 if index % 2 else 0)
        for index, piece in enumerate(pieces)
        for part in _parts(piece, words)
    )


def _parts(text: str, words: AtHand) -> list[Part]:
    parts: list[Part] = []
    at = 0
    for match in _FIELD.finditer(text):
        parts.append(Part(text[at : match.start()]))
        parts.append(_field(match[1].strip(), words))
        at = match.end()
    return [*parts, Part(text[at:])]


def _field(field: str, words: AtHand) -> Part:
    if field in SPECIAL:
        if field == "it" and not words.kinds:
            raise NameFaultError(
                "{it} names the thing at hand, and there is none here", "It needs for_each in the rule."
            )
        return Part("", None, "", field)
    field, bound = _bound(field)
    unit = ""
    found = _UNIT.match(field)
    if found:
        field, unit = found[1], found[2]
    if bound and not unit:
        raise NameFaultError(f"{bound} needs a unit before it", f"Such as {{{field} in N, {bound}}}.")
    if not field:
        raise NameFaultError("there is nothing between the braces")
    expression = read_as_written(field, words)
    if unit:
        _check_unit(expression, unit)
    elif expression.sort.name == UNNAMED:
        raise NameFaultError(f"{field} comes to a dimension that has no name, so it cannot be shown")
    return Part("", expression, unit, bound=bound)


def _bound(field: str) -> tuple[str, str]:
    before, comma, last = field.rpartition(",")
    bound = last.strip()
    return (before.strip(), bound) if comma and bound in BOUNDS else (field, "")


def _check_unit(expression: Expression, unit: str) -> None:
    sort = expression.sort
    if not sort.is_amount or sort.name not in DIMENSIONS or sort.name == "count":
        raise NameFaultError(f"{a_sort(sort)} has no unit {unit}")
    read = parse_quantity(f"1 {unit}", (sort.name,))
    if isinstance(read, UnitFault):
        hint = f"Known: {', '.join(DIMENSIONS[sort.name].units)}."
        raise NameFaultError(f"{unit} is no unit of {sort.name}", hint)


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
