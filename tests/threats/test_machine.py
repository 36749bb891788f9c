"""Faults of the machine: each gets a clear message, none a traceback or the status of a fault of our own."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import filmcheck.run as run_module

ROOT = Path(__file__).parents[2]
IS_ROOT = hasattr(os, "geteuid") and os.geteuid() == 0


def many(plant: Path, number: int) -> None:
    text = (plant / "jobs/a.yaml").read_text()
    for each in range(number):
        (plant / f"jobs/{each:04}.yaml").write_text(text.replace("PG-1001", f"PG-{each}"))


HELD = """\
import os, sys
import filmcheck.running.judge_sheet as judging
from filmcheck.cli.main import main
told, go = map(int, (sys.argv.pop(1), sys.argv.pop(1)))
judge, begun = judging.judge_sheet, set()
def held(*given, **how):
    if os.getpid() not in begun:
        begun.add(os.getpid())
        os.write(told, b".")
        os.read(go, 1)
    return judge(*given, **how)
judging.judge_sheet = held
main()
"""
"""The command, whose workers tell that they are at their first sheets, and wait there until they may go on."""


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="workers are forked")
@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGHUP, signal.SIGKILL, signal.SIGINT])
def test_workers_end_with_their_parent(plant: Path, how: signal.Signals) -> None:
    """Waits for what it looks for and for no clock: were a worker to outlive its parent, this would not end."""
    many(plant, 64)  # a handful for each worker, and more
    before = None if how is signal.SIGKILL else signal.signal(how, signal.SIG_DFL)  # else what started pytest decides
    (heard, told), (go, hold) = os.pipe(), os.pipe()
    command = [sys.executable, "-c", HELD, str(told), str(go), "lint", "jobs", "--workers", "3", "--no-cache"]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    streams: Any = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True, "pass_fds": (told, go)}
    run = subprocess.Popen(command, cwd=plant, env=environment, **streams)
    if how is not signal.SIGKILL:
        signal.signal(how, before)
    for end in (told, go):
        os.close(end)
    assert [os.read(heard, 1) for _ in range(3)] == [b"."] * 3, "the run ended before it could be killed"
    run.send_signal(how)
    os.close(hold)
    while os.read(heard, 1):  # ends when nobody holds the other end any more, neither the run nor a worker
        pass
    os.close(heard)
    out, err = run.communicate()
    assert run.returncode in (-how, 2)
    assert "Traceback" not in out + err


def test_a_killed_worker_is_told(plant: Path, run: Callable, monkeypatch: pytest.MonkeyPatch) -> None:
    many(plant, 40)

    def die(*_: object, **__: object) -> None:
        os.kill(os.getpid(), signal.SIGKILL)

    monkeypatch.setattr("filmcheck.running.judge_sheet.judge_sheet", die)
    done = run("lint", "jobs", "--workers", "2", "--no-cache")
    assert (done.status, done.out) == (2, "")
    assert "a worker process was ended from outside" in done.err
    assert "with fewer workers" in done.err


def test_no_home_and_a_user_that_the_system_does_not_know(
    plant: Path, run: Callable, monkeypatch: pytest.MonkeyPatch
) -> None:
    import pwd

    def unknown(number: int) -> None:
        raise KeyError(number)

    monkeypatch.setattr(pwd, "getpwuid", unknown)
    for name in ("HOME", "FILMCHECK_CACHE", "XDG_CACHE_HOME", "XDG_STATE_HOME"):
        monkeypatch.delenv(name, raising=False)
    with pytest.raises(RuntimeError):
        Path.home()
    done = run("lint", "jobs")
    assert (done.status, done.err) == (0, "")
    assert "1 job judged" in done.out


@pytest.mark.parametrize("words", [("lint", "."), ("rules", "list"), ("figures", "a.yaml"), ("start", "x")])
def test_a_working_folder_that_was_deleted(tmp_path: Path, words: tuple[str, ...]) -> None:
    code = "import os, sys, shutil; os.chdir(sys.argv[1]); shutil.rmtree(sys.argv[1])\n"
    code += f"sys.path[:0] = [{str(ROOT)!r}]; sys.argv = ['filmcheck', *sys.argv[2:]]\n"
    code += "from filmcheck.cli.main import main; main()"
    (tmp_path / "gone").mkdir()
    done = subprocess.run([sys.executable, "-c", code, tmp_path / "gone", *words], capture_output=True, text=True)
    assert done.returncode == 2
    assert done.stderr.startswith("the folder in which filmcheck runs is not there any more\n")
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("error", [MemoryError(), OSError(24, "Too many open files")])
def test_a_machine_that_has_no_more_to_give(
    plant: Path, run: Callable, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    import filmcheck.cli.lint as lint_module

    def give_up(*_: object) -> None:
        raise error

    monkeypatch.setattr(lint_module, "lint", give_up)
    done = run("lint", "jobs")
    assert (done.status, done.out) == (2, "")
    assert "memory" in done.err or "Too many open files" in done.err


@pytest.mark.slow
@pytest.mark.parametrize("closed", ["0", "1", "2", "012"])
def test_closed_streams(plant: Path, closed: str) -> None:
    shut = " ".join(f"{number}>&-" for number in closed)
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = f'"{sys.executable}" -m filmcheck lint jobs {shut}'
    done = subprocess.run(["sh", "-c", command], cwd=plant, env=environment, capture_output=True, text=True)
    assert done.returncode in (0, 2)
    assert "Traceback" not in done.stdout + done.stderr


def test_files_that_vanish_during_the_run(plant: Path, run: Callable, monkeypatch: pytest.MonkeyPatch) -> None:
    many(plant, 5)
    real = run_module.make_context

    def late(*words: object) -> object:
        for path in list((plant / "jobs").glob("0*.yaml")):
            path.unlink()
        return real(*words)

    monkeypatch.setattr(run_module, "make_context", late)
    done = run("lint", "jobs")
    assert (done.status, done.err) == (1, "")
    assert done.out.count("There is no such file  [file-unreadable]") == 5


def test_files_that_change_during_the_run(plant: Path, run: Callable, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was read is judged; the cache does not take it for what stands there afterwards."""
    sheet, real = plant / "jobs/a.yaml", run_module.read_sheet

    def read_and_change(*words: object, **more: object) -> object:
        found = real(*words, **more)
        sheet.write_text(
            sheet.read_text("utf-8").replace("tension: 46 N\n      control", "tension: 90 N\n      control")
        )
        return found

    with monkeypatch.context() as patch:
        patch.setattr(run_module, "read_sheet", read_and_change)
        assert run("lint", "jobs").status == 0
    done = run("lint", "jobs")
    assert done.status == 1
    assert "[unwind-tension-high]" in done.out


