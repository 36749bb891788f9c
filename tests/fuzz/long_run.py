"""The fuzz for as long as wanted: ``python tests/fuzz/long_run.py NUMBER SEED``. Prints what was found, by seed."""

from __future__ import annotations

import os
import random
import resource
import shutil
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from entries import Ground, try_one

from filmcheck.reading.shipped import shipped_folder

SHARES = (
    *(("reader",) * 900 + ("both",) * 200 + ("quantity",) * 500 + ("formula",) * 280 + ("table",) * 60),
    *(("judge",) * 40 + ("show",) * 6 + ("old_log",) * 8 + ("run",) * 4 + ("cache",) * 2),
)
MOST_SECONDS, MOST_BYTES = 2.0, 500_000_000


def main(number: int, seed: int) -> int:
    """Feed so many inputs from a seed on; give how many brought a fault."""
    os.environ["FILMCHECK_CACHE"] = ""
    found: Counter[str] = Counter()
    begin = time.monotonic()
    with tempfile.TemporaryDirectory() as room:
        plant = Path(room) / "plant"
        shutil.copytree(shipped_folder("rules") / "proving", plant)
        (plant / "sheets").rename(plant / "jobs")
        (plant / "jobs/film-label.yaml").rename(plant / "jobs/a.yaml")
        settings = plant / "plant.yaml"
        settings.write_text(settings.read_text("utf-8").replace("jobs: [sheets]", "jobs: [jobs]"), "utf-8")
        os.chdir(plant)
        ground = Ground(plant)
        for each in range(seed, seed + number):
            entry, one = SHARES[each % len(SHARES)], time.process_time()
            try:
                try_one(getattr(ground, entry), random.Random(each))  # noqa: S311  a seed, so that it comes again
            except Exception as error:
                says = f"{entry}: {type(error).__name__}: {str(error)[:80]}"
                found[says] += 1
                if found[says] == 1:
                    print(f"seed {each}: {says}", flush=True)
            if time.process_time() - one > MOST_SECONDS:
                found["slow"] += 1
                print(f"seed {each}: {entry} took {time.process_time() - one:.1f} s", flush=True)
        os.chdir("/")
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    print(
        f"{number} inputs in {time.monotonic() - begin:.0f} s, {most / 1e6:.0f} MB at the most, {found.total()} faults"
    )
    return found.total() + (most > MOST_BYTES)


if __name__ == "__main__":
    sys.exit(bool(main(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 0)))
