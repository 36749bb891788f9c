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
    "angular_acceleration": 1.0,
    "areal_heat_capacity": 150.0,
    "areal_mass": 0.1,
    "before": 140.0,
    "bore": 0.0762,
    "built_for_caliper": 30e-6,
    "caliper": 18e-6,
    "circular_pitch": 0.003175,
    "compression": 5e5,
    "core_mass": 0.7,
    "core_outside_diameter": 0.0922,
    "core_radius": 0.0461,
    "densities": [900.0, 1400.0],
    "diameter": 0.2,
    "die_repeat": 0.3048,
    "drags": [0.5, 0.5],
    "draw": 0.0003,
    "edge_trim": 0.005,
    "entering_tension": 50.0,
    "expansion": 1e-5,
    "film": 20e-6,
    "force": 2.64,
    "friction": 0.25,
    "full_radius": 0.125,
    "gap_across": 0.003,
    "gap_around": 0.0032,
    "gap_left": 3e-6,
    "growth": 1e-6,
    "hoop_modulus": 3.4e9,
    "humidity": 0.5,
    "inertia": 1.0,
    "inside_diameter": 0.1,
    "inside_radius": 0.0381,
    "cold": 295.0,
    "face_stays": 0.1,
    "highest": 343.0,
    "hottest": 310.0,
    "label": 0.1,
    "liner_stays": 0.2,
    "shrunk": 0.0005,
    "label_across": 0.06,
    "label_around": 0.0984,
    "label_repeat": 0.1016,
    "labels": 2500,
    "labels_around": 3,
    "lanes": 5,
    "length": 1000.0,
    "life": 1e6,
    "limit_tension": 60.0,
    "line_force": 4.0,
    "line_tension": 140.0,
    "line_tension_in": 140.0,
    "liner_caliper": 23e-6,
    "mass": 30.0,
    "module": 0.001,
    "moduli": [2e9, 4.5e9],
    "modulus": 3e9,
    "one_repeat": 0.3,
    "other_repeat": 0.3,
    "outside_diameter": 0.25,
    "outside_radius": 0.0461,
    "poisson_ratio": 0.3,
    "power_per_width": 1e4,
    "pressure": 6e4,
    "radial_modulus": 1e6,
    "radius": 0.1,
    "repeat": 0.3048,
    "repeats": 2.0,
    "revolutions_done": 1e5,
    "revolutions_planned": 1e4,
    "run_out": 1e-6,
    "setting": 0.6,
    "shrinkage": 0.001,
    "slant": 0.7,
    "specific_heats": [1800.0, 1200.0],
    "speed": 0.75,
    "speed_in": 1.0,
    "speed_out": 1.001,
    "start_diameter": 0.9,
    "start_tension": 52.0,
    "stiffness": 2e5,
    "stiffness_before": 3e5,
    "strain": 0.001,
    "strain_in": 0.001,
    "strength": 1e8,
    "stress": 6e6,
    "strips": 6,
    "taper": 0.3,
    "teeth": 96,
    "temperature": 297.0,
    "temperature_change": 20.0,
    "tension": 150.0,
    "thermal_strain": 0.0002,
    "thickness": 91e-6,
    "thickness_after": 91e-6,
    "thickness_before": 128e-6,
    "thicknesses": [50e-6, 23e-6],
    "time": 86400.0,
    "tolerance": 1e-4,
    "torque": 5.0,
    "torque_asked": 5.0,
    "torque_capacity": 20.0,
    "total_tension": 50.0,
    "viscosity": 1.8e-5,
    "wall": 0.008,
    "waste_length": 1.0,
    "wear": 1e-6,
    "web_acceleration": 0.5,
    "width": 0.33,
    "work": 8.0,
    "wrap": 3.0,
    "yield_stress": 1e8,
}
# Parameters that may be negative, for a web can shrink and a die cool.
SIGNED = {
    "expansion",
    "growth",
    "run_out",
    "strain",
    "strain_in",
    "temperature_change",
    "thermal_strain",
    "wear",
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
    ("tension.line_tension", {"width": 0.0}, "width is 0 m; it must be above 0 m"),
    ("tension.line_tension", {"total_tension": -3.0}, "total tension is -3 N; it must be 0 N or more"),
    ("web_drag.capstan_ratio", {"friction": 5.1}, "friction is 5.1; it must be from 0 to 5"),
    ("web_drag.capstan_ratio", {"wrap": 26.0}, "wrap is 26 rad; it must be from 0 to 25.1327 rad"),
    ("draw.strain_after_draw", {"strain_in": -1.0}, "strain in is -1; it must be above -1"),
    ("draw.tension_after_draw", {"speed_out": 0.99}, "line tension after the draw is -1860 N/m; it must"),
    ("laminate.laminate_stiffness", {"moduli": [2e9]}, "found 1 moduli, 2 thicknesses"),
    ("laminate.laminate_thickness", {"thicknesses": []}, "found 0 thicknesses"),
    ("laminate.areal_mass", {"densities": [900.0, 0.0]}, "density of layer 2 is 0 kg/m³; it must be above 0"),
    ("stretch.stretch_per_repeat", {"strain": 1.5}, "strain is 1.5; it must be from -1 to 1"),
    ("stretch.thermal_strain", {"shrinkage": 1.5}, "shrinkage is 1.5; it must be from 0 to 1"),
    ("heating.lamp_temperature_rise", {"setting": 60.0}, "setting is 60; it must be from 0 to 1"),
    ("heating.lamp_temperature_rise", {"absorbed": 1.01}, "absorbed is 1.01; it must be from 0 to 1"),
    ("stretch.creep_back_length", {"liner_stays": 1.5}, "liner stays is 1.5; it must be from 0 to 1"),
    ("stretch.shrinkage_by_heat", {"highest": 280.0}, "highest is 280 K; it must be above cold, 295 K"),
    ("taper.linear_end_tension", {"taper": 1.01}, "taper is 1.01; it must be from 0 to 1"),
    ("heating.lamp_temperature_rise", {"speed": 0.0}, "speed is 0 m/s; it must be above 0 m/s"),
    ("roll_geometry.roll_length", {"outside_diameter": 0.09}, "outside diameter is 0.09 m; it must be"),
    ("roll_geometry.roll_wraps", {"thickness": 0.0}, "thickness is 0 m; it must be above 0 m"),
    ("taper.linear_taper_tension", {"radius": 0.13}, "radius is 0.13 m; it must be from 0.0461 to 0.125 m"),
    ("taper.linear_taper_tension", {"taper": 30.0}, "taper is 30; it must be from 0 to 1"),
    ("taper.hyperbolic_taper_tension", {"radius": 0.04}, "radius is 0.04 m; it must be at least the"),
    ("taper.hyperbolic_end_tension", {"full_radius": 0.0461}, "full radius is 0.0461 m; it must be above"),
    ("slip.slip_margin", {"torque_asked": 0.0}, "torque asked is 0 N m; it must be above 0 N m"),
    ("core_tube.core_stiffness", {"inside_radius": 0.0461}, "inside radius is 0.0461 m; it must be below"),
    ("core_tube.core_stiffness", {"poisson_ratio": 0.6}, "poisson ratio is 0.6; it must be from 0 to 0.5"),
    ("repeat.repeat_by_module", {"teeth": 96.5}, "teeth is 96.5; it must be a whole number, 1 or more"),
    ("die.snap_sample_length", {"repeats": 0.5}, "repeats is 0.5; it must be from 1 to 100"),
    ("span_strain.line_tension_in_span", {"draw": 0.06}, "draw is 0.06; it must be from -0.05 to 0.05"),
    ("web_drag.capstan_ratio", {"slant": 1.6}, "slant is 1.6 rad; it must be from 0 to 1.5708 rad"),
    ("peeling.stripping_force", {"angle": 0.1}, "angle is 0.1 rad; it must be from 0.174533 to 3.14159 rad"),
    ("peeling.force_per_strip", {"strips": 0}, "strips is 0; it must be a whole number, 1 or more"),
    ("dew.dew_point", {"humidity": 50.0}, "humidity is 50; it must be from 0 to 1"),
    ("die.cut_depth_range", {"wear": -1e-6}, "wear is -1e-06 m; it must be 0 m or more"),
    ("layout.width_needed", {"lanes": 0}, "lanes is 0; it must be a whole number, 1 or more"),
    ("layout.labels_per_lane", {"waste_length": 1001.0}, "waste length is 1001 m; it must be at most"),
    ("roll_mass.roll_inertia", {"inside_diameter": 0.3}, "outside diameter is 0.25 m; it must be at least"),
]  # fmt: skip


@pytest.mark.parametrize(("path", "change", "message"), OUTSIDE)
def test_message_names_value_and_range(path: str, change: dict[str, Any], message: str) -> None:
    module, name = path.split(".")
    function = getattr(importlib.import_module(f"filmcheck.formulas.{module}"), name)
    with pytest.raises(ValueError, match="^" + re.escape(message)):
        function(**{**inside(function), **change})


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
