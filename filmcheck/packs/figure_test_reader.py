"""Reads the tests of one figure: against a value, a choice, a span, a tolerance, or whether it is given."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

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
from filmcheck.packs.pack_fields import Teller, all_read
from filmcheck.packs.sorts import a_sort
from filmcheck.plant.nearest import nearest_hint
from filmcheck.reading.nodes import Fault, Mapping, Node, Scalar, Sequence
from filmcheck.records.value import exact, number

TESTS = (*RELATIONS, "one_of", "none_of", "between", "near", "given", "begins_with")


class FigureTestReader(Teller):
    """Reads the tests of one pack; a test that cannot be read raises BrokenError."""

    def __init__(self, tell: Callable[[Fault], None], operands: OperandReader) -> None:
        """Take the function that a fault is told to, and the reader of what figures are compared with."""
        super().__init__(tell)
        self._operands = operands

    def joint(self, parts: list[Condition], node: Node, words: AtHand) -> Condition:
        """Join parts that all must hold; refuse them where no job could meet them together."""
        joint = parts[0] if len(parts) == 1 else AllHold(tuple(parts))
        clash = never(joint, domain(words))
        if clash:
            raise self.broken(node, f"no job can meet this: {clash}", "Leave one of the two out, or write either:.")
        return joint

    def test(self, left: Expression, key: Scalar, value: Node, words: AtHand) -> Condition:
        """Read what is asked of a figure: a value alone, a list of choices, or a mapping of tests."""
        if isinstance(value, Scalar):
            if value.text in ("given", "not given"):
                return IsGiven(left, value.text == "given")
            return self._compared(left, key, "equals", value, words)
        if isinstance(value, Sequence):
            return self._choice(left, key, value, words)
        if not value.entries:
            raise self.broken(
                value, f"nothing is asked of {key.text}", "Write a test, such as at_most: and a limit, or given."
            )
        tests = [partial(self._relation, left, key, *entry, words) for entry in value.entries.values()]
        return self.joint(all_read(tests), value, words)

    def _relation(self, left: Expression, key: Scalar, relation: Scalar, right: Node, words: AtHand) -> Condition:
        name = relation.text
        if name in RELATIONS:
            return self._compared(left, key, name, right, words)
        if name in ("one_of", "none_of"):
            choice = self._choice(left, key, right, words)
            return Opposite(choice) if name == "none_of" else choice
        if name == "between":
            return self._between(left, key, right, words)
        if name == "near":
            return self._near(left, key, right, words)
        if name == "begins_with":
            return self._begins(left, key, right)
        if name == "given":
            if isinstance(right, Scalar) and isinstance(right.value, bool):
                return IsGiven(left, right.value)
            raise self.broken(right, "given takes true or false", "Or write given, or not given, alone.")
        hint = meant_by(name) or nearest_hint(name, TESTS, f"Known: {', '.join(TESTS)}.")
        raise self.broken(relation, f"{name} is no known test", hint)

    def _compared(self, left: Expression, key: Scalar, relation: str, node: Node, words: AtHand) -> Condition:
        if isinstance(node, Mapping) and relation == "not":
            raise self.broken(
                node, "not takes a word or quantity here", "Turn the test about: the opposite of at_most is above."
            )
        right = self._operands.read(left, key.text, node, words)
        if relation not in ("equals", "not") and left.sort.name in ("word", "truth"):
            raise self.broken(
                node, f"{key.text} is {a_sort(left.sort)}; it cannot be {relation.replace('_', ' ')} anything"
            )
        if relation not in ("equals", "not") and isinstance(right, Literal) and right.sort.is_amount:
            low, high = right.value.low, right.value.high
            if low != high:
                hint = f"Write {key.text}: {{between: [least, most]}}, or one of the two."
                raise self.broken(node, f"{relation} takes one value, and {right.text} is a range", hint)
        if relation == "equals" and isinstance(right, Literal) and right.sort.is_amount and not right.value.exact:
            says = f"{key.text} is never exactly {right.text}"
            raise self.broken(node, says, "Write between: and a list of two, the least and the most.")
        if isinstance(left, (Literal, LimitName)) and isinstance(right, (Literal, LimitName)):
            raise self.broken(
                key, "both sides are fixed, so this test always comes out the same", "Put a figure on one side."
            )
        if left == right:
            raise self.broken(
                node, f"{key.text} is compared with itself, so this test always comes out the same", "Name another."
            )
        return compared(left, relation, right)

    def _choice(self, left: Expression, key: Scalar, node: Node, words: AtHand) -> Condition:
        items = node.items if isinstance(node, Sequence) else []
        if not items:
            raise self.broken(node, "this takes a list of words or quantities")
        choices = tuple(all_read(partial(self._operands.read, left, key.text, item, words) for item in items))
        twice = next((item for item, choice in zip(items, choices, strict=True) if choices.count(choice) > 1), None)
        if twice is not None:
            raise self.broken(twice, f"{getattr(twice, 'text', '')} stands in this list twice")
        choice = OneOf(left, choices)
        if always(choice, domain(words)):
            raise self.broken(node, f"{key.text} is always one of these, so this test always comes out the same")
        return choice

    def _between(self, left: Expression, key: Scalar, node: Node, words: AtHand) -> Condition:
        if not isinstance(node, Sequence) or len(node.items) != 2:
            raise self.broken(
                node, "between takes a list of two: the least and the most", "Such as [10 m/min, 80 m/min]."
            )
        ends = zip(("at_least", "at_most"), node.items, strict=True)
        tests = all_read(partial(self._compared, left, key, relation, end, words) for relation, end in ends)
        return self.joint(tests, node, words)

    def _begins(self, left: Expression, key: Scalar, node: Node) -> Condition:
        items = node.items if isinstance(node, Sequence) else [node]
        texts = tuple(item.text for item in items if isinstance(item, Scalar) and item.text)
        if not texts or len(texts) < len(items):
            raise self.broken(node, "begins_with takes a text, or a list of texts")
        if left.sort.name != "word":
            hint = "Write at_least, at_most or equals."
            raise self.broken(key, f"{key.text} is {a_sort(left.sort)}; only a word begins with a text", hint)
        return BeginsWith(left, texts)

    def _near(self, left: Expression, key: Scalar, node: Node, words: AtHand) -> Condition:
        entries = node.entries if isinstance(node, Mapping) else {}
        if set(entries) != {"to", "within"}:
            raise self.broken(node, "near takes {to: …, within: …}")
        if not left.sort.is_amount:
            hint = "Compare the time between two dates: size(a - b)." if left.sort.name == "date" else ""
            raise self.broken(key, f"{key.text} is {a_sort(left.sort)}; it cannot be near anything", hint)
        to = partial(self._operands.read, left, key.text, entries["to"].value, words)
        within = partial(self._tolerance, left, key, entries["within"].value, words)
        return Near(left, *all_read([to, within]))

    def _tolerance(self, left: Expression, key: Scalar, node: Node, words: AtHand) -> Expression:
        if left.sort.name == "temperature":
            left = Literal(exact(0.0), sort_of("temperature difference"), "0 K")
        within = self._operands.read(left, f"the tolerance of {key.text}", node, words)
        if isinstance(within, Literal) and number(within.value.low) <= 0:
            raise self.broken(node, f"within must be more than nothing, not {within.text}")
        return within


def domain(words: AtHand) -> Domain:
    """Give the words that a figure can be at this place of a pack."""
    if words.proved:
        return None

    def known(expression: Expression) -> tuple[str, ...]:
        names = expression.names
        return words_of(names[0], words.kinds, words.outer) if len(names) == 1 else ()

    return known
