"""What advice costs on a plant of which one sheet in twenty is spoiled, beside as many sound sheets.

Target: at most 1.5 times the time of the sound ones. Both are linted on one worker and without kept verdicts, in
turns, and the ratio is the median of the ratios of the rounds.

    python tests/bench/advice_time.py 1000 --rounds 3
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parent))
import sheets
from gate_time import cost, lint

SHARES = (0.0, 0.05)


def main() -> None:
    """Measure what the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("size", type=int, help="number of sheets")
    parser.add_argument("--rounds", type=int, default=3)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="advice-time-") as room:
        cache = Path(room) / "cache"
        cache.mkdir(mode=0o700)
        folders = [Path(room) / f"spoiled-{share:.0%}" for share in SHARES]
        for share, folder in zip(SHARES, folders, strict=True):
            sheets.SPOILED_SHARE = share
            sheets.make_plant(folder, options.size)
        cost(lint("."), folders[0], cache)  # keeps the packs
        rounds = [
            [cost(lint("--no-cache", "."), folder, cache).cpu for folder in folders] for _ in range(options.rounds)
        ]
        for share, column in zip(SHARES, zip(*rounds, strict=True), strict=True):
            print(f"{share:4.0%} spoiled: {median(column):.3f} s of CPU")
        ratio = median(spoiled / sound for sound, spoiled in rounds)
        print(f"{options.size} sheets, {options.rounds} rounds: {ratio:.2f} times the sound ones")


if __name__ == "__main__":
    main()
