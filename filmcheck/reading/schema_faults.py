"""An error of the JSON Schema validator to faults at the exact span, in plain words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

from filmcheck.reading.nodes import Entry, Fault, KeyPath, Mapping, Node, Scalar
from filmcheck.reading.schema_examples import date_hint, example_of, hint_of_type, shows
from filmcheck.reading.schema_keys import comma_in_braces, meant_key, scalar_for_group, unknown_key_hint
from filmcheck.reading.schema_words import (
    bound_in_words,
    choice_hint,
    found_in_words,
    nearest_word,
    quoted,
    same_word,
    sentences,
    two_sizes_hint,
    types_in_words,
)
from filmcheck.records.place import Span
from filmcheck.units.faults import comma_list

if TYPE_CHECKING:
    from jsonschema import ValidationError


class Failure(NamedTuple):
    """What the validator says of one keyword that failed."""

    keyword: str
    limit: Any
    path: KeyPath
    schema: dict[str, Any]
    instance: Any


MOMENT = "{2} [0-9]{2}:"
"""What the pattern of a day with a time of day has in it."""

LONG_HINT = 160
"""Characters of a list of keys that is told once of a group."""

MOST_KEYS = 101
"""Unknown keys told of one group: one more than of a file, so that it is known that there are more."""


def failure(error: ValidationError) -> Failure:
    """Take over what matters of the validator's own record."""
    return Failure(
        str(error.validator),
        error.validator_value,
        tuple(error.absolute_path),
        dict(error.schema) if isinstance(error.schema, dict) else {},
        error.instance,
    )


class GroupFault(NamedTuple):
    """A fault, the path of the group it lies in, and the key it is about or that was meant."""

    fault: Fault
    group: KeyPath
    name: str = ""


class ErrorSpot(NamedTuple):
    """Where an error lies: the path, the node there, and the entry whose value it is, if it is one."""

    path: KeyPath
    node: Node
    entry: Entry | None

    @property
    def named(self) -> str:
        """The key in words, for the start of a sentence."""
        return quoted(self.entry.key.text) if self.entry else "This entry" if self.path else "The sheet"

    @property
    def head(self) -> Span:
        """The place to show for a group as a whole: its key, else its first key, else all of it."""
        if self.entry:
            return self.entry.key.span
        if isinstance(self.node, Mapping) and self.node.entries:
            return next(iter(self.node.entries.values())).key.span
        return self.node.span


def told(error: Failure, root: Node) -> Iterator[GroupFault]:
    """Give the faults that one error of the validator comes to; mostly one."""
    spot = _spot(root, error.path)
    teller = TELLERS.get(error.keyword)
    if teller is None:  # a keyword that no schema of ours has
        yield _wrong(spot, f"{spot.named} is not as it must be", error)
    else:
        yield from teller(error, spot)


def _spot(root: Node, path: Iterable[str | int]) -> ErrorSpot:
    """Follow a path of keys and numbers."""
    node, entry, steps = root, None, tuple(path)
    for step in steps:
        if isinstance(node, Mapping):
            entry = node.entries[str(step)]
            node = entry.value
        elif not isinstance(node, Scalar):
            node, entry = node.items[int(step)], None
    return ErrorSpot(steps, node, entry)


def _wrong(spot: ErrorSpot, says: str, error: Failure, hint: str = "", span: Span | None = None) -> GroupFault:
    """Make the fault of a wrong value; the schema's own words are the hint of last resort."""
    hint = sentences(hint or _expected(error.schema), error.schema.get("until_mended", ""))
    place = span or (spot.node.span if isinstance(spot.node, Scalar) else spot.head)
    if spot.entry and place[:2] == place[2:]:
        place = spot.entry.key.span  # nothing stands there; point at the key
    return GroupFault(Fault("value-wrong", place, f"{says}.", hint), spot.path)


def _expected(schema: dict[str, Any]) -> str:
    """Give the schema's own words for a value, with its examples."""
    words = str(schema.get("description", "")).rstrip(".")
    examples = [f"`{example_of({'examples': [example]})}`" for example in schema.get("examples", [])[:3]]
    made = "" if examples else example_of(schema)
    if shows(made, schema):
        examples = [f"`{made}`"]  # to be copied, so never cut
    told_of = [f"Expected: {words}."] if words else []
    return " ".join(told_of + ([f"For example {comma_list(examples, 'or')}."] if examples else []))


def _type(error: Failure, spot: ErrorSpot) -> Iterator[GroupFault]:
    types = error.limit
    if "register" in error.schema and isinstance(spot.node, Scalar) and isinstance(spot.node.value, int | float):
        return  # a name is taken by its text, whatever that looks like
    says = f"{spot.named} must be {types_in_words(types)}, and {found_in_words(spot.node)} stands here"
    hint = hint_of_type(spot.node, types, error.schema)
    if isinstance(spot.node, Mapping) and spot.node.entries and "array" in types and "object" not in types:
        first = next(iter(spot.node.entries))
        hint = f"{_expected(error.schema)} Put a dash before each item, as in `- {first}: …`.".strip()
    if isinstance(spot.node, Scalar) and {"around", "across"} <= error.schema.get("properties", {}).keys():
        hint = two_sizes_hint(spot.node.text) or hint
    if isinstance(spot.node, Scalar) and "properties" in error.schema:
        hint = hint or scalar_for_group(spot.node, error.schema["properties"])
    yield _wrong(spot, says, error, hint)


