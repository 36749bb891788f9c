"""Prints the lowest versions that ``pyproject.toml`` declares, one requirement a line, for pip to install exactly."""

from __future__ import annotations

import sys
import tomllib
from pathlib import Path


def lowest(extras: list[str]) -> list[str]:
    """Turn each floor into the one version."""
    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [*project["dependencies"], *(line for extra in extras for line in project["optional-dependencies"][extra])]
    assert all(">=" in line for line in wanted), "a dependency without a floor"
    return [line.replace(">=", "==") for line in wanted]


print("\n".join(lowest(sys.argv[1:])))
