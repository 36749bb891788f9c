"""Judge many plausible jobs and tell how often each rule speaks; `many_jobs.txt` is what 3,000 of them gave.

Drawn (seed 11) from the sixty sound jobs: every number of sheet, set-up and die is varied as ordinary practice varies
it, with the carelessness that plants know (from memory): pulls 0.8 to 1.3 of the careful one, lamps 2 to 18 per cent
above what cures, proved at 0.9 to 1.15 of the speed, parent rolls 0.85 to 1.25, tapers 10 to 45 per cent with 2 per
cent of jobs at none, one roll in twelve on a small core, one job in seven without a proved tension, one first film job
in ten, one check in a hundred failed, dies anywhere in their life.

The ranges have no source. They were narrowed twice after pilots of 60 and 120 jobs whose draw was unlike ordinary
practice (15 per cent silent; pulls, lamps, cut windows, humidity; ground readings of one press drawn sheet by sheet).
No limit was changed by it. So the shares tell how the rules behave under this draw, and are no evidence that the limits
are right.

    python tests/corpus/many_jobs.py 3000
"""

from __future__ import annotations

import random
import re
import runpy
import sys
import tempfile
from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

from filmcheck import Options, lint
from filmcheck.running import judge_sheet
from filmcheck.running.judge_as_is import judge_as_is

SHEETS = runpy.run_path(str(Path(__file__).with_name("sound_sheets.py")))
TODAY = date(2026, 11, 25)
NUMBER = r"([\d.]+)"
Draw = Callable[[random.Random, float], str]


def times(low: float, high: float) -> Draw:
    """Scale a number; values near the one given are likeliest."""
    return lambda rng, value: f"{value * rng.triangular(low, high, 1.0):.4g}"


def between(low: float, high: float) -> Draw:
    """Draw a number anew."""
    return lambda rng, _: f"{rng.uniform(low, high):.3g}"


EDITS: tuple[tuple[str, Draw], ...] = (
    (rf"(?<=proved_tension: ){NUMBER}", times(0.97, 1.1)),
    (rf"(?<=unwind: {{tension: ){NUMBER}", times(0.8, 1.3)),
    (rf"(?<=infeed, tension: ){NUMBER}", times(0.96, 1.06)),
    (rf"(?<=nip infeed: {{tension: ){NUMBER}", times(0.96, 1.06)),
    (rf"(?<=outfeed, tension: ){NUMBER}", times(0.96, 1.06)),
    (rf"(?<=nip outfeed: {{tension: ){NUMBER}", times(0.96, 1.06)),
    (rf"(?<=start_tension: ){NUMBER}", times(0.85, 1.35)),
    (rf"(?<=unwind_tension: ){NUMBER}", times(0.7, 1.4)),
    (r"(?<=setting: )57(?= %)", lambda rng, _: f"{52 * rng.triangular(1.02, 1.18, 1.08):.1f}"),
    (r"(?<=setting: )33(?= W)", lambda rng, _: f"{30 * rng.triangular(1.02, 1.18, 1.08):.1f}"),
    (r"(?<=setting: )48(?= degC)", lambda rng, _: f"{rng.uniform(45.5, 50):.1f}"),
    (r"(?<=setting: )75(?= degC)", lambda rng, _: f"{rng.uniform(69, 78):.1f}"),
    (rf"(?<=proved_speed: ){NUMBER}", times(0.9, 1.15)),
    (r"(?<=temperature: )18(?= degC)", between(14, 22)),
    (r"(?<=temperature: )21(?= degC)", between(18, 26)),
    (r"(?<=temperature: )70(?= degF)", between(65, 79)),
    (rf"(?<=humidity: ){NUMBER}", between(37, 62)),
    (r"(?<=taper: )30(?= %)", lambda rng, _: "0" if rng.random() < 0.02 else f"{rng.uniform(10, 45):.0f}"),
    (rf"(?<=after: ){NUMBER}", lambda rng, _: f"{min(rng.expovariate(1 / 6) + 0.5, 60):.1f}"),
    (rf"(?<=roll: {{diameter: ){NUMBER}", times(0.85, 1.25)),
    (rf"(?<=warm_up: ){NUMBER}", between(4, 12)),
    (rf"(?<=register_tolerance: ){NUMBER}", times(0.5, 1.4)),
    (r"(?<=outcome: )passed", lambda rng, _: "failed" if rng.random() < 0.01 else "passed"),
    (rf"(?<=die_pressure: ){NUMBER}", times(0.97, 1.03)),
    (rf"(?<=wear: ){NUMBER}", lambda rng, _: f"{rng.uniform(0, 3):.0f}"),  # as a gauge reads it
    (rf"(?<=cut_window: ){NUMBER}", between(9, 14)),
    (rf"(?<=revolutions: ){NUMBER}", lambda rng, _: f"{rng.uniform(0, 980000):.0f}"),
)


