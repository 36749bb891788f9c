"""filmcheck reads job sheets for thin film liner as static analysis reads code.

The names below are all there is to the public API; everything else may change.

* ``lint`` judges sheets, files or folders, and ``lint_text`` one sheet given as text; both give a ``Report`` of
  ``Finding`` records, each with the ``Place`` and ``Span`` that it points at. ``Options`` says how to go about it.
* ``work_out`` gives the figures of one job as a ``FigureSheet``.
* ``text_report`` and ``sarif_text`` write a report, ``figure_table`` the figures.
* What ends a run is a ``FilmcheckError``. All may be called from several threads at once.

>>> import filmcheck
>>> report = filmcheck.lint_text("job: QM-1\\nspeed: 45\\n", "jobs/qm-1.yaml")
>>> report.jobs
1

Names are looked up when they are first used, so that the command starts without what it will not need.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from filmcheck.records.version import VERSION as __version__  # noqa: N811  the customary name

__all__ = [
    "FigureSheet",
    "FilmcheckError",
    "Finding",
    "Options",
    "Place",
    "Report",
    "Span",
    "__version__",
    "figure_table",
    "lint",
    "lint_text",
    "sarif_text",
    "text_report",
    "work_out",
]

if TYPE_CHECKING:
    from filmcheck.records.errors import FilmcheckError
    from filmcheck.records.figure_line import FigureSheet
    from filmcheck.records.finding import Finding, Report
    from filmcheck.records.place import Place, Span
    from filmcheck.reports.figure_table import figure_table
    from filmcheck.reports.sarif import sarif_text
    from filmcheck.reports.text import text_report
    from filmcheck.run import Options, lint, lint_text
    from filmcheck.running.figure_run import work_out

else:
    _ROOMS = {
        "FigureSheet": "records.figure_line",
        "FilmcheckError": "records.errors",
        "Finding": "records.finding",
        "Options": "run",
        "Place": "records.place",
        "Report": "records.finding",
        "Span": "records.place",
        "figure_table": "reports.figure_table",
        "lint": "run",
        "lint_text": "run",
        "sarif_text": "reports.sarif",
        "text_report": "reports.text",
        "work_out": "running.figure_run",
    }

    def __getattr__(name: str) -> object:
        """Fetch a public name from the module that defines it."""
        if name not in _ROOMS:
            raise AttributeError(f"module 'filmcheck' has no attribute {name!r}")
        from importlib import import_module

        return getattr(import_module(f"filmcheck.{_ROOMS[name]}"), name)

    def __dir__() -> list[str]:
        """List the public names, found or not yet."""
        return sorted({*globals(), *__all__})
