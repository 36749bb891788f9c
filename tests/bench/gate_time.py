"""What a lint of a whole plant costs, beside a check of the same sheets against their schema alone.

Every quantity differs from sheet to sheet (``sheets.py``): memories of like sheets give nothing here, as they give
nothing where each job is another one.

Targets, held against ``check-jsonschema`` on the same machine and the same sheets:

* at 1,000 sheets, cold: at most 0.8 of its time on one worker, at most 0.5 on two;
* warm, with every verdict kept: at most 0.1 of its time;
* time per sheet at 100,000 sheets within 15 % of that at 1,000; memory there under 400 MB;
* one sheet from a cold start: at most 0.6 of what ``check-jsonschema`` takes for it;
* loading all shipped packs adds no more than 60 ms to a start.

All ways are run one after the other in each round, so that what else the machine does falls on all alike; a ratio is
the median of the ratios of the rounds. Cold means without verdicts, but with the shipped packs in their kept form, as
on every run but the first; the first run of all is timed once. Times are of the clock; CPU stands beside them,
for it moves less on a machine that has other work.

    python tests/bench/gate_time.py 1000 10000 --rounds 5
    python tests/bench/gate_time.py 100000 --rounds 1 --alone
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from statistics import median
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parent))
from sheets import make_plant

ROOT = Path(__file__).parents[2]
SCHEMA = str(ROOT / "schemas/job-sheet.schema.json")
YARDSTICK = "check-jsonschema"
COMPOSE = """\
import sys
from ruamel.yaml.cyaml import CSafeLoader
for name in open(sys.argv[1], encoding="utf-8").read().splitlines():
    CSafeLoader(open(name, encoding="utf-8").read()).get_single_node()
