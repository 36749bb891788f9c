"""What is wrong with a register entry by itself stands in the register and is told once, however many jobs take it."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

from filmcheck.run import Options, lint

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_a_press_like_no_other_is_told_once(tmp_path: Path) -> None:
    plant = shutil.copytree(EXAMPLES, tmp_path / "plant")
    presses = plant / "registers" / "presses.yaml"
    presses.write_text(presses.read_text("utf-8").replace("width: 370 mm", "width: 1110 mm"), "utf-8")
    sheets = sorted((plant / "jobs" / "sound").glob("*.yaml"))
    on_alder = [path for path in sheets if "press: alder" in path.read_text("utf-8")][:2]
    assert len(on_alder) == 2
    found = [
        one for one in lint(on_alder, Options(today=date(2026, 11, 25))).findings if one.rule == "press-unlike-any"
    ]
    assert [(Path(one.place.file).name, one.place.span.line, one.job) for one in found] == [("presses.yaml", 4, "")]
    assert found[0].says == "Press alder has a width of 1110 mm; label presses end at 1020 mm"
