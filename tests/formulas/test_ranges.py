"""Every public formula refuses what lies outside its range, and says its units and its source."""

from __future__ import annotations

import doctest
import importlib
import inspect
import math
import pkgutil
import re
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from filmcheck import formulas

# The range checks themselves, and the wound-in pressure, which has tests of its own.
ELSEWHERE = ("valid_range", "wound_pressure")
MODULES = [
    importlib.import_module(f"filmcheck.formulas.{info.name}")
    for info in pkgutil.iter_modules(formulas.__path__)
    if not info.name.startswith(ELSEWHERE)
]
UNITS = r"N/m|N m|N\b|kg|Pa|rad|m/s|W/m|K\b|J\b|V\b|F\b|\bm\b|no unit"


def public_functions(module: ModuleType) -> list[Callable[..., Any]]:
    found = inspect.getmembers(module, inspect.isfunction)
    return [f for name, f in found if f.__module__ == module.__name__ and not name.startswith("_")]


FUNCTIONS = [function for module in MODULES for function in public_functions(module)]

# Values inside the range of every parameter of that name, so that one at a time can be spoiled.
INSIDE: dict[str, Any] = {
    "absorbed": 0.3,
    "angle": 1.5,
    "areal_heat_capacity": 150.0,
    "areal_mass": 0.1,
    "before": 140.0,
    "caliper": 18e-6,
    "compression": 5e5,
    "core_outside_diameter": 0.0922,
    "core_radius": 0.0461,
    "densities": [900.0, 1400.0],
    "drags": [0.5, 0.5],
    "curvature": 10.0,
    "draw": 0.0003,
    "entering_tension": 50.0,
    "expansion": 1e-5,
    "film": 20e-6,
    "friction": 0.25,
    "full_radius": 0.125,
    "gap_left": 3e-6,
    "hoop_modulus": 3.4e9,
    "humidity": 0.5,
    "inside_radius": 0.0381,
    "cold": 295.0,
    "face_stays": 0.1,
    "highest": 343.0,
    "hottest": 310.0,
    "label": 0.1,
    "liner_stays": 0.2,
    "shrunk": 0.0005,
    "label_repeat": 0.1016,
    "length": 1000.0,
    "line_tension": 140.0,
    "moduli": [2e9, 4.5e9],
    "modulus": 3e9,
    "outside_diameter": 0.25,
    "outside_radius": 0.0461,
    "poisson_ratio": 0.3,
    "power_per_width": 1e4,
    "pressure": 6e4,
    "radial_modulus": 1e6,
    "radius": 0.1,
    "setting": 0.6,
    "shrinkage": 0.001,
    "slant": 0.7,
    "specific_heats": [1800.0, 1200.0],
    "speed": 0.75,
    "start_tension": 52.0,
    "stiffness": 2e5,
    "stiffness_before": 3e5,
    "strain": 0.001,
    "strain_apart": 0.0005,
    "stress": 6e6,
    "taper": 0.3,
    "temperature": 297.0,
    "temperature_change": 20.0,
    "tension": 150.0,
    "thermal_strain": 0.0002,
    "thickness": 91e-6,
    "thicknesses": [50e-6, 23e-6],
    "time": 86400.0,
    "total_tension": 50.0,
    "viscosity": 1.8e-5,
    "web_acceleration": 0.5,
    "width": 0.33,
    "work": 8.0,
    "wrap": 3.0,
    "yield_stress": 1e8,
}
# Parameters that may be negative, for a web can shrink and a die cool.
SIGNED = {
    "expansion",
    "curvature",
    "strain",
    "strain_apart",
    "temperature_change",
    "thermal_strain",
}


def inside(function: Callable[..., Any]) -> dict[str, Any]:
    return {name: INSIDE[name] for name in inspect.signature(function).parameters}


def spoilt(function: Callable[..., Any], name: str, bad: float) -> dict[str, Any]:
    inputs = inside(function)
    inputs[name] = [inputs[name][0], bad] if isinstance(inputs[name], list) else bad
    return inputs


