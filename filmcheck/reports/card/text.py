"""Sets the set-up card as text for a terminal or a plain printer, 80 columns wide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from filmcheck.reports.card.card import STANDING_LINE, Card, Section
from filmcheck.reports.page_lines import WIDTH

_GAP = "  "
_LEAST = 6


def card_text(card: Card) -> str:
    """Set the card as text that ends with a line end."""
    lines = [*_wrapped(card.title), *_wrapped(f"[{card.state}]"), *_wrapped(card.file)]
    for section in card.sections:
        lines += ["", ("!! " if section.loud else "") + section.title, "-" * WIDTH, *_body(section)]
    return "\n".join([*lines, "", *_wrapped(STANDING_LINE)]) + "\n"


def _body(section: Section) -> Iterator[str]:
    rows = [section.head, *section.rows] if section.head else list(section.rows)
    if rows:
        yield from table_lines([[_flat(cell) for cell in row] for row in rows])
    for note in section.notes:
        yield from _wrapped(note)


def _flat(text: str) -> str:
    return " ".join(text.split())


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(_flat(text), WIDTH) or [""]


def table_lines(rows: Sequence[Sequence[str]], width: int = WIDTH) -> Iterator[str]:
    """Set rows of cells below each other; the widest columns give way until a line fits."""
    count = max(map(len, rows))
    sizes = [max((len(row[at]) for row in rows if at < len(row)), default=0) for at in range(count)]
    while sum(sizes) + len(_GAP) * (count - 1) > width and max(sizes) > _LEAST:
        sizes[sizes.index(max(sizes))] -= 1
    for row in rows:
        cells = [
            textwrap.wrap(cell, max(size, 1), break_on_hyphens=False) for cell, size in zip(row, sizes, strict=False)
        ]
        for at in range(max(map(len, cells), default=0)):
            line = [(cell[at] if at < len(cell) else "").ljust(size) for cell, size in zip(cells, sizes, strict=False)]
            yield _GAP.join(line).rstrip()
