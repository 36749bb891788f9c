"""Units against printed NIST factors and the registry of pint, and the laws of showing."""

from __future__ import annotations

import math
import subprocess
import sys
from decimal import Decimal
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmcheck.units.quantity import (
    DIMENSIONS,
    Quantity,
    UnitError,
    UnitFault,
    convert,
    dimension_named,
    exponents,
    factor,
    parse_any,
    parse_quantity,
    show,
    show_apart,
    show_range,
)
from filmcheck.units.table import KNOWN, SCALES, UnitMeaning

REGISTRY: Any = pint.UnitRegistry()


def value(text: str | int | float, *dimensions: str) -> float:
    """Read a text that must be sound and exact."""
    found = parse_quantity(text, dimensions)
    assert isinstance(found, Quantity), found
    assert found.low == found.high
    return found.low


def fault(text: str | int | float, *dimensions: str) -> UnitFault:
    found = parse_quantity(text, dimensions)
    assert isinstance(found, UnitFault), found
    return found


# --- Outside values ---

NIST_B8 = [  # NIST SP 811 (2008), Appendix B.8: unit, factor as printed (seven digits, so good to 5e-7)
    ("in", "length", 2.54e-02),
    ("mil", "length", 2.54e-05),
    ("ft/min", "speed", 5.08e-03),
    ("lbf", "force", 4.448222),
    ("lbf/in", "line tension", 1.751268e02),
    ("lbf/ft", "line tension", 1.459390e01),
    ("psi", "pressure", 6.894757e03),
    ("lbf in", "torque", 1.129848e-01),
    ("lbf ft", "torque", 1.355818),
    ("ozf in", "torque", 7.061552e-03),
    ("kgf", "force", 9.80665),
]


@pytest.mark.parametrize(("unit", "dimension", "printed"), NIST_B8)
def test_nist_printed_factors(unit: str, dimension: str, printed: float) -> None:
    assert value(f"1 {unit}", dimension) == pytest.approx(printed, rel=5e-7)
    assert factor(unit, dimension) == pytest.approx(printed, rel=5e-7)


def test_nist_conversions_between_customary_units() -> None:
    """SP 811 B.8 combined: 1000 psi, film gauge as 0.01 mil, stress of 1 lbf/in on 0.92 mil, 300 ft/min."""
    assert value("1000 psi", "pressure") == pytest.approx(6.894757e6, rel=5e-7)
    assert value("92 gauge", "length") == value("0.92 mil", "length") == value("0.00092 in", "length") == 23.368e-6
    stress = value("1 lbf/in", "line tension") / value("92 gauge", "length")
    assert convert(stress, "psi") == pytest.approx(1086.96, rel=5e-6)
    assert stress == pytest.approx(7.49430e6, rel=1e-6)
    assert value("300 ft/min", "speed") == value("300 fpm", "speed") == 1.524


def test_temperatures_by_nist_formula() -> None:
    """SP 811 B.8: K = (t/°F + 459.67)/1.8; a difference has no offset."""
    assert value("68 °F", "temperature") == pytest.approx((68 + 459.67) / 1.8, rel=1e-15)
    assert value("-40 °F", "temperature") == value("-40 °C", "temperature") == 233.15
    assert value("18 °F", "temperature difference") == 10.0
    assert value("20 K", "temperature") == value("20 K", "temperature difference") == 20.0
    assert value("-5 degC", "temperature") == 268.15


IN_PINT = {  # words of the trade that pint lacks or takes for something else, in pint's words
    "gauge": "1e-5 inch",
    "mil": "thou",
    "mils": "thou",
    '"': "inch",
    "″": "inch",
    "'": "foot",
    "′": "foot",
    "pli": "force_pound/inch",
    "fpm": "foot/minute",
    "gsm": "gram/meter**2",
    "hr": "hour",
    "hrs": "hour",
    "Nm": "newton*meter",
    "hp": "550*foot*force_pound/second",
    "rpm": "1/minute",
    "sec": "second",
    "inches": "inch",
    "% RH": "percent",
    "‰": "permille",
    "megohm": "megaohm",
    "megohms": "megaohm",
    **dict.fromkeys(("°C", "degC", "℃", "deg C", "° C", "celsius", "Celsius"), "delta_degree_Celsius"),
    **dict.fromkeys(("°F", "degF", "℉", "deg F", "° F", "fahrenheit", "Fahrenheit"), "delta_degree_Fahrenheit"),
}
COUNTED = {"label", "labels", "tooth", "teeth", "pcs", "piece", "pieces"}


