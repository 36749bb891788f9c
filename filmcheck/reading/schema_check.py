"""A tree against a JSON Schema (draft 2020-12): each fault at its exact span and in plain words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from functools import cache, cached_property
from itertools import islice
from math import isfinite
from typing import TYPE_CHECKING, Any

from filmcheck.reading.nodes import Fault, Mapping, Node, Scalar

if TYPE_CHECKING:
    from jsonschema import Draft202012Validator

    from filmcheck.reading.schema_faults import Failure, GroupFault

MOST_FAULTS = 100
"""Faults told of one file; a last one says that there are more."""

_UNESCAPED_END = re.compile(r"(?<!\\)\$(?![^\[]*\])")
_MOST_VALIDATORS = 64
_known: dict[int, _Validators] = {}


def check_schema(node: Node, schema: dict[str, Any]) -> tuple[Fault, ...]:
    """Give what the schema finds wrong with the tree, in the order of the text; empty where nothing is.

    The tree is one that ``read_tree`` gave, hence bounded. The schema must not be changed between calls.
    Keywords that JSON Schema does not know are passed over; ``format`` asserts nothing (draft 2020-12).
    """
    endless: list[Scalar] = []
    value = _json(node, endless)
    if endless:
        return tuple(_refuse_endless(number) for number in endless[:MOST_FAULTS])
    validators = _validators(schema)
    with suppress(ValueError, TypeError):  # numbers that JSON cannot hold
        if validators.quick is not None and validators.quick(value):
            return ()
    from filmcheck.reading.schema_faults import failure, told  # words and patterns that sound sheets can spare

    failures = [failure(error) for error in islice(validators.exact.iter_errors(value), MOST_FAULTS + 1)]
    found = [one for failed in _without_echoes(failures) for one in told(failed, node)]
    faults = sorted(_once(_without_misspelt(found)), key=lambda fault: fault.span)
    if max(len(faults), len(failures)) <= MOST_FAULTS:
        return tuple(faults)
    more = Fault("more-faults", faults[-1].span, "The file has more faults of its form.", "Mend these first.")
    return (*faults[:MOST_FAULTS], more)


class _Validators:
    """The two validators of a schema, each made when it is asked for."""

    def __init__(self, schema: dict[str, Any]) -> None:
        self.schema = schema  # kept, so that its identity is not given to another

    @cached_property
    def quick(self) -> Callable[[Any], bool] | None:
        """The compiled one, where there is one."""
        return _compiled(self.schema)

    @cached_property
    def exact(self) -> Draft202012Validator:
        """The one that tells what is wrong."""
        return _validator_class()(self.schema)


def _validators(schema: dict[str, Any]) -> _Validators:
    if id(schema) not in _known:
        if len(_known) >= _MOST_VALIDATORS:
            _known.clear()
        _known[id(schema)] = _Validators(schema)
    return _known[id(schema)]


def _compiled(schema: dict[str, Any]) -> Callable[[Any], bool] | None:
    try:
        import jsonschema_rs
    except ImportError:
        return None
    compiled: Callable[[Any], bool] = jsonschema_rs.Draft202012Validator(schema).is_valid
    return compiled


def _json(node: Node, endless: list[Scalar]) -> Any:
    """Give the plain value, and gather the numbers that JSON does not have: infinite ones and not-a-number."""
    if isinstance(node, Scalar):
        value = node.value
        if type(value) is float and not isfinite(value):
            endless.append(node)
        return value
    if isinstance(node, Mapping):
        return {
            # The short way for most: a call for each scalar would take as long as all the rest.
            name: value.value if type(value) is Scalar and type(value.value) is not float else _json(value, endless)
            for name, (_, value) in node.entries.items()
        }
    return [_json(item, endless) for item in node.items]


def _refuse_endless(number: Scalar) -> Fault:
    from filmcheck.reading.schema_words import quoted

    says = f"{quoted(number.text)} is no number that can be used."
    return Fault("value-wrong", number.span, says, "Write a number with an end, or put the word in quotes.")


@cache
def _validator_class() -> type[Draft202012Validator]:
    """Give the validator with patterns read as JSON Schema means them, and as the compiled one reads them.

    A pattern is one of ECMA-262: ``$`` is the very end, ``\\d`` and ``\\w`` are ASCII.
    """
    from jsonschema import Draft202012Validator, ValidationError, validators

    def pattern(_validator: Any, wanted: str, value: Any, _schema: Any) -> Iterator[ValidationError]:
        if isinstance(value, str) and not re.search(_UNESCAPED_END.sub(r"\\Z", wanted), value, re.ASCII):
            yield ValidationError(f"{value!r} does not match {wanted!r}")

    extend: Any = validators.extend
    extended: type[Draft202012Validator] = extend(Draft202012Validator, {"pattern": pattern})
    return extended


# Which errors to tell


def _without_echoes(errors: list[Failure]) -> list[Failure]:
    """Leave out what only follows from too many keys in one group, mostly keys not set in far enough."""
    crowded = {error.path for error in errors if error.keyword == "maxProperties"}

    def echoes(error: Failure) -> bool:
        path = error.path
        if path in crowded:
            return bool(error.keyword in ("additionalProperties", "required"))
        return path[:-1] in crowded and error.instance is None

    return [error for error in errors if not echoes(error)] if crowded else errors


def _without_misspelt(faults: list[GroupFault]) -> list[GroupFault]:
    """Leave out a missing key where an unknown key of the same group looks like it: that is one fault."""
    meant = {(one.group, one.name) for one in faults if one.fault.id == "key-unknown"}
    return [one for one in faults if one.fault.id != "key-missing" or (one.group, one.name) not in meant]


def _once(faults: Iterable[GroupFault]) -> Iterator[Fault]:
    seen = set()
    for one in faults:
        key = (one.fault.id, one.fault.span, one.name)
        if key not in seen:
            seen.add(key)
            yield one.fault
