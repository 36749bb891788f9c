"""YAML text as a flat stream of events, one at a call, the same from the compiled parser and from the pure one.

Both parsers mark places in code points. What they disagree on is evened out here, before or after:

* a byte order mark, NEL, LS and PS: to YAML 1.2 (section 5.4) the last three are no line breaks, to the
  compiled parser they are; all are hidden from the parsers behind stand-ins of the same length;
* the place of an empty value: the one marks it after the colon, the other at the next token;
* a tab between words, which the pure parser takes for a fault, and a colon after the name of an alias, which it
  takes for a part of the name;
* a surrogate spelt out in quotes, which the pure parser takes;
* an hour such as 06:00 in brackets, which the compiled parser refuses: where it does, the colon is hidden likewise.

What one of them refuses and the other takes is left to ``read_tree``: there the pure parser has the last word. What
they take for different things (``READ_DIFFERENTLY``) is given to the pure parser alone, unless it would take seconds.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from typing import Any, NamedTuple, TypeAlias

from filmcheck.reading.lines import Lines, forbidden_character
from filmcheck.reading.nodes import At, Fault

SCALAR, ALIAS, MAPPING, SEQUENCE, END, DOCUMENT = range(6)

_MARK_OR_COMMENT = re.compile(r"#[^\r\n]*|[^\s#]")
_PROPERTIES = re.compile(r"(?:[&!][^\s]*|\s+|#[^\r\n]*)*")
_PROPERTY_OR_COMMENT = re.compile(r"#[^\r\n]*|[&!]\S*")
READ_DIFFERENTLY = re.compile(
    r"[&*][^\s,\[\]{}&*]*:|[\]}][ \t]*:|^(?:---)?[ \t]*[|>]|^ *\t|^\.\.\.|(?:^|[{\[,])[ \t]*\?", re.MULTILINE
)
"""A colon in the name of an anchor, a key in brackets, a document that is one block of text or ends twice, a tab that
sets a line in, a question mark that may announce a key, for the parsers mark an empty one at different places.

A name ends at the next sign of an anchor too: else a line of such signs would be searched from each of them anew.
"""
LONGEST_FOR_PURE = 50_000
"""Code points that the pure parser reads in place of the compiled one; a longer text might take seconds."""
_STAND_INS = {"\ufeff": "\ue0f1", "\x85": "\ue0f2", "\u2028": "\ue0f3", "\u2029": "\ue0f4"}
_TO_STAND_IN = str.maketrans(_STAND_INS)
_COLON = "\ue0f5"
_FROM_STAND_IN = str.maketrans({_COLON: ":"} | {new: old for old, new in _STAND_INS.items()})
_IN_HOUR = re.compile(r"(?<=\d):(?=\d)")


class Properties(NamedTuple):
    """What may stand before a node: the name of its anchor, its tag, and where the tag stands."""

    anchor: str | None
    tag: str | None
    tag_at: At


Event: TypeAlias = tuple[int, At, str, bool, Properties | None]
"""Kind, place, text, whether the scalar is plain, properties. A bare tuple, for a sheet has hundreds.

The text is that of a scalar or the name of an alias. A scalar is plain without quotes and not as a block.
Of the place of a start only the start means anything. The place of an ``END`` is that of the closing bracket,
or ``NO_BRACKET``: the collection then ends with its last child.
"""

NO_BRACKET: At = (0, 0, 0, 0)
_BLOCK_STYLES = ("|", ">")
_SURROGATE = re.compile("[\ud800-\udfff]")


def is_read_differently(text: str) -> bool:
    """Whether the parsers may take something in the text for different things."""
    return READ_DIFFERENTLY.search(text) is not None


def has_hours(text: str) -> bool:
    """Whether there are colons between digits, and the compiled parser would take the text without them alike."""
    if _compiled_parser() is None or _COLON in text or is_read_differently(text):
        return False
    return _IN_HOUR.search(text) is not None


class BrokenYamlError(Exception):
    """The text is not YAML. Carries the fault."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(fault.says)
        self.fault = fault


