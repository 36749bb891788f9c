"""Conditions and expressions in one line, for messages on a pack."""

from __future__ import annotations

from filmcheck.judging.conditions import (
    AllHold,
    Compared,
    Condition,
    EitherHolds,
    IsGiven,
    Near,
    OneOf,
    Opposite,
    Things,
)
from filmcheck.judging.expression import Binary, Call, Expression, LimitName, Literal, Name


def words(condition: Condition) -> str:
    """Write a condition in one line, for a message."""
    if isinstance(condition, Compared):
        return f"{expression_words(condition.left)} {condition.relation} {expression_words(condition.right)}"
    if isinstance(condition, OneOf):
        return f"{expression_words(condition.left)} one of {', '.join(map(expression_words, condition.choices))}"
    if isinstance(condition, Near):
        return f"{expression_words(condition.left)} near {expression_words(condition.right)}"
    if isinstance(condition, IsGiven):
        return f"{expression_words(condition.left)} {'given' if condition.wanted else 'not given'}"
    if isinstance(condition, Things):
        return f"{condition.quantity} {condition.kind}"
    if isinstance(condition, Opposite):
        return f"not ({words(condition.part)})"
    if isinstance(condition, (AllHold, EitherHolds)):
        joint = " and " if isinstance(condition, AllHold) else " or "
        return joint.join(words(part) for part in condition.parts)
    return ""


def expression_words(expression: Expression) -> str:
    """Write an expression in one line."""
    if isinstance(expression, Name):
        return expression.name
    if isinstance(expression, Literal):
        return expression.text
    if isinstance(expression, LimitName):
        return f"limit.{expression.name}"
    if isinstance(expression, Binary):
        return f"({expression_words(expression.left)} {expression.sign} {expression_words(expression.right)})"
    if isinstance(expression, Call):
        return f"{expression.function}({', '.join(map(expression_words, expression.inner))})"
    field = f".{expression_words(expression.field)}" if expression.field is not None else ""
    return f"{expression.function}({expression.kind}{field.replace('.its', '')})"
