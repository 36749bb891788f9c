"""What the words of a rule refer to where they stand, and how clauses are joined into a sentence."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from filmcheck.figures.plain_names import plain_name
from filmcheck.figures.scopes import parsed
from filmcheck.judging.limit import Limit


class Telling(NamedTuple):
    """What names mean where a condition stands: the limits, what ``its.`` and what ``that.`` belong to."""

    limits: Mapping[str, Limit]
    kind: str = ""
    outer: str = ""

    def inside(self, kind: str) -> Telling:
        """Step to things of a kind."""
        return self._replace(kind=kind, outer=self.kind)

    def kind_of(self, name: str) -> str:
        """Give the kind of thing that a figure belongs to; none for a figure of the job."""
        head = parsed(name).head
        return self.kind if head == "its" else self.outer if head == "that" else ""


def joined(texts: list[str], word: str) -> str:
    """Join clauses by commas and a last word."""
    if len(texts) < 2:
        return "".join(texts)
    # Clauses that hold commas or colons of their own are set apart more strongly.
    mark = ";" if any(sign in text for text in texts for sign in (",", ":", " such that ")) else ","
    last = f"{mark} {word} " if mark == ";" or len(texts) > 2 else f" {word} "
    return f"{mark} ".join(texts[:-1]) + last + texts[-1]


def article(noun: str) -> str:
    """Give a or an: an unwind, a uv lamp."""
    return "an" if noun[:1] in "aeio" or noun.startswith("unw") else "a"


def plural(noun: str) -> str:
    """Give the plural of a kind of thing."""
    first, mark, rest = noun.partition(" (")
    head, link, tail = first.partition(" of ")
    several = " or ".join(f"{part}es" if part.endswith("s") else f"{part}s" for part in head.split(" or "))
    return f"{several}{link}{tail}{mark}{rest}"


def limit_value(limit: Limit) -> str:
    """Write the value of a limit; of a table, every value with the word that it goes by."""
    if not limit.by:
        return limit.value.text if limit.value else ""
    known = [f"{quantity.text} for {word}" for word, quantity in limit.table.items()]
    otherwise = [f"otherwise {limit.value.text}"] if limit.value else []
    return f"by {plain_name(limit.by)}: {', '.join([*known, *otherwise])}"
