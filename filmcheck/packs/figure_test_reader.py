"""Reads the tests of one figure: against a value, a choice, a span, a tolerance, or whether it is given."""

from __future__ import annotations

from collections.abc import Callable

from filmcheck.judging.comparison import BeginsWith, IsGiven, Near, OneOf
from filmcheck.judging.condition import Condition
from filmcheck.judging.enclosed import compared
from filmcheck.judging.expression import Expression, LimitName, Literal, sort_of
from filmcheck.judging.joined import AllHold, Opposite
from filmcheck.judging.relations import RELATIONS
from filmcheck.packs.arithmetic import AtHand
from filmcheck.packs.contradictions import Domain, always, never
from filmcheck.packs.language_words import meant_by
from filmcheck.packs.names import words_of
from filmcheck.packs.operand_reader import OperandReader
from filmcheck.packs.pack_fields import Teller
from filmcheck.packs.sorts import a_sort
from filmcheck.plant.nearest import nearest_hint
from filmcheck.reading.nodes import Fault, Mapping, Node, Scalar, Sequence
from filmcheck.records.value import exact, number

TESTS = (*RELATIONS, "one_of", "none_of", "between", "near", "given", "begins_with")


class FigureTestReader(Teller):
    """Reads the tests of one pack; a fault is told, and the test is then None."""

    def __init__(self, tell: Callable[[Fault], None], operands: OperandReader) -> None:
        """Take the function that a fault is told to, and the reader of what figures are compared with."""
        super().__init__(tell)
        self._operands = operands

    def joint(self, parts: list[Condition | None], node: Node, words: AtHand) -> Condition | None:
        """Join parts that all must hold; refuse them where no job could meet them together."""
        known = tuple(part for part in parts if part is not None)
        if not known or len(known) < len(parts):
            return None
        joint = known[0] if len(known) == 1 else AllHold(known)
        clash = never(joint, domain(words))
        if clash:
            self.fault(node, f"no job can meet this: {clash}", "Leave one of the two out, or write either:.")
            return None
        return joint

    def test(self, left: Expression, key: Scalar, value: Node, words: AtHand) -> Condition | None:
        """Read what is asked of a figure: a value alone, a list of choices, or a mapping of tests."""
        if isinstance(value, Scalar):
            if value.text in ("given", "not given"):
                return IsGiven(left, value.text == "given")
            return self._compared(left, key, "equals", value, words)
        if isinstance(value, Sequence):
            return self._choice(left, key, value, words)
        if not value.entries:
            self.fault(
                value, f"nothing is asked of {key.text}", "Write a test, such as at_most: and a limit, or given."
            )
            return None
        tests = [self._relation(left, key, relation, right, words) for relation, right in value.entries.values()]
        return self.joint(tests, value, words)

    def _relation(
        self, left: Expression, key: Scalar, relation: Scalar, right: Node, words: AtHand
    ) -> Condition | None:
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
        if name == "begins_with":
            return self._begins(left, key, right)
        if name == "given":
            if isinstance(right, Scalar) and isinstance(right.value, bool):
                return IsGiven(left, right.value)
            self.fault(right, "given takes true or false", "Or write given, or not given, alone.")
            return None
        hint = meant_by(name) or nearest_hint(name, TESTS, f"Known: {', '.join(TESTS)}.")
        self.fault(relation, f"{name} is no known test", hint)
        return None

    def _compared(self, left: Expression, key: Scalar, relation: str, node: Node, words: AtHand) -> Condition | None:
        if isinstance(node, Mapping) and relation == "not":
            self.fault(
                node, "not takes a word or quantity here", "Turn the test about: the opposite of at_most is above."
            )
            return None
        right = self._operands.read(left, key.text, node, words)
        if right is None:
            return None
        if relation not in ("equals", "not") and left.sort.name in ("word", "truth"):
            self.fault(node, f"{key.text} is {a_sort(left.sort)}; it cannot be {relation.replace('_', ' ')} anything")
            return None
        if relation not in ("equals", "not") and isinstance(right, Literal) and right.sort.is_amount:
            low, high = right.value.low, right.value.high
            if low != high:
                hint = f"Write {key.text}: {{between: [least, most]}}, or one of the two."
                self.fault(node, f"{relation} takes one value, and {right.text} is a range", hint)
                return None
        if relation == "equals" and isinstance(right, Literal) and right.sort.is_amount and not right.value.exact:
            says = f"{key.text} is never exactly {right.text}"
            self.fault(node, says, "Write between: and a list of two, the least and the most.")
            return None
        if isinstance(left, (Literal, LimitName)) and isinstance(right, (Literal, LimitName)):
            self.fault(key, "both sides are fixed, so this test always comes out the same", "Put a figure on one side.")
            return None
        if left == right:
            self.fault(
                node, f"{key.text} is compared with itself, so this test always comes out the same", "Name another."
            )
            return None
        return compared(left, relation, right)

    def _choice(self, left: Expression, key: Scalar, node: Node, words: AtHand) -> Condition | None:
        items = node.items if isinstance(node, Sequence) else []
        if not items:
            self.fault(node, "this takes a list of words or quantities")
            return None
        read = [self._operands.read(left, key.text, item, words) for item in items]
        choices = tuple(choice for choice in read if choice is not None)
        if len(choices) < len(read):
            return None
        twice = next((item for item, choice in zip(items, choices, strict=True) if choices.count(choice) > 1), None)
        if twice is not None:
            self.fault(twice, f"{getattr(twice, 'text', '')} stands in this list twice")
            return None
        choice = OneOf(left, choices)
        if always(choice, domain(words)):
            self.fault(node, f"{key.text} is always one of these, so this test always comes out the same")
            return None
        return choice

    def _between(self, left: Expression, key: Scalar, node: Node, words: AtHand) -> Condition | None:
        if not isinstance(node, Sequence) or len(node.items) != 2:
            self.fault(node, "between takes a list of two: the least and the most", "Such as [10 m/min, 80 m/min].")
            return None
        low = self._compared(left, key, "at_least", node.items[0], words)
        high = self._compared(left, key, "at_most", node.items[1], words)
        return self.joint([low, high], node, words)

    def _begins(self, left: Expression, key: Scalar, node: Node) -> Condition | None:
        items = node.items if isinstance(node, Sequence) else [node]
        texts = tuple(item.text for item in items if isinstance(item, Scalar) and item.text)
        if not texts or len(texts) < len(items):
            self.fault(node, "begins_with takes a text, or a list of texts")
            return None
        if left.sort.name != "word":
            hint = "Write at_least, at_most or equals."
            self.fault(key, f"{key.text} is {a_sort(left.sort)}; only a word begins with a text", hint)
            return None
        return BeginsWith(left, texts)

    def _near(self, left: Expression, key: Scalar, node: Node, words: AtHand) -> Condition | None:
        entries = node.entries if isinstance(node, Mapping) else {}
        if set(entries) != {"to", "within"}:
            self.fault(node, "near takes {to: …, within: …}")
            return None
        if not left.sort.is_amount:
            hint = "Compare the time between two dates: size(a - b)." if left.sort.name == "date" else ""
            self.fault(key, f"{key.text} is {a_sort(left.sort)}; it cannot be near anything", hint)
            return None
        to = self._operands.read(left, key.text, entries["to"].value, words)
        within = self._tolerance(left, key, entries["within"].value, words)
        return Near(left, to, within) if to is not None and within is not None else None

    def _tolerance(self, left: Expression, key: Scalar, node: Node, words: AtHand) -> Expression | None:
        if left.sort.name == "temperature":
            left = Literal(exact(0.0), sort_of("temperature difference"), "0 K")
        within = self._operands.read(left, f"the tolerance of {key.text}", node, words)
        if isinstance(within, Literal) and number(within.value.low) <= 0:
            self.fault(node, f"within must be more than nothing, not {within.text}")
            return None
        return within


def domain(words: AtHand) -> Domain:
    """Give the words that a figure can be at this place of a pack."""
    if words.proved:
        return None

    def known(expression: Expression) -> tuple[str, ...]:
        names = expression.names
        return words_of(names[0], words.kinds, words.outer) if len(names) == 1 else ()

    return known
