"""Sets the set-up card as Markdown (CommonMark 0.31 and the common tables)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from filmcheck.reports.card.card import STANDING_LINE, Card, Section
from filmcheck.reports.markdown import safe_text


def card_markdown(card: Card) -> str:
    """Set the card as Markdown that ends with a line end; whatever comes from a sheet is text and no mark."""
    blocks = [f"# {safe_text(card.title)}", f"**{safe_text(card.state)}** · {safe_text(card.file)}"]
    for section in card.sections:
        blocks += ["\n".join(_section(section))]
    return "\n\n".join([*blocks, f"*{STANDING_LINE}*"]) + "\n"


def _section(section: Section) -> Iterator[str]:
    yield f"## {safe_text(section.title)}"
    if section.rows:
        head = section.head or ("", "")
        yield from ("", _line(head), "|" + " --- |" * len(head), *map(_line, section.rows))
    if section.notes:
        yield from ("", *(f"- {safe_text(note)}" for note in section.notes))


def _line(cells: Sequence[str]) -> str:
    return "| " + " | ".join(safe_text(cell) or " " for cell in cells) + " |"
