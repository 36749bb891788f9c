"""What filmcheck writes goes whole to the file that was named, and to no other: no link, input or device."""

from __future__ import annotations

import os
import resource
from collections.abc import Callable
from pathlib import Path

import pytest

from filmcheck.records.errors import UseError
from filmcheck.running.safe_write import write_new, write_whole


def test_a_report_does_not_follow_a_link(plant: Path, run: Callable, tmp_path: Path) -> None:
    (tmp_path / "mine").write_text("mine")
    (plant / "jobs.sarif").symlink_to(tmp_path / "mine")
    done = run("lint", "jobs", "--to", "jobs.sarif")
    assert (done.status, done.out) == (2, "")
    assert "jobs.sarif is not written: jobs.sarif is a link" in done.err
    assert (tmp_path / "mine").read_text() == "mine"


def test_a_report_does_not_follow_a_link_to_nothing(plant: Path, run: Callable, tmp_path: Path) -> None:
    (plant / "jobs.sarif").symlink_to(tmp_path / "new")
    assert run("lint", "jobs", "--to", "jobs.sarif").status == 2
    assert not (tmp_path / "new").exists()


def test_a_report_does_not_follow_a_linked_folder(plant: Path, run: Callable, tmp_path: Path) -> None:
    (tmp_path / "outside").mkdir()
    (plant / "reports").symlink_to(tmp_path / "outside")
    done = run("lint", "jobs", "--to", "reports/jobs.sarif")
    assert done.status == 2
    assert "reports is a link" in done.err
    assert list((tmp_path / "outside").iterdir()) == []


@pytest.mark.parametrize("name", ["presses.txt", "rules.txt"])
def test_a_report_does_not_replace_a_register_or_pack(plant: Path, run: Callable, name: str) -> None:
    (plant / "registers/presses.yaml").rename(plant / "presses.txt")
    (plant / "rules.txt").write_text("pack: Ours\nrules: []\n")
    settings = (plant / "plant.yaml").read_text().replace("registers/presses.yaml", "presses.txt")
    (plant / "plant.yaml").write_text(settings + "rules: [rules.txt]\n")
    before = (plant / name).read_bytes()
    done = run("lint", "jobs", "--to", name, "--fail-from", "never")
    assert done.status == 2, done
    assert (plant / name).read_bytes() == before


def test_a_report_does_not_replace_its_baseline(plant: Path, run: Callable) -> None:
    run("lint", "jobs", "--format", "sarif", "--to", "base.sarif")
    before = (plant / "base.sarif").read_bytes()
    done = run("lint", "jobs", "--baseline", "base.sarif", "--to", "base.sarif")
    assert done.status == 2
    assert "a file which this run reads" in done.err
    assert (plant / "base.sarif").read_bytes() == before


def test_another_name_of_an_input_is_no_way_round(plant: Path, run: Callable) -> None:
    os.link(plant / "jobs/a.yaml", plant / "report.txt")
    before = (plant / "jobs/a.yaml").read_bytes()
    assert run("lint", "jobs", "--to", "report.txt").status == 2
    assert (plant / "jobs/a.yaml").read_bytes() == before


def test_a_device_or_pipe_is_not_written(plant: Path, run: Callable) -> None:
    os.mkfifo(plant / "pipe")
    for name in ("pipe", "/dev/null"):
        done = run("lint", "jobs", "--to", name)
        assert done.status == 2
        assert f"{name} is not written: it is no ordinary file" in done.err


def test_what_stands_there_stays_whole_when_writing_fails(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "report").write_text("old")

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(UseError, match="cannot be written: No space left on device"):
        write_whole(tmp_path / "report", b"new")
    assert {path.name: path.read_text() for path in tmp_path.iterdir()} == {"report": "old"}


def test_a_file_that_changed_meanwhile_stays(tmp_path: Path) -> None:
    (tmp_path / "sheet").write_text("theirs")
    with pytest.raises(UseError, match="has changed meanwhile"):
        write_whole(tmp_path / "sheet", b"ours", instead_of=b"as read")
    assert {path.name: path.read_text() for path in tmp_path.iterdir()} == {"sheet": "theirs"}


def test_half_a_new_file_does_not_stay(tmp_path: Path) -> None:
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, hard))
    try:
        with pytest.raises(UseError, match="cannot be written: File too large"):
            write_new(tmp_path / "new/sheet", b"x" * 200_000)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert list((tmp_path / "new").iterdir()) == []


@pytest.mark.parametrize("rights", [0o600, 0o644, 0o755])
def test_rights_stay(tmp_path: Path, rights: int) -> None:
    (tmp_path / "sheet").write_text("old")
    (tmp_path / "sheet").chmod(rights)
    write_whole(tmp_path / "sheet", b"new")
    assert (tmp_path / "sheet").stat().st_mode & 0o777 == rights


def test_a_new_file_is_not_written_through_a_linked_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "outside").mkdir()
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    (tmp_path / "here/new").symlink_to(tmp_path / "outside")
    with pytest.raises(UseError, match="new is a link"):
        write_new(Path("new/file"), b"")


def test_start_does_not_follow_a_link_in_the_new_plant(run: Callable, tmp_path: Path, monkeypatch: object) -> None:
    (tmp_path / "outside").mkdir()
    (tmp_path / "new").mkdir()
    (tmp_path / "new/registers").symlink_to(tmp_path / "outside")
    done = run("start", str(tmp_path / "new"))
    assert done.status == 2
    assert list((tmp_path / "outside").iterdir()) == []
    assert [path.name for path in (tmp_path / "new").iterdir()] == ["registers"], "a part was written"
