"""An error of the JSON Schema validator to faults at the exact span, in plain words."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from typing import TYPE_CHECKING, Any, NamedTuple

from filmcheck.reading.nodes import Entry, Fault, Mapping, Node, Scalar
from filmcheck.reading.schema_examples import date_hint, example_of, hint_of_type, shows
from filmcheck.reading.schema_keys import comma_in_braces, meant_key, scalar_for_group, unknown_key_hint
from filmcheck.reading.schema_words import (
    allowed_values,
    bound_in_words,
    choice_hint,
    found_in_words,
    joined,
    quoted,
    same_word,
    sentences,
    two_sizes_hint,
    types_in_words,
)
from filmcheck.records.place import Span

if TYPE_CHECKING:
    from jsonschema import ValidationError

Path = tuple[str | int, ...]


class Failure(NamedTuple):
    """What the validator says of one keyword that failed."""

    keyword: str
    limit: Any
    path: Path
    below: int
    """Steps down from where the forms of ``anyOf`` or ``oneOf`` part, if this lies within one."""
    form: Any
    """Which form it lies within."""
    schema: dict[str, Any]
    instance: Any
    message: str
    parts: tuple[Failure, ...]


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
        len(error.relative_path),
        error.relative_schema_path[0] if error.relative_schema_path else None,
        dict(error.schema) if isinstance(error.schema, dict) else {},
        error.instance,
        error.message,
        tuple(failure(part) for part in error.context or ()),
    )


class Told(NamedTuple):
    """A fault, the path of the group it lies in, and the key it is about or that was meant."""

    fault: Fault
    group: Path
    name: str = ""


class Spot(NamedTuple):
    """Where an error lies: the path, the node there, and the entry whose value it is, if it is one."""

    path: Path
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


def told(error: Failure, root: Node) -> Iterator[Told]:
    """Give the faults that one error of the validator comes to; mostly one."""
    spot = _spot(root, error.path)
    if isinstance(spot.node, Mapping) and isinstance(error.instance, str) and error.keyword != "None":
        # Only `propertyNames` puts the name of a key in the place of the group.
        yield _key_name(error, spot.node.entries[error.instance].key, spot)
        return
    teller = _TELLERS.get(error.keyword)
    if teller is not None:
        yield from teller(error, spot, root)
        return
    bound = bound_in_words(error.keyword, error.limit)
    yield _wrong(spot, f"{spot.named} must be {bound}" if bound else f"{spot.named} is not as it must be", error)


def _spot(root: Node, path: Iterable[str | int]) -> Spot:
    """Follow a path of keys and numbers."""
    node, entry, steps = root, None, tuple(path)
    for step in steps:
        if isinstance(node, Mapping):
            entry = node.entries[str(step)]
            node = entry.value
        elif not isinstance(node, Scalar):
            node, entry = node.items[int(step)], None
    return Spot(steps, node, entry)


def _wrong(spot: Spot, says: str, error: Failure, hint: str = "", span: Span | None = None) -> Told:
    """Make the fault of a wrong value; the schema's own words are the hint of last resort."""
    hint = sentences(hint or _expected(error.schema), error.schema.get("until_mended", ""))
    place = span or (spot.node.span if isinstance(spot.node, Scalar) else spot.head)
    if spot.entry and place[:2] == place[2:]:
        place = spot.entry.key.span  # nothing stands there; point at the key
    return Told(Fault("value-wrong", place, f"{says}.", hint), spot.path)


def _expected(schema: dict[str, Any]) -> str:
    """Give the schema's own words for a value, with its examples."""
    words = str(schema.get("description", "")).rstrip(".")
    examples = [f"`{example_of({'examples': [example]})}`" for example in schema.get("examples", [])[:3]]
    made = "" if examples else example_of(schema)
    if shows(made, schema):
        examples = [f"`{made}`"]  # to be copied, so never cut
    told_of = [f"Expected: {words}."] if words else []
    return " ".join(told_of + ([f"For example {joined(examples, 'or')}."] if examples else []))


def _type(error: Failure, spot: Spot, _root: Node) -> Iterator[Told]:
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


def _choice(error: Failure, spot: Spot, _root: Node) -> Iterator[Told]:
    words = [value for value in allowed_values({error.keyword: error.limit}) if isinstance(value, str)]
    if isinstance(spot.node, Scalar) and same_word(spot.node.text, words):
        return  # written in other capitals: it is read as meant
    yield _not_among(error, spot, allowed_values({error.keyword: error.limit}))


def _not_among(error: Failure, spot: Spot, allowed: list[Any]) -> Told:
    """Tell of a value that is none of the allowed ones."""
    words = [_as_written(value) for value in allowed]
    if len(words) == 1:
        return _wrong(spot, f"{spot.named} must be {quoted(words[0])}, not {found_in_words(spot.node)}", error)
    text = spot.node.text if isinstance(spot.node, Scalar) else ""
    says = f"{spot.named} cannot be {found_in_words(spot.node)}"
    return _wrong(spot, says, error, choice_hint(text, words, "Allowed"))


