"""Reads conditions from a rule pack's tree; every fault has its place and the nearest known name."""

from __future__ import annotations

from collections.abc import Callable
from collections.abc import Sequence as Sequence_
from dataclasses import replace
from functools import partial

from filmcheck.figures.scopes import kinds_in
from filmcheck.judging.condition import Condition
from filmcheck.judging.expression import PURE, Expression, Literal, Sort
from filmcheck.judging.joined import AllHold, EitherHolds, Opposite, WhenThen
from filmcheck.judging.quantifier import Things
from filmcheck.judging.relations import RELATIONS
from filmcheck.judging.template import Template
from filmcheck.packs.arithmetic import AtHand, read_as_written
from filmcheck.packs.contradictions import always, never
from filmcheck.packs.figure_test_reader import TESTS, FigureTestReader, domain
from filmcheck.packs.language_words import meant_by
from filmcheck.packs.names import NameFaultError
from filmcheck.packs.pack_fields import BrokenError, Teller, all_read, span_within, speaks_at_hand
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
        self.figures = FigureTestReader(fault, file)
        self.places = PlaceReader(fault)
        self._depth = 0
        self._looked_for = 0
        self.keys: dict[int, tuple[Condition, Scalar]] = {}
        """The key that each condition stands at, by the condition's identity."""

    def template(self, node: Scalar, key: str, words: AtHand) -> Template:
        """Read a text with fields, the words of a key; a fault is told at the name that is wrong."""
        try:
            return read_template(" ".join(node.text.split()), words)
        except NameFaultError as fault:
            span = span_within(node.span, fault.says.partition(" ")[0], self._lines)
            self._tell(Fault("pack-broken", span, f"in {key}: {fault.says}", fault.hint))
            raise BrokenError from fault

    def read(self, node: Node, words: AtHand) -> Condition:
        """Read one condition: a mapping of demands that all must hold, or a list of such mappings."""
        if self._depth >= DEEPEST:
            raise self.broken(node, f"conditions are nested deeper than {DEEPEST}", "Break them up into two rules.")
        if self._depth == 0:
            self._looked_for = 0
        self._depth += 1
        try:
            made = self._read(node, words)
        finally:
            self._depth -= 1
        if isinstance(node, Mapping) and node.entries:
            first = next(iter(node.entries.values())).key
            self.keys.setdefault(id(made), (made, first))
        return made

    def _read(self, node: Node, words: AtHand) -> Condition:
        if isinstance(node, Sequence):
            return self._all(node.items, node, words)
        if isinstance(node, Mapping) and OWN_WORDS in node.entries:
            return self._worded(node, words)
        if not isinstance(node, Mapping) or not node.entries:
            raise self.broken(node, "a condition is a mapping, such as {web.speed: {at_most: 80 m/min}}")
        if any(key in node.entries for key in QUANTITIES):
            return self._things(node, words)
        rest = node.entries
        for word, way in NOT_WORDS.items():
            if word in rest:
                raise self.broken(rest[word].key, f"{word} is no word of conditions", way)
        stray = next((rest[word].key for word in THINGS_KEYS if word in rest and word not in TESTS), None)
        if stray is not None:
            hint = f"Write every: in place of all:, and {stray.text}:." if "all" in rest else "Name the kind there."
            raise self.broken(stray, f"{stray.text} needs every, some, no or count beside it", hint)
        reads: list[Callable[[], Condition]] = []
        if "when" in rest or "then" in rest:
            reads.append(partial(self._when_then, node, words))
            rest = {name: entry for name, entry in rest.items() if name not in ("when", "then")}
        reads += [partial(self._demand, key, value, words) for key, value in rest.values()]
        return self.figures.joint(all_read(reads), node, words)

    def _when_then(self, node: Mapping, words: AtHand) -> Condition:
        for name, other in (("when", "then"), ("then", "when")):
            if name not in node.entries:
                raise self.broken(node.entries[other].key, f"{other} needs {name} beside it")
        when, then = all_read(partial(self.read, node.entries[name].value, words) for name in ("when", "then"))
        if never(AllHold((when, then)), domain(words)):
            raise self.broken(node.entries["then"].key, "what then asks cannot be where when holds")
        if always(EitherHolds((Opposite(when), then)), domain(words)):
            raise self.broken(node.entries["then"].key, "then always holds where when does, so it asks nothing")
        return WhenThen(when, then)

    def _worded(self, node: Mapping, words: AtHand) -> Condition:
        """Read a condition that says in its own words what it means where it does not hold."""
        entries = {key: entry for key, entry in node.entries.items() if key != OWN_WORDS}
        inner, said = all_read([partial(self._read, Mapping(entries, node.at), words), partial(self._said, node)])
        template = self.template(said, OWN_WORDS, words)
        if any(part.special == "reason" for part in template):
            raise self.broken(said, f"in {OWN_WORDS}: {{reason}} would name itself; it belongs in says")
        return AllHold((inner,), template)

    def _said(self, node: Mapping) -> Scalar:
        said = node.entries[OWN_WORDS].value
        if isinstance(said, Scalar) and said.text.strip():
            return said
        hint = "For another demand, write a second entry: {when: {not: …}, then: …}."
        raise self.broken(said, f"{OWN_WORDS} takes the words for {{reason}} where the condition does not hold", hint)

    def _all(self, items: list[Node], node: Node, words: AtHand) -> Condition:
        if not items:
            raise self.broken(node, "this list of conditions is empty")
        return self.figures.joint(all_read(partial(self.read, item, words) for item in items), node, words)

    def _demand(self, key: Scalar, value: Node, words: AtHand) -> Condition:
        if key.text == "not":
            return Opposite(self.read(value, words))
        if key.text in ("all", "either"):
            return self._joined(key, value, words)
        if key.text in TESTS:
            hint = f"The figure stands first, as in {{web.speed: {{{key.text}: …}}}}; in a count, beside count:."
            raise self.broken(key, f"{key.text} tests nothing here", hint)
        made = self.figures.test(self._left(key, value, words), key, value, words)
        self.keys[id(made)] = (made, key)
        if isinstance(made, AllHold) and isinstance(value, Mapping) and len(made.parts) == len(value.entries):
            for part, entry in zip(made.parts, value.entries.values(), strict=True):
                self.keys[id(part)] = (part, entry.key)
        return made

    def _left(self, key: Scalar, value: Node, words: AtHand) -> Expression:
        """Read what a demand is about. Whether a figure is given can be asked of one of several dimensions too."""
        entry = value.entries.get("given") if isinstance(value, Mapping) and len(value.entries) == 1 else None
        if entry is None and not (isinstance(value, Scalar) and value.text in ("given", "not given")):
            return self.figures.expression(key, key.text, words)
        try:
            return read_as_written(key.text, words)
        except NameFaultError as fault:
            raise self.broken(key, fault.says, fault.hint) from fault

    def _joined(self, key: Scalar, value: Node, words: AtHand) -> Condition:
        if not isinstance(value, Sequence) or len(value.items) < 2:
            hint = "Of a kind of thing write every: or some:, then has:."
            raise self.broken(value, f"{key.text} takes a list of two or more conditions", hint)
        if key.text == "all":
            return self._all(value.items, value, words)
        either = EitherHolds(tuple(all_read(partial(self.read, item, words) for item in value.items)))
        if always(either, domain(words)):
            raise self.broken(key, "every job meets one of these, so either always holds")
        return either

    def _things(self, node: Mapping, words: AtHand) -> Condition:
        entries = node.entries
        quantity = next(key for key in QUANTITIES if key in entries)
        for name, (key, _) in entries.items():
            if name not in THINGS_KEYS or (name in QUANTITIES and name != quantity):
                near = nearest(name, THINGS_KEYS)
                hint = meant_by(name) or (f"Nearest: {near}." if near and near != name else "")
                hint = hint or f"Beside {quantity}: where, has, before, after, between, next_to, within."
                raise self.broken(key, f"{name} does not go with {quantity}", hint)
        kind = self.places.kind(entries[quantity].value)
        self._looked_for += 1
        if words.depth >= MOST_THINGS_WITHIN:
            raise self.broken(node, f"things are looked for within things deeper than {MOST_THINGS_WITHIN}")
        if self._looked_for > MOST_THINGS:
            raise self.broken(node, f"this rule looks for things more than {MOST_THINGS} times", "Split the rule.")
        for name in ("where", "has"):
            if name in entries and not speaks_at_hand(entries[name].value):
                hint = f"Ask for one of its fields, such as its.number, or leave {name} out."
                raise self.broken(entries[name].key, f"{name} never speaks of the {kind} at hand", hint)
        inner = words.inside(kinds_in(kind))
        where, has, position = all_read(
            [
                partial(self._clause, node, "where", inner),
                partial(self._clause, node, "has", inner),
                partial(self.places.position, node, kind, words),
            ]
        )
        if quantity == "every" and has is None:
            raise self.broken(node, "every needs has: what each of them must be")
        return self._quantified(node, Things(quantity, kind, where, has, position), inner, words)

    def _clause(self, node: Mapping, name: str, words: AtHand) -> Condition | None:
        entry = node.entries.get(name)
        return self.read(entry.value, words) if entry is not None else None

    def _quantified(self, node: Mapping, things: Things, inner: AtHand, words: AtHand) -> Condition:
        self._refuse_idle_has(node, things, inner)
        relations = [entry for name, entry in node.entries.items() if name in RELATIONS]
        if things.quantity != "count":
            if relations:
                raise self.broken(
                    relations[0].key, f"{relations[0].key.text} goes with count, not with {things.quantity}"
                )
            return things
        if len(relations) != 1:
            hint = "For a range write two conditions in a list." if relations else ""
            raise self.broken(node, f"count needs exactly one of {', '.join(RELATIONS)}", hint)
        key, value = relations[0]
        right = self.figures.operand(Literal(exact(0.0), Sort("count", PURE), "count"), "count", value, words)
        self._refuse_no_count(key, value, right)
        return replace(things, relation=key.text, right=right)

    def _refuse_idle_has(self, node: Mapping, things: Things, words: AtHand) -> None:
        """Look whether things that are so can be what has asks, and can fail to be."""
        if things.where is None or things.has is None:
            return
        key = node.entries["has"].key
        clash = never(AllHold((things.where, things.has)), domain(words))
        if clash:
            raise self.broken(key, f"nothing can be what both where and has ask: {clash}")
        if never(AllHold((things.where, Opposite(things.has))), domain(words)):
            raise self.broken(key, "has always holds where where does, so it sets nothing apart")

    def _refuse_no_count(self, key: Scalar, node: Node, right: Expression) -> None:
        """Look whether a count can come to this number, and can fail to."""
        if not isinstance(right, Literal):
            return
        wanted = number(right.value.low)
        if wanted < 0 or not wanted.is_integer():
            raise self.broken(node, f"a count is a whole number, not {right.text}")
        if wanted == 0 and key.text in ("at_least", "below"):
            says = f"a count is {'always' if key.text == 'at_least' else 'never'} {key.text.replace('_', ' ')} 0"
            raise self.broken(key, says, "For at least one write at_least: 1, for none no: and the kind.")
