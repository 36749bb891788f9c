"""What a run does not load where every verdict is kept: a hook that judges nothing must not wait for what judges."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

LINT = """\
import atexit, sys
atexit.register(lambda: sys.stderr.write("\\n".join(sys.modules)))
sys.argv = ["filmcheck", "lint", *sys.argv[1:]]
from filmcheck.cli.main import main
main()
"""
JOBS = Path(__file__).parents[2] / "examples" / "jobs"

JUDGING = {"filmcheck.figures", "filmcheck.formulas", "filmcheck.web", "filmcheck.windows", "filmcheck.proving"}
"""The rooms that work things out and try them."""

ALSO_SPARED = {
    "filmcheck.judging.judge",
    "filmcheck.judging.condition",
    "filmcheck.judging.expression",
    "filmcheck.judging.rule",
    "filmcheck.packs.pack",
    "filmcheck.plant.typed",
    "filmcheck.reading.schema_check",
    "filmcheck.reading.yaml_tree",
    "filmcheck.running.git",
    "concurrent.futures",
    "_ruamel_yaml",
    "jsonschema",
    "jsonschema_rs",
    "multiprocessing",
    "pint",
    "ruamel.yaml",
}


def loaded(cache: Path, *words: str) -> set[str]:
    """Lint the demo jobs in a process of its own, and give what it has loaded in the end."""
    environment = {**os.environ, "FILMCHECK_CACHE": str(cache)}
    done = subprocess.run([sys.executable, "-c", LINT, *words], capture_output=True, text=True, env=environment)
    assert done.returncode in (0, 1), done.stderr
    return set(done.stderr.splitlines())


@pytest.mark.sample(2)
@pytest.mark.parametrize("jobs", ["sound", "spoiled"])
def test_a_run_whose_verdicts_are_kept_loads_nothing_that_judges(tmp_path: Path, jobs: str) -> None:
    folder = str(JOBS / jobs)
    first, second = loaded(tmp_path, folder), loaded(tmp_path, folder)
    assert {"filmcheck.figures", "filmcheck.judging.judge", "filmcheck.judging.rule"} <= first
    assert not {name for name in second if name in ALSO_SPARED or ".".join(name.split(".")[:2]) in JUDGING}
