"""Conditions as plain sentences: 'the highest line tension of the unwind is at most the limit … (1.0 lbf/in)'."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

from filmcheck.figures.plain_names import kind_words, plain_name, truth_words
from filmcheck.judging.conditions import (
    AllHold,
    Anchor,
    Compared,
    Condition,
    EitherHolds,
    IsGiven,
    Near,
    OneOf,
    Opposite,
    Position,
    Things,
)
from filmcheck.judging.expression import Binary, Call, Expression, LimitName, Literal, Name, Over
from filmcheck.judging.limit import Limit

_RELATIONS = {
    "at_most": "is at most",
    "at_least": "is at least",
    "below": "is below",
    "above": "is above",
    "equals": "is",
    "not": "is not",
}
_FALSE_RELATIONS = {
    "at_most": "is above",
    "at_least": "is below",
    "below": "is at least",
    "above": "is at most",
    "equals": "is not",
    "not": "is",
}
_SIGNS = {"+": "+", "-": "−", "*": "×", "/": "/"}
_TIGHT = {"+": 1, "-": 1, "*": 2, "/": 2}
_OVER = {"sum": "the sum of", "least": "the least of", "greatest": "the greatest of"}


class Telling(NamedTuple):
    """What names mean where a condition stands: the limits, what ``its.`` and what ``that.`` belong to."""

    limits: Mapping[str, Limit]
    kind: str = ""
    outer: str = ""

    def inside(self, kind: str) -> Telling:
        """Step to things of a kind."""
        return self._replace(kind=kind, outer=self.kind)


def clauses(condition: Condition, telling: Telling) -> tuple[str, ...]:
    """Write a condition as the clauses that must all hold, each a sentence without capital and full stop."""
    if not isinstance(condition, AllHold) or _is_span(*condition.parts):
        return (sentence(condition, telling),)
    told: list[str] = []
    parts = list(condition.parts)
    while parts:
        whole = AllHold(tuple(parts[:2]))
        if _is_span(*whole.parts):
            told.append(sentence(whole, telling))
            del parts[:2]
        else:
            told += clauses(parts.pop(0), telling)
    return tuple(told)


def sentence(condition: Condition, telling: Telling) -> str:
    """Write a condition in one sentence, without capital and full stop."""
    return _WRITERS[type(condition)](condition, telling)


def _is_span(*parts: Condition) -> bool:
    """Whether two comparisons give one figure a least and a most."""
    low, high = parts if len(parts) == 2 else (None, None)
    if not (isinstance(low, Compared) and isinstance(high, Compared)):
        return False
    return low.left == high.left and (low.relation, high.relation) == ("at_least", "at_most")


def _compared(condition: Compared, telling: Telling) -> str:
    left, right = condition.left, condition.right
    if isinstance(right, Name) and condition.relation in ("equals", "not"):
        same = "is the same as" if condition.relation == "equals" else "is another than"
        return f"{expression_words(left, telling)} {same} {expression_words(right, telling)}"
    if isinstance(left, Name) and isinstance(right, Literal) and isinstance(right.value.low, bool):
        wanted = right.value.low is (condition.relation == "equals")
        return _truth(left, telling, wanted=wanted)
    return f"{expression_words(left, telling)} {_RELATIONS[condition.relation]} {expression_words(right, telling)}"


def _truth(figure: Name, telling: Telling, *, wanted: bool) -> str:
    known = truth_words(figure.name, _kind_of(figure, telling))
    if known:
        return known[0] if wanted else known[1]
    return f"{expression_words(figure, telling)} is {'yes' if wanted else 'no'}"


def _one_of(condition: OneOf, telling: Telling) -> str:
    return f"{expression_words(condition.left, telling)} is {_listed(condition, telling)}"


def _listed(condition: OneOf, telling: Telling) -> str:
    return _joined([expression_words(choice, telling) for choice in condition.choices], "or")


def _near(condition: Near, telling: Telling) -> str:
    left, right, tolerance = (expression_words(part, telling) for part in condition)
    return f"{left} differs from {right} by at most {tolerance}"


def _given(condition: IsGiven, telling: Telling) -> str:
    return f"{expression_words(condition.left, telling)} is {'given' if condition.wanted else 'not given'}"


def _all(condition: AllHold, telling: Telling) -> str:
    if _is_span(*condition.parts):
        low, high = (part for part in condition.parts if isinstance(part, Compared))
        ends = f"{expression_words(low.right, telling)} and {expression_words(high.right, telling)}"
        return f"{expression_words(low.left, telling)} is between {ends}"
    return _joined([_grouped(part, telling) for part in condition.parts], "and")


def _either(condition: EitherHolds, telling: Telling) -> str:
    """Write alternatives; one that only says where the other does not matter is put as its 'where'."""
    guards = [opposite for part in condition.parts if (opposite := _guard(part)) is not None]
    rest = [part for part in condition.parts if _guard(part) is None]
    if guards and len(rest) == 1:
        where = _joined([sentence(guard, telling) for guard in guards], "and")
        return f"where {where}: {sentence(rest[0], telling)}"
    return f"either {_joined([_grouped(part, telling) for part in condition.parts], 'or')}"


def _guard(condition: Condition) -> Condition | None:
    """Give the opposite of an alternative that says when the others need not hold."""
    if isinstance(condition, IsGiven) and not condition.wanted:
        return condition._replace(wanted=True)
    if isinstance(condition, Compared) and condition.relation == "not":
        return condition._replace(relation="equals")
    return condition.part if isinstance(condition, Opposite) else None


def _opposite(condition: Opposite, telling: Telling) -> str:
    part = condition.part
    if isinstance(part, OneOf) and len(part.choices) == 1:
        return f"{expression_words(part.left, telling)} is not {expression_words(part.choices[0], telling)}"
    if isinstance(part, OneOf):
        return f"{expression_words(part.left, telling)} is neither {_listed(part, telling).replace(' or ', ' nor ')}"
    if isinstance(part, Compared) and not isinstance(part.right, Literal):
        left, right = (expression_words(side, telling) for side in (part.left, part.right))
        return f"{left} {_FALSE_RELATIONS[part.relation]} {right}"
    if isinstance(part, Things) and part.quantity in ("some", "no"):
        return sentence(part._replace(quantity="no" if part.quantity == "some" else "some"), telling)
    return f"it is not so that {_grouped(part, telling)}"


def _things(condition: Things, telling: Telling) -> str:
    inner = telling.inside(condition.kind)
    noun = kind_words(condition.kind)
    at = f" {_position(condition.position, telling)}" if condition.position else ""
    where, has = condition.where, condition.has
    if condition.quantity == "every":
        such = _such((where,), inner)
        return f"for every {noun}{at}{such}: {sentence(has, inner) if has else ''}"
    such = _such((where, has), inner)
    if condition.quantity == "count":
        right = expression_words(condition.right, telling) if condition.right else ""
        return f"the number of {_plural(noun)}{at}{such} {_RELATIONS[condition.relation]} {right}"
    return f"there is {'no' if condition.quantity == 'no' else _article(noun)} {noun}{at}{such}"


def _such(parts: tuple[Condition | None, ...], telling: Telling) -> str:
    told = [clause for part in parts if part is not None for clause in clauses(part, telling)]
    return f" such that {_joined(told, 'and')}" if told else ""


def _position(position: Position, telling: Telling) -> str:
    anchors = _joined([_anchor(anchor) for anchor in position.anchors], "and")
    if position.within is None:
        return f"{position.relation.replace('_', ' ')} {anchors}"
    stations = "station" if position.within == 1 else "stations"
    return f"no more than {position.within} {stations} {position.relation.replace('_', ' ')} {anchors}"


def _anchor(anchor: Anchor) -> str:
    return "it" if anchor.which == "this" else f"the {anchor.which} {kind_words(anchor.kind)}"


def _grouped(condition: Condition, telling: Telling) -> str:
    """Bracket what is joined itself, so that the reader sees what belongs together."""
    text = sentence(condition, telling)
    if not isinstance(condition, (AllHold, EitherHolds)) or len(condition.parts) < 2 or _is_span(*condition.parts):
        return text
    return f"({text})"


_WRITERS: dict[type, Callable[..., str]] = {
    Compared: _compared,
    OneOf: _one_of,
    Near: _near,
    IsGiven: _given,
    AllHold: _all,
    EitherHolds: _either,
    Opposite: _opposite,
    Things: _things,
}


# --- expressions


def expression_words(expression: Expression, telling: Telling) -> str:
    """Write an expression: figures by their plain names, limits with their values, arithmetic with its signs."""
    if isinstance(expression, Name):
        return _figure(expression, telling)
    if isinstance(expression, Literal):
        return expression.text
    if isinstance(expression, LimitName):
        return f"the limit “{expression.name.replace('_', ' ')}” ({limit_value(telling.limits[expression.name])})"
    if isinstance(expression, Binary):
        return _binary(expression, telling)
    if isinstance(expression, Call):
        inner = [_bracketed(part, telling) for part in expression.inner]
        name = {"size": "the size of", "least": "the lesser of", "greatest": "the greater of"}[expression.function]
        return f"{name} {_joined(inner, 'and')}"
    return _over(expression, telling)


def _figure(expression: Name, telling: Telling) -> str:
    head = expression.name.partition(".")[0]
    outer = f"the {kind_words(telling.outer).partition(' (')[0]} at hand" if head == "that" else ""
    name = plain_name(expression.name, _kind_of(expression, telling), outer)
    return name if name.startswith("its ") else f"the {name}"


def _kind_of(figure: Name, telling: Telling) -> str:
    head = figure.name.partition(".")[0]
    return telling.kind if head == "its" else telling.outer if head == "that" else ""


def _binary(expression: Binary, telling: Telling) -> str:
    left, right = expression.left, expression.right
    if expression.sort.name == "time" and left.sort.name == "date":
        return f"the time from {expression_words(right, telling)} to {expression_words(left, telling)}"
    sign = expression.sign
    if isinstance(left, Literal) and left.text.endswith(" of"):
        return f"{left.text} {_bracketed(right, telling)}"
    texts = []
    for side, part in enumerate((left, right)):
        text = expression_words(part, telling)
        loose = isinstance(part, Binary) and _TIGHT[part.sign] < _TIGHT[sign] + (side and sign in "-/")
        texts.append(f"({text})" if loose else text)
    return f" {_SIGNS[sign]} ".join(texts)


def _bracketed(expression: Expression, telling: Telling) -> str:
    text = expression_words(expression, telling)
    return f"({text})" if isinstance(expression, Binary) else text


def _over(expression: Over, telling: Telling) -> str:
    noun = kind_words(expression.kind)
    if expression.field is None:
        return f"the number of {_plural(noun)}"
    field = expression_words(expression.field, telling.inside(expression.kind))
    return f"{_OVER[expression.function]} {field.removeprefix('its ')} over every {noun}"


def limit_value(limit: Limit) -> str:
    """Write the value of a limit; of a table, every value with the word that it goes by."""
    if not limit.by:
        return limit.value.text if limit.value else ""
    known = [f"{quantity.text} for {word}" for word, quantity in limit.table.items()]
    otherwise = [f"otherwise {limit.value.text}"] if limit.value else []
    return f"by {plain_name(limit.by)}: {', '.join([*known, *otherwise])}"


def _joined(texts: list[str], word: str) -> str:
    if len(texts) < 2:
        return "".join(texts)
    # Clauses that hold commas or colons of their own are set apart more strongly.
    mark = ";" if any(sign in text for text in texts for sign in (",", ":", " such that ")) else ","
    lasting = f"{mark} {word} " if mark == ";" or len(texts) > 2 else f" {word} "
    return f"{mark} ".join(texts[:-1]) + lasting + texts[-1]


def _article(noun: str) -> str:
    return "an" if noun[:1] in "aeio" else "a"


def _plural(noun: str) -> str:
    first, mark, rest = noun.partition(" (")
    head, link, tail = first.partition(" of ")
    plural = " or ".join(f"{part}es" if part.endswith("s") else f"{part}s" for part in head.split(" or "))
    return f"{plural}{link}{tail}{mark}{rest}"
