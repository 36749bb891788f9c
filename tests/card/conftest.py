"""The demo plant looked at once: every sheet of it, without the windows, which take long."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest

from filmcheck.plant.plant import load_plant, type_text
from filmcheck.records.job_view import JobView
from filmcheck.running.job_view import look_at
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.plant_context import PlantContext, make_context

EXAMPLES = Path(__file__).parents[2] / "examples"
DAY = date(2026, 11, 26)


@pytest.fixture(scope="session")
def context() -> PlantContext:
    return make_context(load_plant(EXAMPLES / "plant.yaml"))


@pytest.fixture(scope="session")
def view_of(context: PlantContext) -> Callable[[str, str], JobView]:
    """Give a function that looks at the text of a sheet as judged, without advice and windows."""

    def view(text: str, name: str = "examples/jobs/sheet.yaml") -> JobView:
        sheet = type_text(text, name, "job-sheet")
        return look_at(sheet, context, DAY, judge_as_is(sheet, context, DAY).findings)

    return view


@pytest.fixture(scope="session")
def views(view_of: Callable[[str, str], JobView]) -> dict[str, JobView]:
    """Every sheet of the demo by the number in its name."""

    def all_views() -> Iterator[JobView]:
        for path in sorted(EXAMPLES.glob("jobs/*/*.yaml")):
            yield view_of(path.read_text(encoding="utf-8"), f"examples/jobs/{path.parent.name}/{path.name}")

    return {Path(view.file).name[:7]: view for view in all_views()}