def _as_written(value: Any) -> str:
    return {True: "true", False: "false", None: "null"}[value] if value in (None, True, False) else str(value)


def _unknown_keys(error: Failure, spot: Spot, _root: Node) -> Iterator[Told]:
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
            yield Told(fault, spot.path)
            continue
        hint = unknown_key_hint(name, entry, known, used, marked=bool(patterns))
        if len(hint) > LONG_HINT and hint == listed:
            hint = "The keys that are known here are told above."
        listed = hint if len(hint) > LONG_HINT else listed
        says = f"The key {quoted(name)} is not known{_within(spot)}."
        fault = Fault("key-unknown", entry.key.span, says, hint)
        yield Told(fault, spot.path, meant_key(name, unused))


def _unevaluated_keys(error: Failure, spot: Spot, _root: Node) -> Iterator[Told]:
    """Tell of keys that no part of the schema speaks of; only the validator's message names them."""
    for name, entry in spot.node.entries.items() if isinstance(spot.node, Mapping) else ():
        if repr(name) in error.message:
            says = f"The key {quoted(name)} is not known{_within(spot)}."
            yield Told(Fault("key-unknown", entry.key.span, says), spot.path)


def _within(spot: Spot) -> str:
    return f" in {quoted(spot.entry.key.text)}" if spot.entry else ""


def _missing_keys(error: Failure, spot: Spot, _root: Node) -> Iterator[Told]:
    """Tell of all missing keys; the validator gives as many errors, and the same faults are told once."""
    for name in error.limit:
        if name not in error.instance:
            yield _missing(spot, name, f"The key {quoted(name)} is missing", error.schema)


def _missing_with(error: Failure, spot: Spot, _root: Node) -> Iterator[Told]:
    for given, names in error.limit.items():
        if given in error.instance:
            for name in names:
                if name not in error.instance:
                    says = f"With {quoted(given)} the key {quoted(name)} is owed and missing"
                    yield _missing(spot, name, says, error.schema)


def _missing(spot: Spot, name: str, says: str, schema: dict[str, Any]) -> Told:
    wanted = schema.get("properties", {}).get(name, {})
    words = ", ".join(_as_written(value) for value in allowed_values(wanted))
    hint = sentences(f"Add `{name}: …`.", f"Allowed: {words}." if words else "", wanted.get("until_mended", ""))
    return Told(Fault("key-missing", spot.head, f"{says}{_within(spot)}.", hint), spot.path, name)


def _key_name(error: Failure, key: Scalar, spot: Spot) -> Told:
    """Tell of a key whose name breaks a rule for names."""
    hint = choice_hint(key.text, [str(value) for value in allowed_values(error.schema)], "Known here")
    hint = hint or _expected(error.schema)
    says = f"{quoted(key.text)} is not allowed as a key{_within(spot)}."
    return Told(Fault("key-unknown", key.span, says, hint), spot.path)


def _too_many_keys(error: Failure, spot: Spot, _root: Node) -> Iterator[Told]:
    names = list(spot.node.entries) if isinstance(spot.node, Mapping) else []
    limit = error.limit
    first_over = spot.node.entries[names[limit]].key if isinstance(spot.node, Mapping) else None
    says = f"{spot.named} must have {bound_in_words('maxProperties', limit)}, and it has {len(names)}"
    shown = joined([quoted(name) for name in names[limit : limit + 3]], "and")
    hint = f"If {shown} belongs to {quoted(names[limit - 1])}, set it in further; else begin it with a dash."
    yield _wrong(spot, says, error, hint, first_over.span if first_over else None)


def _too_few_keys(error: Failure, spot: Spot, _root: Node) -> Iterator[Told]:
    known = list(error.schema.get("properties", {}))
    hint = f"Known here: {', '.join(known)}." if known and not error.instance else ""
    says = f"{spot.named} must have {bound_in_words('minProperties', error.limit)}"
    yield _wrong(spot, f"{says}, and it has {len(error.instance) or 'none'}", error, hint)


def _size(error: Failure, spot: Spot, _root: Node) -> Iterator[Told]:
    bound = bound_in_words(error.keyword, error.limit)
    yield _wrong(spot, f"{spot.named} must have {bound}, and it has {len(error.instance) or 'none'}", error)


def _bound(error: Failure, spot: Spot, _root: Node) -> Iterator[Told]:
    bound = bound_in_words(error.keyword, error.limit)
    yield _wrong(spot, f"{spot.named} must be {bound}, and {found_in_words(spot.node)} stands here", error)


