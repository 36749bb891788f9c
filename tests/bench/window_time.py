"""What the windows of the example jobs cost: all of a job, the dearest one, and the maps of its pairs.

Targets: all windows of a job under 1 s, one under 100 ms. Times are of the processor, once the sheet is read.

    python tests/bench/window_time.py
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import process_time

sys.path.insert(0, str(Path(__file__).parents[1] / "windows"))
from benches import EXAMPLES, ready

from filmcheck.windows.window import pair_map, pairs, window_of


def cost(work: Callable[..., object], *given: object) -> float:
    """Give the seconds of processor time that some work takes."""
    start = process_time()
    work(*given)
    return process_time() - start


def main() -> None:
    """Measure every example job, and give the dearest."""
    whole, single = [], []
    for path in sorted((EXAMPLES / "jobs").rglob("*.yaml")):
        made = ready(path)
        each = {at.address: cost(window_of, made.bench, at, made.points) for at in made.points}
        maps = [cost(pair_map, made.bench, *pair) for pair in pairs(made.points)]
        dearest = max(each, key=lambda address: each[address])
        whole.append(sum(each.values()))
        single.append(each[dearest])
        print(
            f"{path.stem[:7]}: {len(each)} windows {whole[-1] * 1e3:.0f} ms, {dearest} {single[-1] * 1e3:.0f} ms,",
            end="",
        )
        print(f" {len(maps)} maps {sum(maps) * 1e3:.0f} ms")
    print(f"the most: all windows of a job {max(whole):.2f} s, one window {max(single) * 1e3:.0f} ms")


if __name__ == "__main__":
    main()
