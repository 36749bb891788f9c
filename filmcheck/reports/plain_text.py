"""The last step of every report: takes from it what would steer a terminal, or a build service that reads the log.

A report holds names and words of strangers. Build services act on lines that begin with ``::`` and on ``##word[``
anywhere; terminals act on control characters; bidirectional controls show a text in another order than it has.
"""

from __future__ import annotations

import re
from collections.abc import Callable

_OTHER_THAN_ASCII = re.compile(r"[^\n\x20-\x7e]")
_COLOUR = re.compile(r"(\x1b\[[\d;]*m)")
_COMMAND_LINE = re.compile(r"^(\s*):(?=:)", re.MULTILINE)
_COMMAND = re.compile(r"#(?=#\w*\[)")
_SPACES = "\N{NO-BREAK SPACE}\N{THIN SPACE}\N{NARROW NO-BREAK SPACE}"


def plain_text(text: str, *, colour: bool = False) -> str:
    """Give a text that only shows: odd characters are replaced, and a space breaks what a build service would heed.

    ``colour`` leaves colours of the terminal (SGR, ECMA-48 8.3.117) as they are, where the report has set them.
    """
    parts = _COLOUR.split(text) if colour else [text]
    parts[::2] = [_replaced(part, _shown) for part in parts[::2]]
    return _COMMAND.sub("# ", _COMMAND_LINE.sub(r"\1: ", "".join(parts)))


def plain_json(text: str) -> str:
    """Give the same JSON in a form that only shows: within texts, odd characters are escaped (RFC 8259, 7)."""
    return _COMMAND.sub(r"\\u0023", _replaced(text, _escaped))


def _replaced(text: str, shown: Callable[[str], str]) -> str:
    """Put others in the stead of odd characters; a text without any is given back itself, for it may be large."""
    letters = {found[0] for found in _OTHER_THAN_ASCII.finditer(text)}
    odd = {ord(letter): shown(letter) for letter in letters if not letter.isprintable() and letter not in _SPACES}
    return text.translate(odd) if odd else text


def _shown(letter: str) -> str:
    return " " if letter in "\t\r" else "\N{REPLACEMENT CHARACTER}"


def _escaped(letter: str) -> str:
    code = letter.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{code[at]:02x}{code[at + 1]:02x}" for at in range(0, len(code), 2))
