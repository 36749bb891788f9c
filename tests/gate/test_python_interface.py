"""The names that a program may use: paths as text, a sheet as text, figures, reports, and several threads at once."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path

import pytest

import filmcheck

EXAMPLES = Path(__file__).parents[2] / "examples"
SHEET = EXAMPLES / "jobs/spoiled/qm-3204-first-film-job-over-turn-bar.yaml"
OPTIONS = filmcheck.Options(today=date(2026, 12, 1))


def test_paths_may_be_texts() -> None:
    by_path = filmcheck.lint([SHEET], OPTIONS)
    assert by_path.findings
    assert filmcheck.lint([str(SHEET)], OPTIONS) == filmcheck.lint(str(SHEET), OPTIONS) == by_path


def test_a_text_is_judged_as_the_sheet_that_it_is_of() -> None:
    report = filmcheck.lint_text(SHEET.read_text(encoding="utf-8"), SHEET, OPTIONS)
    assert report.findings == filmcheck.lint([SHEET], OPTIONS).findings


def test_a_text_need_not_stand_anywhere() -> None:
    report = filmcheck.lint_text("job: QM-1\nspede: 45 m/min\n", str(EXAMPLES / "jobs/not-there.yaml"), OPTIONS)
    assert {"key-not-known", "key-unknown"} & {finding.rule for finding in report.findings}
    assert {finding.place.file for finding in report.findings if finding.rule.startswith("key")} == set(report.files)


def test_figures_and_reports_come_as_records_and_as_texts() -> None:
    sheet = filmcheck.work_out(str(SHEET), date(2026, 12, 1), part="laminate.caliper")
    assert [line.name for line in sheet.figures] == ["laminate.caliper"]
    assert "laminate.caliper" in filmcheck.figure_table(sheet)
    report = filmcheck.lint([SHEET], OPTIONS)
    assert "turn-bar-on-first-film-job" in filmcheck.text_report(report)
    assert "turn-bar-on-first-film-job" in filmcheck.sarif_text(report)


@pytest.mark.slow
@pytest.mark.parametrize("work", [filmcheck.lint, filmcheck.work_out])
def test_several_threads_get_what_one_gets(work: Callable[..., object]) -> None:
    sheets = sorted((EXAMPLES / "jobs").rglob("qm-31*.yaml"))
    given = OPTIONS if work is filmcheck.lint else OPTIONS.today
    in_turn = [work(sheet, given) for sheet in sheets]
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(lambda sheet: work(sheet, given), sheets)) == in_turn
