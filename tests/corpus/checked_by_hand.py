"""Hold every sound job against the handbook by arithmetic of its own: nothing of filmcheck is used here.

Prints one line a job, the numbers that decide; `checked_by_hand.txt` is what it printed. Bands are those of the
handbook, section 4 (common practice where it names no source).

    python tests/corpus/checked_by_hand.py > tests/corpus/checked_by_hand.txt
"""

from __future__ import annotations

import math
import runpy
from functools import lru_cache
from pathlib import Path
from typing import Any

SHEETS = runpy.run_path(str(Path(__file__).with_name("sound_sheets.py")))
MIL = 25.4e-6
# face caliper and modulus, adhesive caliper, liner caliper and modulus, K1, K2, share shrunk at the liner's limit in
# degrees, share that relaxes: copied by hand from the two stock registers, in SI
STOCK = {
    "pp50-film23": (50e-6, 1.9e9, 18e-6, 23e-6, 4.4e9, 20e3, 60, 0.001, 70, 0.2),
    "pet36-film23": (36e-6, 4.1e9, 18e-6, 23e-6, 4.4e9, 18e3, 70, 0.001, 70, 0.2),
    "pp60-film30": (60e-6, 1.5e9, 20e-6, 30e-6, 4.4e9, 22e3, 55, 0.001, 75, 0.2),
    "pe80-film36": (80e-6, 0.35e9, 20e-6, 36e-6, 4.4e9, 18e3, 45, 0.001, 60, 0.2),
    "paper80-glassine60": (80e-6, 5.5e9, 20e-6, 60e-6, 8e9, 40e3, 30, 0.001, 120, 0.4),
    "pp2-film09": (2 * MIL, 2.1e9, 0.7 * MIL, 0.92 * MIL, 4.6e9, 25e3, 55, 0.0012, 70, 0.22),
    "pet15-film09": (1.5 * MIL, 4.3e9, 0.7 * MIL, 0.92 * MIL, 4.6e9, 20e3, 65, 0.0012, 70, 0.22),
    "pp24-film12": (2.4 * MIL, 1.7e9, 0.8 * MIL, 1.2 * MIL, 4.6e9, 24e3, 50, 0.0012, 75, 0.22),
    "pe34-film14": (3.4 * MIL, 0.4e9, 0.8 * MIL, 1.42 * MIL, 4.6e9, 20e3, 45, 0.0012, 60, 0.22),
    "paper31-glassine24": (3.1 * MIL, 5.5e9, 0.8 * MIL, 2.4 * MIL, 8e9, 35e3, 28, 0.001, 120, 0.4),
}
BORE = {"1 in": 25.4, "40 mm": 40.0, "3 in": 76.2, "6 in": 152.4}
LARGEST = {"fernmoor": 350, "ashwold": 200, "holmewick": 280, "stonemere": 304.8, "larkfold": 127, "elmthwaite": 254}
FILM_MOST, PAPER_MOST = 175.0, 350.0
"""Line tension in N/m: 1 lbf/in for film, 2 lbf/in for paper (common practice, no source)."""
BENT = math.exp(0.12 * math.pi * math.cos(math.radians(45)))
"""What the turn bar multiplies: belt equation, 12 %, half a turn, web at 45 degrees to the bar's section."""


@lru_cache
def plateau(pull: float, caliper: float, modulus: float, k1: float, k2: float) -> float:
    """Give the pressure of a long roll wound at one tension, in Pa: similarity ODE (check values, 1.5), by shooting."""
    stress = pull / caliper

    def g(p: float) -> float:
        return modulus / k2 * math.log(1 + p / k1) - p

    def reaches(inner: float) -> bool:
        """Whether q has fallen to nothing before the inner pressure is met: then the plateau is lower."""
        q, p, steps = stress, 0.0, 1000
        for _ in range(steps):
            q += (2 + (g(p) - g(inner)) / q) * inner / steps
            p += inner / steps
            if q <= 0:
                return True
        return False

    low, high = 1.0, 3e6
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (low, middle) if reaches(middle) else (middle, high)
    return low


