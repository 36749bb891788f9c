"""Keys that a schema does not know: what was meant, where it belongs, and what a slip of punctuation made of it."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Mapping, MutableSet
from typing import Any

from filmcheck.reading.nodes import Entry, Fault, Node, Scalar
from filmcheck.reading.schema_words import NEAR, YES_NO, choice_hint, nearest_word, quoted, same_word
from filmcheck.records.place import Span
from filmcheck.units.faults import Quantity, comma_ways
from filmcheck.units.quantity import parse_quantity

_MEANT = {
    **dict.fromkeys(("od", "o.d.", "dia", "outside diameter"), "diameter"),
    **dict.fromkeys(("uv", "mercury lamp", "uv dryer"), "uv lamp"),
    **dict.fromkeys(("led", "uv led"), "led lamp"),
    **dict.fromkeys(("ir", "hot air", "oven", "ir dryer"), "dryer"),
    **dict.fromkeys(("ionizer", "ioniser", "antistatic", "anti static", "static bar"), "static control"),
    **dict.fromkeys(("stripping", "stripper", "waste", "waste rewind", "weeding"), "matrix strip"),
    **dict.fromkeys(("rewinder", "winder"), "rewind"),
    **dict.fromkeys(("power", "intensity", "level"), "setting"),
    **dict.fromkeys(("min", "minimum", "min cure"), "cure_minimum"),
}
"""What the trade writes where the sheet has a key of another name."""

_REMARK = "A remark is no key: begin its line with `#`."
_REPEAT = "Label and gap make the repeat: `layout: {label: {around: 98.4 mm}, gap: {around: 3.2 mm}}`."
_NO_KEY = {
    **dict.fromkeys(("notes", "note", "remark", "remarks", "comment", "comments"), _REMARK),
    **dict.fromkeys(("repeat", "label repeat", "pitch"), _REPEAT),
    "set up": "A set-up names no other set-up: write here what that one says.",
    "like": "A repeat order is begun by `filmcheck new SHEET --like SHEET`, and then says all itself.",
}
"""What people write as a key and is none, each with what to write instead."""

_LIKE = 0.8
"""How alike a key must be to one of a group below, by difflib's ratio: further away chance is more likely."""

_FOREIGN_SPACE = re.compile(r":[^\S \t\r\n]")


def meant_key(name: str, known: Iterable[str], *, least: float = NEAR) -> str:
    """Give the key that was meant, by the words of the trade or as the most alike; empty where none is."""
    listed = list(known)
    trade = _MEANT.get(_plain(name), "")
    return trade if trade in listed else nearest_word(name, listed, least) or ""


def _plain(name: str) -> str:
    return " ".join(re.split(r"[-_\s]+", name.casefold().strip()))


def unknown_key_hint(name: str, entry: Entry, known: Mapping[str, Any], used: MutableSet[str], *, marked: bool) -> str:
    """Say what to write for a key that is not known, of those that are known in its group and below it.

    ``marked`` says that keys may have a mark behind them, ``uv lamp 2``; else it goes within the braces. A group that
    is named as the place of the key is added to those that are used.
    """
    unused = [key for key in known if key not in used]
    if foreign_space(name):
        return f"{FOREIGN_SPACE} Type it again."
    elsewhere = "" if same_word(name, unused) else _below(name, entry.value, known, used) or _NO_KEY.get(_plain(name))
    if hint := _with_mark(name, known, marked) or elsewhere:
        return hint
    meant = meant_key(name, unused)
    if meant and meant != nearest_word(name, unused):
        return f"Here {quoted(name)} is written {quoted(meant)}."
    return choice_hint(name, unused if meant else list(known), "Known here")


FOREIGN_SPACE = "The space behind the colon came along from a mail or a page, and is none to YAML."


def foreign_space(line: str) -> bool:
    """Whether a space follows a colon that YAML does not take for one, such as a non-breaking space."""
    return _FOREIGN_SPACE.search(line) is not None


