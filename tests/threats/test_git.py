"""Git is asked what has changed, and runs nothing that the tree or its repository names."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

import filmcheck.running.git as git_module

SETTINGS = ("core.fsmonitor", "core.pager", "core.sshCommand", "core.askPass", "core.gitProxy", "core.editor")
BY_ATTRIBUTES = ("filter.x.clean", "filter.x.smudge", "filter.x.process", "diff.x.textconv", "diff.x.command")
PATHS = ("jobs", "jobs/a.yaml", "registers/presses.yaml", "sub/registers/presses.yaml")


@pytest.fixture
def alarm(tmp_path: Path) -> tuple[str, Path]:
    """Give a program that leaves a trace when it runs, and the trace."""
    program, trace = tmp_path / "alarm", tmp_path / "it-ran"
    program.write_text(f"#!/bin/sh\necho ran >> '{trace}'\ncat\nexit 1\n")
    program.chmod(0o755)
    return str(program), trace


def spoil_config(config: Path, program: str) -> None:
    """Have every setting of git that names a program name this one."""
    for name in (*SETTINGS, *BY_ATTRIBUTES, "core.alternateRefsCommand", "diff.external", "merge.x.driver"):
        subprocess.run(["git", "config", "--file", config, name, program], check=True)
    hooks = config.parent / "alarm-hooks"
    hooks.mkdir(exist_ok=True)
    for hook in ("post-index-change", "fsmonitor-watchman", "reference-transaction", "pre-auto-gc"):
        (hooks / hook).unlink(missing_ok=True)
        (hooks / hook).symlink_to(program)
    subprocess.run(["git", "config", "--file", config, "core.hooksPath", hooks], check=True)


def embed_bare(folder: Path, program: str) -> None:
    """Put a bare repository into a folder, as a change may commit one, with a configuration that runs a program."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in ("objects", "refs"):
        (folder / name).mkdir()
        (folder / name / "keep").write_text("")
    (folder / "HEAD").write_text("ref: refs/heads/main\n")
    (folder / "config").write_text("[core]\n\trepositoryformatversion = 0\n\tbare = false\n\tworktree = .\n")
    spoil_config(folder / "config", program)
    subprocess.run(["git", "config", "--file", folder / "config", "remote.o.url", "ssh://x.example/y"], check=True)
    subprocess.run(["git", "config", "--file", folder / "config", "remote.o.promisor", "true"], check=True)
    subprocess.run(["git", "config", "--file", folder / "config", "extensions.partialClone", "o"], check=True)


@pytest.mark.sample(3)
@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize("words", [(), ("--since", "HEAD")])
def test_an_embedded_bare_repository_runs_nothing(
    plant: Path, run: Callable, git: Callable, alarm: tuple[str, Path], path: str, words: tuple[str, ...]
) -> None:
    for folder in ("jobs", "registers", "sub/registers"):
        embed_bare(plant / folder, alarm[0])
    (plant / "sub/registers/presses.yaml").write_bytes((plant / "registers/presses.yaml").read_bytes())
    (plant / "sub/plant.yaml").write_text("registers: {presses: registers/presses.yaml}\n")
    git("add", "--all")
    git("commit", "--quiet", "--message", "a change from a stranger")
    assert run("lint", path, *words).status in (0, 1)
    assert not alarm[1].exists()


@pytest.mark.parametrize("words", [("jobs", "--since", "HEAD~1"), ("registers/presses.yaml",), ("jobs/b.yaml",)])
def test_no_program_of_the_repositorys_own_settings_runs(
    plant: Path, run: Callable, git: Callable, alarm: tuple[str, Path], words: tuple[str, ...]
) -> None:
    (plant / ".gitattributes").write_text("* filter=x diff=x merge=x\n")
    (plant / "jobs/b.yaml").write_text("job: B-1\n")
    git("add", "--all")
    git("commit", "--quiet", "--message", "another")
    (plant / "jobs/a.yaml").write_text((plant / "jobs/a.yaml").read_text() + "# later\n")
    presses = plant / "registers/presses.yaml"
    presses.write_text(presses.read_text() + "# later\n")
    spoil_config(plant / ".git/config", alarm[0])
    assert run("lint", *words).status in (0, 1)
    assert not alarm[1].exists()


def test_the_alarm_works(plant: Path, git: Callable, alarm: tuple[str, Path]) -> None:
    """What the tests above rest on: plain git does run these."""
    embed_bare(plant / "jobs", alarm[0])
    subprocess.run(["git", "-C", "jobs", "-c", "safe.bareRepository=all", "status"], check=False, capture_output=True)
    assert alarm[1].exists()


