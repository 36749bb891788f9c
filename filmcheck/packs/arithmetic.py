"""Reads the text of an expression: tokens, precedence, dimensions; bounded in size."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from filmcheck.figures.scopes import all_words, kinds_in, parsed
from filmcheck.judging.arithmetic import Binary, Call, FirstOf, Over
from filmcheck.judging.expression import PURE, TIME, Expression, LimitName, Literal, Name, Sort, literal, sort_of
from filmcheck.judging.limit import Limit
from filmcheck.packs.language_words import function_meant
from filmcheck.packs.names import ManyDimensionsError, NameFaultError, a_sort, figure_sort, one_kind
from filmcheck.plant.nearest import nearest, nearest_hint
from filmcheck.records.value import exact
from filmcheck.units.quantity import DIMENSIONS, Quantity, parse_any, parse_quantity

LONGEST = 400
"""Characters of one expression: more is no sentence that an engineer can check."""

LARGEST = 1e15
"""A plain number beyond is a slip of the pen, and whole numbers would no longer be exact."""

UNNAMED = "dimension without a name"
_TOKEN = re.compile(
    r"\s*(?:(?P<quantity>\[[^\]]*\])|(?P<share>\d+(?:\.\d+)?\s*%\s*of\b)|(?P<number>\d+(?:\.\d+)?)"
    r"|(?P<name>[a-z][a-z0-9_]*(?:\.[a-z][a-z0-9_]*)*)|(?P<sign>[-+*/×÷−(),]))",
)
_QUANTITY = re.compile(r"\s*(\d+(?:\.\d+)?\s*[A-Za-zµ°%²³]+(?:/[A-Za-zµ°²³]+)*)(?![\w.(])(?!\s*of\b)")
_SIGN = {"×": "*", "÷": "/", "−": "-"}
CHOOSING = ("least", "greatest", "size", "first_of")
GATHERING = ("count", "sum", "least", "greatest")


@dataclass(frozen=True)
class AtHand:
    """What names mean at one place of a pack: the limits, the pack's own figures, and the things at hand."""

    limits: dict[str, Limit]
    own: dict[str, Expression] = field(default_factory=dict)
    kinds: tuple[str, ...] = ()
    outer: tuple[str, ...] = ()
    depth: int = 0
    """Things within things so far."""
    proved: bool = False
    """Whether the pack has been proved: then nobody looks for contradictions anew."""

    def inside(self, kinds: tuple[str, ...]) -> AtHand:
        """Step to things of some kinds."""
        return AtHand(self.limits, self.own, kinds, self.kinds, self.depth + 1, self.proved)


def read_expression(text: str, words: AtHand) -> Expression:
    """Read an expression; raises NameFaultError that says what is wrong with it."""
    if len(text) > LONGEST:
        raise NameFaultError(f"the arithmetic is longer than {LONGEST} characters", "Break it up into figures.")
    return _Reader(text, words).whole()


def read_as_written(text: str, words: AtHand) -> Expression:
    """Read an expression, or the bare name of a given figure of several dimensions, which can only be shown."""
    try:
        return read_expression(text, words)
    except ManyDimensionsError:
        if _tokens(text)[1:]:
            raise
        return Name(text.strip(), Sort("as written", None))


