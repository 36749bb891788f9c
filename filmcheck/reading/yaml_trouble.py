"""What a YAML parser stumbles over, told in plain words and with the place to look at."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from functools import lru_cache
from typing import Any, TypeAlias

from filmcheck.reading.lines import Lines
from filmcheck.reading.nodes import Fault
from filmcheck.reading.schema_keys import FOREIGN_SPACE, foreign_space, with_colon
from filmcheck.reading.shipped import shipped_schema
from filmcheck.records.place import Span

Teller: TypeAlias = Callable[[Lines, int, int], Fault]
"""Tells of a trouble, by where it is and where its context begins."""

_NO_CHARACTER = re.compile(r"\\(?:U(?!000[0-9a-fA-F]|0010)[0-9a-fA-F]{8}|u[dD][89a-fA-F][0-9a-fA-F]{2})")
_INDENT = re.compile(r"[ \t]*")
_TAB_IN_FRONT = re.compile(r"^ *\t", re.MULTILINE)
_REMARK = re.compile(r" (#[^\s{}\[\],]*)")
_KEY = re.compile(r"[^\s:#][^:#]*:(\s|$)")


def describe_trouble(error: Exception, text: str) -> Fault:
    """Give the fault for what a parser raised on the text."""
    lines = Lines(text)
    problem, context = getattr(error, "problem", None) or str(error), getattr(error, "context", None) or ""
    at, opened = (_offset(getattr(error, name, None), text) for name in ("problem_mark", "context_mark"))
    escape = _NO_CHARACTER.search(text) if isinstance(error, ValueError) else None
    if escape:
        span = lines.span(escape.start(), escape.end())
        return _broken(span, f"{escape[0]} stands for no character.", "Type the character itself.")
    tab = _tab_in_front(lines, at)
    if tab is not None:
        more = len(_TAB_IN_FRONT.findall(text)) - 1
        here = f", here and on {more} more {'line' if more == 1 else 'lines'}" if more > 0 else ""
        hint = f"Set lines in with spaces{here}; YAML takes no tab there."
        return _broken(lines.span(tab, tab + 1), "A tab sets this line in.", hint)
    for mark, tell in _TROUBLES:
        if mark in f"{context}; {problem}":
            return tell(lines, at, opened)
    return _broken(lines.run(at), "This cannot be read as YAML.", _QUOTE)


_QUOTE_OR_LINE = "If it belongs to a text, put the text in quotes; else give the key a line of its own."
_TWO_KEYS = re.compile(r" *(?:- +)?([^\s{}\[\],'\"#:][^{}\[\],'\"#:]{0,40}): +([a-z_]{1,40}: +[^{}\[\],'\"#:]{1,40})")
_KEY_AND_TEXT = re.compile(r" *(?:- +)?([A-Za-z_][A-Za-z_ ]{0,39}): +([^{}\[\],'\"#:&*!|>%@`][^#]{0,80})")
_QUOTE = "If it belongs to a text, put the whole text in quotes."


def _broken(span: Span, says: str, hint: str) -> Fault:
    return Fault("yaml-broken", span, says, hint)


def _offset(mark: Any, text: str) -> int:
    return min(int(mark.index), len(text)) if mark is not None else 0


def _tab_in_front(lines: Lines, at: int) -> int | None:
    """Give the offset of a tab before the first word of the line of the trouble."""
    start, end = lines.row(at)
    indent = _INDENT.match(lines.text, start, end)
    tab = lines.text.find("\t", start, indent.end() if indent else start)
    return tab if tab >= 0 else None


def _quote(lines: Lines, at: int, opened: int) -> Fault:
    mark = lines.text[opened : opened + 1]
    says = f"The quote {mark} that begins here is never closed."
    return _broken(lines.span(opened, opened + 1), says, f"Put a second {mark} where the text ends.")


def _bracket(lines: Lines, at: int, opened: int) -> Fault:
    bracket = lines.text[opened : opened + 1]
    closing = {"[": "]", "{": "}"}.get(bracket, "bracket")
    here = lines.span(opened, opened + 1)
    if remark := _REMARK.search(lines.text, opened, lines.row(opened)[1]):
        says = f"What follows # is a remark, so it closes no bracket {bracket}."
        hint = f"If it belongs to the sheet, put it in quotes, as '{remark[1]}'; else close with {closing} before it."
        return _broken(lines.span(remark.start(1), remark.end(1)), says, hint)
    if not lines.text[at:].strip():
        return _broken(here, f"The bracket {bracket} is never closed.", f"Put a {closing} where it ends.")
    line, column = lines.place(at)
    says = f"The bracket {bracket} is not closed or a comma is missing before line {line}, column {column}."
    above = lines.place(len(lines.text[: lines.starts[line - 1]].rstrip()))[0]
    end = f" at the end of line {above}, if it ends there" if line > here.line else ""
    return _broken(here, says, f"Separate the entries by commas and close with {closing}{end}.")


def _open_bracket(lines: Lines, at: int, opened: int) -> Fault:
    """Tell of a text that ends while a bracket is open, or of two commas in a row."""
    if lines.text[at : at + 1] == "?":
        hint = "Leave the key out: what is not known yet may be missing."
        return _broken(lines.run(at), "A question mark is no value.", hint)
    if lines.text[at:].strip():
        return _broken(lines.run(at), "A value is missing here.", "Delete the comma, or write the value.")
    last = max(lines.text.rfind("[", 0, at), lines.text.rfind("{", 0, at))
    return _bracket(lines, at, last)


def _colon(lines: Lines, at: int, opened: int) -> Fault:
    start, end = lines.row(at)
    if ":" not in lines.text[start:at] and start:
        return _runs_on(lines, at)
    says = "A colon stands where no key can be."
    found = _TWO_KEYS.fullmatch(lines.text[start:end].rstrip())
    hint = f"If both are keys, write `{found[1]}: {{{found[2]}}}`. {_QUOTE}" if found else _QUOTE_OR_LINE
    if found is None and (text := _KEY_AND_TEXT.fullmatch(lines.text[start:end].rstrip())):
        quoted = text[2].replace("'", "''")
        hint = f"If it belongs to the text, write `{text[1]}: '{quoted}'`; else give the key a line of its own."
    return _broken(lines.span(at, at + 1), says, hint)


def _runs_on(lines: Lines, at: int) -> Fault:
    """Tell of a key that runs on the text of the line above, which has no colon or is set in less."""
    above = len(lines.text[: lines.row(at)[0]].rstrip())
    first, here = (_first_word(lines, offset) for offset in (above, at))
    if not _KEY.match(lines.text, first, above):
        return _no_colon(lines, at, first)
    line, column = lines.place(first)
    says = f"This line is set in further than line {line}, which has its value already."
    return _broken(lines.run(here), says, f"Let it begin in column {column}, as line {line} does.")


def _first_word(lines: Lines, offset: int) -> int:
    """Give where the first word begins on the line of an offset."""
    start, end = lines.row(offset)
    return end - len(lines.text[start:end].lstrip())


def _no_colon(lines: Lines, at: int, opened: int) -> Fault:
    end = len(lines.text[: lines.row(opened)[1]].rstrip())
    if foreign_space(lines.text[opened:end]):
        return _broken(lines.span(opened, end), FOREIGN_SPACE, "Type it again.")
    hint = (
        with_colon(lines.text[opened:end], _sheet_keys()) or "Write it as `key: value`, with a space after the colon."
    )
    return _broken(lines.span(opened, end), "This line has no colon after its key.", hint)


@lru_cache(maxsize=1)
def _sheet_keys() -> frozenset[str]:
    return frozenset(re.findall(r'"([a-z_]+)": \{', json.dumps(shipped_schema("job-sheet"))))


def _crooked(lines: Lines, at: int, opened: int) -> Fault:
    start, end = lines.row(at)
    if lines.text[start:at].strip():
        return _broken(lines.run(at), "More text follows where the value has ended.", _QUOTE)
    if lines.text[at : at + 1] in "]}" and lines.text[at : at + 1]:
        return _broken(lines.run(at), "A bracket is closed that was never opened.", "Delete it, or open it.")
    if not _KEY.match(lines.text, at, end) and lines.text[at : at + 1] != "-":
        return _no_colon(lines, at, at)
    column = lines.place(at)[1]
    says = f"This line begins in column {column}, where no line above begins to which it could belong."
    nearest = [f"column {known}, as line {line} does" for line, known in _columns(lines, start, column)]
    return _broken(lines.run(at), says, f"Let it begin in {', or in '.join(nearest)}.")


def _columns(lines: Lines, start: int, wanted: int) -> list[tuple[int, int]]:
    """Give the columns on both sides of the wanted one in which a line could go on here, each with its line.

    Open at a place are the groups of the line above, of the last line that is set in less than that, and so on.
    """
    found: list[tuple[int, int]] = []
    for number in range(lines.place(start)[0] - 1, 0, -1):
        row = lines.text[slice(*lines.row(lines.starts[number - 1]))]
        column = len(row) - len(row.lstrip(" ")) + 1
        if row.strip() and not row.lstrip().startswith("#") and (not found or column < found[-1][1]):
            found.append((number, column))
            if column <= wanted:
                break
    return found[-2:]


def _first_character(lines: Lines, at: int, opened: int) -> Fault:
    character = lines.text[at : at + 1]
    hint = "Put the whole value in quotes." if character != "\t" else "Use a space instead."
    shown = character if character.strip() else "tab" if character == "\t" else "character"
    return _broken(lines.span(at, at + 1), f"No value can begin with {shown}.", hint)


def _escape(lines: Lines, at: int, opened: int) -> Fault:
    slash = max(lines.text.rfind("\\", opened, at + 1), opened)
    says = "In double quotes a backslash begins a special character, and this one is not known."
    return _broken(lines.span(slash, slash + 2), says, "Use single quotes for a text with backslashes.")


def _always(says: str, hint: str, *, where_opened: bool = False) -> Teller:
    """Make what tells of a trouble in words that are always the same, at it or where its context begins."""
    return lambda lines, at, opened: _broken(lines.run(opened if where_opened else at), says, hint)


_after_end = _always("More text follows where the sheet has ended.", "Delete it, or mend the line above it.")
_dash = _always(
    "A list item cannot begin in the middle of a line.", "Put each dash on a line of its own below the key."
)
_block = _always(
    "The text below | or > is not set in evenly, or something follows the sign on its line.",
    "Begin the text on the next line and set all its lines in alike.",
    where_opened=True,
)
_name = _always("A name must follow & or * at once.", _QUOTE, where_opened=True)
_tag = _always("A value cannot begin with ! here.", _QUOTE, where_opened=True)
_directive = _always("A line with % in front is not understood.", "Delete it.")

_TROUBLES: tuple[tuple[str, Teller], ...] = (
    ("quoted scalar; found unexpected", _quote),
    ("double-quoted scalar", _escape),
    ("found unknown escape", _escape),
    ("flow sequence", _bracket),
    ("flow mapping", _bracket),
    ("mapping values are not allowed", _colon),
    ("could not find expected ':'", _no_colon),
    ("block mapping", _crooked),
    ("block collection", _crooked),
    ("parsing a flow node", _open_bracket),
    ("that cannot start any token", _first_character),
    ("<document start>", _after_end),
    ("document end marker", _after_end),
    ("sequence entries are not allowed", _dash),
    ("block scalar", _block),
    ("scanning an anchor", _name),
    ("scanning an alias", _name),
    ("scanning a tag", _tag),
    ("parsing a tag", _tag),
    ("tag handle", _tag),
    ("directive", _directive),
    ("incompatible YAML", _directive),
    ("YAML document", _directive),
    ("version", _directive),
)
"""A piece of what the parser says, and who tells it in plain words; the first that fits is taken."""