def test_nothing_is_fetched(plant: Path, run: Callable, git: Callable, alarm: tuple[str, Path]) -> None:
    git("config", "remote.o.url", f"ext::{alarm[0]}")
    git("config", "remote.o.promisor", "true")
    git("config", "extensions.partialClone", "o")
    git("config", "core.repositoryFormatVersion", "1")
    git("config", "protocol.ext.allow", "always")
    done = run("lint", "jobs", "--since", "0123456789012345678901234567890123456789")
    assert (done.status, done.out) == (2, "")
    assert "git cannot tell what has changed" in done.err
    assert not alarm[1].exists()


VARIABLES = ["GIT_EXTERNAL_DIFF", "GIT_SSH_COMMAND", "GIT_PAGER", "GIT_ASKPASS", "GIT_EXEC_PATH", "GIT_EDITOR"]


def test_no_program_of_the_environment_runs(
    plant: Path, run: Callable, git: Callable, alarm: tuple[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in VARIABLES:
        monkeypatch.setenv(name, alarm[0])
    for name, value in {"COUNT": "1", "KEY_0": "core.fsmonitor", "VALUE_0": alarm[0]}.items():
        monkeypatch.setenv(f"GIT_CONFIG_{name}", value)
    monkeypatch.setenv("GIT_CONFIG_PARAMETERS", f"'core.fsmonitor={alarm[0]}'")
    assert run("lint", "jobs", "--since", "HEAD").status in (0, 1)
    assert not alarm[1].exists()


def test_git_is_not_taken_from_the_tree(
    plant: Path, run: Callable, git: Callable, alarm: tuple[str, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    (plant / "git").write_bytes(Path(alarm[0]).read_bytes())
    (plant / "git").chmod(0o755)
    monkeypatch.setenv("PATH", os.pathsep.join([".", "", os.environ["PATH"]]))
    assert run("lint", "jobs", "--since", "HEAD").status in (0, 1)
    monkeypatch.setenv("PATH", str(plant))
    assert "git is not there" in run("lint", "jobs", "--since", "HEAD").err
    assert not alarm[1].exists()


def test_variables_that_lead_elsewhere_are_not_heeded_and_told(
    plant: Path, run: Callable, git: Callable, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    subprocess.run(["git", "init", "--quiet", tmp_path / "other"], check=True)
    (plant / "jobs/a.yaml").write_text("job: [\n")
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "other/.git"))
    monkeypatch.setenv("GIT_INDEX_FILE", str(tmp_path / "other/index"))
    done = run("lint", "jobs", "--since", "HEAD")
    assert "jobs/a.yaml:" in done.out
    assert "GIT_DIR is set, names another repository, and is not heeded" in done.out


def test_variables_as_a_commit_hook_has_them_are_no_trouble(
    plant: Path, run: Callable, git: Callable, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GIT_DIR", ".git")
    monkeypatch.setenv("GIT_WORK_TREE", str(plant))
    assert "GIT_" not in run("lint", "jobs", "--since", "HEAD").out


@pytest.mark.parametrize("bit", ["--assume-unchanged", "--skip-worktree"])
def test_a_change_cannot_be_hidden_by_a_mark_in_the_index(plant: Path, run: Callable, git: Callable, bit: str) -> None:
    git("update-index", bit, "jobs/a.yaml")
    (plant / "jobs/a.yaml").write_text("job: [\n")
    done = run("lint", "jobs", "--since", "HEAD")
    assert done.status == 1
    assert "jobs/a.yaml:" in done.out
    assert "git was told to take these files for unchanged" in " ".join(done.out.split())


def test_what_lies_in_another_repository_within_counts_as_changed(plant: Path, run: Callable, git: Callable) -> None:
    inner = plant / "jobs/inner"
    inner.mkdir()
    (inner / "b.yaml").write_text("job: [\n")
    subprocess.run(["git", "init", "--quiet", inner], check=True)
    assert "jobs/inner/b.yaml:" in run("lint", "jobs", "--since", "HEAD").out


def test_a_git_file_that_leads_into_the_tree_is_refused(plant: Path, run: Callable, alarm: tuple[str, Path]) -> None:
    embed_bare(plant / "jobs/bare", alarm[0])
    (plant / ".git").write_text("gitdir: jobs/bare\n")
    done = run("lint", "jobs", "--since", "HEAD")
    assert done.status == 2
    assert "its .git leads into its own files" in done.err
    assert not alarm[1].exists()


def test_an_old_git_is_refused_and_told(
    plant: Path, run: Callable, git: Callable, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(git_module, "OLDEST", (99, 0))
    done = run("lint", "jobs", "--since", "HEAD")
    assert done.status == 2
    assert "is too old to be run safely on files from others" in done.err
    done = run("lint", "registers/presses.yaml")
    assert "git was not asked what has changed" in " ".join(done.out.split())


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can give a folder away")
def test_a_repository_of_somebody_else_is_refused(plant: Path, run: Callable, git: Callable) -> None:
    for path in (plant, plant / ".git"):
        os.chown(path, 65534, 65534)
    done = run("lint", "jobs", "--since", "HEAD")
    assert done.status == 2
    assert "dubious ownership" in done.err
