"""Faults of registers are told where a linted sheet names the entry; the others are one counted line."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from filmcheck.records.finding import Report
from filmcheck.reports.text import text_report
from filmcheck.run import lint

EXAMPLES = Path(__file__).parents[2] / "examples"
PAPER = "jobs/sound/qm-3104-running-oat-biscuits.yaml"
FILM = "jobs/sound/qm-3101-planned-ginger-cordial.yaml"


@pytest.fixture(scope="module")
def plant(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo plant with a bare number in one stock, and in a cylinder that neither sheet names."""
    root = tmp_path_factory.mktemp("register-faults") / "plant"
    shutil.copytree(EXAMPLES, root)
    for name, old, new in (
        ("stocks", "caliper: 80 µm", "caliper: 80"),
        ("tooling", "p-112: {teeth: 112, pitch: 1/8 in,", "p-112: {teeth: 112, pitch: 1,"),
    ):
        file = root / "registers" / f"{name}.yaml"
        text = file.read_text()
        assert text.count(old) == 1
        file.write_text(text.replace(old, new))
    return root


def told(report: Report) -> list[tuple[str, str]]:
    return [(Path(f.place.file).name, f.rule) for f in report.findings if "registers" in f.place.file and f.counts]


def test_a_fault_in_an_entry_that_the_sheet_names_is_told_once_with_the_checks_that_wait(plant: Path) -> None:
    report = lint([plant / PAPER])
    assert told(report) == [("stocks.yaml", "unit-missing")]
    (fault,) = [f for f in report.findings if f.rule == "unit-missing"]
    waiting = [f for f in report.findings if f.kind == "open" and any("face.caliper" in text for text in f.missing)]
    assert fault.arithmetic == (f"{len(waiting)} checks wait for this entry",)
    assert len(waiting) > 5


def test_what_no_linted_sheet_names_is_one_counted_line(plant: Path) -> None:
    report = lint([plant / FILM])
    assert told(report) == []
    (notice,) = [notice for notice in report.notices if notice.id == "register-faults"]
    assert notice.text.startswith("2 faults in register entries that none of these sheets names")
    assert [Path(file).name for file in notice.files] == ["stocks.yaml", "tooling.yaml"]
    assert "size-implausible" not in text_report(report)


@pytest.mark.slow
def test_a_register_that_is_named_is_told_whole(plant: Path) -> None:
    assert ("tooling.yaml", "unit-missing") in told(lint([plant / FILM, plant / "registers" / "tooling.yaml"]))