def in_pint(unit: str) -> Any:
    if unit in IN_PINT:
        return REGISTRY.Quantity(IN_PINT[unit])
    spelled = unit.replace("lb", "force_pound") if "lb/" in unit else unit
    spelled = spelled.replace("²", "**2").replace("³", "**3").replace("%", "percent")
    return REGISTRY.Quantity("*".join(spelled.replace("/25 mm", "/(25*mm)").replace("/50 mm", "/(50*mm)").split()))


@pytest.mark.parametrize("unit", [unit for unit in KNOWN if unit not in COUNTED])
def test_every_known_unit_against_pint(unit: str) -> None:
    """Factor and exponents of every unit of the table; the pound's reading as a force is tested apart."""
    reading = next(each for each in KNOWN[unit] if each.dimension != "temperature")
    base = in_pint(unit).to_base_units()
    powers = {name: power for name, power in base.unit_items() if name != "radian"}
    names = ("meter", "kilogram", "second", "kelvin", "ampere")
    assert float(reading.factor) == pytest.approx(float(base.magnitude), rel=1e-12)
    assert tuple(powers.pop(name, 0) for name in names) == exponents(reading.dimension)
    assert not powers


@pytest.mark.parametrize("unit", ["°C", "°F", "K", "degC", "degF"])
@pytest.mark.parametrize("number", [-20.0, 0.5, 180.0])
def test_absolute_temperatures_against_pint(unit: str, number: float) -> None:
    if unit == "K" and number < 0:
        assert fault(f"{number} K", "temperature").says.endswith("is below absolute zero")
        return
    ours = value(f"{number} {unit}", "temperature")
    assert ours == pytest.approx(REGISTRY.Quantity(number, unit).to("kelvin").magnitude, rel=1e-12)


@pytest.mark.parametrize(
    ("unit", "pints"),
    [
        ("furlong", "furlong"),
        ("kN/m", "kilonewton/meter"),
        ("dyn/cm", "dyne/centimeter"),
        ("kilonewton", "kilonewton"),
        ("joules", "joule"),
        ("arcminute", "arcminute"),
        ("yards", "yard"),
        ("micrometer", "micrometer"),
        ("lbf/furlong", "force_pound/furlong"),
        ("lbf/in/mil", "force_pound/inch/thou"),
    ],
)
def test_units_outside_the_table(unit: str, pints: str) -> None:
    found = parse_any(f"3 {unit}")
    assert isinstance(found, Quantity)
    assert found.low == pytest.approx(REGISTRY.Quantity(3, pints).to_base_units().magnitude, rel=1e-12)


@pytest.mark.parametrize(
    "unit",
    [
        "ct",
        "dpi",
        "jig",
        "gr",
        "px",
        "lbfs",
        "ozs",
        "Gb",
        "rankine",
        "decibelmilliwatt",
        "kpli",
        "mgauge",
        "pi",
        "minch",
    ],
)
def test_senses_foreign_to_the_trade_are_not_taken_from_pint(unit: str) -> None:
    assert fault(f"3 {unit}").kind == "unknown unit"


