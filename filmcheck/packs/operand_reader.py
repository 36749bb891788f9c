"""Reads what a figure is compared with, and checks that both are of one kind."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date

from filmcheck.judging.expression import PURE, Expression, LimitName, Literal, Sort, literal, sort_of
from filmcheck.packs.arithmetic import LARGEST, AtHand, as_difference, read_expression
from filmcheck.packs.names import NameFaultError, words_of
from filmcheck.packs.pack_fields import BrokenError, Teller
from filmcheck.packs.sorts import a_sort, one_kind
from filmcheck.plant.nearest import nearest_hint
from filmcheck.reading.nodes import Fault, Node, Scalar
from filmcheck.records.value import exact
from filmcheck.units.quantity import DIMENSIONS, Quantity, parse_any, parse_quantity

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

    def read(self, left: Expression, called: str, node: Node, words: AtHand) -> Expression:
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
            hint = _sentence(getattr(asked, "hint", ""))
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
        raise self.broken(node, read.says, _way_out(node.text) or _sentence(read.hint))


def _way_out(text: str) -> str:
    """Say what was meant by a number with more behind it than a unit."""
    if re.fullmatch(r"\d\d?:\d\d", text):
        return f"A time of day counts from midnight: {int(text[:-3]) * 60 + int(text[-2:])} min."
    if re.search(r"%\s*[a-z]", text):
        return "A share of something is written 90 % of limit.name."
    return "One value stands here; a second test is an entry of its own." if re.search(r" (and|or) ", text) else ""


def _sentence(hint: str) -> str:
    return hint[:1].upper() + hint[1:] + ("" if hint[-1:] in ("", ".", "?") else ".")