def _choice(error: Failure, spot: ErrorSpot) -> Iterator[GroupFault]:
    text = spot.node.text if isinstance(spot.node, Scalar) else ""
    words: list[str] = error.limit
    if isinstance(spot.node, Scalar) and same_word(text, words):
        return  # written in other capitals: it is read as meant
    found = found_in_words(spot.node)
    if len(words) == 1:
        yield _wrong(spot, f"{spot.named} must be {quoted(words[0])}, not {found}", error)
    else:
        yield _wrong(spot, f"{spot.named} cannot be {found}", error, choice_hint(text, words, "Allowed"))


def _unknown_keys(error: Failure, spot: ErrorSpot) -> Iterator[GroupFault]:
    if not isinstance(spot.node, Mapping):
        return
    known, patterns = error.schema.get("properties", {}), list(error.schema.get("patternProperties", {}))
    unused = [name for name in known if name not in spot.node.entries]
    used = set(spot.node.entries)
    before: Entry | None = None
    told, listed = 0, ""
    for name, entry in spot.node.entries.items():
        last, before = before, entry
        if name in known or any(re.search(pattern, name) for pattern in patterns):
            continue
        told += 1
        if told > MOST_KEYS:  # the nearest name is looked for with each
            return
        if last is not None and (fault := comma_in_braces(last, entry, known)):
            yield GroupFault(fault, spot.path)
            continue
        hint = unknown_key_hint(name, entry, known, used, marked=bool(patterns))
        if len(hint) > LONG_HINT and hint == listed:
            hint = "The keys that are known here are told above."
        listed = hint if len(hint) > LONG_HINT else listed
        says = f"The key {quoted(name)} is not known{_within(spot)}."
        meant = meant_key(name, unused)
        yield GroupFault(Fault("key-unknown", entry.key.span, says, hint, meant or ""), spot.path, meant)


def _within(spot: ErrorSpot) -> str:
    return f" in {quoted(spot.entry.key.text)}" if spot.entry else ""


def _missing_keys(error: Failure, spot: ErrorSpot) -> Iterator[GroupFault]:
    """Tell of all missing keys; the validator gives as many errors, and the same faults are told once."""
    for name in (key for key in error.limit if key not in error.instance):
        wanted = error.schema.get("properties", {}).get(name, {})
        words = ", ".join(wanted.get("enum", ()))
        hint = sentences(f"Add `{name}: …`.", f"Allowed: {words}." if words else "", wanted.get("until_mended", ""))
        says = f"The key {quoted(name)} is missing{_within(spot)}."
        yield GroupFault(Fault("key-missing", spot.head, says, hint, name), spot.path, name)


def _too_many_keys(error: Failure, spot: ErrorSpot) -> Iterator[GroupFault]:
    names = list(spot.node.entries) if isinstance(spot.node, Mapping) else []
    limit = error.limit
    first_over = spot.node.entries[names[limit]].key if isinstance(spot.node, Mapping) else None
    says = f"{spot.named} must have {bound_in_words('maxProperties', limit)}, and it has {len(names)}"
    shown = comma_list([quoted(name) for name in names[limit : limit + 3]], "and")
    hint = f"If {shown} belongs to {quoted(names[limit - 1])}, set it in further; else begin it with a dash."
    yield _wrong(spot, says, error, hint, first_over.span if first_over else None)


def _too_few_keys(error: Failure, spot: ErrorSpot) -> Iterator[GroupFault]:
    known = list(error.schema.get("properties", {}))
    hint = f"Known here: {', '.join(known)}." if known and not error.instance else ""
    says = f"{spot.named} must have {bound_in_words('minProperties', error.limit)}"
    yield _wrong(spot, f"{says}, and it has {len(error.instance) or 'none'}", error, hint)


def _size(error: Failure, spot: ErrorSpot) -> Iterator[GroupFault]:
    bound = bound_in_words(error.keyword, error.limit)
    yield _wrong(spot, f"{spot.named} must have {bound}, and it has {len(error.instance) or 'none'}", error)


def _bound(error: Failure, spot: ErrorSpot) -> Iterator[GroupFault]:
    bound = bound_in_words(error.keyword, error.limit)
    yield _wrong(spot, f"{spot.named} must be {bound}, and {found_in_words(spot.node)} stands here", error)


def _pattern(error: Failure, spot: ErrorSpot) -> Iterator[GroupFault]:
    text = spot.node.text if isinstance(spot.node, Scalar) else ""
    hint = date_hint(text) if error.schema.get("format") == "date" else ""
    if MOMENT in str(error.limit):
        hint = date_hint(text, with_time=True)
    if near := nearest_word(text, re.findall(r"^\^([a-z ]+)\$$", str(error.limit))):
        hint = f"Write `{near}`."
    if not (hint or error.schema.keys() & {"description", "examples"}):
        hint = f"It must match {error.limit}."
    yield _wrong(spot, f"{spot.named} is not written as it must be: {found_in_words(spot.node)}", error, hint)


TELLERS: dict[str, Callable[[Failure, ErrorSpot], Iterator[GroupFault]]] = {
    "type": _type,
    "enum": _choice,
    "additionalProperties": _unknown_keys,
    "required": _missing_keys,
    "maxProperties": _too_many_keys,
    "minProperties": _too_few_keys,
    "maxItems": _size,
    "minLength": _size,
    "minimum": _bound,
    "exclusiveMinimum": _bound,
    "pattern": _pattern,
}
"""Who tells of an error, by the keyword that failed: those that our schemas use."""
