"""Makes a plant in which every text that a stranger can write is hostile: ``python hostile_plant.py FOLDER``."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

from filmcheck.reading.shipped import shipped_folder

WORDS = r"::error file=x::y##vso[task.setvariable variable=a]b ##[command]c <script>alert(1)</script> %0A {0}"
STEERED = r" [a](x:y) ` \u202e\u009b\e[31m\a"
NAMES = ("::error::x", "a%20b#c?d", "x;y&z", "[a](b)", "a\u202eb", "\x1b[31mx")


def make(folder: Path) -> None:
    """Make the plant in a folder that is not yet there."""
    shutil.copytree(shipped_folder("rules") / "proving", folder)
    sheet = (folder / "sheets/film-label.yaml").read_text("utf-8")
    words = f'"{WORDS}{STEERED}"'
    lines = [f"title: {words}" if line.startswith("title:") else line for line in sheet.splitlines()]
    lines += [f"deviations: [{{rule: {words}, reason: {words}, approved_by: {words}}}]", f"{words}: {words}"]
    for name in NAMES:
        (folder / "sheets" / f"{name}.yaml").write_text("\n".join(lines) + "\n", "utf-8")


if __name__ == "__main__":
    make(Path(sys.argv[1]))