class _Reader:
    def __init__(self, text: str, words: AtHand) -> None:
        self.text = text
        self.words = words
        self.tokens = _tokens(text)
        self.at = 0

    def whole(self) -> Expression:
        expression = self._sum(0)
        if self.at < len(self.tokens):
            raise NameFaultError(f"'{self.tokens[self.at][1]}' is not expected here in '{self.text}'")
        return expression

    def _peek(self) -> tuple[str, str]:
        return self.tokens[self.at] if self.at < len(self.tokens) else ("end", "the end")

    def _take(self, *texts: str) -> str:
        text = self._peek()[1]
        if texts and text not in texts:
            raise NameFaultError(f"'{self.text}' lacks {' or '.join(texts)} before {text}")
        self.at += 1
        return text

    def _sum(self, depth: int) -> Expression:
        if depth > 20:
            raise NameFaultError("the arithmetic is nested deeper than 20 brackets")
        left = self._product(depth)
        while self._peek()[1] in ("+", "-"):
            sign, right = self._take(), as_difference(self._product(depth), self.words)
            left = _added(sign, as_difference(left, self.words) if sign == "+" else left, right)
        return left

    def _product(self, depth: int) -> Expression:
        left = self._part(depth)
        while self._peek()[1] in ("*", "/"):
            left = _multiplied(self._take(), left, self._part(depth))
        return left

    def _part(self, depth: int) -> Expression:
        kind, text = self._peek()
        self.at += 1
        if kind == "sign" and text == "(":
            inner = self._sum(depth + 1)
            self._take(")")
            return inner
        if kind == "sign" and text == "-":
            return _multiplied("*", Literal(exact(-1.0), Sort("count", PURE), "-1"), self._part(depth + 1))
        if kind == "number" and self._peek()[0] == "name":
            raise NameFaultError(f"a quantity stands in brackets: [{text} {self._peek()[1]}]")
        if kind == "number":
            return Literal(exact(_plain_number(text)), Sort("count", PURE), text)
        if kind == "share":
            share = _plain_number(text.split("%")[0]) / 100
            return _multiplied("*", Literal(exact(share), Sort("ratio", PURE), text), self._part(depth))
        if kind == "quantity":
            return _bracketed(text)
        if kind == "name":
            return self._call(text, depth) if self._peek()[1] == "(" else self._name(text)
        raise NameFaultError(f"'{self.text}' lacks a name or number before {text}")

    def _name(self, name: str) -> Expression:
        if name in self.words.own:
            return self.words.own[name]
        if name.startswith("limit."):
            limit = self.words.limits.get(name[6:])
            if limit is None:
                near = nearest(name[6:], self.words.limits)
                raise NameFaultError(f"{name} is no known limit", f"Nearest: limit.{near}." if near else "")
            return LimitName(name[6:], sort_of(limit.dimension))
        if name.removeprefix("limits.") in self.words.limits:
            raise NameFaultError(f"{name} is no known figure", f"Did you mean limit.{name.removeprefix('limits.')}?")
        return Name(name, figure_sort(name, self.words.kinds, self.words.outer, tuple(self.words.own)))

    def _call(self, function: str, depth: int) -> Expression:
        if function not in (*CHOOSING, *GATHERING):
            known = tuple(dict.fromkeys((*CHOOSING, *GATHERING)))
            hint = function_meant(function) or nearest_hint(function, known, f"Known: {', '.join(known)}.")
            raise NameFaultError(f"{function} is no known function", hint)
        self._take("(")
        kind = self._kind()
        alone = self.tokens[self.at + 1 : self.at + 2] == [("sign", ")")]
        if kind and function in GATHERING and (alone or function not in CHOOSING):
            return self._over(function, kind)
        inner = [self._sum(depth + 1)]
        while self._peek()[1] == ",":
            self._take(",")
            inner.append(self._sum(depth + 1))
        self._take(")")
        return _called(function, tuple(inner))

    def _kind(self) -> str:
        """Give the kind of thing that the first name of a call stands for, such as lamp in lamp.setting."""
        kind, text = self._peek()
        named = parsed(text).kind
        return named if kind == "name" and kinds_in(named) else ""

    def _over(self, function: str, kind: str) -> Expression:
        name = parsed(self._take()).field
        self._take(")")
        if function == "count":
            if name:
                raise NameFaultError(f"count takes a kind of thing, not one of its fields: {kind}.{name}")
            return Over(function, kind, None, Sort("count", PURE))
        if not name:
            raise NameFaultError(f"{function} needs a field, such as {function}({kind.replace(' ', '_')}.number)")
        kinds = kinds_in(kind)
        inner = Name(f"its.{name}", figure_sort(f"its.{name}", kinds, self.words.kinds))
        if not inner.sort.is_amount:
            raise NameFaultError(f"{function} cannot reckon with {kind}.{name}: it is {a_sort(inner.sort)}")
        return Over(function, kind, inner, inner.sort)


def _plain_number(text: str) -> float:
    value = float(text)
    if value > LARGEST:
        raise NameFaultError(f"{text[:12]}… is larger than {LARGEST:g}: nothing is counted so high")
    return value


def _tokens(text: str) -> list[tuple[str, str]]:
    tokens, at = [], 0
    stripped = text.rstrip()
    while at < len(stripped):
        match = _QUANTITY.match(stripped, at)
        if match is not None and isinstance(parse_any(match[1]), Quantity):
            tokens.append(("quantity", f"[{match[1]}]"))
            at = match.end()
            continue
        match = _TOKEN.match(stripped, at)
        if match is None:
            raise NameFaultError(f"'{stripped[at:].strip()}' cannot be read in '{text}'", _way_out(stripped, at))
        kind = str(match.lastgroup)
        tokens.append((kind, _SIGN.get(match[kind], match[kind])))
        at = match.end()
    if not tokens:
        raise NameFaultError("nothing stands here", "Write a value, a word, or given.")
    return _kinds_joined(tokens)


