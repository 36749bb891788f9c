"""Compares the names in a wheel with the tracked files: ``python tests/packaging/wheel_names.py dist/*.whl``."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
HOMES = {"filmcheck": "filmcheck", "rules": "filmcheck/_shipped/rules", "schemas": "filmcheck/_shipped/schemas"}
"""Top folder of a tracked file that ships, and where a wheel has it."""


def tracked() -> list[str]:
    """Give the tracked files, relative to the repository, with forward slashes."""
    command = ["git", "ls-files", "-z"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, encoding="utf-8", check=True)
    return [name for name in done.stdout.split("\0") if name]


def wanted_names() -> set[str]:
    """Give the names that a wheel must hold beside its metadata."""
    parts = (name.partition("/") for name in tracked())
    return {f"{HOMES[top]}/{rest}" for top, _, rest in parts if top in HOMES}


def names_in(wheel: Path) -> set[str]:
    """Give the names that a wheel holds, without its metadata."""
    with zipfile.ZipFile(wheel) as archive:
        return {name for name in archive.namelist() if ".dist-info/" not in name}


def differences(wheel: Path) -> list[str]:
    """Say what a wheel lacks, and what it should not have."""
    there, wanted = names_in(wheel), wanted_names()
    lacking = [f"the wheel lacks {name}" for name in sorted(wanted - there)]
    return lacking + [f"the wheel has {name}, which is not tracked" for name in sorted(there - wanted)]


if __name__ == "__main__":
    found = [line for wheel in sys.argv[1:] for line in differences(Path(wheel))]
    print("\n".join(found) or f"{len(wanted_names())} files in the wheel, as tracked")
    sys.exit(1 if found or len(sys.argv) < 2 else 0)
