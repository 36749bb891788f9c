"""Sets the page as one HTML file: it loads nothing, runs no script, and every text in it is escaped."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator
from hashlib import sha256
from html import escape

from filmcheck.records.errors import UseError
from filmcheck.records.finding import Finding
from filmcheck.records.job_view import JobView, PlantView, SheetView
from filmcheck.reports.led import in_order
from filmcheck.reports.page.cut_sum import cut_sum
from filmcheck.reports.page.finding_list import finding_list, open_list
from filmcheck.reports.page.glance import badge, glance, has_part
from filmcheck.reports.page.marks import scrolled
from filmcheck.reports.page.path_strip import numbers, path_strip
from filmcheck.reports.page.roll_section import roll_section
from filmcheck.reports.page.sheet_text import marked_sheet
from filmcheck.reports.page.style import STYLE
from filmcheck.reports.page.window_map import window_map
from filmcheck.reports.text import STANDING_LINE

_HASH = b64encode(sha256(STYLE.encode()).digest()).decode()
POLICY = f"default-src 'none'; style-src 'sha256-{_HASH}'; base-uri 'none'; form-action 'none'"

MOST_FINDINGS = 200
"""Findings of one job that are told."""


def page_html(view: PlantView) -> str:
    """Set the page as HTML that ends with a line end."""
    title = f"Job sheets of {view.name}" if view.name else "Job sheets"
    body = "\n".join(_body(view))
    parts = [
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">',
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{escape(title)}</title>\n<style>{STYLE}</style></head>\n<body>",
        f'<a class="skip" href="#jobs">To the jobs</a><header><h1>{escape(title)}</h1>{_nav(body)}</header><main>',
        body,
        f"</main>\n<footer><p>{escape(STANDING_LINE)}</p></footer>\n</body></html>\n",
    ]
    return "\n".join(parts)


def _body(view: PlantView) -> Iterator[str]:
    yield glance(view)
    yield from _elsewhere(view)
    yield '<h2 id="jobs">Job by job, the worst first</h2>'
    yield f"<p>{escape(left_out(view))}</p>"
    yield from (_job(sheet, f"j{at}") for at, sheet in enumerate(view.sheets, 1) if has_part(sheet))


PARTS = {
    "stages": "By stage",
    "missing": "What is missing",
    "rules": "By rule",
    "elsewhere": "Settings and files",
    "jobs": "Job by job",
}


def _nav(body: str) -> str:
    """Lead to the parts that the page has."""
    there = [name for name in PARTS if f'<h2 id="{name}">' in body]
    links = "".join(f'<li><a href="#{name}">{PARTS[name]}</a></li>' for name in there)
    return f'<nav aria-label="Parts of the page"><ul>{links}</ul></nav>'


def left_out(view: PlantView) -> str:
    """Say what the page leaves out."""
    drawn = sum(sheet.view is not None for sheet in view.sheets)
    mapped = sum(sheet.view is not None and bool(sheet.view.maps) for sheet in view.sheets)
    lean = sum(sheet.view is None and has_part(sheet) for sheet in view.sheets)
    bare = len(view.sheets) - drawn - lean
    told = [f"Drawn: {drawn} of {len(view.sheets)} jobs; with maps of the rewind window: {mapped}."]
    if lean:
        told.append(f"Jobs with findings but no drawings and sums: {lean}.")
    if bare:
        told.append(f"Jobs only named above, with nothing found: {bare}.")
    if drawn < len(view.sheets) or mapped < drawn:
        told.append("filmcheck page SHEET shows all of one job; --drawn and --mapped ask for more.")
    return " ".join(told)


def _elsewhere(view: PlantView) -> Iterator[str]:
    """Set what was found in registers and settings, files that could not be read, and what was passed over."""
    report = view.report
    others = [f"{trouble.file}: {trouble.text}" for trouble in report.troubles]
    others += [f"{notice.text} {', '.join(notice.files[:5])}" for notice in report.notices]
    if view.elsewhere or others:
        yield '<h2 id="elsewhere">Settings, registers, files</h2>'
        yield finding_list(in_order(view.elsewhere), "e")
        yield "<ul>" + "".join(f"<li>{escape(one)}</li>" for one in others) + "</ul>" if others else ""


def _job(sheet: SheetView, name: str) -> str:
    every = in_order(one for one in sheet.findings if one.kind in ("fail", "review"))
    told, more = every[:MOST_FINDINGS], len(every) - MOST_FINDINGS
    given = sheet.given
    facts = [given[key] for key in ("stage", "date", "press", "stock", "customer") if key in given]
    title = f"{sheet.job or sheet.file} {given.get('title', '')}"
    parts = [
        f'<details class="job"><summary><span class="badge">{badge(sheet.findings)}</span>{escape(title)}</summary>',
        f'<div id="{name}"><p class="facts">{escape(" · ".join([*facts, sheet.file]))}</p>',
        finding_list(told, name, lean=sheet.view is None),
        f"<p>{more} more are left out here; filmcheck lint tells all.</p>" if more > 0 else "",
        open_list(sheet.findings),
        *(_drawings(sheet, sheet.view, told, name) if sheet.view is not None else ()),
        _text(sheet, told, name),
        "</div></details>",
    ]
    return "".join(parts)


def _text(sheet: SheetView, told: list[Finding], name: str) -> str:
    shown = marked_sheet(sheet.text, sheet.file, told, name, whole=sheet.view is not None)
    return f"<details><summary>The sheet, with marks at its lines</summary>{shown}</details>" if shown else ""


def _drawings(sheet: SheetView, view: JobView, told: list[Finding], name: str) -> Iterator[str]:
    yield "<h3>Along the path</h3>"
    yield scrolled(f"Path of {view.job}", path_strip(view, told, sheet.text, name))
    yield _numbers(view)
    yield '<div class="pair">'
    yield _figure("The finished roll", roll_section(view, "finished roll"))
    yield _figure("The cut", cut_sum(view))
    for drawn in view.maps:
        name = drawn.across.replace(".", " ").replace("_", " ")
        yield _figure(f"Window of {name} and taper", window_map(drawn))
    yield "</div>"
    if not view.maps:
        yield "<p>No map of the rewind window is drawn here.</p>"


def _figure(title: str, drawing: str) -> str:
    return f"<div><h3>{escape(title)}</h3>{scrolled(title, drawing)}</div>"


def _numbers(view: JobView) -> str:
    rows = "".join(
        f'<tr><th scope="row">{escape(station)}</th><td>{escape(tension)}</td><td>{escape(heat)}</td></tr>'
        for station, tension, heat in numbers(view.stations)
    )
    head = '<tr><th scope="col">behind</th><th scope="col">line tension</th><th scope="col">web</th></tr>'
    table = f"<table><thead>{head}</thead><tbody>{rows}</tbody></table>"
    return f"<details><summary>The curves as numbers</summary>{scrolled('The curves as numbers', table)}</details>"


def poster(view: PlantView) -> str:
    """Set the path of the worst job as a picture of its own, SVG. Raises UseError where no job has a path."""
    for sheet in view.sheets:
        if sheet.view is not None and sheet.view.stations:
            told = in_order(one for one in sheet.findings if one.kind in ("fail", "review"))
            drawn = path_strip(sheet.view, told, sheet.text, "")
            head = f'<svg xmlns="http://www.w3.org/2000/svg"{drawn.removeprefix("<svg")}'
            start = head.index(">") + 1
            paper = '<rect width="100%" height="100%" fill="var(--paper)"/>'
            return f"{head[:start]}<style>{STYLE}</style>{paper}{head[start:]}\n"
    raise UseError("no job among them has a path to draw", way_out="Give a job sheet with a path.")