@pytest.mark.slow
def test_pint_is_not_imported_for_known_units() -> None:
    code = (
        "import sys\n"
        "from filmcheck.units.quantity import parse_any, show\n"
        "for text in ('0.8 lbf/in', '1 pli', '92 gauge', '3 MM', '3 Gauge', '3 kN/m', '3 pt', '5'):\n"
        "    parse_any(text)\n"
        "show(0.3, 'length')\n"
        "assert 'pint' not in sys.modules\n"
        "assert parse_any('1 furlong').dimension == 'length'\n"
        "assert 'pint' in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


# --- Showing ---

SHOWN = [  # SI value, dimension, unit, text
    (231.167422, "line tension", "lbf/in", "1.32 lbf/in"),
    (230.0, "line tension", "N/m", "230 N/m"),
    (0.1016, "length", "mm", "101.6 mm"),
    (0.1016, "length", "", "101.6 mm"),
    (23.368e-6, "length", "", "23.37 µm"),
    (4200, "length", "", "4200 m"),
    (0.001, "length", "", "1 mm"),
    (0.1524, "length", '"', '6"'),
    (1, "speed", "", "60 m/min"),
    (293.15, "temperature", "", "20 °C"),
    (268.15, "temperature", "°C", "-5 °C"),
    (10, "temperature difference", "°F", "18 °F"),
    (0.82, "ratio", "", "82 %"),
    (0.0166654, "ratio", "%", "1.667 %"),
    (12345, "count", "", "12345"),
    (1e6, "resistance", "", "1 MΩ"),
    (math.pi / 4, "angle", "", "45°"),
    (34155, "force", "N", "34160 N"),
    (0.00012, "force", "N", "0.00012 N"),
    (0.0000126, "force", "N", "1.26e-5 N"),
    (0.0, "force", "N", "0 N"),
    (22.2411080763025, "force", "lb", "5 lb"),
    (200, "line tension", "N/25 mm", "5 N/25 mm"),
    (math.inf, "force", "N", "inf N"),
]


@pytest.mark.parametrize(("si", "dimension", "unit", "text"), SHOWN)
def test_show(si: float, dimension: str, unit: str, text: str) -> None:
    assert show(si, dimension, unit) == text


def test_show_range_and_apart() -> None:
    assert show_range(48, 54, "force") == "48 to 54 N"
    assert show_range(48, 48.000001, "force") == "48 N"
    assert show_apart(175.12, 175.13, "line tension") == ("175.12 N/m", "175.13 N/m")
    assert show_apart(1, 2, "force", "N") == ("1 N", "2 N")
    assert show_apart(1, 1, "force", "N") == ("1 N", "1 N")


UNITS = [(unit, reading) for unit, readings in KNOWN.items() for reading in readings if reading.dimension != "count"]


@given(st.sampled_from(UNITS), st.floats(1e-3, 1e6))
def test_parse_undoes_show(pair: tuple[str, UnitMeaning], number: float) -> None:
    unit, reading = pair
    si = float((Decimal(repr(number)) + reading.offset) * reading.factor)
    for digits, tolerance in ((4, 5.01e-4), (15, 1e-12)):
        again = parse_quantity(show(si, reading.dimension, unit, digits), (reading.dimension,))
        assert isinstance(again, Quantity)
        assert convert(again.low, unit, reading.dimension) == pytest.approx(number, rel=tolerance, abs=1e-11)


@given(st.sampled_from(sorted({*DIMENSIONS} - {"count", "temperature"})), st.floats(1e-6, 1e6))
def test_parse_undoes_show_in_chosen_unit(dimension: str, si: float) -> None:
    assert value(show(si, dimension, digits=15), dimension) == pytest.approx(si, rel=1e-13)


@given(st.integers(0, 10**9), st.floats(1, 1e4))
def test_parse_undoes_show_of_counts_and_temperatures(count: int, kelvin: float) -> None:
    assert value(show(count, "count"), "count") == count
    assert value(show(kelvin, "temperature", digits=15), "temperature") == pytest.approx(kelvin, rel=1e-12)


@given(st.sampled_from(UNITS), st.floats(-1e6, 1e6))
def test_convert_undoes_factor(pair: tuple[str, UnitMeaning], number: float) -> None:
    unit, reading = pair
    if reading.offset:
        return
    assert convert(number * factor(unit, reading.dimension), unit, reading.dimension) == pytest.approx(
        number, rel=1e-12
    )


# --- The table and its names ---


def test_every_offered_unit_is_one_of_its_dimension() -> None:
    for name, dimension in DIMENSIONS.items():
        offered = [*dimension.units, *SCALES.get(name, ()), *filter(None, [dimension.unit])]
        assert [u for u in offered if name not in {reading.dimension for reading in KNOWN[u]}] == []
        assert not dimension.unit or factor(dimension.unit, name) == 1


def test_names_of_exponents() -> None:
    assert dimension_named((0, 1, -2, 0, 0)) == ("line tension", "areal energy")
    assert dimension_named(exponents("pressure")) == ("pressure",)
    assert dimension_named((7, 0, 0, 0, 0)) == ()


def test_unknown_names_raise_with_a_way_out() -> None:
    with pytest.raises(UnitError, match="unknown dimension 'lenght'\n  did you mean length\\?"):
        exponents("lenght")
    with pytest.raises(UnitError, match="unknown unit 'blork'"):
        factor("blork")
    with pytest.raises(UnitError, match="'N' is not a unit of length\n  expected: mm, in, µm"):
        convert(1, "N", "length")
