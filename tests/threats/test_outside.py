"""What lies outside of the plant's folder is not read: not through settings, links, packs or proving cases."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from filmcheck.reading.shipped import shipped_folder

MINE = "token: s3cr3t-of-the-user\n"
WAYS = ["link", "step up", "absolute", "linked folder"]


@pytest.fixture
def secret(tmp_path: Path) -> Path:
    folder = tmp_path / "home"
    folder.mkdir()
    (folder / "mine.yaml").write_text(MINE * 3)
    return folder / "mine.yaml"


def named(plant: Path, secret: Path, way: str) -> str:
    """Give a name in the plant that leads to the secret."""
    if way == "link":
        (plant / "inner.yaml").symlink_to(secret)
        return "inner.yaml"
    if way == "linked folder":
        (plant / "inner").symlink_to(secret.parent)
        return "inner/mine.yaml"
    return "../home/mine.yaml" if way == "step up" else str(secret)


def assert_told_nothing(done: tuple[int, str, str]) -> None:
    assert done[0] in (1, 2), done
    assert "s3cr3t" not in done[1] + done[2]
    assert "token" not in done[1] + done[2]
    assert "leads out of" in " ".join((done[1] + done[2]).split())


@pytest.mark.sample(5)
@pytest.mark.parametrize("register", ["presses", "stocks", "tooling", "finishing", "customers"])
@pytest.mark.parametrize("way", WAYS)
def test_a_register(plant: Path, run: Callable, secret: Path, way: str, register: str) -> None:
    settings = plant / "plant.yaml"
    settings.write_text(settings.read_text().replace(f"registers/{register}.yaml", named(plant, secret, way)))
    assert_told_nothing(run("lint", "jobs", "--full"))


@pytest.mark.parametrize("key", ["permits: {}", "rules: [{}]"])
@pytest.mark.parametrize("way", WAYS)
def test_permits_and_packs(plant: Path, run: Callable, secret: Path, way: str, key: str) -> None:
    settings = plant / "plant.yaml"
    settings.write_text(settings.read_text() + key.replace("{}", named(plant, secret, way)) + "\n")
    assert_told_nothing(run("lint", "jobs", "--full"))


def test_a_linked_file_within_a_pack_folder(plant: Path, run: Callable, secret: Path) -> None:
    (plant / "house").mkdir()
    (plant / "house/a.yaml").symlink_to(secret)
    (plant / "plant.yaml").write_text((plant / "plant.yaml").read_text() + "rules: [house]\n")
    for words in (
        ["lint", "jobs"],
        ["rules", "prove", "house"],
        ["rules", "show", "house"],
        ["rules", "list", "house"],
    ):
        assert_told_nothing(run(*words))


@pytest.mark.parametrize("command", [("lint",), ("figures",), ("sign", "--by", "x")])
def test_a_linked_job_sheet(plant: Path, run: Callable, secret: Path, command: tuple[str, ...]) -> None:
    (plant / "jobs/b.yaml").symlink_to(secret)
    assert_told_nothing(run(*command, "jobs/b.yaml"))


@pytest.mark.parametrize("no_plant", [False, True])
def test_a_linked_job_sheet_in_a_walk(plant: Path, run: Callable, secret: Path, no_plant: bool) -> None:
    (plant / "jobs/b.yaml").symlink_to(secret)
    if no_plant:
        (plant / "plant.yaml").unlink()
    assert_told_nothing(run("lint", "."))


def test_linked_settings(plant: Path, run: Callable, secret: Path) -> None:
    (plant / "plant.yaml").unlink()
    (plant / "plant.yaml").symlink_to(secret)
    assert_told_nothing(run("lint", "jobs"))


def test_a_linked_folder_of_jobs(plant: Path, run: Callable, secret: Path) -> None:
    (plant / "linked").symlink_to(secret.parent)
    assert_told_nothing(run("lint", "linked"))


@pytest.mark.parametrize("jobs", ["/", "..", "../home", "linked"])
def test_job_folders_elsewhere_are_not_walked(plant: Path, run: Callable, secret: Path, jobs: str) -> None:
    (plant / "linked").symlink_to(secret.parent)
    (plant / "plant.yaml").write_text((plant / "plant.yaml").read_text().replace("[jobs]", f"[jobs, {jobs}]"))
    done = run("lint", "registers/presses.yaml")  # a register that is named has the jobs of its plant looked through
    assert "plant.yaml:3:" in done.out
    assert "the job folder is not walked" in done.out
    assert "s3cr3t" not in done.out


def test_a_sheet_of_a_proving_case(plant: Path, run: Callable, secret: Path) -> None:
    pack = """pack: House