def _pattern(error: Failure, spot: Spot, _root: Node) -> Iterator[Told]:
    text = spot.node.text if isinstance(spot.node, Scalar) else ""
    hint = date_hint(text) if error.schema.get("format") == "date" else ""
    if MOMENT in str(error.limit):
        hint = date_hint(text, with_time=True)
    if not (hint or error.schema.keys() & {"description", "examples"}):
        hint = f"It must match {error.limit}."
    yield _wrong(spot, f"{spot.named} is not written as it must be: {found_in_words(spot.node)}", error, hint)


def _twice_in_list(error: Failure, spot: Spot, _root: Node) -> Iterator[Told]:
    items = [] if isinstance(spot.node, Scalar | Mapping) else spot.node.items
    values = [item.plain() for item in items]
    again = next((place for place, value in enumerate(values) if value in values[:place]), None)
    span = items[again].span if again is not None else None
    yield _wrong(spot, f"{spot.named} holds the same entry twice", error, "Delete one of the two.", span)


def _forbidden(error: Failure, spot: Spot, _root: Node) -> Iterator[Told]:
    """Tell of a value where the schema allows none. Some versions of the validator give the path of the group
    only; the entry is then found by its value, if just one has it.
    """
    entry, path = spot.entry, spot.path[:-1]
    if isinstance(spot.node, Mapping) and spot.node.plain() != error.instance:
        alike = [part for part in spot.node.entries.values() if part.value.plain() == error.instance]
        entry, path = (alike[0], spot.path) if len(alike) == 1 else (None, spot.path)
    if entry is None:
        yield _wrong(spot, f"Something in {spot.named} must not stand there", error, "Delete it.")
        return
    says = f"The key {quoted(entry.key.text)} must not stand here."
    yield Told(Fault("key-unknown", entry.key.span, says, "Delete it."), path)


# Several forms allowed


def _forms(error: Failure, spot: Spot, root: Node) -> Iterator[Told]:
    """Tell of a value that fits none of several forms, by the form that it comes nearest to."""
    branches: dict[Any, list[Failure]] = defaultdict(list)
    for part in error.parts:
        branches[part.form].append(part)
    if not branches:
        yield _wrong(spot, f"{spot.named} fits more than one of the forms that exclude each other", error)
        return
    allowed, types = _at_once(list(branches.values()))
    if allowed is not None:
        yield _not_among(error, spot, allowed)
    elif types:
        says = f"{spot.named} must be {types_in_words(types)}, and {found_in_words(spot.node)} stands here"
        yield _wrong(spot, says, error, hint_of_type(spot.node, types, error.schema))
    else:
        for part in min(branches.values(), key=_distance):
            yield from told(part, root)


def _at_once(branches: list[list[Failure]]) -> tuple[list[Any] | None, list[str]]:
    """Give the values that all forms together allow, or the types, where each form fails by these alone."""
    allowed: list[Any] = []
    types: list[str] = []
    for errors in branches:
        whole = [part for part in errors if not part.below]
        choice = [part for part in whole if part.keyword in ("enum", "const")]
        kind = [part for part in whole if part.keyword == "type"]
        if choice:
            allowed += allowed_values({choice[0].keyword: choice[0].limit})
        elif kind:
            wanted = kind[0].limit
            types += [wanted] if isinstance(wanted, str) else list(wanted)
        else:
            return None, []
    if allowed and not types:
        return allowed, []
    return None, list(dict.fromkeys(types)) if not allowed else []


def _distance(errors: list[Failure]) -> tuple[int, int, int, int]:
    """Say how far a value is from a form: by type, by the mark of the form, by unknown keys."""
    whole = [part for part in errors if not part.below]
    kind = sum(part.keyword == "type" for part in whole)
    mark = sum(part.keyword in ("const", "enum") and part.below <= 1 for part in errors)
    unknown = sum(part.keyword == "additionalProperties" for part in whole)
    return kind, mark, unknown, len(errors)


_TELLERS: dict[str, Callable[[Failure, Spot, Node], Iterator[Told]]] = {
    "type": _type,
    "enum": _choice,
    "const": _choice,
    "additionalProperties": _unknown_keys,
    "unevaluatedProperties": _unevaluated_keys,
    "required": _missing_keys,
    "dependentRequired": _missing_with,
    "maxProperties": _too_many_keys,
    "minProperties": _too_few_keys,
    "minItems": _size,
    "maxItems": _size,
    "minLength": _size,
    "maxLength": _size,
    "minimum": _bound,
    "maximum": _bound,
    "exclusiveMinimum": _bound,
    "exclusiveMaximum": _bound,
    "multipleOf": _bound,
    "pattern": _pattern,
    "uniqueItems": _twice_in_list,
    "None": _forbidden,
    "anyOf": _forms,
    "oneOf": _forms,
}
"""Who tells of an error, by the keyword that failed. The keyword of the schema ``false`` is None."""