class Events:
    """The events of a YAML text, to be taken while ``guarded``, which raises BrokenYamlError where it is not YAML.

    A byte order mark in front must be taken off before; ``force_pure`` leaves the compiled parser aside, ``hide_hours``
    hides from it the colons between digits, of which ``has_hours`` says whether there are any.
    """

    def __init__(self, text: str, *, force_pure: bool = False, hide_hours: bool = False) -> None:
        odd = not text.isascii() and any(mark in text for mark in _STAND_INS)
        taken = odd and any(mark in text for mark in _STAND_INS.values())
        self._odd = (odd and not taken) or hide_hours
        self._text = text.translate(_TO_STAND_IN) if odd and not taken else text
        if hide_hours:
            self._text = _IN_HOUR.sub(_COLON, self._text)
        fault = forbidden_character(self._text)
        if fault:
            raise BrokenYamlError(fault)
        if len(text) <= LONGEST_FOR_PURE:
            force_pure = force_pure or taken or is_read_differently(text)
        parser = _pure_parser() if force_pure else _compiled_parser() or _pure_parser()
        self._lines = Lines(self._text)
        self._get = parser(self._text)
        self._last: Any = None

    def __iter__(self) -> Iterator[Event]:
        """Give itself."""
        return self

    def __next__(self) -> Event:
        """Give the next event."""
        while (found := self._get()) is not None:
            shape, last, self._last = _kinds().get(type(found)), self._last, found
            if shape is not None:
                event = shape(found, self._lines, last)
                return (*event[:2], event[2].translate(_FROM_STAND_IN), *event[3:]) if self._odd else event
        raise StopIteration

    @contextmanager
    def guarded(self) -> Iterator[None]:
        """Turn what a parser raises within into BrokenYamlError."""
        try:
            yield
        except _refusals() as error:
            raise _broken(error, self._text) from None


def _broken(error: Exception, text: str) -> BrokenYamlError:
    from filmcheck.reading.yaml_trouble import describe_trouble  # a score of patterns, and most sheets are YAML

    return BrokenYamlError(describe_trouble(error, text))


@cache
def _refusals() -> tuple[type[Exception], ...]:
    from ruamel.yaml.error import YAMLError

    return YAMLError, ValueError


@cache
def _compiled_parser() -> Callable[[str], Callable[[], Any]] | None:
    try:
        from _ruamel_yaml import CParser  # type: ignore[import-not-found]
    except ImportError:
        return None
    return lambda text: CParser(text).get_event


@cache
def _pure_parser() -> Callable[[str], Callable[[], Any]]:
    """Give what turns a text into a function that gives one event a call, None at the end."""
    from ruamel.yaml import YAML

    from filmcheck.reading.yaml_scanner import EvenScanner

    def start(text: str) -> Callable[[], Any]:
        yaml = YAML(typ="safe", pure=True)
        yaml.Scanner = EvenScanner
        stream = yaml.parse(text)

        def get() -> Any:
            try:
                return next(stream, None)
            except Exception as error:  # beside its own errors it lets out those of chr()
                raise _broken(error, text) from None

        return get

    return start


_Shaper: TypeAlias = Callable[[Any, Lines, Any], Event]


@cache
def _kinds() -> dict[type, _Shaper]:
    """Give what turns an event of the parser into ours, by its type."""
    from ruamel.yaml import events as raw

    return {
        raw.ScalarEvent: _scalar,
        raw.MappingStartEvent: lambda found, lines, last: _start(found, MAPPING, lines, last),
        raw.SequenceStartEvent: lambda found, lines, last: _start(found, SEQUENCE, lines, last),
        raw.MappingEndEvent: _end,
        raw.SequenceEndEvent: _end,
        raw.AliasEvent: lambda found, lines, last: (ALIAS, _place(found), found.anchor, False, None),
        raw.DocumentStartEvent: lambda found, lines, last: (DOCUMENT, _document_place(found), "", False, None),
    }


