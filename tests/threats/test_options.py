"""A hook hands on the names of the files of a change: no such name is taken for an option."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

NAMES = (
    "--only=job=none/jobs/x.yaml",
    "--baseline=jobs/x.yaml",
    "--fail-from=never/jobs/x.yaml",
    "--share=2/2",
    "-h/jobs/x.yaml",
    "--version/jobs/x.yaml",
)


@pytest.mark.parametrize("name", NAMES)
def test_a_file_whose_name_reads_as_an_option_is_refused(plant: Path, run: Callable, name: str) -> None:
    file = plant / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text("job: A-1\nwrong: 1\n", encoding="utf-8")
    (plant / "jobs/a.yaml").write_text("job: A-1\nwrong: 1\n", encoding="utf-8")
    done = run("lint", name, "jobs/a.yaml")
    assert (done.status, done.out) == (2, "")
    assert f"{name} reads as an option, and a file of this name is there" in done.err


@pytest.mark.parametrize("words", [("--", "--only=job=none.yaml"), ("./--only=job=none.yaml",)])
def test_it_is_read_where_it_is_given_as_a_file(plant: Path, run: Callable, words: tuple[str, ...]) -> None:
    (plant / "--only=job=none.yaml").write_text("job: A-1\nwrong: 1\n", encoding="utf-8")
    done = run("lint", "--short", *words)
    assert done.status == 1
    assert "key-unknown" in done.out


def test_options_are_options_where_no_file_bears_their_name(plant: Path, run: Callable) -> None:
    (plant / "jobs/a.yaml").write_text("job: A-1\nwrong: 1\n", encoding="utf-8")
    assert run("lint", "--only=rule=none", "jobs").status == 0