def _kinds_joined(tokens: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Join two names that are one kind of thing, written as the path has it: uv lamp.setting is uv_lamp.setting."""
    joined: list[tuple[str, str]] = []
    for token in tokens:
        if joined and joined[-1][0] == token[0] == "name" and kinds_in(f"{joined[-1][1]} {token[1].partition('.')[0]}"):
            joined[-1] = ("name", f"{joined[-1][1]}_{token[1]}")
        else:
            joined.append(token)
    return joined


def _way_out(text: str, at: int) -> str:
    """Say what was most likely meant by what cannot be read."""
    rest = text[at:].strip()
    if rest.startswith("^") or text[:at].rstrip().endswith("*"):
        return "There are no powers; write a product, such as web.width * web.width."
    if rest[0] in "<>=!≤≥":
        return "Tests are words: {web.speed: {at_most: 80 m/min}}; or at_least, below, above, equals, not."
    if rest[0] == ":":
        return "Numbers are rounded by themselves; a unit stands behind in, as in {web.speed in m/min}."
    if re.search(r"\d\s*$", text[:at]):
        return "A quantity stands in brackets, such as [12 mm]."
    return "Names are of small letters, digits, _ and dots; a quantity stands in brackets, such as [12 mm]."


def _bracketed(text: str) -> Literal:
    quantity = parse_any(text[1:-1].strip())
    if isinstance(quantity, Quantity) and quantity.unit == "K":
        # Nobody writes a temperature of web or air in kelvin; what is added to one is a difference.
        quantity = parse_quantity(quantity.text, ("temperature difference",))
    if isinstance(quantity, Quantity):
        return literal(quantity)
    raise NameFaultError(quantity.says, quantity.hint)


def as_difference(expression: Expression, words: AtHand) -> Expression:
    """Take a limit in kelvin as a difference of temperatures; any other expression stays what it is."""
    if isinstance(expression, LimitName) and expression.sort.name == "temperature":
        limit = words.limits[expression.name]
        if all(quantity.unit == "K" for quantity in (limit.value, *limit.table.values()) if quantity is not None):
            return LimitName(expression.name, sort_of("temperature difference"))
    return expression


def _added(sign: str, left: Expression, right: Expression) -> Expression:
    if left.sort.name == right.sort.name == "date" and sign == "-":
        return Binary(sign, left, right, Sort("time", TIME))
    joined = "added to" if sign == "+" else "taken from"
    temperature = _temperature_sum(sign, left.sort.name, right.sort.name)
    unlike = temperature == "" or (temperature is None and not one_kind(left, right))
    if unlike or (temperature is None and not left.sort.is_amount):
        both = left.sort.name == right.sort.name == "temperature"
        hint = "A difference is in K, such as 10 K." if both else ""
        hint = hint or "Both sides of a sum must be of one dimension."
        raise NameFaultError(f"{a_sort(right.sort)} cannot be {joined} {a_sort(left.sort)}", hint)
    name = temperature or (right.sort.name if left.sort.name == "count" else left.sort.name)
    return Binary(sign, left, right, Sort(name, left.sort.exponents))


def _temperature_sum(sign: str, left: str, right: str) -> str | None:
    """Give what two temperatures or differences come to; an empty text where to nothing, None where neither is one."""
    absolute, apart = "temperature", "temperature difference"
    if absolute not in (left, right):
        return None
    if left == right:
        return apart if sign == "-" else ""
    if (left, right) == (absolute, apart) or ((left, right) == (apart, absolute) and sign == "+"):
        return absolute
    return ""


def _multiplied(sign: str, left: Expression, right: Expression) -> Expression:
    a, b = left.sort.exponents, right.sort.exponents
    if a is None or b is None:
        wrong = left if a is None else right
        raise NameFaultError(f"{a_sort(wrong.sort)} cannot be multiplied or divided")
    if "temperature" in (left.sort.name, right.sort.name):
        hint = "40 degC is not twice 20 degC; take the difference of two temperatures first."
        raise NameFaultError("a temperature cannot be multiplied or divided", hint)
    if sign == "/" and isinstance(right, Literal) and right.value.low == 0:
        raise NameFaultError("this divides by zero")
    exponents = tuple(x + y if sign == "*" else x - y for x, y in zip(a, b, strict=True))
    return Binary(sign, left, right, Sort(_named(exponents, left.sort, right.sort, sign), exponents))


def _named(exponents: tuple[int, ...], left: Sort, right: Sort, sign: str) -> str:
    """Give a product the name of its only dimensioned side, else the first dimension with these exponents."""
    if right.exponents == PURE and exponents != PURE:
        return left.name
    if left.exponents == PURE and sign == "*" and exponents != PURE:
        return right.name
    if exponents == PURE:
        both_counts = left.name == right.name == "count"
        return "count" if both_counts else "ratio"
    # What is worked out by a product is never a temperature itself, only a difference of temperatures.
    fit = (name for name, known in DIMENSIONS.items() if known.exponents == exponents and name != "temperature")
    return next(fit, UNNAMED)


def _called(function: str, inner: tuple[Expression, ...]) -> Expression:
    if function not in CHOOSING:
        raise NameFaultError(f"{function} takes a kind of thing", f"Known kinds: {', '.join(all_words()[:6])}, …")
    first = inner[0].sort
    if function == "first_of":
        return _fallback(inner)
    if any(part.sort.exponents != first.exponents or not part.sort.is_amount for part in inner):
        raise NameFaultError(f"{function} needs amounts of one dimension")
    if function == "size" and len(inner) != 1:
        raise NameFaultError("size takes one expression")
    return Call(function, inner, first)


def _fallback(inner: tuple[Expression, ...]) -> Expression:
    if len(inner) < 2:
        raise NameFaultError("first_of takes two or more, the one to be preferred first")
    other = next((part for part in inner if not one_kind(inner[0], part)), None)
    if other is not None:
        raise NameFaultError(f"first_of cannot take {a_sort(inner[0].sort)} or else {a_sort(other.sort)}")
    return FirstOf(inner, inner[0].sort)
