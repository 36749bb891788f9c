"""Sets the set-up card as one HTML file to be printed on one or two sheets of A4 or letter; it loads nothing."""

from __future__ import annotations

from html import escape

from filmcheck.reports.card.card import BLANK, STANDING_LINE, Card, Section

_STYLE = """
:root{color-scheme:light}
@page{margin:9mm}
*{box-sizing:border-box}
body{font:8.5pt/1.22 system-ui,sans-serif;color:#111;background:#fff;margin:0 auto;padding:8px;max-width:200mm}
h1{font-size:13pt;margin:0 0 2pt;overflow-wrap:anywhere}
h2{font-size:10pt;margin:0 0 2pt;border-bottom:1.5pt solid #111;break-after:avoid}
.state{font-weight:700;margin:0;border:1.5pt solid #111;padding:2pt 5pt;display:inline-block}
.stop{border-width:3pt;font-size:12pt}
.file{margin:2pt 0 6pt;font-size:8pt;overflow-wrap:anywhere}
main{columns:2;column-gap:7mm}
section{margin:0 0 7pt}
section.brief{break-inside:avoid}
section.wide{column-span:all;padding-top:4pt}
section.loud{column-span:all;border:3pt solid #111;padding:4pt}
table{border-collapse:collapse;width:100%}
th,td{text-align:left;vertical-align:top;padding:1pt 3pt 1pt 0;border-bottom:.4pt solid #767676;
overflow-wrap:break-word}
tr{break-inside:avoid}
thead th{font-size:8pt;font-weight:600}
tbody th{font-weight:400}
.pairs th{width:44%}
.loud th:nth-child(1){width:46%}.loud th:nth-child(2){width:34%}
.wide tbody th{width:5mm}.wide td:nth-child(2){white-space:nowrap}
td.fill{min-width:11mm;height:6mm;border-bottom:1pt solid #111}
p{margin:2pt 0}
@media screen and (max-width:640px){main{columns:1}}
"""
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
WIDE = ("Path in order",)
"""Sections that need the whole width of the paper."""
_LONG = 12
"""Rows up to which a section is kept on one page."""


def card_html(card: Card) -> str:
    """Set the card as HTML; every text of it is escaped."""
    stop = "" if card.cleared else " stop"
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(card.title)}</title>\n<style>{_STYLE}</style></head>\n<body>\n"
        f'<header><h1>{escape(card.title)}</h1>\n<p class="state{stop}">{escape(card.state)}</p>\n'
        f'<p class="file">{escape(card.file)}</p></header>\n<main>\n'
        + "\n".join(map(_section, card.sections))
        + f'\n<section class="brief"><p>{escape(STANDING_LINE)}</p></section></main>\n</body></html>\n'
    )


def _section(section: Section) -> str:
    kind = "loud" if section.loud else "wide" if section.title in WIDE else "brief" if len(section.rows) < _LONG else ""
    notes = "".join(f"<p>{escape(note)}</p>" for note in section.notes)
    return f'<section class="{kind}"><h2>{escape(section.title)}</h2>{_table(section)}{notes}</section>'


def _table(section: Section) -> str:
    if not section.rows:
        return ""
    head = "".join(f'<th scope="col">{escape(cell)}</th>' if cell else "<td></td>" for cell in section.head)
    head = f"<thead><tr>{head}</tr></thead>" if head else ""
    rows = "".join(
        f"<tr>{''.join(_cell(cell, first=not at) for at, cell in enumerate(row))}</tr>" for row in section.rows
    )
    kind = "" if section.head else ' class="pairs"'
    return f"<table{kind}>{head}<tbody>{rows}</tbody></table>"


def _cell(cell: str, *, first: bool) -> str:
    if first and cell:
        return f'<th scope="row">{escape(cell)}</th>'
    return '<td class="fill"></td>' if cell.startswith(BLANK) else f"<td>{escape(cell)}</td>"
