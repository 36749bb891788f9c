"""Ranges on a sheet: figures keep every point within them, rules call them borderline, units change no verdict."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import cache, lru_cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from filmcheck.figures.catalogue import CATALOGUE
from filmcheck.figures.figure_lines import figure_lines
from filmcheck.figures.figures import Figures
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import Plant, load_plant, type_text
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.finding import Finding
from filmcheck.records.value import Value
from filmcheck.run import Options, lint

TODAY = date(2026, 11, 25)
PROVING = shipped_folder("rules") / "proving"
SHEET = "sheets/film-label.yaml"

SPREADS = (  # file, text, its number, how far it is uncertain
    ("sheet", "tension: 46 N\n      control", "46 N", "2 N"),
    ("sheet", "{width: 330 mm", "330 mm", "1 mm"),
    ("sheet", "speed: 45 m/min", "45 m/min", "3 m/min"),
    ("sheet", "around: 98.4 mm", "98.4 mm", "0.1 mm"),
    ("sheet", "infeed, tension: 46 N", "46 N", "3 N"),
    ("sheet", "unit: 1, setting: 58 %", "58 %", "2 %"),
    ("sheet", "warm_up: 8 K", "8 K", "3 K"),
    ("sheet", "diameter: 900 mm", "900 mm", "5 mm"),
    ("sheet", "air: {temperature: 22 degC", "22 degC", "3 K"),
    ("stocks", "caliper: 50 µm", "50 µm", "2 µm"),
    ("stocks", "    caliper: 23 µm", "23 µm", "1 µm"),
    ("stocks", "    modulus: 4.5 GPa", "4.5 GPa", "0.3 GPa"),
    ("stocks", "    yield: 100 MPa", "100 MPa", "10 MPa"),
    ("tooling", "    radius: 48.5 mm", "48.5 mm", "0.2 mm"),
    ("tooling", "    run_out: 1 µm", "1 µm", "0.5 µm"),
)
BRAKE_ALONE = ("control: closed loop", "control: brake alone")
NIP, PRINT = "  - nip: {name: infeed, tension: 46 N}\n", "  - print: {unit: 1, ink: uv flexo}\n"
NO_NIP = (NIP, "")
NIP_BETWEEN = (NIP + PRINT, PRINT + NIP)
PATHS = ((), (BRAKE_ALONE,), (NO_NIP,), (NIP_BETWEEN,), (BRAKE_ALONE, NIP_BETWEEN))


@lru_cache(maxsize=1)
def _plant() -> tuple[Plant, dict[str, str]]:
    names = ("stocks", "tooling")
    texts = {name: (PROVING / "registers" / f"{name}.yaml").read_text(encoding="utf-8") for name in names}
    return load_plant(PROVING / "plant.yaml"), texts | {"sheet": (PROVING / SHEET).read_text(encoding="utf-8")}


def _figures(write: Callable[[int, str, str], str], *edits: tuple[str, str]) -> Figures:
    """Give the figures of the sound job with each spread datum written by a function of its number."""
    plant, texts = _plant()
    texts = dict(texts)
    for old, new in edits:
        assert texts["sheet"].count(old) == 1, old
        texts["sheet"] = texts["sheet"].replace(old, new)
    for number, (file, old, value, spread) in enumerate(SPREADS):
        if old in texts[file]:  # an edit may have taken it out
            texts[file] = texts[file].replace(old, old.replace(value, write(number, value, spread)), 1)
        else:
            assert edits, old
    registers = {name: type_text(texts[name], name, name) for name in ("stocks", "tooling")}
    sheet = type_text(texts["sheet"], "sheet", "job-sheet")
    assert [fault for read in (sheet, *registers.values()) for fault in read.faults] == []
    records = {name: read.record for name, read in registers.items()}
    job, faults = resolve(sheet.record, "sheet", replace(plant, registers={**plant.registers, **records}))
    assert faults == ()
    return Figures(job, TODAY)


def _known(figures: Figures) -> dict[tuple[str, str], tuple[float, float]]:
    """Give the ends of every number that is known, but for those of the wound-roll model, which take long."""
    found = {}
    for part in sorted({name.partition(".")[0] for name in CATALOGUE} - {"wound_roll"}):
        for line in figure_lines(figures, {}, f"{part}."):
            amount = line.amount
            if amount is not None and isinstance(amount.high, (int, float)) and not line.name.startswith("wound_roll"):
                found[line.name, line.of] = float(amount.low), float(amount.high)
    return found


@lru_cache(maxsize=len(PATHS))
def _spread(*edits: tuple[str, str]) -> dict[tuple[str, str], tuple[float, float]]:
    return _known(_figures(lambda number, value, spread: f"{value} ± {spread}", *edits))


@pytest.mark.sample(5)
@pytest.mark.parametrize("edits", PATHS)
def test_a_spread_sheet_has_spread_figures(edits: tuple[tuple[str, str], ...]) -> None:
    ranges = _spread(*edits)
    wide = {name for (name, _), (low, high) in ranges.items() if high > low}
    assert {"unwind.line_tension", "laminate.stiffness", "station.web_temperature", "zone.stretch"} <= wide
    assert "layout.lane_width" not in wide


@pytest.mark.slow
@pytest.mark.parametrize("edits", PATHS)
@settings(max_examples=10, deadline=None, derandomize=True)
@given(
    shares=st.lists(
        st.one_of(st.sampled_from([-1.0, 0.0, 1.0]), st.floats(-1, 1)), min_size=len(SPREADS), max_size=len(SPREADS)
    ),
)
def test_every_point_of_a_range_gives_figures_within_their_ranges(
    shares: list[float], edits: tuple[tuple[str, str], ...]
) -> None:
    def point(number: int, value: str, spread: str) -> str:
        middle, unit = value.split(" ", 1)
        return f"{float(middle) + shares[number] * float(spread.split(' ')[0])!r} {unit}"

    ranges = _spread(*edits)
    outside = {}
    for name, (value, _) in _known(_figures(point, *edits)).items():
        low, high = ranges[name]
        slack = 1e-9 * max(abs(low), abs(high), 1e-9)
        if not low - slack <= value <= high + slack:
            outside[name] = (value, (low, high))
    assert outside == {}


def test_a_range_of_the_winding_tension_spreads_the_pressure_in_the_roll() -> None:
    def pressure(tension: str) -> Value:
        old = "core_wall: 8 mm, start_tension: 0.8 lbf/in"
        figures = _figures(lambda number, value, spread: value, (old, old.replace("0.8 lbf/in", tension)))
        found = figures("its.core_pressure", figures.things("press roll")[0])
        assert isinstance(found, Value)
        return found

    spread, low, high = (pressure(text) for text in ("0.8 lbf/in ± 0.05 lbf/in", "0.75 lbf/in", "0.85 lbf/in"))
    assert (spread.low, spread.high) == pytest.approx((low.low, high.high))
    assert low.low < high.low
    assert low.high < high.high


# --- verdicts


def _linted(folder: Path, *edits: tuple[str, str], write: Callable[[str], str] = str) -> list[Finding]:
    """Lint the sound job with some texts replaced, and all files written anew by a function."""
    shutil.copytree(PROVING, folder, dirs_exist_ok=True)
    sheet = folder / SHEET
    text = sheet.read_text(encoding="utf-8")
    for old, new in edits:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        text = text.replace(old, new)
    sheet.write_text(text, encoding="utf-8")
    for path in (sheet, *(folder / "registers").glob("*.yaml")):
        path.write_text(write(path.read_text(encoding="utf-8")), encoding="utf-8")
    report = lint([sheet], Options(today=TODAY, passes=True))
    assert report.troubles == ()
    return list(report.findings)


UNWIND = "tension: 46 N\n      control"


@pytest.mark.parametrize(
    ("tension", "kind"),
    [
        # 1.0 lbf/in is 175.13 N/m, on 330 mm 57.79 N.
        ("54 ± 2 N", "pass"),
        ("58 ± 2 N", "review"),
        ("62 ± 2 N", "fail"),
        ("0.9 to 1.0 lbf/in", "pass"),
        ("0.99 to 1.01 lbf/in", "review"),
    ],
)
def test_a_range_across_a_limit_is_borderline(tmp_path: Path, tension: str, kind: str) -> None:
    findings = _linted(tmp_path, (UNWIND, f"tension: {tension}\n      control"))
    (found,) = [finding for finding in findings if finding.rule == "unwind-tension-high"]
    assert found.kind == kind
    assert found.level == ("error" if kind == "fail" else "none")


def test_a_borderline_finding_tells_both_numbers(tmp_path: Path) -> None:
    findings = _linted(tmp_path, (UNWIND, "tension: 58 ± 2 N\n      control"))
    (found,) = [finding for finding in findings if finding.rule == "unwind-tension-high"]
    # 56 N and 60 N on 330 mm: 169.7 and 181.8 N/m, 0.969 and 1.038 lbf/in.
    assert re.search(r"pulls 0\.969\d* to 1\.038? lbf/in", found.says), found.says
    assert any("56 to 60 N / 330 mm" in line for line in found.arithmetic)
    assert any(re.search(r"169\.7 to 181\.8 N/m", line) for line in found.arithmetic), found.arithmetic


# --- units

_UNITS = {  # exact by definition: 1 in = 25.4 mm, 1 lbf = 4.4482216152605 N
    "mm": ("in", Fraction(10, 254)),
    "m": ("ft", Fraction(10000, 3048)),
    "µm": ("mil", Fraction(10, 254)),
    "m/min": ("ft/min", Fraction(10000, 3048)),
    "N": ("lbf", 1 / Fraction("4.4482216152605")),
    "kN": ("lbf", 1000 / Fraction("4.4482216152605")),
    "GPa": ("psi", 10**9 * Fraction("0.0254") ** 2 / Fraction("4.4482216152605")),
    "MPa": ("psi", 10**6 * Fraction("0.0254") ** 2 / Fraction("4.4482216152605")),
    "kPa": ("psi", 10**3 * Fraction("0.0254") ** 2 / Fraction("4.4482216152605")),
}
_METRIC = {
    "in": ("mm", Fraction("25.4")),
    "lbf/in": ("N/m", Fraction("4.4482216152605") / Fraction("0.0254")),
    "h": ("min", Fraction(60)),
    "%": ("ppm", Fraction(10000)),
}
_WRITTEN = re.compile(r"(?<=[:\[] )(\d+(?:\.\d+)?(?:/\d+)?)( to (\d+(?:\.\d+)?))? ([^\s,{}\[\]]+)(?=[,}\n])")


def _in_other_units(table: dict[str, tuple[str, Fraction]]) -> Callable[[str], str]:
    def one(found: re.Match[str]) -> str:
        if found[4] not in table:
            return found[0]
        unit, size = table[found[4]]
        ends = [_exact(Fraction(end) * size) for end in (found[1], found[3]) if end]
        return f"{' to '.join(ends)} {unit}"

    return lambda text: _WRITTEN.sub(one, text)


def _exact(amount: Fraction) -> str:
    """Write a number without rounding: as a fraction where it must."""
    return str(amount.numerator) if amount.denominator == 1 else f"{amount.numerator}/{amount.denominator}"


JOBS: dict[str, tuple[tuple[str, str], ...]] = {
    "sound": (),
    "unwind at the limit": ((UNWIND, "tension: 1.0 lbf/in\n      control"),),
    "unwind too hard": ((UNWIND, "tension: 90 N\n      control"),),
    "brake alone": (BRAKE_ALONE,),
    "small cores": (("rewind: {core: 6 in,", "rewind: {core: 3 in,"), ("  core: 6 in\n", "  core: 3 in\n")),
    "label repeat off": (("gap: {around: 3.2 mm", "gap: {around: 3.3 mm"),),
    "web too narrow": (("web: {width: 330 mm", "web: {width: 321 mm"),),
    "short sample": (("sample: 620 mm", "sample: 600 mm"),),
    "sample as short as may be": (("sample: 620 mm", "sample: 609.6 mm"),),
    "slow and hot": (("speed: 45 m/min", "speed: 3 m/min"),),
    "finished rolls wound hard": (("  start_tension: 0.7 lbf/in", "  start_tension: 1.2 lbf/in"),),
}


WITHOUT_FAULT = ("sound", "unwind at the limit", "sample as short as may be")


@pytest.fixture(scope="module")
def as_written(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], list[tuple[str, str, str, str]]]:
    """Give the function that judges a job as it is written, each once."""
    room = tmp_path_factory.mktemp("written")
    return cache(lambda job: _verdicts(_linted(room / job, *JOBS[job])))


@pytest.mark.sample(4)
@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("table", [_UNITS, _UNITS | _METRIC], ids=["inch", "turned round"])
def test_units_of_the_sheet_change_no_verdict(
    as_written: Callable[[str], list[tuple[str, str, str, str]]],
    tmp_path: Path,
    job: str,
    table: dict[str, tuple[str, Fraction]],
) -> None:
    verdicts = as_written(job)
    assert _verdicts(_linted(tmp_path / "two", *JOBS[job], write=_in_other_units(table))) == verdicts
    faults = [rule for rule, kind, _, _ in verdicts if kind == "fail"]
    assert bool(faults) is (job not in WITHOUT_FAULT), faults


def _verdicts(findings: list[Finding]) -> list[tuple[str, str, str, str]]:
    """Give what was found and where; what is found in a register, without the folder of the plant."""
    plain = re.compile(r"^.*/(?=registers/)")
    return sorted((one.rule, one.kind, one.level, plain.sub("", one.address)) for one in findings)


def test_the_turned_sheet_really_is_in_other_units(tmp_path: Path) -> None:
    text = _in_other_units(_UNITS | _METRIC)((PROVING / SHEET).read_text(encoding="utf-8"))
    assert "width: 1650/127 in" in text
    assert "tension: 46 N" not in text
    assert "core: 762/5 mm" in text
    assert "start_tension: 0.8 lbf/in" not in text
