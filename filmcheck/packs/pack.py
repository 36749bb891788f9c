"""Loads rule packs: schema, limits, own figures, rules; whatever is wrong stops the lint and is told with its place."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path
from typing import cast

from filmcheck.figures.catalogue import job_dimensions
from filmcheck.figures.scopes import kinds_in
from filmcheck.judging.condition import Condition
from filmcheck.judging.expression import Expression, OwnFigure
from filmcheck.judging.phrases import Telling
from filmcheck.judging.rule import Pack, Rule
from filmcheck.judging.template import Template
from filmcheck.packs.arithmetic import AtHand
from filmcheck.packs.condition_reader import ConditionReader
from filmcheck.packs.limit_reader import read_limit
from filmcheck.packs.loaded import Packs
from filmcheck.packs.other_jobs_reader import read_other_jobs
from filmcheck.packs.pack_fields import inner, items_of, text_of, unless_broken, words_in
from filmcheck.packs.pack_tree import pack_tree
from filmcheck.packs.place_reader import spelled
from filmcheck.packs.proof_reader import ProofReader
from filmcheck.packs.rule_checks import check_reach, check_sentence, rules_named
from filmcheck.packs.template_reader import template_words
from filmcheck.plant.nearest import nearest_hint
from filmcheck.plant.plant import shown
from filmcheck.reading.nodes import Fault, Mapping, Node, Scalar, scalars
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.finding import Level, RuleText
from filmcheck.records.place import Place

MOST_NODES, MOST_FIGURES = 400, 20
"""Figures, quantities and signs of one figure, all written out, and figures of packs that it builds on: more is nothing
that anybody can check."""
ASKING = ("requires", "applies", "warning_where", "no_other_job")
RESERVED = ("its", "that", "limit")
"""First words that mean something else in a condition."""
_FIGURE_NAME = re.compile(r"[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*)+")
_NAME = re.compile(r"[a-z][a-z0-9_]*(?:\.[a-z][a-z0-9_]*)+")


def load_packs(files: Iterable[Path], *, to_prove: bool = True, onto: Packs | None = None) -> Packs:
    """Load packs, onto others where some are loaded. All limits are read before any rule: packs use each other's.

    The sheets that cases are built on must be there, but for those who only judge by the rules: a plant may build on
    a live sheet, and that sheet may go. To judge, the shipped packs are read without their proofs, and not searched
    for contradictions: proving them does both.

    Raises PackError with the faults found, for a rule must never be dropped in silence.
    """
    packs = onto or Packs()
    proved = None if to_prove else shipped_folder("rules")
    trees = []
    for path in files:
        read = pack_tree(path, packs.faults, proved=path.parent == proved)
        trees += [(shown(path), path.parent == proved, *read)] if read is not None else []
    for file, _, tree, _ in trees:
        _limits(tree, file, packs)
    seen = {rule.id: str(rule.place) for rule in packs.rules}
    readers = [(_PackReader(file, packs, seen, text, to_prove, sure), tree) for file, sure, tree, text in trees]
    for reader, tree in readers:
        packs.packs.append(reader.pack(tree))
        packs.condition_keys |= {
            at: (condition, Place(reader.file, key.span)) for at, (condition, key) in reader.conditions.keys.items()
        }
    _check_named_rules(packs, [word for reader, _ in readers for word in reader.proofs.named])
    packs.refuse()
    return packs


def _limits(tree: Mapping, file: str, packs: Packs) -> None:
    entry = tree.entries.get("limits")
    if entry is None or not isinstance(entry.value, Mapping):
        packs.broken.update(["limit."] if entry is not None else [])
        return
    for name, (key, value) in entry.value.entries.items():
        if name in packs.limits:
            first = packs.limits[name].place
            packs.tell(file, Fault("pack-broken", key.span, f"limit {name} is set twice; first at {first}"))
            continue
        limit = unless_broken(read_limit, name, key, value, file, lambda fault: packs.tell(file, fault))
        if limit is not None:
            packs.limits[name] = limit
        else:
            packs.broken.update((f"limit.{name}", f"limit.{name.replace('-', '_').lower()}"))


def _check_named_rules(packs: Packs, named: Iterable[tuple[str, Scalar]]) -> None:
    known = {rule.id for rule in packs.rules}
    for file, word in named:
        if word.text not in known:
            hint = nearest_hint(word.text, known, "See: filmcheck rules list")
            packs.tell(file, Fault("pack-broken", word.span, f"{word.text} is no known rule", hint))


class _PackReader:
    """Reads the rules of one pack."""

    def __init__(self, file: str, packs: Packs, seen: dict[str, str], text: str, to_prove: bool, proved: bool) -> None:
        self.file = file
        self.limits = packs.limits
        self.broken = packs.broken
        self.seen = seen
        self.conditions = ConditionReader(lambda fault: packs.tell(file, fault), file, text.split("\n"))
        self.proved = proved
        self.proofs = ProofReader(file, lambda fault: packs.tell(file, fault), to_prove)
        self.own: dict[str, Expression] = {}
        self.own_limits: dict[str, tuple[str, ...]] = {}

    def pack(self, tree: Mapping) -> Pack:
        title = text_of(tree, "pack")
        self._figures(inner(tree, "figures"))
        rules = [self._rule(item, title) for item in items_of(tree, "rules") if isinstance(item, Mapping)]
        return Pack(title, self.file, tuple(rule for rule in rules if rule is not None))

    def _figures(self, node: Mapping | None) -> None:
        for name, (key, value) in node.entries.items() if node else ():
            why = self._unfit(name)
            if why:
                self.conditions.fault(key, f"{name} {why}", "A new figure is named like roll.mass_with_core.")
                continue
            text = value.entries.get("is") if isinstance(value, Mapping) else None
            if text is None or not isinstance(text.value, Scalar):
                continue
            late = self._late(name, text.value, [*node.entries] if node else [])
            expression = self.conditions.figures.expression
            read = None if late else unless_broken(expression, text.value, text.value.text, self._bare_words())
            if read is not None and (why := _too_much(read)):
                self.conditions.fault(text.value, f"{name} is worked out from {why}", "Build on fewer figures.")
                read = None
            if read is None:
                self.broken.add(name)
            else:
                meaning = text_of(value, "meaning") if isinstance(value, Mapping) else ""
                self.own[name] = OwnFigure(name, Place(self.file, key.span), read.sort, read, meaning)
                self.own_limits[name] = _cited(text.value, self.own_limits)

    def _bare_words(self) -> AtHand:
        return AtHand(self.limits, self.own, proved=self.proved)

    def _late(self, name: str, text: Scalar, listed: list[str]) -> bool:
        """Refuse a figure that is worked out from itself, or from one that comes after it."""
        for used in _NAME.findall(text.text):
            if used in listed and listed.index(used) >= listed.index(name):
                where = "itself" if used == name else f"{used}, which comes after it"
                self.conditions.fault(text, f"{name} is worked out from {where}", "Figures build on those above them.")
                return True
        return False

    def _unfit(self, name: str) -> str:
        """Say why a new figure cannot bear this name."""
        if "." not in name:
            return "has no dot in it"
        if not _FIGURE_NAME.fullmatch(name):
            return "is no name for a figure: small letters, digits and _, with a dot"
        if name.split(".")[0] in RESERVED:
            return f"starts with {name.split('.')[0]}, which means something else"
        return "is a figure already" if job_dimensions(name) else ""

    def _rule(self, node: Mapping, family: str) -> Rule | None:
        name = text_of(node, "rule")
        if not name:
            return None
        if name in self.seen:
            twice = f"rule {name} is there twice; first at {self.seen[name]}"
            self.conditions.fault(node.entries["rule"].value, twice, "Give one of them another name.")
            return None
        place = Place(self.file, node.entries["rule"].value.span)
        self.seen[name] = str(place)
        words = self._words(node)
        if words is None:  # what its. means is not known, so nothing that speaks of it can be read
            return None
        requires = self._condition(node, "requires", words)
        applies = self._condition(node, "applies", words)
        warning_where = self._condition(node, "warning_where", words)
        beside = unless_broken(read_other_jobs, node, words, self.conditions)
        says, instead = self._template(node, "says", words), self._template(node, "instead", words)
        cited = self._limits_of(node)
        follows = self._follows(node, name)
        broken = any(
            made is None and key in node.entries
            for key, made in zip(ASKING, (requires, applies, warning_where, beside), strict=True)
        )
        # Of a condition that cannot be read, nobody knows yet which limits it would cite.
        check_sentence(node, bool(cited) or broken, self.conditions.fault)
        check_reach(node, (applies, requires), words, self.conditions.fault)
        return Rule(
            text=self._text(node, family, cited, instead),
            place=place,
            says=says,
            instead=instead,
            requires=requires,
            applies=applies,
            warning_where=warning_where,
            for_each=spelled(text_of(node, "for_each")),
            at=text_of(node, "at"),
            beside=beside,
            found_by=text_of(node, "found_by") or ("repository" if beside else "judging"),
            safety=text_of(node, "safety") == "true",
            follows=tuple(word.text for word in follows),
            limits=cited,
            cases=() if self.proved else self.proofs.cases(node),
        )

    def _follows(self, node: Mapping, name: str) -> list[Scalar]:
        """Keep the rules that a rule names in its conditions; give those whose faults bring it about."""
        for key in ASKING:
            if key in node.entries:
                for word in rules_named(node.entries[key].value):
                    self._named(word, name)
        follows = words_in(node, "follows")
        for word in follows:
            if word.text == name:
                self.conditions.fault(word, f"rule {name} follows itself", "Name the rule whose faults bring it about.")
        self.proofs.named += [(self.file, word) for word in follows]
        return follows

    def _named(self, word: Scalar, rule: str) -> None:
        """Keep a rule that a condition names. A rule that is met where itself is permitted would make that idle."""
        self.proofs.named.append((self.file, word))
        if word.text == rule:
            hint = "A permit for it accepts its finding anyway. Who must grant that, another rule can ask."
            self.conditions.fault(word, f"rule {rule} asks for a permit for itself", hint)

    def _text(self, node: Mapping, family: str, cited: tuple[str, ...], instead: Template) -> RuleText:
        return RuleText(
            id=text_of(node, "rule"),
            title=text_of(node, "title"),
            family=family,
            level=cast(Level, text_of(node, "level") or "error"),
            from_stage=text_of(node, "from_stage") or "planned",
            because=text_of(node, "because"),
            # Without limits: a plant may set its own, and this text is the same for all plants.
            instead=template_words(instead, Telling({}, spelled(text_of(node, "for_each")))),
            basis=self._basis(node, cited),
            caution=text_of(node, "caution"),
        )

    def _words(self, node: Mapping) -> AtHand | None:
        words = self._bare_words()
        entry = node.entries.get("for_each")
        if entry is None:
            return words
        kind = unless_broken(self.conditions.places.kind, entry.value) if isinstance(entry.value, Scalar) else ""
        return words.inside(kinds_in(kind)) if kind else None

    def _condition(self, node: Mapping, key: str, words: AtHand) -> Condition | None:
        entry = node.entries.get(key)
        if entry is None or isinstance(entry.value, Scalar):  # the schema has told of a text in its place
            return None
        return unless_broken(self.conditions.read, entry.value, words)

    def _template(self, node: Mapping, key: str, words: AtHand) -> Template:
        entry = node.entries.get(key)
        if entry is None or not isinstance(entry.value, Scalar):
            return ()
        template = unless_broken(self.conditions.template, entry.value, key, words) or ()
        if key == "instead" and any(part.special == "reason" for part in template):
            self.conditions.fault(entry.value, "in instead: {reason} would be empty here", "It belongs in says.")
        return template

    def _limits_of(self, node: Mapping) -> tuple[str, ...]:
        """Find the limits that the conditions of a rule cite, in the order in which they stand."""
        found: dict[str, None] = {}
        for key in ASKING:
            if key in node.entries:
                found.update(dict.fromkeys(_cited(node.entries[key].value, self.own_limits)))
        return tuple(found)

    def _basis(self, node: Mapping, cited: tuple[str, ...]) -> str:
        own = text_of(node, "basis")
        if own:
            return own
        bases = [self.limits[name].basis_text for name in cited if name in self.limits]
        return "; ".join(dict.fromkeys(bases))


def _too_much(read: Expression) -> str:
    """Say of what a figure holds too much; an empty text where it does not."""
    if read.size > MOST_NODES:
        return f"more than {MOST_NODES} parts, those of the figures within counted"
    return f"more than {MOST_FIGURES} other figures" if len(read.own_figures) > MOST_FIGURES else ""


def _cited(node: Node, own_limits: dict[str, tuple[str, ...]]) -> tuple[str, ...]:
    """Find the limits that a condition or expression cites, those within the pack's own figures too."""
    found: dict[str, None] = {}
    for word in scalars(node):
        for name in _NAME.findall(word.text):
            cited = (name[6:],) if name.startswith("limit.") else own_limits.get(name, ())
            found.update(dict.fromkeys(cited))
    return tuple(found)
