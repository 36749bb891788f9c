"""Time of `wound_pressure` in ms per roll, each roll solved anew; run it as a script."""

from __future__ import annotations

import math
import random
import sys
from time import perf_counter

from filmcheck.formulas.wound_pressure import wound_pressure

REPEATS = 30
N1 = {
    "core_radius": 0.0461,
    "roll_radius": 0.125,
    "start_stress": 6e6,
    "hoop_modulus": 4.5e9,
    "core_stiffness": 0.5e9,
    "stack_k1": 5e3,
    "stack_k2": 120.0,
}
N4 = {
    "core_radius": 0.05,
    "roll_radius": 0.5,
    "start_stress": 4e6,
    "hoop_modulus": 4e9,
    "core_stiffness": 5e9,
    "stack_k1": 10e3,
    "stack_k2": 30.0,
}


def random_roll(seed: int) -> dict[str, float]:
    """A label stock by seed; the stack data are invented."""
    rng = random.Random(seed)  # noqa: S311 - seeded on purpose

    def spread(low: float, high: float) -> float:
        return math.exp(rng.uniform(math.log(low), math.log(high)))

    return {
        "core_radius": 0.0381,
        "roll_radius": 0.0381 * spread(1.5, 8),
        "start_stress": spread(0.5e6, 8e6),
        "taper": rng.choice((0.0, rng.uniform(0, 0.5))),
        "hoop_modulus": rng.uniform(3e9, 6e9),
        "core_stiffness": spread(0.3e9, 30e9),
        "stack_k1": spread(2e3, 50e3),
        "stack_k2": spread(20, 200),
    }


def milliseconds(data: dict[str, float]) -> float:
    """Least time of some runs: the others were disturbed."""
    times = []
    for _ in range(REPEATS):
        start = perf_counter()
        wound_pressure(**data)
        times.append(perf_counter() - start)
    return 1e3 * min(times)


def main() -> None:
    """Print one line a roll, then the mean of the random ones."""
    start = perf_counter()
    wound_pressure(**N1)
    print(f"first roll of a process {1e3 * (perf_counter() - start):6.2f} ms (mesh tables included)")
    for name, data in (("N1", N1), ("N4", N4)):
        print(f"{name:23} {milliseconds(data):6.2f} ms")
    found = [milliseconds(random_roll(seed)) for seed in range(10)]
    for seed, time in enumerate(found):
        taper = f"taper {random_roll(seed)['taper']:.0%}"
        print(f"{f'random roll {seed}, {taper}':23} {time:6.2f} ms")
    print(f"{'mean of the random rolls':23} {sum(found) / len(found):6.2f} ms, Python {sys.version.split()[0]}")


if __name__ == "__main__":
    main()
