"""The hooks that this repository offers, installed and run by a real pre-commit in a real git repository."""

from __future__ import annotations

import importlib.util
import os
import re
import shutil
import socket
import subprocess
import sys
import sysconfig
from collections.abc import Iterator
from pathlib import Path

import pytest

import filmcheck

ROOT = Path(__file__).parents[1]
PACKAGE = Path(str(filmcheck.__file__)).parent
OFFLINE = "no package index is in reach, and pre-commit installs the hooks from one"
CONFIG = """\
repos:
  - repo: {repository}
    rev: {revision}
    hooks:
      - id: filmcheck
      - id: filmcheck-rules
"""

pytestmark = pytest.mark.slow


def run(*command: str, cwd: Path, check: bool = True) -> subprocess.CompletedProcess[str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("GIT_", "PYTHON"))}
    identity = {
        f"GIT_{who}_{what}": text
        for who in ("AUTHOR", "COMMITTER")
        for what, text in (("NAME", "tester"), ("EMAIL", "tester@plant.example"))
    }
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True, encoding="utf-8", env={**kept, **identity})
    assert not check or done.returncode == 0, done.stdout + done.stderr
    return done


def hooks(plant: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return run(sys.executable, "-m", "pre_commit", "run", "--color=never", *arguments, cwd=plant, check=False)


@pytest.fixture(scope="module")
def plant(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A new plant in git, with the hooks of this repository as they are committed, installed once."""
    if importlib.util.find_spec("pre_commit") is None:
        pytest.skip("pre-commit is not installed")
    if shutil.which("git") is None or not (ROOT / ".git").exists():
        pytest.skip("not a git repository, so pre-commit cannot clone it")
    try:
        socket.create_connection(("pypi.org", 443), timeout=10).close()
    except OSError:
        pytest.skip(OFFLINE)
    folder = tmp_path_factory.mktemp("plant") / "labels"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PRE_COMMIT_HOME", str(tmp_path_factory.mktemp("hooks")))
        make_plant(folder)
        yield folder


def make_plant(folder: Path) -> None:
    run(sys.executable, "-m", "filmcheck", "start", str(folder), cwd=PACKAGE.parent)
    revision = run("git", "rev-parse", "HEAD", cwd=ROOT).stdout.strip()
    config = CONFIG.format(repository=ROOT.as_posix(), revision=revision)
    (folder / ".pre-commit-config.yaml").write_text(config, encoding="utf-8")
    run("git", "init", "--quiet", cwd=folder)
    run("git", "add", "--all", cwd=folder)
    run("git", "commit", "--quiet", "--message", "A new plant", cwd=folder)
    run(sys.executable, "-m", "pre_commit", "install-hooks", cwd=folder)


def spoiled(plant: Path, name: str) -> Path:
    text = (plant / "jobs" / "first-job.yaml").read_text(encoding="utf-8")
    assert "speed: 45 m/min" in text
    sheet = plant / "jobs" / name
    text = text.replace("job: 1001 ", f"job: {name.partition('.')[0]} ")
    sheet.write_text(text.replace("speed: 45 m/min", "speed: 65 m/min"), encoding="utf-8")
    return sheet


def test_a_new_plant_passes(plant: Path) -> None:
    done = hooks(plant, "--all-files")
    assert done.returncode == 0, done.stdout + done.stderr
    outcomes = [line.rpartition(".")[2] for line in done.stdout.splitlines()]
    assert outcomes == ["Passed", "Passed"]


def test_a_spoiled_sheet_stops_the_commit(plant: Path) -> None:
    sheet = spoiled(plant, "2001.yaml")
    run("git", "add", "jobs/2001.yaml", cwd=plant)
    try:
        done = hooks(plant)
    finally:
        run("git", "rm", "--quiet", "--cached", "--force", "jobs/2001.yaml", cwd=plant)
        sheet.unlink()
    assert done.returncode == 1
    assert "- exit code: 1" in done.stdout
    assert "jobs/2001.yaml:" in done.stdout
    assert "[cure-short-at-speed]" in done.stdout
    assert "first-film-job-fast" in done.stdout  # the house rule, told with it
    assert "filmcheck house rules" in done.stdout.splitlines()[-1]
    assert "(no files to check)Skipped" in done.stdout.splitlines()[-1]


def test_only_the_given_files_are_linted(plant: Path) -> None:
    """A spoiled sheet that is no part of the change does not stop it."""
    sheet = spoiled(plant, "2002.yaml")
    try:
        done = hooks(plant, "filmcheck", "--files", "jobs/first-job.yaml")
        both = hooks(plant, "filmcheck", "--files", "jobs/first-job.yaml", "jobs/2002.yaml")
    finally:
        sheet.unlink()
    assert done.returncode == 0, done.stdout + done.stderr
    assert both.returncode == 1
    assert "2002.yaml" in both.stdout


def test_files_that_are_no_sheets_are_left_alone(plant: Path) -> None:
    done = hooks(plant, "filmcheck", "--files", ".pre-commit-config.yaml", "README.md", "ci/check-jobs.sh")
    assert done.returncode == 0
    assert "(no files to check)Skipped" in done.stdout


def commit(plant: Path, says: str) -> subprocess.CompletedProcess[str]:
    """Commit what is staged, through the hooks, as a person does."""
    return run("git", "commit", "--quiet", "--message", says, cwd=plant, check=False)


def three_jobs(plant: Path) -> list[str]:
    """Commit three more sound jobs on the die of the first."""
    text = (plant / "jobs/first-job.yaml").read_text(encoding="utf-8")
    for number in (3001, 3002, 3003):
        (plant / f"jobs/{number}.yaml").write_text(text.replace("job: 1001 ", f"job: {number} "), encoding="utf-8")
    run("git", "add", "jobs", cwd=plant)
    done = commit(plant, "Three jobs")
    assert done.returncode == 0, done.stdout + done.stderr
    return [f"jobs/{number}.yaml" for number in (3001, 3002, 3003)]


def test_a_register_change_that_spoils_jobs_stops_the_commit(plant: Path) -> None:
    """No job file changes; the hook is handed the register alone, and finds every job that stands on the entry."""
    run(sys.executable, "-m", "pre_commit", "install", cwd=plant)
    jobs = three_jobs(plant)
    before = run("git", "rev-parse", "HEAD", cwd=plant).stdout
    register = plant / "registers/tooling.yaml"
    text = register.read_text(encoding="utf-8")
    assert text.count("for_liner_caliper: 23 µm") == 1
    register.write_text(text.replace("for_liner_caliper: 23 µm", "for_liner_caliper: 62 µm"), encoding="utf-8")
    run("git", "add", "registers", cwd=plant)
    assert run("git", "diff", "--cached", "--name-only", cwd=plant).stdout == "registers/tooling.yaml\n"
    try:
        done = commit(plant, "Another die")
        after = run("git", "rev-parse", "HEAD", cwd=plant).stdout
    finally:
        run("git", "reset", "--quiet", "--hard", "HEAD", cwd=plant)
    assert done.returncode == 1
    assert after == before
    told = done.stdout + done.stderr
    assert [job for job in jobs if not re.search(rf"{job}:\d+:\d+: error: .*\[cut-clearance\]", told)] == []


def test_a_register_change_that_spoils_nothing_is_committed(plant: Path) -> None:
    register = plant / "registers/tooling.yaml"
    text = register.read_text(encoding="utf-8")
    register.write_text(text.replace("revolutions: 120000", "revolutions: 121000"), encoding="utf-8")
    run("git", "add", "registers", cwd=plant)
    run(sys.executable, "-m", "pre_commit", "install", cwd=plant)
    done = commit(plant, "The die has run")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "filmcheck job sheets" in done.stdout + done.stderr
    assert run("git", "status", "--porcelain", cwd=plant).stdout == ""


def test_an_unproved_house_rule_stops_the_commit(plant: Path) -> None:
    pack = plant / "house-rules" / "house.yaml"
    before = pack.read_text(encoding="utf-8")
    pack.write_text(before.replace("at_most: limit", "at_least: limit"), encoding="utf-8")
    try:
        done = hooks(plant, "filmcheck-rules", "--files", "house-rules/house.yaml")
    finally:
        pack.write_text(before, encoding="utf-8")
    assert done.returncode == 1
    assert "house-rules/house.yaml:" in done.stdout
    assert "not proved" in done.stdout


@pytest.fixture
def own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A new plant in git with its own configuration: that uses the filmcheck which is installed, without network."""
    if importlib.util.find_spec("pre_commit") is None:
        pytest.skip("pre-commit is not installed")
    scripts = sysconfig.get_path("scripts")
    if shutil.which("filmcheck", path=scripts) is None:
        pytest.skip("filmcheck is not installed here, it only lies here")
    monkeypatch.setenv("PATH", os.pathsep.join([scripts, os.environ["PATH"]]))
    monkeypatch.setenv("PRE_COMMIT_HOME", str(tmp_path / "hooks"))
    folder = tmp_path / "labels"
    run("filmcheck", "start", str(folder), cwd=tmp_path)
    run("git", "init", "--quiet", cwd=folder)
    run("git", "add", "--all", cwd=folder)
    return folder


def test_the_configuration_of_a_new_plant_works_as_it_is(own: Path) -> None:
    done = hooks(own)
    assert [line.rpartition(".")[2] for line in done.stdout.splitlines()] == ["Passed", "Passed"]
    sheet = spoiled(own, "2003.yaml")
    run("git", "add", str(sheet), cwd=own)
    done = hooks(own)
    assert done.returncode == 1
    assert "[cure-short-at-speed]" in done.stdout
    assert "first-film-job-fast" in done.stdout  # the house rule, told with it


def test_with_a_baseline_only_new_faults_stop_a_commit(own: Path) -> None:
    """The recipe of examples/GATES.md, word for word."""
    recipe = "        args: [--baseline, baseline.sarif]\n"
    assert recipe in (ROOT / "examples/GATES.md").read_text(encoding="utf-8")
    config = own / ".pre-commit-config.yaml"
    text = config.read_text(encoding="utf-8")
    config.write_text(text.replace("      - id: filmcheck\n", f"      - id: filmcheck\n{recipe}"), encoding="utf-8")
    old = spoiled(own, "2003.yaml")
    run("filmcheck", "lint", "jobs", *["--format", "sarif", "--to", "baseline.sarif", "--fail-from", "never"], cwd=own)
    run("git", "add", "--all", cwd=own)
    done = hooks(own)
    assert done.returncode == 0, done.stdout
    spoiled(own, "2004.yaml")
    old.write_text(old.read_text(encoding="utf-8") + "# looked at again\n", encoding="utf-8")
    run("git", "add", "--all", cwd=own)
    done = hooks(own)
    assert done.returncode == 1
    assert set(re.findall(r"jobs/(\d+)\.yaml:\d+:\d+: error", done.stdout)) == {"2004"}
