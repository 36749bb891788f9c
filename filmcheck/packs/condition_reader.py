"""Reads conditions from a rule pack's tree; every fault has its place and the nearest known name."""

from __future__ import annotations

from collections.abc import Callable
from collections.abc import Sequence as Sequence_
from dataclasses import replace

from filmcheck.figures.scopes import kinds_in
from filmcheck.judging.condition import Condition
from filmcheck.judging.expression import PURE, Expression, Literal, Sort
from filmcheck.judging.joined import AllHold, EitherHolds, Opposite, WhenThen
from filmcheck.judging.quantifier import Things
from filmcheck.judging.relations import RELATIONS
from filmcheck.packs.arithmetic import AtHand, read_as_written
from filmcheck.packs.contradictions import always, never
from filmcheck.packs.figure_test_reader import TESTS, FigureTestReader, domain
from filmcheck.packs.language_words import meant_by
from filmcheck.packs.names import NameFaultError
from filmcheck.packs.node_texts import span_within, speaks_at_hand
from filmcheck.packs.operand_reader import OperandReader
from filmcheck.packs.pack_fields import Teller
from filmcheck.packs.place_reader import PLACES, PlaceReader
from filmcheck.packs.template_reader import read_template
from filmcheck.plant.nearest import nearest
from filmcheck.reading.nodes import Fault, Mapping, Node, Scalar, Sequence
from filmcheck.records.value import exact, number

QUANTITIES = ("every", "some", "no", "count")
JOINERS = ("all", "either", "not", "when", "then")
NOT_WORDS = {
    "if": "Write when: and then:.",
    "unless": "Write when: {not: …} and then:.",
    "or": "Write either: and a list of conditions.",
    "and": "All entries of a mapping must hold; or write all: and a list.",
    "any": "Write some: and the kind for one or more of them, every: for all.",
    "each": "Write every: and the kind, then has: and what each must be.",
    "none": "Write no: and the kind.",
    "else_if": "Write a list of when: and then:.",
    "otherwise": "Write a second entry: {when: {not: …}, then: …}.",
}
"""Words that people write, and what stands for them."""
OWN_WORDS = "else"
"""Beside any condition: what {reason} says where the condition does not hold."""
DEEPEST = 20
"""Conditions within conditions: more is no sentence that an engineer can check."""
MOST_THINGS_WITHIN = 3
"""Things within things, those of for_each counted: each looks through the path anew."""
MOST_THINGS = 24
"""Demands on things in one clause of a rule."""
THINGS_KEYS = (*QUANTITIES, *PLACES, "where", "has", "within", *RELATIONS)


__all__ = ["TESTS", "ConditionReader", "domain"]