rules:
  - rule: too-fast-here
    title: Too fast here
    level: warning
    requires: {web.speed: {at_most: 40 m/min}}
    says: The web runs at {web.speed}
    because: It flutters.
    proof:
      - {case: fast, sheet: ../../home/mine.yaml, verdict: fail, at: web.speed}
      - {case: slow, change: {web.speed: 30 m/min}, verdict: pass}
"""
    (plant / "house").mkdir()
    (plant / "house/own.yaml").write_text(pack)
    done = run("rules", "prove", "house")
    assert done.status == 2
    assert "s3cr3t" not in done.out + done.err
    assert "there is no sound sheet" in done.err


def test_the_user_may_allow_a_folder_and_the_tree_may_not(
    plant: Path, run: Callable, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shared = tmp_path / "shared"
    (plant / "registers").rename(shared)
    settings = plant / "plant.yaml"
    settings.write_text(settings.read_text().replace("registers/", "../shared/"))
    before = run("lint", "jobs")
    assert before.status == 1
    monkeypatch.setenv("FILMCHECK_ALSO_READ", os.pathsep.join(["/nowhere", str(shared)]))
    allowed = run("lint", "jobs")
    assert (allowed.status, allowed.out.count("leads out")) == (0, 0)
    monkeypatch.delenv("FILMCHECK_ALSO_READ")
    assert run("lint", "jobs") == before, "what was kept while it was allowed answers still"
    settings.write_text(settings.read_text() + "also_read: [../shared]\n")
    assert run("lint", "jobs").status == 1


@pytest.mark.slow
def test_the_same_with_what_a_sheet_holds(
    plant: Path, run: Callable, secret: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (plant / "jobs/b.yaml").symlink_to(secret)
    monkeypatch.setenv("FILMCHECK_ALSO_READ", str(secret.parent))
    assert "jobs/b.yaml:1:1: error: This file is no job sheet" in run("lint", "jobs").out  # it was read
    monkeypatch.delenv("FILMCHECK_ALSO_READ")
    assert_told_nothing(run("lint", "jobs"))


def test_a_plant_below_a_link_of_the_users_own_is_no_trouble(
    plant: Path, run: Callable, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "short").symlink_to(plant)
    monkeypatch.chdir(tmp_path)
    assert run("lint", "short/jobs").status == 0


@pytest.mark.parametrize(
    "form", [("text", "--full"), ("text", "--passes", "--full"), ("sarif", "--passes"), ("markdown",)]
)
def test_no_report_tells_where_filmcheck_lies(plant: Path, run: Callable, form: tuple[str, ...]) -> None:
    """The packs that came with it have one name on every machine."""
    sheet = plant / "jobs/a.yaml"
    sheet.write_text(sheet.read_text("utf-8").replace("tension: 46 N\n      control", "tension: 90 N\n      control"))
    out = run("lint", "jobs", "--today", "2026-11-25", "--format", *form).out
    assert "unwind-tension-high" in out
    assert str(shipped_folder("rules")) not in out
    assert str(plant.parent) not in out
    if form[0] == "text":
        assert "filmcheck/rules/unwind-and-tension.yaml:" in out
    if form[0] == "sarif":
        bases = json.loads(out)["runs"][0]["originalUriBaseIds"]
        assert set(bases) == {"PLANT", "FILMCHECK"}
