"""A new plant: written whole, never over anything, clean under the shipped rules, its own rule proved."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from ruamel.yaml import YAML

import filmcheck as filmcheck_package

PLANT = [
    ".gitignore",
    ".pre-commit-config.yaml",
    "README.md",
    "ci/check-jobs.sh",
    "house-rules/house.yaml",
    "house-rules/rule-pack.editor.schema.json",
    "jobs/first-job.yaml",
    "permits.yaml",
    "plant.yaml",
    "registers/customers.yaml",
    "registers/finishing.yaml",
    "registers/presses.yaml",
    "registers/set-ups.yaml",
    "registers/stocks.yaml",
    "registers/tooling.yaml",
    "schemas/customers.schema.json",
    "schemas/finishing.schema.json",
    "schemas/job-sheet.schema.json",
    "schemas/mapping.schema.json",
    "schemas/permits.schema.json",
    "schemas/plant.schema.json",
    "schemas/presses.schema.json",
    "schemas/set_ups.schema.json",
    "schemas/stocks.schema.json",
    "schemas/tooling.schema.json",
]
FOUND = {**os.environ, "PYTHONPATH": str(Path(str(filmcheck_package.__file__)).parents[1])}
"""Lets a command that runs elsewhere find the package that is under test, be it a checkout or a wheel."""


def filmcheck(*arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "filmcheck", *arguments]
    return subprocess.run(command, cwd=cwd, capture_output=True, text=True, env=FOUND)


def files_below(folder: Path) -> list[str]:
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


@pytest.fixture(scope="module")
def plant(tmp_path_factory: pytest.TempPathFactory) -> Path:
    above = tmp_path_factory.mktemp("new plant")
    done = filmcheck("start", "labels", cwd=above)
    assert (done.returncode, done.stderr) == (0, "")
    return above / "labels"


def test_writes_the_whole_plant(plant: Path) -> None:
    assert files_below(plant) == PLANT


def test_every_file_names_its_schema_for_editors(plant: Path) -> None:
    for path in plant.rglob("*.yaml"):
        if not path.name.startswith("."):
            first, _ = path.read_text(encoding="utf-8").split("\n", 1)
            assert first.startswith("# yaml-language-server: $schema="), path
            assert (path.parent / first.partition("$schema=")[2]).is_file(), path


@pytest.mark.slow
def test_the_first_sheet_is_short_and_a_long_one_comes_on_demand(plant: Path, tmp_path: Path) -> None:
    lines = (plant / "jobs" / "first-job.yaml").read_text(encoding="utf-8").splitlines()
    assert len([line for line in lines if not line.startswith("#")]) <= 15
    filmcheck("start", ".", "--long", cwd=tmp_path)
    assert files_below(tmp_path) == sorted([*PLANT, "jobs/every-field.yaml"])
    done = filmcheck("lint", "jobs", cwd=tmp_path)
    assert done.returncode == 0
    assert "no fault found" in done.stdout.casefold()


def test_tells_what_it_wrote_and_what_comes_next(tmp_path: Path) -> None:
    done = filmcheck("start", "our plant", cwd=tmp_path)
    assert [line.strip() for line in done.stdout.splitlines()[1 : 1 + len(PLANT)]] == PLANT
    assert '    filmcheck lint "our plant"/jobs\n' in done.stdout


def test_lints_clean(plant: Path) -> None:
    done = filmcheck("lint", "jobs", "--format", "sarif", cwd=plant)
    assert (done.returncode, done.stderr) == (0, "")
    results = json.loads(done.stdout)["runs"][0]["results"]
    assert [r["message"]["text"] for r in results if r["kind"] == "fail" and r["level"] in ("error", "warning")] == []


def test_lints_clean_where_no_path_is_given_and_passes_nothing_over(plant: Path) -> None:
    done = filmcheck("lint", cwd=plant)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("1 job: no fault found")


@pytest.mark.slow
def test_lacks_nothing_that_a_planned_job_owes(plant: Path) -> None:
    results = json.loads(filmcheck("lint", "jobs", "--format", "sarif", "--kinds", cwd=plant).stdout)["runs"][0][
        "results"
    ]
    assert [r["message"]["text"] for r in results if r["kind"] == "open"] == []


@pytest.mark.slow
def test_says_when_the_first_job_is_spoiled(tmp_path: Path) -> None:
    filmcheck("start", ".", cwd=tmp_path)
    sheet = tmp_path / "jobs" / "first-job.yaml"
    sheet.write_text(sheet.read_text(encoding="utf-8").replace("speed: 45 m/min", "speed: 65 m/min"), encoding="utf-8")
    done = filmcheck("lint", "jobs", cwd=tmp_path)
    assert done.returncode == 1
    assert "first-film-job-fast" in done.stdout


@pytest.mark.slow
def test_its_rule_proves(plant: Path) -> None:
    done = filmcheck("rules", "prove", "house-rules", cwd=plant)
    assert (done.returncode, done.stdout, done.stderr) == (0, "1 rules, 4 cases: all proved\n", "")


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="the gate is a POSIX shell script")
def test_its_gate_lets_the_first_job_through(plant: Path, tmp_path: Path) -> None:
    stand_in = tmp_path / "filmcheck"
    stand_in.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m filmcheck "$@"\n', encoding="utf-8")
    stand_in.chmod(0o755)
    env = {**FOUND, "PATH": os.pathsep.join([str(tmp_path), os.environ["PATH"]])}
    gate = ["sh", str(plant / "ci" / "check-jobs.sh")]
    assert subprocess.run(gate, capture_output=True, env=env).returncode == 0
    assert json.loads((plant / "jobs.sarif").read_text(encoding="utf-8"))["version"] == "2.1.0"
    sheet = plant / "jobs" / "spoiled.yaml"
    sheet.write_text("job: 7\ntitle: []\n", encoding="utf-8")
    try:
        assert subprocess.run(gate, capture_output=True, env=env).returncode == 1
    finally:
        sheet.unlink()
        (plant / "jobs.sarif").unlink()


def test_every_yaml_file_holds_one_thing_once(plant: Path) -> None:
    """ruamel's own loader refuses keys that stand twice."""
    for path in plant.rglob("*.yaml"):
        assert YAML(typ="safe").load(path)


@pytest.mark.parametrize("there", ["plant.yaml", "jobs/first-job.yaml", ".pre-commit-config.yaml", "registers"])
def test_never_writes_over_anything(tmp_path: Path, there: str) -> None:
    (tmp_path / there).parent.mkdir(exist_ok=True)
    (tmp_path / there).write_text("ours\n", encoding="utf-8")
    done = filmcheck("start", ".", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.splitlines() == [
        f"{there}: there already, so nothing was written",
        "  Name a folder that is new or empty, or move these away first.",
    ]
    assert files_below(tmp_path) == [there]
    assert (tmp_path / there).read_text(encoding="utf-8") == "ours\n"


def test_a_link_that_leads_nowhere_is_in_the_way(tmp_path: Path) -> None:
    (tmp_path / "plant.yaml").symlink_to(tmp_path / "elsewhere")
    assert filmcheck("start", ".", cwd=tmp_path).returncode == 2
    assert not (tmp_path / "elsewhere").exists()


def test_other_files_do_not_hinder(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("ours\n", encoding="utf-8")
    assert filmcheck("start", ".", cwd=tmp_path).returncode == 0


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "labels").write_text("ours\n", encoding="utf-8")
    done = filmcheck("start", "labels", cwd=tmp_path)
    assert (done.returncode, files_below(tmp_path)) == (2, ["labels"])
    assert "labels: there already" in done.stderr
