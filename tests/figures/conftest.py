"""Sheets read without filmcheck, the figures that filmcheck works out of them, and how the two are compared."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Mapping
from datetime import date
from fractions import Fraction
from math import isclose
from pathlib import Path
from typing import Any

import pint
import pytest
from ruamel.yaml import YAML

from filmcheck.figures.figures import Figures
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import load_plant, read_sheet
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.figure_line import FigureLine, FigureSheet
from filmcheck.running.figure_run import work_out

TODAY = date(2026, 11, 25)
SECOND = Path(__file__).parent / "second-plant" / "sheets" / "other.yaml"
REGISTERS = {
    "press": ("presses", ("press",), ()),
    "stock": ("stocks", ("stock",), ()),
    "customer": ("customers", ("customer",), ()),
    "finisher": ("finishing", ("finishing", "machine"), ()),
    "die": ("tooling", ("tooling", "die"), ("dies",)),
    "magnetic": ("tooling", ("tooling", "magnetic_cylinder"), ("magnetic_cylinders",)),
    "anvil": ("tooling", ("tooling", "anvil"), ("anvils",)),
    "print": ("tooling", ("tooling", "print_cylinder"), ("print_cylinders",)),
}

MODEL_FIGURES = frozenset(
    f"wound_roll.{name}"
    for name in (
        "core_pressure",
        "greatest_pressure",
        "body_pressure",
        "compression",
        "wrinkling_share",
        "big_core_pressure",
        "start_for_big_core",
        "core_grip_share",
        "slip_margin",
        "slip_radius",
        "torque_carried",
        "torque_asked",
    )
)
"""Figures that no closed formula gives; ``test_wound_rolls`` solves the model anew."""

_UNITS = pint.UnitRegistry()
_NUMBER = re.compile(r"(\d+(?:\.\d+)?(?:[eE]-?\d+)?(?:/\d+)?) ?(\D.*)")


class Raw:
    """A sheet and its registers as plain YAML; quantities become SI floats by pint."""

    def __init__(self, sheet: Path) -> None:
        yaml = YAML(typ="safe")
        registers = sheet.parent.parent / "registers"
        self.parts: dict[str, Any] = {"sheet": yaml.load(sheet)}
        for name, (register, link, section) in REGISTERS.items():
            entry = self.at("sheet", *link)
            found = yaml.load(registers / f"{register}.yaml")
            for key in (*section, entry):
                found = found.get(key, {}) if found is not None and key is not None else {}
            self.parts[name] = found

    def at(self, part: str, *keys: str | int) -> Any:
        """Give what stands at a path; None where nothing does."""
        here = self.parts[part]
        for key in keys:
            here = here.get(key) if isinstance(here, dict) else here[key]
            if here is None:
                return None
        return here

    def __call__(self, part: str, *keys: str | int) -> Any:
        """Give what stands at a path, a quantity in SI."""
        return si(self.at(part, *keys))

    def on_path(self, kind: str, nth: int = 1) -> dict[str, Any]:
        """Give the nth station of a kind on the path of the sheet, its quantities in SI."""
        return self._station(self.at("sheet", "path"), kind, nth)

    def fitted(self, kind: str, nth: int = 1) -> dict[str, Any]:
        """Give the nth station of a kind on the press, its quantities in SI."""
        return self._station(self.at("press", "stations"), kind, nth)

    def _station(self, listed: list[dict[str, Any]], kind: str, nth: int) -> dict[str, Any]:
        fields = [station[kind] for station in listed if kind in station][nth - 1]
        return {key: si(value) for key, value in fields.items()}


def si(value: Any) -> Any:
    """Turn a text that is a quantity into SI; ``a to b`` into both ends; a group by its members."""
    if isinstance(value, dict):
        return {key: si(inner) for key, inner in value.items()}
    if not isinstance(value, str):
        return value
    if " to " in value:
        low, high = value.split(" to ")
        return si(f"{low} {high.split(' ', 1)[1]}"), si(high)
    found = _NUMBER.fullmatch(value)
    if found is None:
        return value
    unit = found[2].replace("%", "percent")
    amount = _UNITS.Quantity(float(Fraction(found[1])), unit)
    if unit in ("degC", "degF"):
        return float(amount.to("K").magnitude)
    try:
        return float(amount.to_base_units().magnitude)
    except pint.UndefinedUnitError:
        return value


Told = dict[tuple[str, str], FigureLine]


def told(sheet: FigureSheet) -> Told:
    """Give the lines of a sheet by name and thing."""
    return {(line.name, line.of): line for line in sheet.figures}


def differences(sheet: FigureSheet, expected: Mapping[str, Any], *, only: frozenset[str] = frozenset()) -> list[str]:
    """List every figure that is not what was expected, that nobody expected, or that is not there.

    ``expected`` maps a figure's name to its value, or to the values of things by their label. A string that begins
    with ``lacks`` stands for a figure that cannot be told. A pair stands for a range.
    """
    want: dict[tuple[str, str], Any] = {}
    for name, value in expected.items():
        want.update({(name, of): each for of, each in (value if isinstance(value, dict) else {"": value}).items()})
    lines = {key: line for key, line in told(sheet).items() if (key[0] in only) or not only}
    wrong = [f"{name} of {of}: expected, but not worked out" for name, of in want.keys() - lines.keys()]
    for key, line in lines.items():
        if key[0] in MODEL_FIGURES and not only:
            continue
        if key not in want:
            thing = f" of {key[1]}" if key[1] else ""
            wrong.append(
                f"{key[0]}{thing}: has no value worked out by hand; add it where its family stands in this file"
            )
        elif not _agrees(line, want[key]):
            wrong.append(f"{key[0]} of {key[1]}: wanted {want[key]}, got {line.amount or line.missing}")
    return sorted(wrong)


def _agrees(line: FigureLine, want: Any) -> bool:
    if isinstance(want, str) and want.startswith("lacks "):
        return line.amount is None and want.removeprefix("lacks ") in {need.says for need in line.missing}
    if line.amount is None:
        return False
    ends = want if isinstance(want, tuple) else (want, want)
    return all(_same(got, end) for got, end in zip((line.amount.low, line.amount.high), ends, strict=True))


def _same(got: Any, want: Any) -> bool:
    if isinstance(want, (bool, str, date)) or isinstance(got, (bool, str, date)):
        return type(got) is type(want) and got == want
    return isclose(got, want, rel_tol=1e-6, abs_tol=1e-12)


@pytest.fixture(scope="session")
def sound() -> tuple[Raw, FigureSheet]:
    """Give the sound job that the rules are proved on, raw and worked out."""
    sheet = shipped_folder("rules") / "proving" / "sheets" / "film-label.yaml"
    return Raw(sheet), work_out(sheet, TODAY)


@pytest.fixture(scope="session")
def second() -> tuple[Raw, FigureSheet]:
    """Give the job of the second plant, raw and worked out."""
    return Raw(SECOND), work_out(SECOND, TODAY)


@pytest.fixture(scope="session")
def compare() -> Callable[..., list[str]]:
    """Give the comparison of figures with what was expected of them."""
    return differences


@pytest.fixture(scope="session")
def model_figures() -> frozenset[str]:
    """Give the names of the figures that come out of the wound-roll model."""
    return MODEL_FIGURES


@pytest.fixture
def changed(tmp_path: Path) -> Callable[..., Figures]:
    """Give the figures of the sound job with some texts of its sheet and registers put otherwise.

    Each change is a text that stands once in the whole plant, and what stands there instead.
    """

    def make(*changes: tuple[str, str]) -> Figures:
        folder = tmp_path / "plant"
        shutil.copytree(shipped_folder("rules") / "proving", folder, dirs_exist_ok=True)
        for old, new in changes:
            holding = [path for path in folder.rglob("*.yaml") if old in path.read_text(encoding="utf-8")]
            assert len(holding) == 1, f"{old!r} stands in {len(holding)} files"
            text = holding[0].read_text(encoding="utf-8")
            assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {holding[0].name}"
            holding[0].write_text(text.replace(old, new), encoding="utf-8")
        sheet = folder / "sheets" / "film-label.yaml"
        read = read_sheet(sheet, "job-sheet")
        job, faults = resolve(read.record, "film-label.yaml", load_plant(folder / "plant.yaml"))
        assert not read.faults
        assert not faults
        return Figures(job, TODAY)

    return make
