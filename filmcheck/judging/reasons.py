"""The evaluator's own words for a verdict: which test decided, on which thing, with which numbers."""

from __future__ import annotations

from filmcheck.judging.conditions import AllHold, Compared, IsGiven, Near, OneOf, Position, Things
from filmcheck.judging.expression import Binary, Call, Expression, LimitName, Literal, Name
from filmcheck.judging.scene import Scene
from filmcheck.judging.template import fill
from filmcheck.judging.verdict import Evidence, Outcome
from filmcheck.judging.wording import Units, called, place_in, shown
from filmcheck.units.quantity import DIMENSIONS, Quantity, parse_quantity

_RELATIONS = {
    "at_most": "at most",
    "at_least": "at least",
    "below": "below",
    "above": "above",
    "equals": "",
    "not": "anything but",
}
_SIGNS = {"+": "+", "-": "−", "*": "×", "/": "÷"}
MOST = 3


def reason(outcome: Outcome, units: Units) -> str:
    """Say why the verdict is what it is."""
    own = [fill(of.condition.words, of.scene, units) for of in outcome.evidence if isinstance(of.condition, AllHold)]
    texts = own or [text for evidence in outcome.evidence if (text := _text(evidence, units))]
    return "; ".join(dict.fromkeys(texts[:MOST]))


def _text(evidence: Evidence, units: Units) -> str:
    condition, scene = evidence
    if isinstance(condition, Compared):
        wanted = " ".join(
            part for part in (_RELATIONS[condition.relation], _amount(condition.right, scene, units)) if part
        )
        found = _amount(condition.left, scene, _as_written(condition.left, condition.right, units))
        return f"{_name(condition.left, scene)} is {found}, wanted is {wanted}"
    if isinstance(condition, OneOf):
        choices = ", ".join(_amount(choice, scene, units) for choice in condition.choices)
        return f"{_name(condition.left, scene)} is {_amount(condition.left, scene, units)}, of {choices}"
    if isinstance(condition, Near):
        return (
            f"{_name(condition.left, scene)} is {_amount(condition.left, scene, units)}, wanted is"
            f" {_amount(condition.right, scene, units)} within {_amount(condition.tolerance, scene, units)}"
        )
    if isinstance(condition, IsGiven):
        return f"{_name(condition.left, scene)} is {'not ' if condition.wanted else ''}given"
    if isinstance(condition, Things):
        return _things(condition, scene)
    return ""


def _name(expression: Expression, scene: Scene) -> str:
    if isinstance(expression, Name):
        return called(*place_in(scene, expression.name))
    if isinstance(expression, LimitName):
        return f"limit {expression.name.replace('_', ' ')}"
    if isinstance(expression, Literal):
        return expression.text
    if isinstance(expression, Binary):
        return f"{_name(expression.left, scene)} {_SIGNS[expression.sign]} {_name(expression.right, scene)}"
    if isinstance(expression, Call):
        return f"{expression.function} of {', '.join(_name(part, scene) for part in expression.inner)}"
    if expression.field is None:
        return f"number of {expression.kind}s"
    field = expression.field.names[0].partition(".")[2].replace("_", " ").replace(".", " ")
    return f"{expression.function} of {field} over each {expression.kind}"


def _amount(expression: Expression, scene: Scene, units: Units) -> str:
    if isinstance(expression, Literal):
        return expression.text
    return shown(expression.work(scene), expression.sort.name, units)


def _as_written(left: Expression, right: Expression, units: Units) -> Units:
    """Show what was worked out in the unit of the rule's own quantity, so that the two can be compared at sight."""
    dimension = left.sort.name
    if isinstance(left, Name) or not isinstance(right, Literal) or dimension not in DIMENSIONS:
        return units
    wanted = parse_quantity(right.text, (dimension,))
    return {**units, dimension: wanted.unit} if isinstance(wanted, Quantity) and wanted.unit else units


def _things(condition: Things, scene: Scene) -> str:
    where = f" {_position(condition.position, scene)}" if condition.position else ""
    found = condition.matching(scene)
    if condition.quantity == "some":
        return f"no {condition.kind}{where}"
    if condition.quantity == "no":
        lines = ", ".join(f"line {station.place.span.line}" for station in found)
        return f"{condition.kind}{f' ({lines})' if lines else ''}{where}"
    if condition.right is None:
        return f"not every {condition.kind}"
    wanted = f"{_RELATIONS[condition.relation]} {_amount(condition.right, scene, {})}".strip()
    return f"{len(found)} {condition.kind}{'' if len(found) == 1 else 's'}{where}, wanted is {wanted}"


def _position(position: Position, scene: Scene) -> str:
    anchored = []
    for anchor in position.anchors:
        item = anchor.find(scene)
        label = item.label if item is not None else anchor.words
        anchored.append(f"{label} (line {item.place.span.line})" if item is not None else label)
    relation = position.relation.replace("_", " ")
    near = f" within {position.within} station{'' if position.within == 1 else 's'}" if position.within else ""
    return f"{relation} {' and '.join(anchored)}{near}"
