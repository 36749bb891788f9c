"""Which files are taken for job sheets, and to which plant each belongs."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from filmcheck.plant.plant import Plant, load_plant, settings_above, settled, shown, shown_full
from filmcheck.plant.sheet_files import Plants, sheet_files


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    return tmp_path / "here"


def make(*names: str, text: str = "job: A\n") -> None:
    for name in names:
        Path(name).parent.mkdir(parents=True, exist_ok=True)
        Path(name).write_text(text)


def files(*paths: str) -> tuple[list[str], list[tuple[str, str]]]:
    """Give what is to be linted, and what was told of paths that give nothing."""
    told: list[tuple[str, str]] = []
    found = sheet_files(map(Path, paths), Plants(), lambda path, text: told.append((shown(path), text)))
    return [shown_full(path) for path in found], told


def test_folder_gives_sheets_sorted_folder_by_folder(here: Path) -> None:
    make("b.yaml", "a.yml", "c.json", "z/a.yaml", "y/a.yaml")
    assert files(".") == (["a.yml", "b.yaml", "c.json", "y/a.yaml", "z/a.yaml"], [])


def test_other_files_and_hidden_ones_are_left_out(here: Path) -> None:
    make("a.yaml", "a.txt", "yaml", ".b.yaml", ".git/c.yaml", "d.yaml.bak", "e.YAML")
    assert files(".") == (["a.yaml", "e.YAML"], [])


def test_named_files_are_taken_whatever_their_name(here: Path) -> None:
    make(".b.yaml", "a.txt")
    assert files("a.txt", ".b.yaml", "none")[0] == ["a.txt", ".b.yaml", "none"]


def test_each_file_once_in_the_order_asked_for(here: Path) -> None:
    make("x/a.yaml", "x/b.yaml")
    assert files("x/b.yaml", "x", "./x/../x/a.yaml", "x/a.yaml")[0] == ["x/b.yaml", "x/a.yaml"]


def test_plant_says_where_its_jobs_are_and_what_is_none(here: Path) -> None:
    make("jobs/a.yaml", "jobs/new/b.yaml", "other/c.yaml", "registers/p.yaml", "house/own.yaml", "jobs/house.yaml")
    settings = "plant: T\njobs: [jobs]\nregisters: {presses: registers/p.yaml}\nrules: [house, jobs/house.yaml]\n"
    make("plant.yaml", text=settings)
    assert files(".")[0] == ["jobs/a.yaml", "jobs/new/b.yaml"]


def test_without_job_folders_all_but_the_plants_own_files_count(here: Path) -> None:
    make("a.yaml", "registers/p.yaml", "house/own.yaml", "house/deep/own.yaml")
    make("plant.yaml", text="plant: T\nregisters: {presses: ./registers/../registers/p.yaml}\nrules: [house]\n")
    assert files(".")[0] == ["a.yaml"]


def test_every_sheet_is_judged_by_the_plant_it_lies_in(here: Path) -> None:
    make("one/jobs/a.yaml", "one/x.yaml", "two/x.yaml", "two/jobs/a.yaml", "loose.yaml")
    make("one/plant.yaml", text="plant: One\njobs: [jobs]\n")
    make("two/plant.yaml", text="plant: Two\n")
    assert files(".")[0] == ["loose.yaml", "one/jobs/a.yaml", "two/x.yaml", "two/jobs/a.yaml"]


def test_folder_that_gives_nothing_is_told(here: Path) -> None:
    make("x/a.txt")
    assert files("x") == ([], [("x", "no job sheet lies below this folder")])


def test_links_to_files_are_followed_and_links_to_folders_are_not(here: Path) -> None:
    make("x/a.yaml", "y/b.yaml")
    Path("x/link.yaml").symlink_to("../y/b.yaml")
    Path("x/loop").symlink_to(".")
    Path("x/y").symlink_to("../y")
    assert files("x")[0] == ["x/a.yaml", "x/link.yaml"]
    assert files("x/y")[0] == ["x/y/b.yaml"]


def test_plant_is_read_once(here: Path) -> None:
    make(*(f"jobs/{number}.yaml" for number in range(5)))
    make("plant.yaml", text="plant: T\njobs: [jobs]\n")
    read: list[Path | None] = []

    def count(settings: Path | None) -> Plant:
        read.append(settings)
        return load_plant(settings)

    plants = Plants(count)
    found = sheet_files([Path(".")], plants, lambda *_: None)
    assert {plants.settings(path) for path in found} == {here / "plant.yaml"}
    assert plants.plant(here / "plant.yaml") is plants.plant(here / "plant.yaml")
    assert read == [here / "plant.yaml"]


# --- paths


def test_settings_are_those_of_the_nearest_folder(here: Path) -> None:
    make("plant.yaml", "a/plant.yaml", "a/b/x.yaml", "c/x.yaml")
    assert settings_above(here / "a/b") == here / "a/plant.yaml"
    assert settings_above(here / "a") == here / "a/plant.yaml"
    assert settings_above(Path("c")) == here / "plant.yaml"


def test_settings_of_the_folder_one_steps_up_from_do_not_count(here: Path) -> None:
    make("a/plant.yaml", "b/x.yaml")
    assert settings_above(Path("a/../b")) is None


@pytest.mark.parametrize(
    ("path", "text"), [("a.yaml", "a.yaml"), ("./x/a.yaml", "x/a.yaml"), ("x/../a.yaml", "a.yaml"), (".", ".")]
)
def test_path_below_is_shown_relative(here: Path, path: str, text: str) -> None:
    make("x/b.yaml")
    assert shown(Path(path)) == text
    assert shown(here / path) == text


def test_path_elsewhere_is_shown_as_seen_from_here(here: Path, tmp_path: Path) -> None:
    assert shown(Path("../other.yaml")) == shown(tmp_path / "other.yaml") == "../other.yaml"


def test_step_up_out_of_a_linked_folder_leads_where_the_system_says(here: Path, tmp_path: Path) -> None:
    (tmp_path / "far/in").mkdir(parents=True)
    make(str(tmp_path / "far/a.yaml"))
    Path("link").symlink_to(tmp_path / "far/in")
    path = Path("link/../a.yaml")
    assert os.path.samefile(path, settled(path))
    assert settled(Path("link/a.yaml")) == here / "link/a.yaml"
