"""One field of a sheet brought up to date with where it was taken from; what people wrote stays byte for byte."""

from __future__ import annotations

from filmcheck.plant.plant import Sheet, type_text
from filmcheck.plant.record import Content, content_at
from filmcheck.plant.sheet_text import Steps, sheet_text, within_braces
from filmcheck.reading.lines import Lines
from filmcheck.reading.nodes import Mapping, Node, Scalar
from filmcheck.units.quantity import Quantity

_SLACK = 1e-9
"""Share by which two sizes may differ that are the same in other units."""


class MergeError(Exception):
    """A field cannot be brought up to date; the text says why."""


def merged(text: str, steps: Steps, before: str | None, now: str | None) -> str:
    """Give the sheet with one field as it is ``now``, where it was ``before`` when last taken; both YAML text.

    What a person has changed is not written over. Raises MergeError where both have changed it, or where it cannot
    be written without touching anything else.
    """
    if now == before:
        return text
    sheet = type_text(text, "sheet", "job-sheet")
    if not isinstance(sheet.tree, Mapping):
        raise MergeError("the sheet cannot be read")
    node = _node(sheet.tree, steps)
    if now is None:
        if node is None:
            return text
        raise MergeError(f"the cell is empty now; where {before} is not meant any more, delete it by hand")
    if node is None and before is not None:
        raise MergeError(f"{now} now, {before} before; somebody has taken it off the sheet")
    if node is None:
        return _sound(_put_in(text, sheet.tree, steps, now), sheet, steps, now)
    content = content_at(sheet.record, *steps)
    if _is_same(content, _content(steps, now)):
        return text
    if before is None or not _is_same(content, _content(steps, before)):
        was = f", {before} before" if before else ""
        written = node.text if isinstance(node, Scalar) else "a group"
        raise MergeError(f"{now} in the table{was}, but {written} by hand; settle which holds")
    start, end = Lines(text).offsets(node.span)
    return _sound(text[:start] + now + text[end:], sheet, steps, now)


def _node(tree: Node, steps: Steps) -> Node | None:
    here: Node | None = tree
    for step in steps:
        if not isinstance(here, Mapping) or step not in here.entries:
            return None
        here = here.entries[step].value
    return here


def _content(steps: Steps, text: str) -> Content | None:
    return content_at(type_text(sheet_text({steps: text}), "sheet", "job-sheet").record, *steps)


def _is_same(one: Content | None, other: Content | None) -> bool:
    if isinstance(one, Quantity) and isinstance(other, Quantity):
        ends = ((one.low, other.low), (one.high, other.high))
        alike = all(abs(a - b) <= _SLACK * max(abs(a), abs(b)) for a, b in ends)
        return alike and one.dimension == other.dimension
    return one == other


def _put_in(text: str, tree: Mapping, steps: Steps, now: str) -> str:
    """Put a field that is not there into the innermost group that is, behind what stands there."""
    group, depth = tree, 0
    while depth < len(steps) - 1:
        inner = group.entries.get(steps[depth])
        if inner is None or not isinstance(inner.value, Mapping):
            break
        group, depth = inner.value, depth + 1
    written = within_braces(steps[depth:], now)
    lines = Lines(text)
    start, end = lines.offsets(group.span)
    if text[start : start + 1] == "{":
        inside = text[start + 1 : end - 1].rstrip()
        comma = ", " if group.entries else ""
        return f"{text[: start + 1]}{inside}{comma}{written}{text[end - 1 :]}"
    last = _last_line(group)
    at = lines.starts[last] if last < len(lines.starts) else len(text)
    ending = "\r\n" if "\r\n" in text else "\n"
    lead = "" if text[:at].endswith(("\n", "\r")) or not at else ending
    return f"{text[:at]}{lead}{' ' * (group.span.column - 1)}{written}{ending}{text[at:]}"


def _last_line(node: Node) -> int:
    """Give the last line on which a node has a word."""
    if isinstance(node, Scalar):
        return node.span.end_line
    inner = [entry.value for entry in node.entries.values()] if isinstance(node, Mapping) else node.items
    return max([_last_line(each) for each in inner], default=node.span.end_line)


def _sound(text: str, before: Sheet, steps: Steps, now: str) -> str:
    """Read the new text again: it must say the new value, and all else as before."""
    after = type_text(text, "sheet", "job-sheet")
    content = content_at(after.record, *steps)
    if after.tree is None or before.tree is None or not _is_same(content, _content(steps, now)):
        raise MergeError(f"{now} cannot be put in without touching anything else; write it by hand")
    was, is_now = before.tree.plain(), after.tree.plain()
    if _without(was, steps) != _without(is_now, steps):
        raise MergeError(f"{now} cannot be put in without touching anything else; write it by hand")
    return text


def _without(plain: object, steps: Steps) -> object:
    """Give the plain sheet less one field, and less the groups that are empty without it."""
    if not isinstance(plain, dict) or not steps or steps[0] not in plain:
        return plain
    below = _without(plain[steps[0]], steps[1:]) if len(steps) > 1 else None
    rest = {step: value for step, value in plain.items() if step != steps[0]}
    return {**rest, steps[0]: below} if below else rest