def varied(text: str, rng: random.Random) -> str:
    """Vary every number of a sheet or register by itself."""
    for pattern, draw in EDITS:
        text = re.sub(
            pattern, lambda found, draw=draw: draw(rng, float(found.group(1)) if found.lastindex else 0), text
        )
    return text


def careless(text: str, rng: random.Random) -> str:
    """Leave out or change what plants leave out or change."""
    if rng.random() < 1 / 7:
        text = re.sub(r", proved_tension: [^,}]+", "", text)
    if rng.random() < 1 / 12:
        text = re.sub(r"(?<=core: )6 in(?=, core_wall: [\d.]+ \w+[,}])", "3 in", text)
    return text


def drawn(job: Any, rng: random.Random) -> Any:
    """Draw another job of the same press, stock and tool."""
    return replace(
        job,
        across=job.across * rng.uniform(0.8, 1.0),
        speed=round(job.speed * rng.triangular(0.6, 1.7, 1.0)),
        length=round(job.length * rng.triangular(0.4, 1.7, 0.9), -1),
        film_job="first" if rng.random() < 0.1 else "again",
    )


class Judged(NamedTuple):
    """What each drawn job is told, rule and kinds; and what each drawn plant is told of its registers and settings."""

    jobs: list[dict[str, set[str]]]
    plants: list[set[str]]


def judged(count: int) -> Judged:
    """Draw so many jobs and judge them, plant by plant."""
    judge_sheet.judge_sheet = judge_as_is  # advice changes no rule, and costs most
    rng, rows = random.Random(11), SHEETS["jobs"]()  # noqa: S311
    made = Judged([], [])
    while len(made.jobs) < count:
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            for plant in ("metric", "inch"):
                mine = [drawn(job, rng) for job in rows if job.inch is (plant == "inch")]
                SHEETS["make_plant"](folder / plant, mine)
                for file in sorted((folder / plant / "jobs").glob("*.yaml")):
                    file.write_text(careless(varied(file.read_text("utf-8"), rng), rng), "utf-8")
                for register in ("set-ups", "tooling"):
                    file = folder / plant / "registers" / f"{register}.yaml"
                    file.write_text(varied(file.read_text("utf-8"), rng), "utf-8")
            found: dict[str, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
            of_plants: dict[str, set[str]] = {"metric": set(), "inch": set()}
            for finding in lint([folder], Options(today=TODAY)).findings:
                if finding.job:
                    kind = finding.level if finding.kind == "fail" else finding.kind
                    found[finding.job][finding.rule].add(str(kind))
                else:
                    of_plants["inch" if "inch" in Path(finding.place.file).parts else "metric"].add(finding.rule)
            made.jobs.extend(dict(found[job.job.upper()]) for job in rows)
            made.plants.extend(of_plants.values())
    return made._replace(jobs=made.jobs[:count])


def table(made: Judged) -> str:
    """Give the table: each rule, and in how many of a hundred jobs it finds a fault, or sees one end of what is given
    past a limit or cannot tell; and in how many of a hundred plants it finds fault with registers or settings."""
    faults, doubts = Counter[str](), Counter[str]()
    entries = Counter(rule for plant in made.plants for rule in plant)
    share = Counter[str]()
    for job in made.jobs:
        kinds = set().union(*job.values()) if job else set()
        worst = next((k for k in ("error", "warning", "note") if k in kinds), "doubt" if kinds else "silent")
        share[worst] += 1
        for rule, those in job.items():
            (faults if those & {"error", "warning", "note"} else doubts)[rule] += 1
    number, plants = len(made.jobs), len(made.plants)
    shares = ", ".join(f"{kind} {100 * share[kind] / number:.1f} %" for kind in sorted(share))
    lines = [f"{number} jobs of {plants} plants, seed 11: {shares}", ""]
    lines += [f"{'rule':36} fault %  doubt %  plants %"]
    for rule in sorted(
        faults | doubts | entries, key=lambda rule: (-faults[rule], -doubts[rule], -entries[rule], rule)
    ):
        of_jobs = f"{100 * faults[rule] / number:7.2f}  {100 * doubts[rule] / number:7.2f}"
        lines.append(f"{rule:36} {of_jobs}  {100 * entries[rule] / plants:8.1f}")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    print(table(judged(int(sys.argv[1]) if len(sys.argv) > 1 else 3000)), end="")
