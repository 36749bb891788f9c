"""Reads the tests of one figure, against a value, a choice, a span, a tolerance, or whether it is given; and the
operands that it is compared with, which must be of one kind with it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from functools import partial

from filmcheck.judging.comparison import BeginsWith, IsGiven, Near, OneOf
from filmcheck.judging.condition import Condition
from filmcheck.judging.enclosed import compared
from filmcheck.judging.expression import PURE, Expression, LimitName, Literal, Sort, literal, sort_of
from filmcheck.judging.joined import AllHold, Opposite
from filmcheck.judging.relations import RELATIONS
from filmcheck.packs.arithmetic import LARGEST, AtHand, as_difference, read_expression
from filmcheck.packs.contradictions import Domain, always, never
from filmcheck.packs.language_words import meant_by
from filmcheck.packs.names import NameFaultError, a_sort, one_kind, words_of
from filmcheck.packs.pack_fields import BrokenError, Teller, all_read
from filmcheck.plant.nearest import nearest_hint
from filmcheck.reading.nodes import Fault, Mapping, Node, Scalar, Sequence
from filmcheck.reading.schema_words import as_sentence
from filmcheck.records.value import exact, number
from filmcheck.units.quantity import DIMENSIONS, Quantity, parse_any, parse_quantity

TESTS = (*RELATIONS, "one_of", "none_of", "between", "near", "given", "begins_with")
_STARTS_WITH_NUMBER = re.compile(r"[-+]?[.\d]")
_DEGREES = re.compile(r"(deg|°) ?[CF]$")
_ARITHMETIC = re.compile(r"[*×÷(\[]|\s[-+−/]\s|%\s*of\b")
_NAME_LIKE = re.compile(r"[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*)+|.*[(*×÷\[].*")


class OperandReader(Teller):
    """Reads operands of one pack; one that cannot be read raises BrokenError."""

    def __init__(self, tell: Callable[[Fault], None], file: str = "") -> None:
        """Take the function that a fault is told to, and the pack's file."""
        super().__init__(tell)
        self._file = file

    def expression(self, node: Node, text: str, words: AtHand) -> Expression:
        """Read arithmetic."""
        try:
            return read_expression(text, words)
        except NameFaultError as fault:
            raise self.broken(node, fault.says, fault.hint) from fault

    def operand(self, left: Expression, called: str, node: Node, words: AtHand) -> Expression:
        """Read what a figure, called so in the rule, is compared with."""
        if not isinstance(node, Scalar):
            raise self.broken(node, f"{called} is compared with one word, quantity or expression")
        right = self._alone(left, called, node, words)
        if "difference" in left.sort.name:
            right = as_difference(right, words)
        a, b = left.sort, right.sort
        bare = isinstance(right, (Literal, LimitName)) and b.name == "count" and a.is_amount and a.name != "count"
        if one_kind(left, right) and not bare:
            return right
        if bare:
            asked = parse_quantity(node.text, (a.name,)) if a.name in DIMENSIONS else None
            hint = as_sentence(getattr(asked, "hint", ""))
            raise self._without_unit(node, right, f"has no unit, but {called} is {a_sort(a)}", hint, words)
        hint = "Only what is of one dimension can be compared."
        if isinstance(right, Literal) and a.name in DIMENSIONS:
            hint = f"Units of {a.name}: {', '.join(DIMENSIONS[a.name].units[:5])}."
        if {a.name, b.name} == {"temperature", "temperature difference"}:
            hint = "A difference is in K, such as 10 K; a temperature in degC or degF."
        elif a.name == "time" and b.name == "length":
            hint = "m is the metre; a time is in min, h or d."
        elif b.name == "ratio" and isinstance(right, Literal):
            hint = f"A share is one of something, such as {node.text} of web.width."
        elif a.name == "temperature" and node.text.endswith("F"):
            hint = "Degrees Fahrenheit are written degF."
        raise self.broken(node, f"{called} is {a_sort(a)}, but {node.text} is {a_sort(b)}", hint)

    def _without_unit(self, node: Scalar, right: Expression, says: str, hint: str, words: AtHand) -> BrokenError:
        """Blame a number without a unit where it is written: at its limit, if that is in this pack."""
        limit = words.limits[right.name] if isinstance(right, LimitName) else None
        if limit is None or limit.place.file != self._file:
            return self.broken(node, f"{node.text} {says}", hint)
        value = limit.value.text if limit.value else "a number"
        hint = hint or f"Write it with its unit, such as {value} m/min for a speed."
        self._tell(Fault("pack-broken", limit.place.span, f"limit {limit.name}, {value}, {says}", hint))
        return BrokenError(says)

    def _alone(self, left: Expression, called: str, node: Scalar, words: AtHand) -> Expression:
        text, value = node.text, node.value
        if left.sort.name == "truth" or isinstance(value, bool):
            return self._truth(called, node, words)
        if left.sort.name == "word" and not _NAME_LIKE.fullmatch(text):
            return self._word(left, called, node, words)
        if left.sort.name == "date" and _STARTS_WITH_NUMBER.match(text):
            return self._date(called, node)
        if isinstance(value, (int, float)) and abs(value) > LARGEST:
            raise self.broken(node, f"{text[:12]}… is larger than {LARGEST:g}: nothing is counted so high")
        if isinstance(value, (int, float)):
            return Literal(exact(float(value)), Sort("count", PURE), text)
        # A unit such as lbf/in looks like arithmetic, so a quantity is tried first.
        if _STARTS_WITH_NUMBER.match(text):
            return self._quantity(left, node, words)
        return self.expression(node, text, words)

    def _truth(self, called: str, node: Scalar, words: AtHand) -> Expression:
        if isinstance(node.value, bool):
            return Literal(exact(node.value), sort_of("truth"), node.text)
        if _NAME_LIKE.fullmatch(node.text):
            return self.expression(node, node.text, words)
        hint = "Write it without quotes." if node.text in ("true", "false") else "Write true or false."
        raise self.broken(node, f"{called} is true or false, not '{node.text}'", hint)

    def _date(self, called: str, node: Scalar) -> Expression:
        try:
            return Literal(exact(date.fromisoformat(node.text)), sort_of("date"), node.text)
        except ValueError:
            age = isinstance(parse_quantity(node.text, ("time",)), Quantity)
            hint = f"An age is a difference: job.day - {called}." if age else "A date is written like 2026-11-25."
            raise self.broken(node, f"{called} is a date, but {node.text} is none", hint) from None

    def _word(self, left: Expression, called: str, node: Scalar, words: AtHand) -> Expression:
        known = words_of(left.names[0], words.kinds, words.outer) if len(left.names) == 1 else ()
        if known and node.text not in known:
            hint = nearest_hint(node.text, known, f"Known: {', '.join(known)}.")
            hint = f"Write {{not: {node.text[4:]}}}." if node.text[4:] in known and node.text[:4] == "not " else hint
            either = node.text.replace(",", " or ").split(" or ")
            hint = "Several are a list in brackets, such as [pp, pe]." if len(either) > 1 else hint
            raise self.broken(node, f"{called} is never {node.text}", hint)
        return Literal(exact(node.text), sort_of("word"), node.text)

    def _quantity(self, left: Expression, node: Scalar, words: AtHand) -> Expression:
        # Asked first in the figure's own dimension, for torque and energy or two temperatures share their units.
        own = parse_quantity(node.text, (left.sort.name,)) if left.sort.name in DIMENSIONS else None
        read = own if isinstance(own, Quantity) else parse_any(node.text)
        if isinstance(read, Quantity) and "difference" in left.sort.name and _DEGREES.search(node.text):
            size = node.text.split()[0]
            raise self.broken(
                node, f"{node.text} is a temperature, and a difference is asked here", f"Such as {size} K."
            )
        if isinstance(read, Quantity):
            return literal(read)
        if _ARITHMETIC.search(node.text):
            return self.expression(node, node.text, words)
        raise self.broken(node, read.says, _way_out(node.text) or as_sentence(read.hint))


class FigureTestReader(OperandReader):
    """Reads the tests of one pack; a test that cannot be read raises BrokenError."""

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
        right = self.operand(left, key.text, node, words)
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
        choices = tuple(all_read(partial(self.operand, left, key.text, item, words) for item in items))
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
        to = partial(self.operand, left, key.text, entries["to"].value, words)
        within = partial(self._tolerance, left, key, entries["within"].value, words)
        return Near(left, *all_read([to, within]))

    def _tolerance(self, left: Expression, key: Scalar, node: Node, words: AtHand) -> Expression:
        if left.sort.name == "temperature":
            left = Literal(exact(0.0), sort_of("temperature difference"), "0 K")
        within = self.operand(left, f"the tolerance of {key.text}", node, words)
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


def _way_out(text: str) -> str:
    """Say what was meant by a number with more behind it than a unit."""
    if re.fullmatch(r"\d\d?:\d\d", text):
        return f"A time of day counts from midnight: {int(text[:-3]) * 60 + int(text[-2:])} min."
    if re.search(r"%\s*[a-z]", text):
        return "A share of something is written 90 % of limit.name."
    return "One value stands here; a second test is an entry of its own." if re.search(r" (and|or) ", text) else ""
