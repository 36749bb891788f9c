"""The property of advice over many more spoiled sheets: what is left of a fault, what is new, which edges are idle.

    python tests/windows/long_run.py 40 1

The first number is how many spoiled sheets with advice are made of each sound one, those of the corpus among them, the
second the seed.
"""

from __future__ import annotations

import runpy
import sys
import tempfile
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[2])]


def main() -> int:
    """Follow all advice, print what was seen, and give 1 where something does not hold."""
    from benches import ready
    from test_advice_holds import SOUND, Tally, follow

    each, seed = int(sys.argv[1]), int(sys.argv[2])
    tally, wrong = Tally([], Counter(), []), []
    with tempfile.TemporaryDirectory(prefix="advice-") as room:
        runpy.run_path(str(Path(__file__).parents[1] / "corpus/sound_sheets.py"))["make_plants"](Path(room))
        for number, path in enumerate([*SOUND, *sorted(Path(room).glob("*/jobs/*.yaml"))]):
            wrong += follow(ready(path), 1000 * seed + number, each, tally)
    advised = sum(tally.rules.values())
    print(f"{len(tally.sheets)} sheets with a fault, {advised} pieces of advice followed,")
    print(f"{len(tally.beyond)} steps beyond an edge, {len(wrong)} failures, {len(tally.rules)} rules:")
    print(", ".join(f"{rule} {times}" for rule, times in sorted(tally.rules.items())))
    for one in wrong:
        print(one)
    return bool(wrong)


if __name__ == "__main__":
    raise SystemExit(main())
