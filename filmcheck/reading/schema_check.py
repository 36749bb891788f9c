"""A tree against a JSON Schema (draft 2020-12): each fault at its exact span and in plain words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import TYPE_CHECKING, Any

from filmcheck.reading.nodes import Fault, Node
from filmcheck.reading.schema_faults import Failure, Told, failure, told

if TYPE_CHECKING:
    from jsonschema import Draft202012Validator

MOST_FAULTS = 100
"""Faults told of one file; a last one says that there are more."""

_MOST_VALIDATORS = 64
_quick: dict[int, tuple[dict[str, Any], Callable[[Any], bool] | None]] = {}
_exact: dict[int, tuple[dict[str, Any], Draft202012Validator]] = {}


def check_schema(node: Node, schema: dict[str, Any]) -> tuple[Fault, ...]:
    """Give what the schema finds wrong with the tree, in the order of the text; empty where nothing is.

    The tree is one that ``read_tree`` gave, hence bounded. The schema must not be changed between calls.
    Keywords that JSON Schema does not know are passed over; ``format`` asserts nothing (draft 2020-12).
    """
    value = node.plain()
    if _quick_yes(value, schema):
        return ()
    failures = [failure(error) for error in islice(_validator(schema).iter_errors(value), MOST_FAULTS + 1)]
    found = [one for failed in _without_echoes(failures) for one in told(failed, node)]
    faults = sorted(_once(_without_misspelt(found)), key=lambda fault: fault.span)
    if max(len(faults), len(failures)) <= MOST_FAULTS:
        return tuple(faults)
    more = Fault("more-faults", faults[-1].span, "The file has more faults of its form.", "Mend these first.")
    return (*faults[:MOST_FAULTS], more)


def _quick_yes(value: Any, schema: dict[str, Any]) -> bool:
    """Say whether the compiled validator, if there is one, finds nothing wrong."""
    kept = _quick.get(id(schema))
    if kept is None:
        if len(_quick) >= _MOST_VALIDATORS:
            _quick.clear()
        # The schema is kept beside its validator, so that its identity is not given to another.
        kept = _quick[id(schema)] = (schema, _compiled(schema))
    if kept[1] is None:
        return False
    try:
        return kept[1](value)
    except (ValueError, TypeError):  # numbers that JSON cannot hold
        return False


def _compiled(schema: dict[str, Any]) -> Callable[[Any], bool] | None:
    try:
        import jsonschema_rs
    except ImportError:
        return None
    compiled: Callable[[Any], bool] = jsonschema_rs.Draft202012Validator(schema).is_valid
    return compiled


def _validator(schema: dict[str, Any]) -> Draft202012Validator:
    kept = _exact.get(id(schema))
    if kept is None:
        from jsonschema import Draft202012Validator

        if len(_exact) >= _MOST_VALIDATORS:
            _exact.clear()
        kept = _exact[id(schema)] = (schema, Draft202012Validator(schema))
    return kept[1]


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


def _without_misspelt(faults: list[Told]) -> list[Told]:
    """Leave out a missing key where an unknown key of the same group looks like it: that is one fault."""
    meant = {(one.group, one.name) for one in faults if one.fault.id == "key-unknown"}
    return [one for one in faults if one.fault.id != "key-missing" or (one.group, one.name) not in meant]


def _once(faults: Iterable[Told]) -> Iterator[Fault]:
    seen = set()
    for one in faults:
        key = (one.fault.id, one.fault.span, one.name)
        if key not in seen:
            seen.add(key)
            yield one.fault
