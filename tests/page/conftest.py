"""A few sheets of the demo plant, looked at once for all tests of the page."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from filmcheck.records.job_view import PlantView
from filmcheck.run import Options, lint
from filmcheck.running.page_run import view_plant

EXAMPLES = Path(__file__).parents[2] / "examples"
DAY = date(2026, 11, 26)
SHOWN = (
    "sound/qm-3105-running-pear-cider.yaml",
    "sound/qm-3110-planned-throat-spray-with-permit.yaml",
    "spoiled/qm-3201-unwind-on-brake-alone.yaml",
    "spoiled/qm-3206-three-inch-core-on-23-micron-liner.yaml",
    "spoiled/qm-3209-stock-name-with-swapped-figures.yaml",
    "spoiled/qm-3213-die-built-for-paper.yaml",
)


@pytest.fixture(scope="session")
def plant() -> PlantView:
    """Give the view of those sheets: the worst five drawn, the worst one mapped."""
    paths = [EXAMPLES / "jobs" / name for name in SHOWN]
    return view_plant(lint(paths, Options(today=DAY)), paths, DAY, drawn=5, mapped=1)
