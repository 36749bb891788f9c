"""Nothing is passed over in silence: what a walk leaves out is counted with the reason, in the summary and in SARIF."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

BROKEN = "job: [\n"


def add(plant: Path, name: str, text: str = BROKEN) -> None:
    (plant / name).parent.mkdir(parents=True, exist_ok=True)
    (plant / name).write_text(text)


def spoil(plant: Path) -> None:
    add(plant, "jobs/.hidden/b.yaml")
    add(plant, "jobs/.b.yaml")
    add(plant, ".hooks.yaml")
    add(plant, "more/c.yaml")
    (plant / "jobs/linked").symlink_to(plant / "more")


def test_it_is_counted_in_the_summary(plant: Path, run: Callable) -> None:
    spoil(plant)
    told = " ".join(run("lint", ".").out.split())
    assert "passed over 1 dot folder, 1 dot file, 1 linked folder, 1 stray file" in told
    assert "folders whose name begins with a dot are not walked: jobs/.hidden" in told
    assert "files whose name begins with a dot are not read: jobs/.b.yaml" in told
    assert "links to folders are not followed: jobs/linked" in told
    assert "the settings of the plant name other folders for its jobs: more/c.yaml" in told


def test_it_is_a_notification_in_sarif(plant: Path, run: Callable) -> None:
    spoil(plant)
    log = json.loads(run("lint", ".", "--format", "sarif").out)
    notes = log["runs"][0]["invocations"][0]["toolExecutionNotifications"]
    notes = [note for note in notes if note["descriptor"]["id"] != "not-judged"]
    assert [(note["descriptor"]["id"], note["level"]) for note in notes] == [
        ("dot-folder", "note"),
        ("dot-file", "note"),
        ("linked-folder", "note"),
        ("stray-file", "note"),
    ]
    places = [note["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for note in notes]
    assert places == ["jobs/.hidden", "jobs/.b.yaml", "jobs/linked", "more/c.yaml"]


def test_it_stands_in_markdown(plant: Path, run: Callable) -> None:
    spoil(plant)
    assert "links to folders are not followed" in run("lint", ".", "--format", "markdown").out


def test_nothing_passed_over_is_not_told(plant: Path, run: Callable) -> None:
    done = run("lint", "jobs")
    assert "Notices" not in done.out
    assert "passed over" not in done.out


@pytest.mark.parametrize("name", ["B.YAML", "b.Yml", "b.JSON"])
def test_capital_endings_are_read(plant: Path, run: Callable, name: str) -> None:
    add(plant, f"jobs/{name}")
    done = run("lint", "jobs")
    assert done.status == 1
    assert f"jobs/{name}:1:" in done.out


def test_a_plant_within_a_plant_that_does_not_name_it_is_an_error(plant: Path, run: Callable) -> None:
    add(plant, "jobs/new/plant.yaml", "plant: Another\njobs: [elsewhere]\n")
    add(plant, "jobs/new/elsewhere/x", "")
    add(plant, "jobs/new/b.yaml")
    done = run("lint", "jobs")
    assert done.status == 1
    assert "jobs/new/plant.yaml:1:1: error: this plant lies within that of plant.yaml, which does not name" in done.out
    assert "Write plants: [jobs/new] there" in done.out
    assert "1 stray file" in done.out


def test_a_plant_that_the_outer_one_names_is_none(plant: Path, run: Callable) -> None:
    add(plant, "annex/plant.yaml", "plant: Another\n")
    (plant / "plant.yaml").write_text((plant / "plant.yaml").read_text() + "plants: [annex]\n")
    assert run("lint", "annex", "jobs").out.count("does not name it") == 0


def test_a_plant_in_a_repository_of_its_own_is_none(plant: Path, run: Callable) -> None:
    add(plant, "annex/plant.yaml", "plant: Another\n")
    (plant / "annex/.git").mkdir()
    assert "does not name it" not in run("lint", "annex").out
