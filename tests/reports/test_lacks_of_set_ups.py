"""What a set-up lacks is told once, where it is to be written, with all that waits for it."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

from filmcheck.reports.lacks import lacks
from filmcheck.run import Options, lint

EXAMPLES = Path(__file__).parents[2] / "examples"
JOBS = ("qm-3101-planned-ginger-cordial.yaml", "qm-3110-planned-throat-spray-with-permit.yaml")


def test_what_a_set_up_lacks_beside_a_datum_is_told_once_where_that_stands(tmp_path: Path) -> None:
    shutil.copytree(EXAMPLES, tmp_path / "plant", ignore=shutil.ignore_patterns("jobs"))
    (tmp_path / "plant" / "jobs").mkdir()
    for name in JOBS:  # both by the same set-up, each with two lamps
        shutil.copy(EXAMPLES / "jobs" / "sound" / name, tmp_path / "plant" / "jobs" / name)
    register = tmp_path / "plant" / "registers" / "set-ups.yaml"
    text = register.read_text("utf-8")
    register.write_text(text.replace("cure_minimum: 52 %, proved_speed: 50 m/min", "cure_minimum: 52 %"), "utf-8")
    findings = lint([tmp_path / "plant" / "jobs"], Options(today=date(2026, 11, 26))).findings
    (lack,) = lacks(one for one in findings if one.kind == "open")
    number, line = next((n, line) for n, line in enumerate(text.splitlines(), 1) if "cure_minimum: 52 %" in line)
    assert lack.place.endswith(f"registers/set-ups.yaml:{number}:{line.index('cure_minimum') + 1}")
    assert (lack.text, lack.checks, lack.jobs) == ("uv lamp: proved_speed", 4, ("QM-3101", "QM-3110"))
