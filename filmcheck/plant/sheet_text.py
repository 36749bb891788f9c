"""Fields to the text of a job sheet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from filmcheck.plant.shape import shape_of
from filmcheck.reading.nodes import plain_value

Steps = tuple[str, ...]

_PLAIN = frozenset(" .-_/%°µ²³")


def scalar_text(text: str, *, is_word: bool = True) -> str:
    """Write a word or a size as YAML: bare where it is plain, else in single quotes on one line.

    A word that YAML would read as a number or a truth value gets quotes; with ``is_word`` unset it stays bare.
    """
    line = " ".join(text.split())
    bare = line[:1].isalnum() and all(letter.isalnum() or letter in _PLAIN for letter in line)
    if bare and not (is_word and not isinstance(plain_value(line), str)):
        return line
    return "'" + line.replace("'", "''") + "'"


def sheet_text(fields: Mapping[Steps, str]) -> str:
    """Give a sheet with these fields, each by the steps to it and with its text as YAML; one line a group.

    The groups come in the order in which the schema has them.
    """
    order = {name: at for at, name in enumerate(shape_of("job-sheet").fields)}
    lines = sorted(_written(_nested(fields)).items(), key=lambda line: order.get(line[0], len(order)))
    return "".join(f"{name}: {value}\n" for name, value in lines)


def within_braces(steps: Steps, text: str) -> str:
    """Write one field with the groups around it: ``web: {length: 3600 m}``."""
    return sheet_text({steps: text}).removesuffix("\n")


def _nested(fields: Mapping[Steps, str]) -> dict[str, Any]:
    whole: dict[str, Any] = {}
    for steps, text in fields.items():
        here = whole
        for step in steps[:-1]:
            here = here.setdefault(step, {})
        here[steps[-1]] = text
    return whole


def _written(group: Mapping[str, Any]) -> dict[str, str]:
    return {scalar_text(name): value if isinstance(value, str) else _braces(value) for name, value in group.items()}


def _braces(group: Mapping[str, Any]) -> str:
    return "{" + ", ".join(f"{name}: {value}" for name, value in _written(group).items()) + "}"