def numbers(job: Any) -> dict[str, float]:
    """Give the numbers that decide over a job."""
    face, face_e, glue, liner, liner_e, k1, k2, shrinkage, hot_limit, relaxes = STOCK[job.stock]
    caliper, stiffness = face + glue + liner, face * face_e + liner * liner_e
    width, repeat = job.width / 1e3, job.teeth * 3.175e-3
    core = BORE[job.press_core] / 1e3 + 0.016
    start = job.pull * (0.8 if job.brake_alone else 1)
    parent = job.parent_diameter / 1e3
    left = math.sqrt(max(parent**2 - 4 * caliper * job.length / math.pi, core**2))
    unwind = start * (parent / left if job.brake_alone else 1)
    printing = 1.02 * job.pull
    hardest = printing * (BENT if job.line == "bar" else 1)
    bore, wall, labels, _ = SHEETS["CORES"][job.customer]
    label = repeat / job.around - 3.2e-3
    finished = math.sqrt(((BORE[bore] + 2 * wall) / 1e3) ** 2 + 4 * caliper * labels * repeat / job.around / math.pi)
    # a dryer's air is the most that the web can reach; a chill roll takes three quarters of the warmth off again
    room = 21.1
    air = (48 if job.film else 75) if job.brake_alone else room + heating(job)
    at_die = room + (air - room) * (0.25 if job.line == "air" and job.film else 1 if job.brake_alone else 0.25)
    stretch = printing / stiffness + 17e-6 * max(at_die - 23, 0)
    shrunk = shrinkage * max(air - 23, 0) / (hot_limit - 23)
    return {
        "unwind N/m": unwind,
        "unwind N": unwind * width,
        "zone N/m": hardest,
        "rewind N/m": 1.05 * job.pull,
        "strain %": 100 * hardest / stiffness,
        "drift um": 1e6 * (hardest - printing) / stiffness * repeat,
        "drying": (air - room) / ((45 if job.film else 68) - room) if job.brake_alone else drying(job),
        "creep um": 1e6 * (stretch * relaxes + shrunk) * label if job.film else 0.0,
        "plateau kPa": plateau(1.05 * job.pull, caliper, stiffness / caliper, k1, k2) / 1e3,
        "cut um": 1e6 * 11.5e-6 * 6 * repeat / 2 / math.pi + 4 - 1,
        "parent m": math.pi * (parent**2 - core**2) / 4 / caliper - job.length,
        "finished mm": 1e3 * finished,
        "bore mm": BORE[bore],
    }


def heating(job: Any) -> float:
    """Give the web's rise under a lamp in K: 6 % of its power, 150 J/(m2 K) as the least of these laminates."""
    watts = 14000 * 0.57 if job.line == "mercury" else 3300
    return 0.06 * watts / (job.speed / 60 * 120)


def drying(job: Any) -> float:
    """Give a lamp's setting over what cures."""
    return 57 / 52 if job.line == "mercury" else 33 / 30


def wrong(job: Any, found: dict[str, float]) -> list[str]:
    """Name what lies outside the handbook's bands."""
    most = FILM_MOST if job.film else PAPER_MOST
    bands = {
        "unwind N/m": (35.0, most),
        "unwind N": (9.0, 400.0),
        "zone N/m": (35.0, most),
        "rewind N/m": (88.0, most),
        "strain %": (0.0, 0.3 if job.film else 0.4),
        "drift um": (0.0, 300.0),
        "drying": (1.0, 1.15),
        "creep um": (0.0, 100.0),
        "plateau kPa": (5.0, 690.0),
        "cut um": (0.0, 9.0),
        "parent m": (0.0, math.inf),
        "finished mm": (0.0, float(LARGEST[job.customer])),
        "bore mm": (152.4 if job.film and STOCK[job.stock][3] <= 25e-6 else 25.4, 152.4),
    }
    return [name for name, (least, most) in bands.items() if not least <= found[name] <= most]


def table() -> str:
    """Give the table of all jobs."""
    rows = []
    for job in SHEETS["jobs"]():
        found = numbers(job)
        if not rows:
            rows.append("job  " + " ".join(f"{name:>11}" for name in found) + "  outside")
        shown = " ".join(f"{value:11.4g}" for value in found.values())
        rows.append(f"{job.job:4} {shown}  {', '.join(wrong(job, found)) or 'none'}")
    return "\n".join(rows) + "\n"


if __name__ == "__main__":
    print(table(), end="")