"""
START = "import filmcheck.cli.main, filmcheck.cli.lint, filmcheck.running.pack_store"
PACKS = f"""{START}
from filmcheck.packs.pack_files import pack_files
from filmcheck.reading.shipped import shipped_folder
filmcheck.running.pack_store.rule_set(pack_files([shipped_folder("rules")]))
"""


class Cost(NamedTuple):
    """What one run cost: seconds on the clock, seconds of CPU, megabytes at the peak of its largest process."""

    clock: float
    cpu: float
    memory: float


def cost(words: Sequence[str], folder: Path, cache: Path) -> Cost:
    """Run a command and give what it cost. Findings are well, complaints are not: they raise RuntimeError."""
    environment = {**os.environ, "FILMCHECK_CACHE": str(cache), "PYTHONPATH": str(ROOT)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # an installation has its modules compiled
    started = time.perf_counter()
    child = subprocess.Popen(words, cwd=folder, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    said = child.stderr.read() if child.stderr else b""
    _, status, used = os.wait4(child.pid, 0)
    clock = time.perf_counter() - started
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode not in (0, 1) or said:
        raise RuntimeError(f"{words[:4]} ended with {child.returncode}: {said.decode(errors='replace')[-400:]}")
    return Cost(clock, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)


def lint(*words: str) -> list[str]:
    """Give the command that lints the plant it is run in."""
    return [sys.executable, "-m", "filmcheck", "lint", *words]


def ways(sheets: list[Path], folder: Path, *, alone: bool) -> dict[str, list[str]]:
    """Give the ways to go over the sheets, by name."""
    names = [str(path.relative_to(folder)) for path in sheets]
    (folder / "names").write_text("\n".join(names), encoding="utf-8")
    ours = {
        "filmcheck cold, 1 worker": lint("--no-cache", "."),
        "filmcheck cold, 2 workers": lint("--no-cache", "--workers", "2", "."),
        "filmcheck warm": lint("."),
    }
    theirs = {
        YARDSTICK: [YARDSTICK, "--schemafile", SCHEMA, *names],
        "compose alone, C parser": [sys.executable, "-c", COMPOSE, "names"],
    }
    return ours if alone else {**ours, **theirs}


def measure(commands: Mapping[str, list[str]], rounds: int, folder: Path, cache: Path) -> dict[str, list[Cost]]:
    """Run all commands in every round, each round beginning with another."""
    costs: dict[str, list[Cost]] = {name: [] for name in commands}
    names = list(commands)
    for turn in range(rounds):
        for name in names[turn % len(names) :] + names[: turn % len(names)]:
            costs[name].append(cost(commands[name], folder, cache))
    return costs


def table(costs: Mapping[str, list[Cost]], sheets: int) -> str:
    """Lay the medians out, with the ratios to the yardstick where it ran."""
    lines = [f"{'':28}{'s':>9}{'CPU s':>9}{'ms/sheet':>10}{'MB':>7}{'ratio':>8}{'CPU ratio':>11}"]
    beside = costs.get(YARDSTICK)
    for name, runs in costs.items():
        clock, cpu, memory = (median(column) for column in zip(*runs, strict=True))
        ratios = (
            [[ours[i] / theirs[i] for ours, theirs in zip(runs, beside, strict=True)] for i in (0, 1)] if beside else []
        )
        shown = "".join(f"{median(ratio):{width}.2f}" for ratio, width in zip(ratios, (8, 11), strict=False))
        lines.append(f"{name:28}{clock:9.3f}{cpu:9.3f}{clock / sheets * 1000:10.3f}{memory:7.0f}{shown}")
    return "\n".join(lines)


def of_size(size: int, rounds: int, room: Path, *, alone: bool) -> None:
    """Measure a plant of one size and print it."""
    folder, cache = room / f"plant-{size}", room / f"cache-{size}"
    cache.mkdir(mode=0o700)
    sheets = make_plant(folder, size)
    weight = sum(path.stat().st_size for path in sheets)
    print(f"\n{size} sheets, {weight / 1e6:.1f} MB, {rounds} rounds")
    first = cost(lint("."), folder, cache)
    print(
        f"first run of all (no packs, no verdicts, keeps both): {first.clock:.3f} s, {first.memory:.0f} MB", flush=True
    )
    kept = sum(path.stat().st_size for path in cache.iterdir())
    print(table(measure(ways(sheets, folder, alone=alone), rounds, folder, cache), size))
    print(f"kept: {kept / 1e6:.1f} MB", flush=True)
    shutil.rmtree(folder)
    shutil.rmtree(cache)


def of_one_sheet(rounds: int, room: Path) -> None:
    """Measure the start: one sheet, and what loading the packs adds."""
    folder, cache = room / "one", room / "cache-one"
    cache.mkdir(mode=0o700)
    shutil.copytree(ROOT / "examples", folder)
    sheet = "jobs/sound/qm-3107-released-lime-cordial.yaml"
    cost(lint(sheet), folder, cache)
    commands = {
        "filmcheck, sheet not known": lint("--no-cache", sheet),
        "filmcheck, verdict kept": lint(sheet),
        YARDSTICK: [YARDSTICK, "--schemafile", SCHEMA, sheet],
        "start without packs": [sys.executable, "-c", START],
        "start with all packs": [sys.executable, "-c", PACKS],
    }
    costs = measure(commands, rounds, folder, cache)
    print(f"one sheet, {rounds} rounds")
    print(table(costs, 1))
    pairs = zip(costs["start with all packs"], costs["start without packs"], strict=True)
    clock, cpu = zip(*((more.clock - less.clock, more.cpu - less.cpu) for more, less in pairs), strict=True)
    print(f"loading all packs adds {median(clock) * 1000:.1f} ms ({median(cpu) * 1000:.1f} ms of CPU)", flush=True)


def main() -> None:
    """Measure what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("sizes", nargs="*", type=int, help="numbers of sheets")
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--one-sheet-rounds", type=int, default=15)
    parser.add_argument("--alone", action="store_true", help="time filmcheck only")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="gate-time-") as room:
        if not options.alone:
            of_one_sheet(options.one_sheet_rounds, Path(room))
        for size in options.sizes:
            of_size(size, options.rounds, Path(room), alone=options.alone)


if __name__ == "__main__":
    main()
