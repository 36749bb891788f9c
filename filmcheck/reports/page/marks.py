"""Small marks that the page is made of: words and signs of levels, and parts of drawings with their text escaped.

No meaning lies in a colour alone: each level has a sign of its own, each area a hatching or a word.
"""

from __future__ import annotations

from html import escape

from filmcheck.records.finding import Finding

SIGNS = {
    "error": "✖",
    "warning": "▲",
    "note": "●",
    "none": "●",
    "borderline": "◐",
    "open": "?",
    "accepted": "◇",
    "sound": "✓",
}
WORDS = {
    "error": "error",
    "warning": "warning",
    "note": "note",
    "none": "ungraded",
    "borderline": "borderline",
    "open": "cannot be told",
    "accepted": "accepted by permit",
    "sound": "nothing found",
}


def standing(finding: Finding) -> str:
    """Say how a finding stands: its level, else that it is accepted, borderline or open."""
    if finding.permit is not None:
        return "accepted"
    if finding.kind == "review":
        return "borderline"
    return finding.level if finding.kind == "fail" else finding.kind


def sign(stands: str) -> str:
    """Give the sign of a level, and its word for who hears the page."""
    heard = f'<span class="heard">{WORDS[stands]}: </span>'
    return f'<span class="sign {stands}" aria-hidden="true">{SIGNS[stands]}</span>{heard}'


def num(value: float) -> str:
    """Write a length of a drawing."""
    return f"{value:.1f}".rstrip("0").rstrip(".")


def words(x: float, y: float, text: str, kind: str = "", anchor: str = "") -> str:
    """Write text into a drawing."""
    more = (f' class="{kind}"' if kind else "") + (f' text-anchor="{anchor}"' if anchor else "")
    return f'<text x="{num(x)}" y="{num(y)}"{more}>{escape(text)}</text>'


def box(x: float, y: float, width: float, height: float, kind: str) -> str:
    """Draw a box."""
    return (
        f'<rect x="{num(x)}" y="{num(y)}" width="{num(max(width, 0))}" height="{num(max(height, 0))}" class="{kind}"/>'
    )


def line(x1: float, y1: float, x2: float, y2: float, kind: str) -> str:
    """Draw a line."""
    return f'<line x1="{num(x1)}" y1="{num(y1)}" x2="{num(x2)}" y2="{num(y2)}" class="{kind}"/>'


def picture(width: float, height: float, label: str, parts: str, *, role: str = "img") -> str:
    """Put the parts of a drawing together under a name."""
    return (
        f'<svg role="{role}" aria-label="{escape(label)}" viewBox="0 0 {num(width)} {num(height)}"'
        f' width="{num(width)}" height="{num(height)}">{parts}</svg>'
    )


def scrolled(label: str, drawing: str) -> str:
    """Let a wide drawing be moved sideways, by keyboard too."""
    return f'<div class="wide" role="group" tabindex="0" aria-label="{escape(label)}">{drawing}</div>'


def plain_number(value: float) -> str:
    """Write a number of an axis."""
    return f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"
