"""Time, memory and reports are bounded, whatever a sheet, register or baseline holds."""

from __future__ import annotations

import json
import os
import threading
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from filmcheck.plant.plant import type_text
from filmcheck.reading.yaml_events import LONGEST_FOR_PURE
from filmcheck.reports.baseline import LARGEST
from filmcheck.reports.sarif import sarif_text
from filmcheck.reports.sarif_choice import EVERY_KIND
from filmcheck.reports.text import text_report
from filmcheck.run import Options, lint

MEGABYTE = 1_000_000
MOST_SECONDS = 3.0
ODD = {
    "empty values": "k{}:\n",
    "anchors": "k{}: &a{} x\n",
    "tags": "k{}: !!str x\n",
    "aliases of nothing": "k{}: *b\n",
    "empty blocks": "k{}: |\n",
    "blocks": "k{}: |\n  x\n",
    "folded": "k{}: >-\n  x\n",
    "empty quotes": 'k{}: ""\n',
    "quotes over lines": "k{}: 'a\n  b'\n",
    "comments": "k{}: # a\n  # b\n",
    "brackets": "k{}: [a, {{b: c}}]\n",
    "a list": "- a{}\n",
    "the same key": "k: 1\n",
    "merge keys": "<<: 1\n",
    "odd letters": "k{}: \ue0f1\u2028é\n",
    "questions": "? k{}\n: v\n",
    "documents": "---\nk{}: v\n",
}
CAPPED = {"the same key": "k: 1\n", "merge keys": "<<: 1\n", "aliases of nothing": "k{}: *b\n", "unknown": "k{}: 1\n"}


def filled(line: str, size: int) -> str:
    lines, length, number = [], 0, 0
    while length < size:
        lines.append(line.replace("{}", str(number)).replace("{{", "{").replace("}}", "}"))
        length += len(lines[-1])
        number += 1
    return "".join(lines)


@pytest.mark.slow
@pytest.mark.parametrize("line", ODD.values(), ids=ODD)
def test_a_megabyte_of_anything_is_read_in_time(line: str) -> None:
    text = filled(line, MEGABYTE)
    begin = time.process_time()
    type_text(text, "a.yaml", "job-sheet")
    assert time.process_time() - begin < MOST_SECONDS


@pytest.mark.sample(5)
@pytest.mark.parametrize("line", ODD.values(), ids=ODD)
def test_four_times_the_text_takes_no_more_than_eight_times_as_long(line: str) -> None:
    """Quadratic reading takes sixteen times as long."""
    texts = [filled(line, size) for size in (20_000, 80_000)]
    for _ in range(5):  # a busy machine may hit one of the two
        few, many = (seconds(lambda text=text: type_text(text, "a.yaml", "job-sheet")) for text in texts)
        if many < 8 * few + 0.02:
            return
    pytest.fail(f"{many:.3f} s for four times what took {few:.3f} s")


def seconds(work: Callable[[], object]) -> float:
    begin = time.process_time()
    work()
    return time.process_time() - begin


@pytest.mark.parametrize("sign", ["&", "*", "]", "] ", "}", "|", "> "])
@pytest.mark.parametrize("size", [LONGEST_FOR_PURE, MEGABYTE])
def test_a_line_of_one_sign_is_read_in_time(sign: str, size: int) -> None:
    """At the length up to which the reader that has the last word looks, and far beyond."""
    text = "k: " + sign * ((size - 4) // len(sign)) + "\n"
    begin = time.process_time()
    type_text(text, "a.yaml", "job-sheet")
    assert time.process_time() - begin < MOST_SECONDS


@pytest.mark.sample(4)
@pytest.mark.parametrize("line", CAPPED.values(), ids=CAPPED)
def test_faults_of_one_file_are_capped(plant: Path, run: Callable, line: str) -> None:
    (plant / "jobs/a.yaml").write_text("job: A-1\n" + filled(line, 300_000))
    begin = time.process_time()
    done = run("lint", "jobs", "--format", "sarif")
    assert time.process_time() - begin < MOST_SECONDS
    assert len(json.loads(done.out)["runs"][0]["results"]) < 400
    assert "The file has more faults of its" in done.out
    assert len(done.out) < MEGABYTE


@pytest.mark.parametrize("make", [lambda path: os.mkfifo(path), lambda path: path.symlink_to("/dev/zero")])
def test_a_baseline_that_is_no_file_is_refused(plant: Path, run: Callable, make: Callable) -> None:
    make(plant / "base.sarif")
    done = run("lint", "jobs", "--baseline", "base.sarif")
    assert (done.status, done.out) == (2, "")
    assert "it is no ordinary file" in done.err


def test_a_baseline_that_is_too_large_is_not_read(plant: Path, run: Callable) -> None:
    with (plant / "base.sarif").open("wb") as log:
        log.truncate(LARGEST + 1)  # it takes no room on the disk
    done = run("lint", "jobs", "--baseline", "base.sarif")
    assert (done.status, done.out) == (2, "")
    assert "it is larger than 100 MB" in done.err


def test_a_baseline_with_a_byte_order_mark_is_read(plant: Path, run: Callable) -> None:
    (plant / "jobs/a.yaml").write_text("job: A-1\nwrong: 1\n")
    run("lint", "jobs", "--format", "sarif", "--to", "base.sarif", "--fail-from", "never")
    assert run("lint", "jobs").status == 1
    (plant / "base.sarif").write_bytes(b"\xef\xbb\xbf" + (plant / "base.sarif").read_bytes())
    assert run("lint", "jobs", "--baseline", "base.sarif").status == 0


@pytest.mark.slow
def test_threads_do_not_disturb_each_other(plant: Path) -> None:
    text = (plant / "jobs/a.yaml").read_text()
    for number in range(3):
        tension = text.replace("PG-1001", f"PG-{number}").replace("330 mm", f"{320 + number} mm")
        (plant / f"jobs/{number}.yaml").write_text(tension)
    options = Options(today=date(2026, 12, 1), passes=True)
    path = plant / "jobs"

    def report() -> tuple[str, str]:
        found = lint([path], options)
        return text_report(found, show_passes=True), sarif_text(found, kinds=EVERY_KIND)

    alone, together = report(), []
    threads = [threading.Thread(target=lambda: together.append(report())) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert together == [alone] * 3


@pytest.mark.sample(2)
@pytest.mark.parametrize("length", [201, 8000])
def test_a_path_longer_than_any_press_is_told_and_cut_off(plant: Path, length: int) -> None:
    sheet = plant / "jobs/a.yaml"
    text = sheet.read_text(encoding="utf-8").replace("path:\n", "path:\n" + "  - nip: {}\n" * length, 1)
    sheet.write_text(text, encoding="utf-8")
    begin = time.process_time()
    report = lint([sheet], Options(today=date(2026, 12, 1)))
    assert time.process_time() - begin < MOST_SECONDS
    assert any("at most 200 entries" in finding.says for finding in report.findings)
