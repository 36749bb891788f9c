"""The path of the worst job as a picture of its own, for a README or a note."""

from __future__ import annotations

from filmcheck.records.errors import UseError
from filmcheck.records.job_view import PlantView
from filmcheck.reports.led import in_order
from filmcheck.reports.page.path_strip import path_strip
from filmcheck.reports.page.style import STYLE


def poster(view: PlantView) -> str:
    """Set the picture as SVG. Raises UseError where no job has a path."""
    for sheet in view.sheets:
        if sheet.view is not None and sheet.view.stations:
            told = in_order(one for one in sheet.findings if one.kind in ("fail", "review"))
            drawn = path_strip(sheet.view, told, sheet.text, "")
            head = f'<svg xmlns="http://www.w3.org/2000/svg"{drawn.removeprefix("<svg")}'
            start = head.index(">") + 1
            paper = '<rect width="100%" height="100%" fill="var(--paper)"/>'
            return f"{head[:start]}<style>{STYLE}</style>{paper}{head[start:]}\n"
    raise UseError("no job among them has a path to draw", way_out="Give a job sheet with a path.")
