"""JSON indented by two spaces, written piece by piece: a large log need not stand in memory as objects all at once."""

from __future__ import annotations

import json
from collections.abc import Iterator
from json.encoder import encode_basestring
from typing import Any


def json_pieces(value: Any, depth: int, margin: str = "\n") -> Iterator[str]:
    """Give the text that ``json.dumps`` gives without ASCII escapes; what lies within ``depth`` levels in pieces.

    Above that depth a list may be any iterable. ``margin`` is the line end with the indent before it.
    """
    if depth == 0 or isinstance(value, (str, int, float)) or value is None:
        yield _indented(value, margin)
        return
    is_object = isinstance(value, dict)
    lead, end = "{}" if is_object else "[]"
    empty = True
    for member in value:
        yield f"{lead}{margin}  {encode_basestring(member)}: " if is_object else f"{lead}{margin}  "
        yield from json_pieces(value[member] if is_object else member, depth - 1, f"{margin}  ")
        lead, empty = ",", False
    yield lead + end if empty else margin + end


def _indented(value: Any, margin: str) -> str:
    if isinstance(value, str):
        return encode_basestring(value)
    inner = margin + "  "
    if isinstance(value, dict) and value:
        members = [f"{encode_basestring(name)}: {_indented(member, inner)}" for name, member in value.items()]
        return f"{{{inner}{f',{inner}'.join(members)}{margin}}}"
    if isinstance(value, list) and value:
        return f"[{inner}{f',{inner}'.join([_indented(member, inner) for member in value])}{margin}]"
    return json.dumps(value)
