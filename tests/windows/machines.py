"""What brakes, presses, machines and gears can do, read from the registers without filmcheck."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

FORCES = {"N": 1.0, "lbf": 4.4482216152605, "kgf": 9.80665}
PER_WIDTH = {"lbf/in": 4.4482216152605 / 0.0254, "N/m": 1.0, "N/mm": 1000.0, "N/cm": 100.0}
SPEEDS = {"m/min": 1.0, "ft/min": 0.3048, "m/s": 60.0}
LENGTHS = {"mm": 1.0, "in": 25.4, "cm": 10.0, "m": 1000.0}
SMALL = 1 + 1e-9


def _read(home: Path, name: str) -> Any:
    return YAML(typ="safe").load((home / "registers" / f"{name}.yaml").read_text(encoding="utf-8"))


def _ends(text: str, units: dict[str, float], width: float = 1.0) -> tuple[float, float]:
    """Give both ends of '15 to 400 N' or '46 N'; a tension by width counts over the width, in m."""
    numbers = [float(one) for one in re.findall(r"-?\d+(?:\.\d+)?(?:e-?\d+)?", text.replace(text.split()[-1], ""))]
    unit = text.split()[-1]
    factor = PER_WIDTH[unit] * width if unit in PER_WIDTH else units[unit]
    return min(numbers) * factor, max(numbers) * factor


class Machines:
    """The press, the finishing machine and the tools of one job."""

    def __init__(self, home: Path, names: dict[str, str], width: str) -> None:
        """Look the names of a job up."""
        self.press = _read(home, "presses")[names["press"]]
        self.finisher = _read(home, "finishing").get(names.get("finishing.machine", ""), {})
        self.tools = _read(home, "tooling")
        self.width = _ends(width, LENGTHS)[0] / 1000
        self.die = self.tools["dies"].get(names.get("tooling.die", ""))

    def cannot(self, address: str, text: str) -> Iterator[str]:
        """Say what stands against a value that is advised."""
        limits = dict(self._limits(address))
        for what, (bounds, units) in limits.items():
            least, most = _ends(bounds, units)
            low, high = _ends(text, units, self.width)
            if not (("to" not in bounds or least <= low * SMALL) and high <= most * SMALL):
                yield f"{address} at {text}: {what} {bounds}"
        laws = {"rewind.taper_law": self._rewind().get("taper"), "finishing.taper_law": self.finisher.get("taper")}
        if address in laws and laws[address] not in (text, "any", None):
            yield f"{address} at {text}: the machine tapers {laws[address]}"
        if address.startswith("tooling.") and address != "tooling.anvil":
            yield from self._gears(address, text)

    def _limits(self, address: str) -> Iterator[tuple[str, tuple[str, dict[str, float]]]]:
        stations = [next(iter(one.items())) for one in self.press["stations"]]
        for kind, station in stations:
            named = f"{kind} {station.get('name', station.get('unit', ''))}".strip()
            if address == "unwind.tension" and kind == "unwind" and "brake_range" in station:
                yield "the brake holds", (station["brake_range"], FORCES)
            if address == f"{named}.tension" or (address == "rewind.start_tension" and kind == "rewind"):
                yield "the station holds", (station.get("tension_range", self.press["tension_range"]), FORCES)
            if address == f"{named}.setting" and "maximum" in station:
                unit = str(station["maximum"]).split()[-1]
                yield "it reaches", (station["maximum"], {unit: 1.0})
        if address == "web.speed":
            yield "the press runs", (self.press["speed"], SPEEDS)
        if address == "web.width":
            yield "the press takes", (self.press["width"], LENGTHS)
        if address in ("finishing.start_tension", "finishing.unwind_tension") and "tension_range" in self.finisher:
            yield "the machine holds", (self.finisher["tension_range"], FORCES)
        if address == "finishing.speed" and "speed" in self.finisher:
            yield "the machine runs", (self.finisher["speed"], SPEEDS)

    def _rewind(self) -> dict[str, Any]:
        return next((one["rewind"] for one in self.press["stations"] if "rewind" in one), {})

    def _gears(self, address: str, text: str) -> Iterator[str]:
        sections = {"die": "dies", "magnetic_cylinder": "magnetic_cylinders", "print_cylinder": "print_cylinders"}
        entry = self.tools[sections[address.partition(".")[2]]].get(text)
        if entry is None:
            yield f"{text} is not in the register"
        elif self.die is not None and address == "tooling.magnetic_cylinder" and _round(entry) != _round(self.die):
            yield f"{text} has {entry['teeth']} teeth, the die {self.die['teeth']}"


def _round(tool: dict[str, Any]) -> Fraction:
    """Give the circumference in mm: teeth by circular pitch (1 in is 25.4 mm); pi times the module is left out."""
    pitch = str(tool.get("pitch", tool.get("module", "1 mm"))).split()
    return tool["teeth"] * Fraction(pitch[0]) * Fraction(str(LENGTHS[pitch[1]]))