def _place(found: Any) -> At:
    """Give the place of an event: the parsers count lines and columns from 0."""
    start, end = found.start_mark, found.end_mark
    return (start.line + 1, start.column + 1, end.line + 1, end.column + 1)


def _scalar(found: Any, lines: Lines, last: Any) -> Event:
    value, style = found.value, found.style
    if found.anchor is None and found.ctag is None and (style == "'" or (value and not style)):
        return (SCALAR, _place(found), value, not style, None)
    return _odd_scalar(found, lines, last)


def _end(found: Any, _lines: Lines, _last: Any) -> Event:
    bracket = found.end_mark.index > found.start_mark.index
    return (END, _place(found) if bracket else NO_BRACKET, "", False, None)


def _start(found: Any, kind: int, lines: Lines, last: Any) -> Event:
    """Shape the start of a collection; it may have an anchor or a tag before it."""
    if found.anchor is None and found.ctag is None:
        return (kind, _place(found), "", False, None)
    content = _end_of_properties(lines.text, found.start_mark.index)
    return (kind, lines.at(content, content), "", False, _properties(found, lines, last))


def _document_place(found: Any) -> At:
    """Give the place of the three dashes; the parsers differ where directives stand before them."""
    line, column = found.end_mark.line + 1, found.end_mark.column + 1
    return (line, column - 3 if found.explicit else column, line, column)


def _end_of_properties(text: str, start: int) -> int:
    """Give where the anchor and the tag end and the content begins."""
    found = _PROPERTIES.match(text, start)
    return found.end() if found else start


def _properties(found: Any, lines: Lines, last: Any) -> Properties | None:
    """Give the anchor and the tag; the tag may stand before or after the anchor."""
    if found.anchor is None and found.ctag is None:
        return None
    tag = None
    if found.ctag is not None:
        marks = _PROPERTY_OR_COMMENT.finditer(lines.text, last.end_mark.index)
        tag = next((mark for mark in marks if mark[0].startswith("!")), None)
    at = lines.at(tag.start(), tag.end()) if tag else NO_BRACKET
    return Properties(found.anchor, found.tag, at)


def _odd_scalar(found: Any, lines: Lines, last: Any) -> Event:
    """Shape a scalar that is empty, a block, or has an anchor or a tag before it."""
    text, start, end = lines.text, found.start_mark.index, found.end_mark.index
    if _SURROGATE.search(found.value):
        raise ValueError(found.value)
    properties = _properties(found, lines, last)
    if not found.value and not found.style:
        start = end = end if properties else _empty_place(text, last, start)
    elif properties:
        start = _end_of_properties(text, start)
    if found.style in _BLOCK_STYLES:
        end = _block_end(text, start, end)
    return (SCALAR, lines.at(start, end), found.value, not found.style, properties)


def _empty_place(text: str, last: Any, mark: int) -> int:
    """Give the place right after the colon or dash that a missing value belongs to, or before that of a missing key."""
    marks = _MARK_OR_COMMENT.finditer(text, last.end_mark.index, mark)
    signs = [found for found in marks if not found[0].startswith("#")]
    if signs and signs[0][0] == ",":
        return signs[1].start() if signs[1:] else mark
    if signs:
        return signs[0].end()
    return mark if text.startswith(":", mark) else int(last.end_mark.index)


def _block_end(text: str, start: int, end: int) -> int:
    """Give the end of the last line of a block scalar; the parsers mark the token after it.

    Blank lines and comments below the block are left out.
    """
    head, *body = text[start:end].splitlines(keepends=True) or [""]
    filled = [line for line in body if line.strip()]
    measured = filled[:1] if not re.search(r"\d", head.split("#")[0]) else filled
    indent = min((len(line) - len(line.lstrip(" ")) for line in measured), default=0)
    while body and not (body[-1].strip() and len(body[-1]) - len(body[-1].lstrip(" ")) >= indent):
        body.pop()
    return start + len("".join([head, *body]).rstrip("\r\n"))