@pytest.mark.slow
@pytest.mark.parametrize("words", ["lint jobs --passes", "rules show", "rules words", "figures jobs/a.yaml"])
def test_a_reader_that_goes_away(plant: Path, words: str) -> None:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = f'"{sys.executable}" -m filmcheck {words} | head -c 1'
    done = subprocess.run(["sh", "-c", command], cwd=plant, env=environment, capture_output=True, text=True)
    assert (len(done.stdout), done.stderr) == (1, "")


@pytest.mark.parametrize("year", ["1970-01-01", "2100-12-31"])
def test_any_day_is_a_day(plant: Path, run: Callable, year: str) -> None:
    assert run("lint", "jobs", "--today", year).status in (0, 1)
    assert run("sign", "jobs/a.yaml", "--by", "x", "--date", year).status == 0


@pytest.mark.slow
def test_any_locale_gives_the_same_bytes(plant: Path, apart: Callable) -> None:
    usual = apart("lint", "jobs", "--format", "sarif", "--passes")
    for locale in ("C", "POSIX", "tr_TR.UTF-8", "xx_YY.nonsense", ""):
        there = {"LC_ALL": locale, "LANG": locale, "TZ": "X-14"}
        assert apart("lint", "jobs", "--format", "sarif", "--passes", env=there) == usual, locale


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("mount") is None or not IS_ROOT, reason="only root can mount")
def test_a_full_disk(plant: Path, apart: Callable, tmp_path: Path) -> None:
    small = tmp_path / "small"
    small.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=16k,mode=700", "none", small], check=False).returncode:
        pytest.skip("no file system can be mounted here")
    try:
        (plant / "jobs/b.yaml").write_text("job: [\n" * 50)
        done = apart("lint", "jobs", "--format", "sarif", "--passes", "--to", str(small / "r"))
        assert (done.status, done.out) == (2, "")
        assert "cannot be written: No space left on device" in done.err
        assert list(small.iterdir()) == []
        usual = apart("lint", "jobs", "--fail-from", "never")
        assert apart("lint", "jobs", "--fail-from", "never", env={"FILMCHECK_CACHE": str(small)}) == usual
    finally:
        subprocess.run(["umount", small], check=True)


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="no right is lacking to root")
def test_folders_that_may_only_be_read(plant: Path, apart: Callable, tmp_path: Path) -> None:
    (tmp_path / "cache").mkdir(mode=0o500)
    plant.chmod(0o500)
    done = apart("lint", "jobs")
    assert (done.status, done.err) == (0, "")
    assert apart("lint", "jobs", "--to", "report.txt").status == 2
