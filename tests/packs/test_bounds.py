"""What a pack can ask for is bounded when it is loaded, so that no rule takes longer than its sheet is worth."""

from __future__ import annotations

import time
from datetime import date
from pathlib import Path

import pytest

from filmcheck.figures.figures import Figures
from filmcheck.judging.house import House
from filmcheck.judging.judge import judge_job
from filmcheck.packs.loaded import Packs
from filmcheck.packs.pack import MOST_NODES, load_packs
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import load_plant, read_sheet
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.errors import PackError

PLANT = shipped_folder("rules") / "proving"
SHEET = PLANT / "sheets" / "film-label.yaml"
PACK = """\
pack: Bounds
figures: {{{figures}}}
rules:
  - rule: bound
    title: A bound
    level: error
    requires: {requires}
    says: "No: {{reason}}"
    because: So it is.
    basis: a test
    proof:
      - {{case: a, verdict: fail}}
      - {{case: b, verdict: pass}}
"""


def load(folder: Path, requires: str, figures: str = "") -> Packs:
    pack = folder / "pack.yaml"
    pack.write_text(PACK.format(requires=requires, figures=figures), encoding="utf-8")
    return load_packs([pack])


def doubling(levels: int) -> str:
    """Write figures each of which is twice the one before it."""
    return ", ".join(
        f"z.f{n}: {{is: {'web.width + web.width' if n == 0 else f'z.f{n - 1} + z.f{n - 1}'}, meaning: twice}}"
        for n in range(levels)
    )


def test_figures_that_double_are_refused_before_they_are_too_large(tmp_path: Path) -> None:
    started = time.process_time()
    with pytest.raises(PackError, match=rf"z\.f\d+ is worked out from more than {MOST_NODES} parts"):
        load(tmp_path, "{z.f24: {at_most: 1 m}}", doubling(25))
    assert time.process_time() - started < 2


def test_a_figure_of_a_pack_is_worked_out_once_a_job(tmp_path: Path) -> None:
    rule = load(tmp_path, "{z.f6: {at_most: 1 m}}", doubling(7)).rules[0]
    asked: list[str] = []

    class Counting(Figures):
        def __call__(self, name: str, item: object = None) -> object:  # type: ignore[override]
            asked.append(name)
            return super().__call__(name, item)  # type: ignore[arg-type]

    sheet = read_sheet(SHEET, "job-sheet")
    job, _ = resolve(sheet.record, sheet.file, load_plant(PLANT / "plant.yaml"))
    findings = judge_job(Counting(job, date(2026, 11, 25)), [rule], House({}), passes=True)
    assert asked.count("web.width") < 2**6  # written out, it stands there 128 times
    assert [finding.kind for finding in findings] == ["fail"]
    assert "z f6: " in findings[0].arithmetic[-1]


def nested(levels: int) -> str:
    return "{every: station, has: [{its.number: {at_least: 1}}, " * levels + "{web.width: given}" + "]}" * levels


def test_things_within_things_are_bounded(tmp_path: Path) -> None:
    load(tmp_path, nested(3))
    with pytest.raises(PackError, match="things are looked for within things deeper than 3"):
        load(tmp_path, nested(4))


def test_demands_on_things_are_bounded(tmp_path: Path) -> None:
    def many(count: int) -> str:
        return f"[{', '.join(f'{{some: nip, where: {{its.number: {n}}}}}' for n in range(count))}]"

    load(tmp_path, many(24))
    with pytest.raises(PackError, match="looks for things more than 24 times"):
        load(tmp_path, many(25))


@pytest.mark.parametrize(
    "requires",
    [
        "{count: nip, at_most: N}",
        "{layout.lanes: {at_most: N}}",
        "{layout.lanes: {one_of: [1, N]}}",
        "{web.width: {at_most: 'web.width * N'}}",
        "{web.width: {at_most: 'N % of web.width'}}",
    ],
)
def test_a_number_of_380_digits_is_refused_by_a_message(tmp_path: Path, requires: str) -> None:
    with pytest.raises(PackError, match=r"999999999999… is larger than 1e\+15"):
        load(tmp_path, requires.replace("N", "9" * 380))
