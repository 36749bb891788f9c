"""Reads conditions from a rule pack's tree; every fault has its place and the nearest known name."""

from __future__ import annotations

import re
from collections.abc import Callable

from filmcheck.figures.scopes import all_words, kinds_in, station_shapes
from filmcheck.judging.arithmetic import Words, read_as_written, read_expression
from filmcheck.judging.conditions import (
    RELATIONS,
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
from filmcheck.judging.expression import PURE, Expression, Literal, Sort, literal, sort_of
from filmcheck.judging.names import NameFaultError, words_of
from filmcheck.judging.template import read_template
from filmcheck.plant.nearest import nearest
from filmcheck.reading.nodes import Fault, Mapping, Node, Scalar, Sequence
from filmcheck.units import DIMENSIONS, Quantity, parse_any, parse_quantity
from filmcheck.value import exact, number

QUANTITIES = ("every", "some", "no", "count")
PLACES = ("before", "after", "between", "next_to")
JOINERS = ("all", "either", "not")
OWN_WORDS = "else"
"""Beside any condition: what {reason} says where the condition does not hold."""
_THINGS_KEYS = (*QUANTITIES, *PLACES, "where", "has", "within", *RELATIONS)
_TESTS = (*RELATIONS, "one_of", "none_of", "between", "near", "given")
_STARTS_WITH_NUMBER = re.compile(r"[-+]?[.\d]")
_ARITHMETIC = re.compile(r"[*×÷(\[]|\s[-+−/]\s|%\s*of\b")


class ConditionReader:
    """Reads the conditions of one pack and gathers what is wrong with them."""

    def __init__(self, fault: Callable[[Fault], None]) -> None:
        """Take the function that a fault is told to."""
        self._fault = fault

    def fault(self, node: Node, says: str, hint: str = "") -> None:
        """Tell a fault of the pack."""
        self._fault(Fault("pack-broken", node.span, says, hint))

    def read(self, node: Node, words: Words) -> Condition | None:
        """Read one condition: a mapping of demands that all must hold, or a list of such mappings."""
        if isinstance(node, Sequence):
            return self._all(node.items, node, words)
        if isinstance(node, Mapping) and OWN_WORDS in node.entries:
            return self._worded(node, words)
        if not isinstance(node, Mapping) or not node.entries:
            self.fault(node, "a condition is a mapping, such as {web.speed: {at_most: 80 m/min}}")
            return None
        if any(key in node.entries for key in QUANTITIES):
            return self._things(node, words)
        parts = [self._demand(key, value, words) for key, value in node.entries.values()]
        known = tuple(part for part in parts if part is not None)
        if len(known) < len(parts):
            return None
        return known[0] if len(known) == 1 else AllHold(known)

    def _worded(self, node: Mapping, words: Words) -> Condition | None:
        """Read a condition that says in its own words what it means where it does not hold."""
        entries = {key: entry for key, entry in node.entries.items() if key != OWN_WORDS}
        inner = self.read(Mapping(entries, node.span), words)
        said = node.entries[OWN_WORDS].value
        if inner is None or not isinstance(said, Scalar):
            return None
        try:
            template = read_template(" ".join(said.text.split()), words)
        except NameFaultError as fault:
            self.fault(said, f"in {OWN_WORDS}: {fault.says}", fault.hint)
            return None
        return AllHold((inner,), template)

    def expression(self, node: Node, text: str, words: Words) -> Expression | None:
        """Read arithmetic; a fault of it is told at the node."""
        try:
            return read_expression(text, words)
        except NameFaultError as fault:
            self.fault(node, fault.says, fault.hint)
            return None

    def _all(self, items: list[Node], node: Node, words: Words) -> Condition | None:
        parts = [self.read(item, words) for item in items]
        if not parts:
            self.fault(node, "this list of conditions is empty")
        if not parts or None in parts:
            return None
        return AllHold(tuple(part for part in parts if part is not None))

    def _demand(self, key: Scalar, value: Node, words: Words) -> Condition | None:
        if key.text == "not":
            inner = self.read(value, words)
            return Opposite(inner) if inner is not None else None
        if key.text in ("all", "either"):
            return self._joined(key, value, words)
        if key.text in _THINGS_KEYS:
            self.fault(key, f"{key.text} needs every, some, no or count beside it")
            return None
        left = self._left(key, value, words)
        return self._test(left, key, value, words) if left is not None else None

    def _left(self, key: Scalar, value: Node, words: Words) -> Expression | None:
        """Read what a demand is about. Whether a figure is given can be asked of one of several dimensions too."""
        only_given = isinstance(value, Scalar) and value.text in ("given", "not given")
        if not only_given:
            return self.expression(key, key.text, words)
        try:
            return read_as_written(key.text, words)
        except NameFaultError as fault:
            self.fault(key, fault.says, fault.hint)
            return None

    def _joined(self, key: Scalar, value: Node, words: Words) -> Condition | None:
        if not isinstance(value, Sequence) or len(value.items) < 2:
            self.fault(value, f"{key.text} takes a list of two or more conditions")
            return None
        whole = self._all(value.items, value, words)
        return EitherHolds(whole.parts) if key.text == "either" and isinstance(whole, AllHold) else whole

    def _test(self, left: Expression, key: Scalar, value: Node, words: Words) -> Condition | None:
        if isinstance(value, Scalar):
            if value.text in ("given", "not given"):
                return IsGiven(left, value.text == "given")
            return self._compared(left, key, "equals", value, words)
        if isinstance(value, Sequence):
            return self._choice(left, key, value, words)
        tests = [self._relation(left, key, relation, right, words) for relation, right in value.entries.values()]
        if not tests:
            self.fault(value, f"nothing is asked of {key.text}")
        if not tests or None in tests:
            return None
        known = tuple(test for test in tests if test is not None)
        self._contradictory(known, value)
        return known[0] if len(known) == 1 else AllHold(known)

    def _relation(self, left: Expression, key: Scalar, relation: Scalar, right: Node, words: Words) -> Condition | None:
        name = relation.text
        if name in RELATIONS:
            return self._compared(left, key, name, right, words)
        if name in ("one_of", "none_of"):
            choice = self._choice(left, key, right, words)
            return Opposite(choice) if choice is not None and name == "none_of" else choice
        if name == "between":
            return self._between(left, key, right, words)
        if name == "near":
            return self._near(left, key, right, words)
        if name == "given" and isinstance(right, Scalar) and isinstance(right.value, bool):
            return IsGiven(left, right.value)
        near = nearest(name, _TESTS)
        self.fault(
            relation, f"{name} is no known test", f"Nearest: {near}." if near else f"Known: {', '.join(_TESTS)}."
        )
        return None

    def _compared(self, left: Expression, key: Scalar, relation: str, node: Node, words: Words) -> Condition | None:
        right = self._operand(left, key, node, words)
        if right is None:
            return None
        if relation not in ("equals", "not") and left.sort.name in ("word", "truth"):
            self.fault(node, f"{key.text} is a {left.sort.name}; it cannot be {relation.replace('_', ' ')} anything")
            return None
        if not left.names and not right.names and _is_constant(left) and _is_constant(right):
            self.fault(key, "both sides are fixed, so this test always comes out the same")
            return None
        if left == right:
            self.fault(node, f"{key.text} is compared with itself, so this test always comes out the same")
            return None
        return Compared(left, relation, right)

    def _choice(self, left: Expression, key: Scalar, node: Node, words: Words) -> Condition | None:
        items = node.items if isinstance(node, Sequence) else []
        if not items:
            self.fault(node, "this takes a list of words or quantities")
            return None
        choices = [self._operand(left, key, item, words) for item in items]
        return None if None in choices else OneOf(left, tuple(c for c in choices if c is not None))

    def _between(self, left: Expression, key: Scalar, node: Node, words: Words) -> Condition | None:
        if not isinstance(node, Sequence) or len(node.items) != 2:
            self.fault(node, "between takes a list of two: the least and the most")
            return None
        low = self._compared(left, key, "at_least", node.items[0], words)
        high = self._compared(left, key, "at_most", node.items[1], words)
        if low is None or high is None:
            return None
        self._contradictory((low, high), node)
        return AllHold((low, high))

    def _near(self, left: Expression, key: Scalar, node: Node, words: Words) -> Condition | None:
        entries = node.entries if isinstance(node, Mapping) else {}
        if set(entries) != {"to", "within"}:
            self.fault(node, "near takes {to: …, within: …}")
            return None
        to = self._operand(left, key, entries["to"].value, words)
        within = self._operand(left, key, entries["within"].value, words)
        return Near(left, to, within) if to is not None and within is not None else None

    def _operand(self, left: Expression, key: Scalar, node: Node, words: Words) -> Expression | None:
        """Read what a figure is compared with, and check that both are of one kind."""
        if not isinstance(node, Scalar):
            self.fault(node, f"{key.text} is compared with one word, quantity or expression")
            return None
        right = self._operand_alone(left, key, node, words)
        if right is None:
            return None
        a, b = left.sort, right.sort
        fits = a.exponents == b.exponents and a.is_amount == b.is_amount and (a.is_amount or a.name == b.name)
        bare = isinstance(right, Literal) and b.name == "count" and a.name not in ("count", "number")
        if fits and not bare:
            return right
        if bare:
            self.fault(node, f"{node.text} has no unit, but {key.text} is a {a.name}")
        else:
            self.fault(node, f"{key.text} is a {a.name}, but {node.text} is a {b.name}")
        return None

    def _operand_alone(self, left: Expression, key: Scalar, node: Scalar, words: Words) -> Expression | None:
        text, value = node.text, node.value
        if left.sort.name == "truth" or isinstance(value, bool):
            return self._truth(key, node)
        if left.sort.name == "word" and not text.startswith(("its.", "that.", "limit.")) and "." not in text:
            return self._word(left, key, node, words)
        if isinstance(value, (int, float)):
            return Literal(exact(float(value)), Sort("count", PURE), text)
        # A unit such as lbf/in looks like arithmetic, so a quantity is tried first.
        if _STARTS_WITH_NUMBER.match(text):
            return self._quantity(left, node, words)
        return self.expression(node, text, words)

    def _truth(self, key: Scalar, node: Scalar) -> Expression | None:
        if isinstance(node.value, bool):
            return Literal(exact(node.value), sort_of("truth"), node.text)
        self.fault(node, f"{key.text} is true or false, not {node.text}")
        return None

    def _word(self, left: Expression, key: Scalar, node: Scalar, words: Words) -> Expression | None:
        known = words_of(left.names[0], words.kinds, words.outer) if len(left.names) == 1 else ()
        if known and node.text not in known:
            near = nearest(node.text, known)
            hint = f"Nearest: {near}." if near else f"Known: {', '.join(known)}."
            self.fault(node, f"{key.text} is never {node.text}", hint)
            return None
        return Literal(exact(node.text), sort_of("word"), node.text)

    def _quantity(self, left: Expression, node: Scalar, words: Words) -> Expression | None:
        # Asked first in the figure's own dimension, for torque and energy or two temperatures share their units.
        own = parse_quantity(node.text, (left.sort.name,)) if left.sort.name in DIMENSIONS else None
        read = own if isinstance(own, Quantity) else parse_any(node.text)
        if isinstance(read, Quantity):
            return literal(read)
        if _ARITHMETIC.search(node.text):
            return self.expression(node, node.text, words)
        self.fault(node, read.says, read.hint)
        return None

    def _things(self, node: Mapping, words: Words) -> Condition | None:
        entries = node.entries
        quantity = next(key for key in QUANTITIES if key in entries)
        for name, (key, _) in entries.items():
            if name not in _THINGS_KEYS or (name in QUANTITIES and name != quantity):
                near = nearest(name, _THINGS_KEYS)
                self.fault(key, f"{name} does not go with {quantity}", f"Nearest: {near}." if near else "")
                return None
        kind = self.kind(entries[quantity].value)
        if not kind:
            return None
        inner = words.inside(kinds_in(kind))
        where = self.read(entries["where"].value, inner) if "where" in entries else None
        has = self.read(entries["has"].value, inner) if "has" in entries else None
        position = self._position(node, kind, words)
        if (("where" in entries) and where is None) or (("has" in entries) and has is None):
            return None
        if position is None and any(place in entries for place in (*PLACES, "within")):
            return None
        if quantity == "every" and has is None:
            self.fault(node, "every needs has: what each of them must be")
            return None
        return self._quantified(node, quantity, Things(quantity, kind, where, has, position), words)

    def _quantified(self, node: Mapping, quantity: str, things: Things, words: Words) -> Condition | None:
        relations = [entry for name, entry in node.entries.items() if name in RELATIONS]
        if quantity != "count":
            if relations:
                self.fault(relations[0].key, f"{relations[0].key.text} goes with count, not with {quantity}")
                return None
            return things
        if len(relations) != 1:
            self.fault(node, "count needs one of at_least, at_most, equals, above, below")
            return None
        key, value = relations[0]
        right = self._operand(Literal(exact(0.0), Sort("count", PURE), "count"), key, value, words)
        return things._replace(relation=key.text, right=right) if right is not None else None

    def kind(self, node: Node) -> str:
        """Read a kind of thing; an empty text where it is not known."""
        text = node.text if isinstance(node, Scalar) else ""
        if kinds_in(text):
            return text
        near = nearest(text, all_words())
        self.fault(node, f"{text or 'this'} is no known kind of thing", f"Nearest: {near}." if near else "")
        return ""

    def _position(self, node: Mapping, kind: str, words: Words) -> Position | None:
        entries = node.entries
        relations = [place for place in PLACES if place in entries]
        if not relations:
            if "within" in entries:
                self.fault(entries["within"].key, "within needs before or after beside it")
            return None
        if len(relations) > 1:
            self.fault(entries[relations[1]].key, f"{relations[1]} cannot stand beside {relations[0]}")
            return None
        if not set(kinds_in(kind)) <= set(station_shapes()):
            self.fault(entries[relations[0]].key, f"{kind} is no station, so it has no place along the path")
            return None
        anchors = self._anchors(relations[0], entries[relations[0]].value, words)
        within = self._within(entries["within"].value) if "within" in entries else None
        if anchors is None or ("within" in entries and within is None):
            return None
        return Position(relations[0], anchors, within)

    def _within(self, node: Node) -> int | None:
        value = node.value if isinstance(node, Scalar) else None
        if isinstance(value, int) and not isinstance(value, bool) and value >= 1:
            return value
        self.fault(node, "within takes a whole number of stations, 1 or more")
        return None

    def _anchors(self, relation: str, node: Node, words: Words) -> tuple[Anchor, ...] | None:
        nodes = node.items if isinstance(node, Sequence) else [node]
        if len(nodes) != (2 if relation == "between" else 1):
            self.fault(node, f"{relation} takes {'a list of two stations' if relation == 'between' else 'one station'}")
            return None
        anchors = [self._anchor(one, words) for one in nodes]
        return None if None in anchors else tuple(anchor for anchor in anchors if anchor is not None)

    def _anchor(self, node: Node, words: Words) -> Anchor | None:
        text = node.text if isinstance(node, Scalar) else ""
        if text == "this":
            if set(words.kinds) & set(station_shapes()):
                return Anchor("this")
            self.fault(node, "there is no station at hand that 'this' could mean")
            return None
        which, _, kind = text.partition(" ")
        if which not in ("first", "last"):
            which, kind = "first", text
        if set(kinds_in(kind)) & set(station_shapes()):
            return Anchor(which, kind)
        near = nearest(kind, station_shapes())
        hint = f"Nearest: {near}." if near else "Write first or last and a kind of station, or this."
        self.fault(node, f"{text or 'this'} is no station to place others against", hint)
        return None

    def _contradictory(self, tests: tuple[Condition, ...], node: Node) -> None:
        """Refuse a lower bound above an upper one: no job could ever meet both."""
        fixed = [
            t for t in tests if isinstance(t, Compared) and isinstance(t.right, Literal) and t.right.sort.is_amount
        ]
        lows = [number(t.right.value.low) for t in fixed if t.relation in ("at_least", "above")]  # type: ignore[union-attr]
        highs = [number(t.right.value.high) for t in fixed if t.relation in ("at_most", "below")]  # type: ignore[union-attr]
        if lows and highs and max(lows) > min(highs):
            self.fault(node, "no job can meet both of these bounds: the least is above the most")


def _is_constant(expression: Expression) -> bool:
    return isinstance(expression, Literal)