def _with_mark(name: str, known: Iterable[str], marked: bool) -> str:
    """Give the key for one with a number behind it or a name before it: the kind alone would mean all of its kind."""
    kind, _, mark = name.rpartition(" ")
    if mark.isdigit() and (meant := meant_key(kind, known)):
        return f"Did you mean {quoted(f'{meant} {mark}')}?" if marked else f"Write `{meant}: {{unit: {mark}, …}}`."
    if kind in ("infeed", "outfeed") and mark in known:
        return f"Did you mean {quoted(f'{mark} {kind}')}?" if marked else f"Write `{mark}: {{name: {kind}, …}}`."
    return ""


def _below(name: str, value: Node, known: Mapping[str, Any], used: MutableSet[str]) -> str:
    """Say in which group below a key is known: ``width: 330 mm`` at the top belongs to ``web``."""
    held = {group: part.get("properties", {}) for group, part in known.items() if isinstance(part, dict)}
    found = [(group, key) for group, keys in held.items() if (key := same_word(name, keys))]
    if not found and not nearest_word(name, known):
        found = [(group, key) for group, keys in held.items() if (key := meant_key(name, keys, least=_LIKE))]
    if not found:
        return ""
    group, key = found[0]
    text = value.text if isinstance(value, Scalar) and value.value is not None else "…"
    write = f"as `{key}: {text}` within its braces" if group in used else f"as `{group}: {{{key}: {text}}}`"
    bare = "dimension" in held[group][key] and re.fullmatch(r"[0-9.,]+", text)
    unit = ", with its unit" if bare else ""
    used.add(group)
    others = "".join(f", or to {quoted(other)}" for other, _ in found[1:3])
    return f"It belongs to {quoted(group)}, {write}{unit}{others}."


def scalar_for_group(node: Scalar, known: Mapping[str, Any]) -> str:
    """Say what to write where a group of keys must stand and one word or size does: ``uv lamp 1: 58 %``."""
    if meant := meant_key(node.text, known, least=_LIKE):
        return f"Write `{meant}: {{}}`, with a colon; what it holds goes between the braces."
    for key, part in known.items():
        taken = tuple(part.get("dimension", ()))
        if taken and isinstance(parse_quantity(node.text, taken), Quantity):
            return f"Write `{{{key}: {node.text}}}`, if that is meant."
    return ""


def with_colon(text: str, keys: Container[str]) -> str:
    """Give the line with its colon, where it begins with the words of a known key; empty where it does not."""
    words = text.split(" ")
    for number in range(min(len(words) - 1, 4), 0, -1):
        key, value = "_".join(words[:number]), " ".join(words[number:])
        if key in keys and not re.search("[:{}#]", value):
            return f"Write `{key}: {YES_NO.get(value.lower(), value)}`."
    return ""


def comma_in_braces(before: Entry, entry: Entry, known: Container[str]) -> Fault | None:
    """Tell of a comma within braces, where it ends the entry: ``{tension: 0,8 lbf/in}``, ``{reason: late, again}``."""
    whole, tail = before.value, entry.key.text
    if not (isinstance(whole, Scalar) and isinstance(entry.value, Scalar) and entry.value.value is None):
        return None
    start, end = whole.span, entry.key.span
    span = Span(start[0], start[1], end[2], end[3])
    written = f"{whole.text},{tail}"
    if not (re.fullmatch(r"[-+]?[0-9]+", whole.text) and re.match(r"[0-9]+(?![0-9.])", tail)):
        if start[2] == end[0] and (hint := with_colon(tail, known)):
            return Fault("value-wrong", entry.key.span, f"{quoted(tail)} has no colon after its key.", hint)
        if start[2] != end[0] or " " not in tail or not isinstance(whole.value, str):
            return None
        says = f"`{tail}` stands behind a comma, which in braces ends the entry."
        quoted_text = f"{whole.text}, {tail}".replace("'", "''")
        return Fault(
            "value-wrong", span, says, f"If it belongs to the text, write `{before.key.text}: '{quoted_text}'`."
        )
    ways = comma_ways(written).removeprefix("did you mean ").removesuffix("?")
    comma, which = ("comma", ", whichever is meant") if " or " in ways else ("decimal comma", "")
    says = f"`{written}` has a {comma}; in braces a comma ends the entry."
    return Fault("value-wrong", span, says, f"Write {ways}{which}.")