def words_of(name: str) -> str:
    """A list is named by one of its layers or bars, a lone value by its parameter."""
    if isinstance(INSIDE[name], list):
        return "of layer 2|of idler 2|^friction|^wrap"
    return "^" + name.replace("_", " ") + " is "


PARAMETERS = [(function, name) for function in FUNCTIONS for name in inspect.signature(function).parameters]


def case_name(value: object) -> str:
    return value if isinstance(value, str) else getattr(value, "__name__", str(value))


@pytest.mark.parametrize("function", FUNCTIONS, ids=case_name)
def test_accepts_values_inside_its_range(function: Callable[..., Any]) -> None:
    answer = function(**inside(function))
    assert all(math.isfinite(part) for part in (answer if isinstance(answer, tuple) else (answer,)))


@pytest.mark.parametrize(("function", "name"), PARAMETERS, ids=case_name)
@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_refuses_what_is_no_number(function: Callable[..., Any], name: str, bad: float) -> None:
    with pytest.raises(ValueError, match=words_of(name)):
        function(**spoilt(function, name, bad))


@pytest.mark.parametrize(("function", "name"), [pair for pair in PARAMETERS if pair[1] not in SIGNED], ids=case_name)
def test_refuses_negative_values(function: Callable[..., Any], name: str) -> None:
    with pytest.raises(ValueError, match=words_of(name)):
        function(**spoilt(function, name, -1.0))


OUTSIDE = [
    ("web_drag.capstan_ratio", {"friction": 5.1}, "friction is 5.1; it must be from 0 to 5"),
    ("web_drag.capstan_ratio", {"wrap": 26.0}, "wrap is 26 rad; it must be from 0 to 25.1327 rad"),
    ("laminate.laminate_stiffness", {"moduli": [2e9]}, "found 1 moduli, 2 thicknesses"),
    ("laminate.laminate_thickness", {"thicknesses": []}, "found 0 thicknesses"),
    ("laminate.areal_mass", {"densities": [900.0, 0.0]}, "density of layer 2 is 0 kg/m³; it must be above 0"),
    ("stretch.thermal_strain", {"shrinkage": 1.5}, "shrinkage is 1.5; it must be from 0 to 1"),
    ("heating.lamp_temperature_rise", {"setting": 60.0}, "setting is 60; it must be from 0 to 1"),
    ("heating.lamp_temperature_rise", {"absorbed": 1.01}, "absorbed is 1.01; it must be from 0 to 1"),
    ("stretch.creep_back_length", {"liner_stays": 1.5}, "liner stays is 1.5; it must be from 0 to 1"),
    ("stretch.shrinkage_by_heat", {"highest": 280.0}, "highest is 280 K; it must be above cold, 295 K"),
    ("taper.linear_end_tension", {"taper": 1.01}, "taper is 1.01; it must be from 0 to 1"),
    ("heating.lamp_temperature_rise", {"speed": 0.0}, "speed is 0 m/s; it must be above 0 m/s"),
    ("roll_geometry.roll_length", {"outside_diameter": 0.09}, "outside diameter is 0.09 m; it must be"),
    ("taper.linear_taper_tension", {"radius": 0.13}, "radius is 0.13 m; it must be from 0.0461 to 0.125 m"),
    ("taper.linear_taper_tension", {"taper": 30.0}, "taper is 30; it must be from 0 to 1"),
    ("taper.hyperbolic_taper_tension", {"radius": 0.04}, "radius is 0.04 m; it must be at least the"),
    ("core_tube.core_stiffness", {"inside_radius": 0.0461}, "inside radius is 0.0461 m; it must be below"),
    ("core_tube.core_stiffness", {"poisson_ratio": 0.6}, "poisson ratio is 0.6; it must be from 0 to 0.5"),
    ("span_strain.line_tension_in_span", {"draw": 0.06}, "draw is 0.06; it must be from -0.05 to 0.05"),
    ("web_drag.capstan_ratio", {"slant": 1.6}, "slant is 1.6 rad; it must be from 0 to 1.5708 rad"),
    ("peeling.stripping_force", {"angle": 0.1}, "angle is 0.1 rad; it must be from 0.174533 to 3.14159 rad"),
    ("dew.dew_point", {"humidity": 50.0}, "humidity is 50; it must be from 0 to 1"),
]  # fmt: skip


