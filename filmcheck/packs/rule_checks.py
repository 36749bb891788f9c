"""What a rule must have, and what it must not: looked at when its pack is loaded, each fault told at its own place."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from filmcheck.figures.catalogue import field_dimensions
from filmcheck.figures.given import given_figures
from filmcheck.figures.scopes import kinds_in, scoped_name
from filmcheck.judging.condition import Condition
from filmcheck.judging.joined import AllHold, Opposite
from filmcheck.judging.pointing import REGISTER
from filmcheck.packs.arithmetic import AtHand
from filmcheck.packs.condition_reader import domain
from filmcheck.packs.contradictions import never
from filmcheck.packs.pack_fields import speaks_of_it, text_of
from filmcheck.packs.place_reader import spelled
from filmcheck.packs.sheet_addresses import LostAddress, lost_field
from filmcheck.reading.nodes import Mapping, Node, Scalar, Sequence, scalars
from filmcheck.reading.shipped import shipped_schema

TellNode = Callable[[Node, str, str], None]
_JUDGED_ONLY = ("requires", "no_other_job", "applies", "warning_where", "for_each", "at")
_SPEAKING = ("requires", "applies", "says", "instead", "at")
_PLAIN_TEXTS = ("title", "because", "basis", "caution")
_QUOTES = "“”„‟«»‘‚"


def check_sentence(rule: Mapping, cites: bool, tell: TellNode) -> None:
    """Look whether a rule says all that it must."""
    key, name = rule.entries["rule"].value, text_of(rule, "rule")
    _plain_texts(rule, tell)
    if text_of(rule, "found_by"):
        for word in _JUDGED_ONLY:
            if word in rule.entries:
                tell(
                    rule.entries[word].key,
                    f"a rule found by {text_of(rule, 'found_by')} has no {word}",
                    "Leave it out.",
                )
        return
    if rule.entries.keys() - shipped_schema("rule-pack")["properties"]["rules"]["items"]["properties"].keys():
        return  # what is lacking stands under a key that is misspelt, and that is told
    if "requires" not in rule.entries and "no_other_job" not in rule.entries:
        tell(key, f"rule {name} requires nothing, so it can never fail", "Add requires: and what must hold.")
    if not text_of(rule, "says"):
        tell(key, f"rule {name} lacks says: what is wrong on this job", "Add says: and a sentence for the crew.")
    if not cites and not text_of(rule, "basis"):
        tell(key, f"rule {name} cites no limit, so it needs a basis", "Write basis: and who says so.")
    if text_of(rule, "safety") == "true" and not text_of(rule, "caution"):
        tell(key, f"rule {name} is for safety, so it needs a caution", "Add caution: and what guards people.")
    _each(rule, tell)
    _at(rule, tell)


def _plain_texts(rule: Mapping, tell: TellNode) -> None:
    for word in (*_PLAIN_TEXTS, "says", "instead"):
        if text_of(rule, word)[:1] in tuple(_QUOTES):
            says = f"{word} begins with a typographic quote, which would be printed"
            tell(rule.entries[word].value, says, 'The quotes of YAML are straight: "…".')
    for word in _PLAIN_TEXTS:
        text = text_of(rule, word)
        if "{" in text or "}" in text:
            hint = "Figures stand in says, instead and else."
            tell(rule.entries[word].value, f"{word} is printed as it stands, so its braces would stay", hint)


def _each(rule: Mapping, tell: TellNode) -> None:
    """Refuse a rule that judges things one by one and never speaks of the one at hand: it would repeat itself."""
    entry = rule.entries.get("for_each")
    nodes = [rule.entries[word].value for word in _SPEAKING if word in rule.entries]
    if entry is None or any(speaks_of_it(word.text) for node in nodes for word in scalars(node)):
        return
    hint = "Ask for one of its fields, such as its.number; name it as {it}; or leave for_each out."
    tell(entry.value, "for_each is there, but the rule never speaks of the thing at hand", hint)


def rules_named(node: Node) -> Iterator[Scalar]:
    """Give the rules that conditions name as those of a deviation permit."""
    if isinstance(node, Sequence):
        for item in node.items:
            yield from rules_named(item)
    elif isinstance(node, Mapping):
        for name, (_, value) in node.entries.items():
            yield from _words_below(value) if name in ("its.rule", "that.rule") else rules_named(value)


def _words_below(node: Node) -> Iterator[Scalar]:
    if isinstance(node, Scalar):
        if node.text not in ("given", "not given") and not isinstance(node.value, bool) and "." not in node.text:
            yield node
    else:
        inner = node.items if isinstance(node, Sequence) else [value for _, value in node.entries.values()]
        for item in inner:
            yield from _words_below(item)


def _at(rule: Mapping, tell: TellNode) -> None:
    entry = rule.entries.get("at")
    if entry is None or not isinstance(entry.value, Scalar):
        return
    lost = None if entry.value.text == REGISTER else _lost(entry.value.text, spelled(text_of(rule, "for_each")))
    if lost is not None:
        tell(entry.value, f"at: {lost.says}", lost.hint)


def _lost(address: str, kind: str) -> LostAddress | None:
    if address != "its" and not address.startswith("its."):
        return lost_field(address)
    if not kind:
        return LostAddress(f"{address} has nothing to belong to here", "It needs for_each in the rule.")
    field = address[4:]
    kinds = kinds_in(kind)
    if not field or not kinds or any(_has_field(one, field) for one in kinds):
        return None
    return LostAddress(f"{address} leads nowhere: {kind} has no {field}", f"See: filmcheck rules words {kind}")


def _has_field(kind: str, field: str) -> bool:
    if field_dimensions(kind, field):
        return True
    start = f"{scoped_name(kind, field)}."
    return any(name.startswith(start) for name in given_figures())


def check_reach(
    rule: Mapping, conditions: tuple[Condition | None, Condition | None], words: AtHand, tell: TellNode
) -> None:
    """Refuse a rule that can never pass or never fail where it applies. Each clause alone was looked at before."""
    applies, requires = conditions
    known = domain(words)
    if requires is None or applies is None:
        return
    key = rule.entries["requires"].key
    clash = never(AllHold((applies, requires)), known)
    if clash:
        tell(key, f"where the rule applies it can never pass: {clash}", "Change applies or requires.")
    elif never(AllHold((applies, Opposite(requires))), known):
        tell(key, "where the rule applies it can never fail: applies asks for the same", "Take it out of applies.")
