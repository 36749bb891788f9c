"""What JSON Schema keywords ask for and what a sheet gives, in plain words."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Sequence
from typing import Any

from filmcheck.reading.nodes import Mapping, Node, Scalar
from filmcheck.units.faults import comma_list

_TYPES = {
    "object": "a group of keys",
    "array": "a list",
    "string": "a word or text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "yes or no, written true or false",
    "null": "nothing",
}
YES_NO = {**dict.fromkeys(("yes", "y", "on"), "true"), **dict.fromkeys(("no", "n", "off"), "false")}
_NUMBERS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
_FEW = 12
_LONGEST_QUOTE = 60


def types_in_words(types: str | Iterable[str]) -> str:
    """Give the ``type`` keyword in words: ``a list or a word or text``."""
    names = [types] if isinstance(types, str) else list(types)
    return comma_list([_TYPES.get(name, name) for name in names], "or")


def found_in_words(node: Node) -> str:
    """Give what stands in the sheet: ``a list``, ``the text `abc```, ``nothing``."""
    if isinstance(node, Scalar):
        if node.value is None:
            return "nothing"
        kind = "" if isinstance(node.value, bool) else "the text " if isinstance(node.value, str) else "the number "
        return kind + quoted(node.text)
    return _TYPES["object" if isinstance(node, Mapping) else "array"]


def quoted(text: object) -> str:
    """Give a text in the marks of the reports, long ones cut."""
    words = "true" if text is True else "false" if text is False else str(text)
    return f"`{words}`" if len(words) <= _LONGEST_QUOTE else f"`{words[: _LONGEST_QUOTE - 1]}…`"


def sentences(*parts: str) -> str:
    """Give the parts that say something, one behind the other."""
    return " ".join(part for part in parts if part)


def as_sentence(hint: str) -> str:
    """Give a hint its capital and its stop: in a report it stands alone."""
    return f"{hint[:1].upper()}{hint[1:]}{'' if hint[-1:] in ('', '.', '?') else '.'}"


def type_hint(node: Node, types: str | Iterable[str]) -> str:
    """Give what to write where the type is wrong, as far as it can be guessed."""
    wanted = {types} if isinstance(types, str) else set(types)
    if not isinstance(node, Scalar):
        return "" if wanted & {"object", "array"} else "Write it without brackets or dash."
    if node.value is None:
        return "Write the value, or delete the key."
    if "boolean" in wanted and node.text.lower() in YES_NO:
        return f"Write {YES_NO[node.text.lower()]}; to YAML {quoted(node.text)} is a word."
    if "string" in wanted and isinstance(node.value, int | float):
        return f"Put it in quotes: '{node.text}'."
    if wanted <= {"number", "integer"} and isinstance(node.value, str):
        digits = re.match(r"[0-9]+(?![0-9.,])", node.text)
        if node.text.lower() in _NUMBERS or digits:
            return f"Write {digits[0] if digits else _NUMBERS.index(node.text.lower())}."
        return "Write the bare number, without unit or quotes." if re.match(r"[-+]?[\d.]", node.text) else ""
    if wanted == {"array"}:
        return f"Write it as a list: [{node.text}]."
    return ""


_TWO_SIZES = re.compile(r"([0-9.,]+) ?([a-zµ\"]*) ?(?:[x×*]| / ) ?([0-9.,]+) ?([a-zµ\"]*)", re.IGNORECASE)
_ONE_SIZE = re.compile(r"([0-9.]+) ?([a-zµ\"]+)", re.IGNORECASE)


def two_sizes_hint(text: str) -> str:
    """Give what to write for ``60 x 98.4 mm`` or ``3 mm``; which way a size lies, nobody can tell from it."""
    if alone := _ONE_SIZE.fullmatch(text.strip()):
        both = f"{alone[1]} {alone[2]}"
        return f"Write `{{around: {both}, across: {both}}}`, if it is the same both ways."
    found = _TWO_SIZES.fullmatch(text.strip())
    if found is None:
        return ""
    sizes = [(found[1], found[2] or found[4]), (found[3], found[4] or found[2])]
    one, other = (f"{size.replace(',', '.')} {unit or '…'}" for size, unit in sizes)
    bare = "" if found[2] or found[4] else ", with the unit"
    return f"Write `{{across: {one}, around: {other}}}`{bare}, or the other way round: around is along the web."


NEAR = 0.61
"""How alike two words must be for the one to be offered in place of the other, by difflib's ratio."""


def nearest_word(word: str, known: Iterable[str], least: float = NEAR) -> str | None:
    """Give the known word that was most likely meant, None where none is alike.

    That is the one that has words which begin as those of this one do, ``mag cyl`` for ``magnetic_cylinder``; else
    the most alike. Case, hyphens, underscores and spaces do not count.
    """
    folded: dict[str, str] = {}
    for name in known:
        folded.setdefault(_folded(name), name)
    wanted = _folded(word)
    begun = [name for name in folded if _begins(wanted, name)]
    found = begun if len(begun) == 1 else difflib.get_close_matches(wanted, folded, n=1, cutoff=least)
    return folded[found[0]] if found else None


def _begins(short: str, long: str) -> bool:
    parts = short.split()
    return all(len(part) > 2 and any(word.startswith(part) for word in long.split()) for part in parts) and bool(parts)


def _folded(word: str) -> str:
    return re.sub(r"[-_\s]+", " ", word).casefold().strip()


def same_word(word: str, known: Iterable[str]) -> str | None:
    """Give the known word that differs from this one only in case, hyphens, underscores and spaces."""
    folded = _folded(word)
    return next((name for name in known if _folded(name) == folded), None)


_TRADE = {
    **dict.fromkeys(("glassine", "kraft", "clay coated kraft", "sck", "cck", "vellum", "wood free"), ("paper",)),
    **dict.fromkeys(("pet", "polyester"), ("pet", "film")),
    **dict.fromkeys(("bopp", "opp", "polypropylene"), ("pp", "film")),
    **dict.fromkeys(("ldpe", "hdpe", "polyethylene"), ("pe", "film")),
    **dict.fromkeys(("hotmelt", "hot melt"), ("rubber",)),
    **dict.fromkeys(("outside", "outward", "face out", "labels out"), ("out",)),
    **dict.fromkeys(("inside", "inward", "face in", "labels in"), ("in",)),
}
"""Names of the trade, and the words by which a field may know them, the nearest first."""


def choice_hint(word: str, known: Sequence[str], what: str) -> str:
    """Give the nearest of the known words, and all of them if they are few or none is near."""
    if named := next((name for name in _TRADE.get(_folded(word), ()) if name in known), ""):
        return f"Here {quoted(word)} is written {quoted(named)}."
    near = nearest_word(word, known)
    asks = [f"Did you mean {quoted(near)}?"] if near else []
    if known and (near is None or (len(known) <= _FEW and not same_word(word, [near]))):
        asks.append(f"{what}: {', '.join(known)}.")
    return " ".join(asks)


_BOUNDS = {
    "minimum": ("at least", "", ""),
    "exclusiveMinimum": ("more than", "", ""),
    "maxItems": ("at most", "entry", "entries"),
    "minProperties": ("at least", "key", "keys"),
    "maxProperties": ("at most", "key", "keys"),
    "minLength": ("at least", "character", "characters"),
}


def bound_in_words(keyword: str, limit: Any) -> str:
    """Give what a bound asks for: ``at least 3 entries``."""
    how, one, many = _BOUNDS[keyword]
    return f"{how} {limit} {one if limit == 1 else many}".rstrip()