@pytest.mark.parametrize(("path", "change", "message"), OUTSIDE)
def test_message_names_value_and_range(path: str, change: dict[str, Any], message: str) -> None:
    module, name = path.split(".")
    function = getattr(importlib.import_module(f"filmcheck.formulas.{module}"), name)
    with pytest.raises(ValueError, match="^" + re.escape(message)):
        function(**{**inside(function), **change})


def stated(function: Callable[..., Any]) -> dict[str, tuple[str, str]]:
    """Give the symbol and the words of each parameter, as the docstring has them."""
    lines = re.findall(r"^(\w+): (?:([^\s,]+), )?(.*)", inspect.getdoc(function) or "", re.MULTILINE)
    return {name: (symbol, words) for name, symbol, words in lines if name in inspect.signature(function).parameters}


ENDS = [
    (function, name, *(float(end.replace("−", "-")) for end in ends.groups()))
    for function in FUNCTIONS
    for name, (_, words) in stated(function).items()
    if (ends := re.search(r", (−?\d+(?:\.\d+)?) to (−?\d+(?:\.\d+)?)(?![\dπ])", words))
]
ABOVE = [
    (function, name, other)
    for function in FUNCTIONS
    for name, (_, words) in stated(function).items()
    for other, (symbol, _) in stated(function).items()
    if symbol and re.search(rf"(above|below) {re.escape(symbol)}(?!\w)", words)
]


@pytest.mark.parametrize(("function", "name", "low", "high"), ENDS, ids=case_name)
def test_takes_both_ends_of_the_range_that_its_docstring_states_and_nothing_beyond(
    function: Callable[..., Any], name: str, low: float, high: float
) -> None:
    for end, beyond in ((low, low - 1e-6), (high, high + 1e-6)):
        function(**spoilt(function, name, end))
        with pytest.raises(ValueError, match=words_of(name)):
            function(**spoilt(function, name, beyond))


@pytest.mark.parametrize(("function", "name", "other"), ABOVE, ids=case_name)
def test_refuses_the_very_value_that_it_must_be_beyond(function: Callable[..., Any], name: str, other: str) -> None:
    with pytest.raises(ValueError, match=words_of(name)):
        function(**spoilt(function, name, INSIDE[other]))


def test_ranges_are_found_in_docstrings() -> None:
    assert len(ENDS) > 12
    assert {name for _, name, _ in ABOVE} >= {"highest", "full_radius", "inside_radius"}


@pytest.mark.parametrize("function", FUNCTIONS, ids=case_name)
def test_docstring_says_equation_units_range_source_and_example(function: Callable[..., Any]) -> None:
    text = inspect.getdoc(function) or ""
    for word in ("Equation: ", "Source: ", "Raises ValueError", ">>> "):
        assert word in text
    assert re.search(UNITS, text)
    explained = re.findall(r"^(\w+): .*", text, re.MULTILINE)
    assert set(inspect.signature(function).parameters) <= set(explained)


@pytest.mark.parametrize("module", MODULES, ids=case_name)
def test_doctests(module: ModuleType) -> None:
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0


@pytest.mark.parametrize("module", MODULES, ids=case_name)
def test_imports_nothing_but_math_typing_and_the_range_checks(module: ModuleType) -> None:
    imported = set(re.findall(r"^(?:from|import) (\S+)", inspect.getsource(module), re.MULTILINE))
    assert imported <= {"__future__", "math", "collections.abc", "filmcheck.formulas.valid_range"}


def test_every_function_has_a_check_case() -> None:
    table = Path(__file__).with_name("check_cases.yaml").read_text(encoding="utf-8")
    names = [f"{function.__module__.rpartition('.')[2]}.{function.__name__}" for function in FUNCTIONS]
    assert [name for name in names if f"- [{name}," not in table] == []
