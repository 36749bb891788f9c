"""Texts of rules with figures in braces: ``{unwind.line_tension}``, ``{limit.x * web.width in N}``.

``{… in N, at most}`` rounds down and ``at least`` rounds up, so that who sets what is advised is inside the limit.
What stands in double brackets, ``[[ … ]]``, is left out where one of its figures is not known.
"""

from __future__ import annotations

from typing import NamedTuple

from filmcheck.judging.context import Context
from filmcheck.judging.expression import Expression
from filmcheck.judging.wording import Units
from filmcheck.records.value import Missing

SPECIAL = ("it", "reason")
"""Fields that are no figures: the thing at hand, and the evaluator's own words for the verdict."""


BOUNDS = ("at most", "at least")
"""Words behind a unit that say which way to round."""


class Part(NamedTuple):
    """A piece of text, or a field to fill. Parts with a ``group`` stand together, and only where all are known."""

    text: str
    expression: Expression | None = None
    unit: str = ""
    special: str = ""
    group: int = 0
    bound: str = ""


Template = tuple[Part, ...]


def fill(template: Template, context: Context, units: Units, reason: str = "") -> str:
    """Fill the fields on a job."""
    texts = []
    unknown = {part.group for part in template if part.group and _unknown(part, context)}
    for part in template:
        if part.group in unknown:
            continue
        if part.special == "it":
            texts.append(context.item.label if context.item else "")
        elif part.special == "reason":
            texts.append(reason)
        elif part.expression is not None:
            texts.append(part.expression.filled(context, units, part.unit, part.bound))
        else:
            texts.append(part.text)
    return "".join(texts)


def fields(template: Template) -> tuple[Expression, ...]:
    """Give the expressions of a text."""
    return tuple(part.expression for part in template if part.expression is not None)


def complete(template: Template, context: Context) -> bool:
    """Whether every field that must be filled can be on this job."""
    return not any(_unknown(part, context) for part in template if not part.group)


def _unknown(part: Part, context: Context) -> bool:
    return part.expression is not None and isinstance(part.expression.work(context), Missing)
