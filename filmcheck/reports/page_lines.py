"""Lines of a text report: message lines in GNU form, labels with what belongs to them, wrapped at the page's width."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from filmcheck.records.place import Place

INDENT = 4
LABEL = 9
NARROWEST = 40
WIDTH = 80
"""Columns of a text where nobody asks for others."""
HEADLINE = 160
"""Letters that a headline has at most, its place and its rule not counted."""

_SPACES = "\N{NO-BREAK SPACE}\N{THIN SPACE}\N{NARROW NO-BREAK SPACE}"
_WITHOUT_SPACES = dict.fromkeys(map(ord, _SPACES))
_SENTENCE_ENDS = re.compile(r"(?<=[.?!])\s+(?=[A-Z])")
_CLAUSE_ENDS = re.compile(r"[;:,.](?= )")
_COLOURS = {
    "error": "1;31",
    "warning": "33",
    "note": "36",
    "borderline": "35",
    "cannot tell": "34",
    "quiet": "2",
    "heading": "1",
}


class Page(NamedTuple):
    """How to set the text, and what the rules say for themselves."""

    width: int
    colour: bool
    cautions: dict[str, str]
    sheets: frozenset[str] = frozenset()
    """Files of the jobs, where there are several: what stands elsewhere is told with the jobs that it was found on."""

    def paint(self, text: str, tone: str) -> str:
        """Colour a text, where colours are wanted."""
        code = _COLOURS.get(tone)
        return f"\x1b[{code}m{text}\x1b[0m" if self.colour and code else text

    def wrapped(self, text: str, first: str) -> tuple[str, ...]:
        """Wrap a text behind what its first line begins with; the others are set in as far."""
        return wrapped(text, first, width=self.width)

    def head(self, place: Place | str, word: str, text: str, rule: str = "") -> str:
        """Give a message line: place, word, sentence and rule."""
        tag = "  " + self.paint(f"[{one_line(rule)}]", "quiet") if rule else ""
        where = f"{one_line(str(place))}: " if place else ""
        return f"{where}{self.paint(word, word)}: {one_line(text)}{tag}"

    def labelled(self, label: str, texts: Iterable[str]) -> list[str]:
        """Give each text under the label, wrapped with a hanging indent; the label stands before the first."""
        lines: list[str] = []
        for text in filter(None, map(one_line, texts)):
            lines += self.wrapped(text, " " * INDENT + ("" if lines else f"{label} ").ljust(LABEL))
        if lines:
            lines[0] = lines[0].replace(label, self.paint(label, "quiet"), 1)
        return lines

    def one_labelled(self, label: str, text: str) -> list[str]:
        """Give as much of a text as one line holds under the label: whole sentences, or the first one cut."""
        room = self.width - INDENT - LABEL
        return self.labelled(label, [shortened(one_line(text), room)])

    def block(self, heading: str, parts: list[str], *, apart: bool = True) -> str:
        """Give a heading with what stands under it; nothing where that is nothing."""
        if not parts:
            return ""
        between = "\n\n" if apart else "\n"
        return f"{self.paint(heading, 'heading')}\n{'-' * len(heading)}\n" + between.join(parts)


def headline(text: str, most: int = HEADLINE) -> str:
    """Give the first thing that a sentence says: as many whole clauses as have room, else as many words."""
    flat = one_line(text).removesuffix(".")
    if len(flat) <= most:
        return flat
    first = _SENTENCE_ENDS.split(flat)[0]
    return first.removesuffix(".") if len(first) <= most else shortened(flat, most)


def shortened(text: str, most: int) -> str:
    """Cut a text at a sentence's end that leaves half of it or more, else at a clause's, else between two words."""
    if len(text) <= most:
        return text
    kept = ""
    for sentence in _SENTENCE_ENDS.split(text):
        if len(kept) + len(sentence) + 1 > most:
            break
        kept = f"{kept} {sentence}".strip()
    if len(kept) >= most // 2:
        return kept
    ends = [found.start() for found in _CLAUSE_ENDS.finditer(text) if 2 * most // 3 <= found.start() <= most - 2]
    return (text[: ends[-1]] if ends else text[: most - 2].rsplit(" ", 1)[0].rstrip(" ,;:")) + " …"


@lru_cache(maxsize=1024)
def wrapped(text: str, first: str, rest: str | None = None, width: int = WIDTH) -> tuple[str, ...]:
    """Wrap a text behind what its first line begins with; the others begin with ``rest``, or are set in as far.

    Kept, for what a rule says for itself comes again with each of its findings.
    """
    # Hyphens are kept whole: a rule's name broken over two lines cannot be searched for.
    lines = textwrap.wrap(
        one_line(text),
        width,
        initial_indent=first,
        subsequent_indent=" " * len(first) if rest is None else rest,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return tuple(lines)


def one_line(text: str) -> str:
    """Put text on one line and make control characters harmless: what a sheet says goes to a terminal."""
    flat = re.sub(r"[ \t\r\n]+", " ", text).strip()
    if flat.translate(_WITHOUT_SPACES).isprintable():
        return flat
    return "".join(c if c.isprintable() or c in _SPACES else "\N{REPLACEMENT CHARACTER}" for c in flat)


def count(number: int, noun: str) -> str:
    """Count things in words."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def more_follow(number: int) -> str:
    """Say behind a count of causes how much more follows from them; nothing where nothing does."""
    return f", from which {number} more {'follows' if number == 1 else 'follow'}" * bool(number)


def that_follow(number: int) -> str:
    """Say behind one cause how much follows from it; nothing where nothing does."""
    return f" (+{number} that {'follows' if number == 1 else 'follow'})" * bool(number)


def listed(names: Iterable[str], most: int) -> str:
    """Name some, and count the others."""
    every = list(names)
    more = [f"{len(every) - most} more"] if len(every) > most else []
    return ", ".join([*every[:most], *more])