class ConditionReader(Teller):
    """Reads the conditions of one pack and gathers what is wrong with them."""

    def __init__(self, fault: Callable[[Fault], None], file: str = "", lines: Sequence_[str] = ()) -> None:
        """Take the function that a fault is told to, and the file with its lines, to point into texts."""
        super().__init__(fault)
        self._lines = lines
        self._operands = OperandReader(fault, file)
        self._tests = FigureTestReader(fault, self._operands)
        self._places = PlaceReader(fault)
        self._depth = 0
        self._looked_for = 0
        self.keys: dict[int, tuple[Condition, Scalar]] = {}
        """The key that each condition stands at, by the condition's identity."""

    def fault_in_text(self, node: Node, lead: str, fault: NameFaultError) -> None:
        """Tell a fault of a name within a text, at the name."""
        span = span_within(node.span, fault.says.partition(" ")[0], self._lines)
        self._tell(Fault("pack-broken", span, f"{lead}{fault.says}", fault.hint))

    def expression(self, node: Node, text: str, words: AtHand) -> Expression | None:
        """Read arithmetic; a fault of it is told at the node."""
        return self._operands.expression(node, text, words)

    def compared(self, left: Expression, called: str, node: Node, words: AtHand) -> Expression | None:
        """Read what stands against an expression, called so in the rule; a fault of it is told at the node."""
        return self._operands.read(left, called, node, words)

    def kind(self, node: Node) -> str:
        """Read a kind of thing; an empty text where it is not known."""
        return self._places.kind(node)

    def read(self, node: Node, words: AtHand) -> Condition | None:
        """Read one condition: a mapping of demands that all must hold, or a list of such mappings."""
        if self._depth >= DEEPEST:
            self.fault(node, f"conditions are nested deeper than {DEEPEST}", "Break them up into two rules.")
            return None
        if self._depth == 0:
            self._looked_for = 0
        self._depth += 1
        try:
            made = self._read(node, words)
        finally:
            self._depth -= 1
        if made is not None and isinstance(node, Mapping) and node.entries:
            first = next(iter(node.entries.values())).key
            self.keys.setdefault(id(made), (made, first))
        return made

    def _read(self, node: Node, words: AtHand) -> Condition | None:
        if isinstance(node, Sequence):
            return self._all(node.items, node, words)
        if isinstance(node, Mapping) and OWN_WORDS in node.entries:
            return self._worded(node, words)
        if not isinstance(node, Mapping) or not node.entries:
            self.fault(node, "a condition is a mapping, such as {web.speed: {at_most: 80 m/min}}")
            return None
        if any(key in node.entries for key in QUANTITIES):
            return self._things(node, words)
        rest = node.entries
        for word, way in NOT_WORDS.items():
            if word in rest:
                self.fault(rest[word].key, f"{word} is no word of conditions", way)
                return None
        stray = next((rest[word].key for word in THINGS_KEYS if word in rest and word not in TESTS), None)
        if stray is not None:
            hint = f"Write every: in place of all:, and {stray.text}:." if "all" in rest else "Name the kind there."
            self.fault(stray, f"{stray.text} needs every, some, no or count beside it", hint)
            return None
        parts: list[Condition | None] = []
        if "when" in rest or "then" in rest:
            parts = [self._when_then(node, words)]
            rest = {name: entry for name, entry in rest.items() if name not in ("when", "then")}
        parts += [self._demand(key, value, words) for key, value in rest.values()]
        return self._tests.joint(parts, node, words)

    def _when_then(self, node: Mapping, words: AtHand) -> Condition | None:
        for name, other in (("when", "then"), ("then", "when")):
            if name not in node.entries:
                self.fault(node.entries[other].key, f"{other} needs {name} beside it")
                return None
        when, then = (self.read(node.entries[name].value, words) for name in ("when", "then"))
        if when is None or then is None:
            return None
        if never(AllHold((when, then)), domain(words)):
            self.fault(node.entries["then"].key, "what then asks cannot be where when holds")
            return None
        if always(EitherHolds((Opposite(when), then)), domain(words)):
            self.fault(node.entries["then"].key, "then always holds where when does, so it asks nothing")
            return None
        return WhenThen(when, then)

    def _worded(self, node: Mapping, words: AtHand) -> Condition | None:
        """Read a condition that says in its own words what it means where it does not hold."""
        entries = {key: entry for key, entry in node.entries.items() if key != OWN_WORDS}
        inner = self._read(Mapping(entries, node.at), words)
        said = node.entries[OWN_WORDS].value
        if not isinstance(said, Scalar) or not said.text.strip():
            hint = "For another demand, write a second entry: {when: {not: …}, then: …}."
            self.fault(said, f"{OWN_WORDS} takes the words for {{reason}} where the condition does not hold", hint)
            return None
        if inner is None:
            return None
        try:
            template = read_template(" ".join(said.text.split()), words)
        except NameFaultError as fault:
            self.fault_in_text(said, f"in {OWN_WORDS}: ", fault)
            return None
        if any(part.special == "reason" for part in template):
            self.fault(said, f"in {OWN_WORDS}: {{reason}} would name itself; it belongs in says")
            return None
        return AllHold((inner,), template)

    def _all(self, items: list[Node], node: Node, words: AtHand) -> Condition | None:
        if not items:
            self.fault(node, "this list of conditions is empty")
        return self._tests.joint([self.read(item, words) for item in items], node, words)

    def _demand(self, key: Scalar, value: Node, words: AtHand) -> Condition | None:
        if key.text == "not":
            inner = self.read(value, words)
            return Opposite(inner) if inner is not None else None
        if key.text in ("all", "either"):
            return self._joined(key, value, words)
        if key.text in TESTS:
            hint = f"The figure stands first, as in {{web.speed: {{{key.text}: …}}}}; in a count, beside count:."
            self.fault(key, f"{key.text} tests nothing here", hint)
            return None
        left = self._left(key, value, words)
        made = self._tests.test(left, key, value, words) if left is not None else None
        if made is not None:
            self.keys[id(made)] = (made, key)
        if isinstance(made, AllHold) and isinstance(value, Mapping) and len(made.parts) == len(value.entries):
            for part, entry in zip(made.parts, value.entries.values(), strict=True):
                self.keys[id(part)] = (part, entry.key)
        return made

    def _left(self, key: Scalar, value: Node, words: AtHand) -> Expression | None:
        """Read what a demand is about. Whether a figure is given can be asked of one of several dimensions too."""
        entry = value.entries.get("given") if isinstance(value, Mapping) and len(value.entries) == 1 else None
        if entry is None and not (isinstance(value, Scalar) and value.text in ("given", "not given")):
            return self.expression(key, key.text, words)
        try:
            return read_as_written(key.text, words)
        except NameFaultError as fault:
            self.fault(key, fault.says, fault.hint)
            return None

    def _joined(self, key: Scalar, value: Node, words: AtHand) -> Condition | None:
        if not isinstance(value, Sequence) or len(value.items) < 2:
            hint = "Of a kind of thing write every: or some:, then has:."
            self.fault(value, f"{key.text} takes a list of two or more conditions", hint)
            return None
        if key.text == "all":
            return self._all(value.items, value, words)
        parts = [self.read(item, words) for item in value.items]
        known = tuple(part for part in parts if part is not None)
        if len(known) < len(parts):
            return None
        if always(EitherHolds(known), domain(words)):
            self.fault(key, "every job meets one of these, so either always holds")
            return None
        return EitherHolds(known)

    def _things(self, node: Mapping, words: AtHand) -> Condition | None:
        entries = node.entries
        quantity = next(key for key in QUANTITIES if key in entries)
        for name, (key, _) in entries.items():
            if name not in THINGS_KEYS or (name in QUANTITIES and name != quantity):
                near = nearest(name, THINGS_KEYS)
                hint = meant_by(name) or (f"Nearest: {near}." if near and near != name else "")
                hint = hint or f"Beside {quantity}: where, has, before, after, between, next_to, within."
                self.fault(key, f"{name} does not go with {quantity}", hint)
                return None
        kind = self.kind(entries[quantity].value)
        if not kind:
            return None
        self._looked_for += 1
        if words.depth >= MOST_THINGS_WITHIN:
            self.fault(node, f"things are looked for within things deeper than {MOST_THINGS_WITHIN}")
            return None
        if self._looked_for > MOST_THINGS:
            self.fault(node, f"this rule looks for things more than {MOST_THINGS} times", "Split the rule.")
            return None
        for name in ("where", "has"):
            if name in entries and not speaks_at_hand(entries[name].value):
                hint = f"Ask for one of its fields, such as its.number, or leave {name} out."
                self.fault(entries[name].key, f"{name} never speaks of the {kind} at hand", hint)
                return None
        inner = words.inside(kinds_in(kind))
        where = self._clause(node, "where", inner)
        has = self._clause(node, "has", inner)
        position = self._places.position(node, kind, words)
        if ("where" in entries and where is None) or ("has" in entries and has is None):
            return None
        if position is None and any(place in entries for place in (*PLACES, "within")):
            return None
        if quantity == "every" and has is None:
            self.fault(node, "every needs has: what each of them must be")
            return None
        return self._quantified(node, Things(quantity, kind, where, has, position), inner, words)

    def _clause(self, node: Mapping, name: str, words: AtHand) -> Condition | None:
        entry = node.entries.get(name)
        return self.read(entry.value, words) if entry is not None else None

    def _quantified(self, node: Mapping, things: Things, inner: AtHand, words: AtHand) -> Condition | None:
        if things.where is not None and things.has is not None and not self._has_agrees(node, things, inner):
            return None
        relations = [entry for name, entry in node.entries.items() if name in RELATIONS]
        if things.quantity != "count":
            if relations:
                self.fault(relations[0].key, f"{relations[0].key.text} goes with count, not with {things.quantity}")
                return None
            return things
        if len(relations) != 1:
            hint = "For a range write two conditions in a list." if relations else ""
            self.fault(node, f"count needs exactly one of {', '.join(RELATIONS)}", hint)
            return None
        key, value = relations[0]
        right = self._operands.read(Literal(exact(0.0), Sort("count", PURE), "count"), "count", value, words)
        if right is None or not self._countable(key, value, right):
            return None
        return replace(things, relation=key.text, right=right)

    def _has_agrees(self, node: Mapping, things: Things, words: AtHand) -> bool:
        """Look whether things that are so can be what has asks, and can fail to be."""
        key = node.entries["has"].key
        if things.where is None or things.has is None:
            return True
        clash = never(AllHold((things.where, things.has)), domain(words))
        if clash:
            self.fault(key, f"nothing can be what both where and has ask: {clash}")
        elif never(AllHold((things.where, Opposite(things.has))), domain(words)):
            self.fault(key, "has always holds where where does, so it sets nothing apart")
            clash = "has"
        return not clash

    def _countable(self, key: Scalar, node: Node, right: Expression) -> bool:
        """Look whether a count can come to this number, and can fail to."""
        if not isinstance(right, Literal):
            return True
        wanted = number(right.value.low)
        if wanted < 0 or not wanted.is_integer():
            self.fault(node, f"a count is a whole number, not {right.text}")
            return False
        if wanted == 0 and key.text in ("at_least", "below"):
            says = f"a count is {'always' if key.text == 'at_least' else 'never'} {key.text.replace('_', ' ')} 0"
            self.fault(key, says, "For at least one write at_least: 1, for none no: and the kind.")
            return False
        return True
