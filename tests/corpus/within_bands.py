"""Varies each number of the sound sheets within what the handbook calls sound, not to its edge: which rules speak?

A rule that speaks here is eager, or the band below is not sound for that job. Each number goes to both ends of its band
by itself; then all numbers of a sheet are drawn together. Bands are the handbook's, section 4, drawn in by some tenth
(common practice, no source, where it names none).

    python tests/corpus/within_bands.py [SHARE]           # share of the sheets, 1 where left out
"""

from __future__ import annotations

import random
import re
import runpy
import sys
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import date
from pathlib import Path

from filmcheck.plant.plant import load_plant, type_text
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.plant_context import make_context

HERE = Path(__file__).parent
TODAY = date(2026, 11, 25)
DRAWS = 4
N = r"(\d+(?:\.\d+)?)"
TIMES: dict[str, tuple[str, float, float]] = {
    "unwind tension": (rf"(?<=unwind: {{tension: ){N}", 0.8, 1.2),
    "infeed": (rf"infeed(?:, |: {{)tension: {N}", 0.95, 1.0),
    "outfeed": (rf"outfeed(?:, |: {{)tension: {N}", 0.95, 1.3),
    "proved tension": (rf"proved_tension: {N}", 1.0, 1.05),
    "start tension": (rf"start_tension: {N}", 0.96, 1.25),
    "pull in finishing": (rf"unwind_tension: {N}", 0.7, 1.3),
    "taper": (rf"taper: {N} %", 0.6, 1.4),
    "lamp over cure": (r"setting: (57|33|58|70|72|66|55|45|32) ", 0.95, 1.02),
    "hot air": (r"setting: (48|75|46) degC", 0.97, 1.0),
    "chill roll": (r"chill roll: {temperature: (1\d) degC", 0.85, 1.12),
    "room": (r"air: {temperature: (2\d) degC", 0.93, 1.15),
    "humidity": (rf"humidity: {N}", 0.9, 1.1),
    "wait": (rf"after: {N} h", 0.4, 1.0),
    "parent roll": (rf"roll: {{diameter: {N}", 1.0, 1.12),
    "warm-up": (rf"warm_up: {N}", 0.5, 1.15),
    "register": (rf"register_tolerance: {N}", 0.7, 1.3),
    "speed": (rf"web: {{.*?speed: {N}", 0.75, 1.0),
    "speed of finishing": (rf"finishing: {{.*?speed: {N}", 0.6, 1.2),
    "length": (rf"(?<!film_)length: {N}", 0.6, 1.02),
    "die pressure": (rf"die_pressure: {N}", 0.99, 1.01),
    "snap sample": (rf"sample: {N}", 1.0, 1.3),
    "ground": (rf"(?:unwind|press|rewind|inline): {N} ohm", 0.5, 10.0),
    "time in stock": (rf"in_stock: {N}", 0.5, 1.5),
    "pull of the film": (rf"film_tension: {N}", 0.75, 1.25),
    "film laminated on": (rf"film_caliper: {N}", 0.7, 1.2),
}


def at(text: str, found: re.Match[str], factor: float) -> str:
    """Give the text with one number taken some times."""
    value = f"{float(found.group(1)) * factor:.4g}"
    return text[: found.start(1)] + value + text[found.end(1) :]


def one_by_one(text: str) -> Iterator[tuple[str, str]]:
    """Give each number at both ends of its band, all others as they are."""
    for what, (pattern, low, high) in TIMES.items():
        for found in re.finditer(pattern, text):
            for end, factor in (("low", low), ("high", high)):
                if factor != 1.0:
                    yield f"{what}, {end}", at(text, found, factor)


def together(text: str, rng: random.Random) -> str:
    """Draw every number of a sheet within its band; like numbers move together, as a crew moves them."""
    for pattern, low, high in TIMES.values():
        factor = rng.uniform(low, high)
        for found in reversed(list(re.finditer(pattern, text))):
            text = at(text, found, factor)
    return text


def plants(folder: Path) -> list[Path]:
    """Give the three plants; those of the table are written first."""
    runpy.run_path(str(HERE / "sound_sheets.py"))["make_plants"](folder)
    return [folder / "metric", folder / "inch", HERE / "other_kinds"]


def spoken(share: float = 1.0) -> tuple[dict[str, Counter[str]], Counter[str], int, int]:
    """Give by rule the numbers that it spoke on, and how many drawn sheets; then how many of each there were."""
    alone: dict[str, Counter[str]] = defaultdict(Counter)
    drawn: Counter[str] = Counter()
    rng, tried, sheets = random.Random(5), 0, 0  # noqa: S311  the same draw each time
    with tempfile.TemporaryDirectory() as name:
        for home in plants(Path(name)):
            plant = load_plant(home / "plant.yaml")
            context = make_context(plant)

            def faults(text: str, stem: str) -> set[str]:
                told = judge_as_is(type_text(text, stem, "job-sheet"), context, TODAY).findings  # noqa: B023
                return {one.rule for one in told if one.kind == "fail" and one.counts}

            for path in sorted((home / "jobs").glob("*.yaml")):
                text = path.read_text("utf-8")
                before = faults(text, path.stem)
                if rng.random() >= share:
                    continue
                for what, changed in one_by_one(text):
                    tried += 1
                    for rule in faults(changed, path.stem) - before:
                        alone[rule][f"{what}: {path.stem}"] += 1
                for _ in range(DRAWS):
                    sheets += 1
                    drawn.update(faults(together(text, rng), path.stem) - before)
    return dict(alone), drawn, tried, sheets


def table(share: float = 1.0) -> str:
    """Give what spoke, the most frequent first."""
    alone, drawn, tried, sheets = spoken(share)
    lines = [f"{tried} sheets with one number changed, {sheets} with all drawn"]
    for rule in sorted({*alone, *drawn}, key=lambda rule: (-sum(alone.get(rule, Counter()).values()), -drawn[rule])):
        by: dict[str, list[str]] = defaultdict(list)
        for entry in alone.get(rule, ()):
            what, _, job = entry.partition(": ")
            by[what].append(job)
        numbers = "; ".join(f"{what} ({len(jobs)}: {' '.join(jobs[:4])})" for what, jobs in by.items())
        lines.append(f"{rule}: drawn {drawn[rule]}; {numbers}")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    print(table(float(sys.argv[1]) if len(sys.argv) > 1 else 1.0), end="")
