"""Texts as they stand on sheets: the sound ones with their values by hand, the faulty ones word for word."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmcheck.units.quantity import Quantity, UnitFault, parse_any, parse_quantity


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


# --- Sound texts ---

SOUND = [  # text, dimension, low and high in SI by hand
    ("52N", "force", 52, 52),
    ("23 µm", "length", 23e-6, 23e-6),
    ("23 μm", "length", 23e-6, 23e-6),
    ("23 um", "length", 23e-6, 23e-6),
    ("  23\u00a0µm ", "length", 23e-6, 23e-6),
    ("60 m/min", "speed", 1, 1),
    ("82 %", "ratio", 0.82, 0.82),
    ("50 % RH", "ratio", 0.5, 0.5),
    ("1 Mohm", "resistance", 1e6, 1e6),
    ("1 MΩ", "resistance", 1e6, 1e6),
    ("6 in", "length", 0.1524, 0.1524),
    ('6"', "length", 0.1524, 0.1524),
    ("6″", "length", 0.1524, 0.1524),
    ("10 ft", "length", 3.048, 3.048),
    ("10′", "length", 3.048, 3.048),
    ("1/8 in", "length", 0.003175, 0.003175),
    ("3 1/2 in", "length", 0.0889, 0.0889),
    (".5 in", "length", 0.0127, 0.0127),
    ("10 000 m", "length", 10000, 10000),
    ("1 234 567.5 mm", "length", 1234.5675, 1234.5675),
    ("1e3 mm", "length", 1, 1),
    ("160 W/cm", "power per length", 16000, 16000),
    ("2 h", "time", 7200, 7200),
    ("30 min", "time", 1800, 1800),
    ("32 gsm", "areal mass", 0.032, 0.032),
    ("32 g/m2", "areal mass", 0.032, 0.032),
    ("32 g/m^2", "areal mass", 0.032, 0.032),
    ("5 N/25 mm", "line tension", 200, 200),
    ("5N/25mm", "line tension", 200, 200),
    ("10 cN/50 mm", "line tension", 2, 2),
    ("17 ppm/K", "expansion", 17e-6, 17e-6),
    ("17e-6 1/K", "expansion", 17e-6, 17e-6),
    ("17e-6 /K", "expansion", 17e-6, 17e-6),
    ("17 µm/(m K)", "expansion", 17e-6, 17e-6),
    ("1.3 J/(g K)", "specific heat", 1300, 1300),
    ("1.3 J/g/K", "specific heat", 1300, 1300),
    ("0.8 mm/m", "ratio", 0.0008, 0.0008),
    ("2500", "count", 2500, 2500),
    ("1e50", "count", 1e50, 1e50),
    (2500, "count", 2500, 2500),
    ("10 000 labels", "count", 10000, 10000),
    ("2 to 5", "count", 2, 5),
    ("0 N", "force", 0, 0),
    ("-5 mm", "length", -0.005, -0.005),
    ("−5 mm", "length", -0.005, -0.005),
    ("48 to 54 N", "force", 48, 54),
    ("20 N to 400 N", "force", 20, 400),
    ("20 N to 0.4 kN", "force", 20, 400),
    ("50 ± 2 N", "force", 48, 52),
    ("50 +- 2 N", "force", 48, 52),
    ("50 +/- 2 N", "force", 48, 52),
    ("50 N ± 4 %", "force", 48, 52),
    ("-50 N ± 4 %", "force", -52, -48),
    ("1 in ± 1/16 in", "length", 0.0238125, 0.0269875),
    ("82 % ± 3 %", "ratio", 0.79, 0.85),
    ("20 ± 2 °C", "temperature", 291.15, 295.15),
    ("68 ± 18 °F", "temperature", 283.15, 303.15),
    ("20 celsius", "temperature", 293.15, 293.15),
    ("60 to 80 °C", "temperature", 333.15, 353.15),
    ("5 to 10 °C", "temperature difference", 5, 10),
]


@pytest.mark.parametrize(("text", "dimension", "low", "high"), SOUND)
def test_sound_texts(text: str | int, dimension: str, low: float, high: float) -> None:
    found = parse_quantity(text, (dimension,))
    assert isinstance(found, Quantity), found
    assert (found.low, found.high, found.dimension) == (low, high, dimension)
    assert found.text == str(text)


def test_unit_as_written_is_kept() -> None:
    found = parse_quantity("48 to 54 N", ("force",))
    assert isinstance(found, Quantity)
    assert (found.unit, found.text) == ("N", "48 to 54 N")
    other = parse_quantity("20 N to 0.4 kN", ("force",))
    assert isinstance(other, Quantity)
    assert other.unit == "N"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("25 µm", "0.025 mm"),
        ("1/8 in", "3.175 mm"),
        ("12 in", "1 ft"),
        ("6 in", "15.24 cm"),
        ("0.1 mm", "100 µm"),
    ],
)
def test_equal_sizes_are_equal_floats(one: str, other: str) -> None:
    assert value(one, "length") == value(other, "length")


def test_pounds_are_forces_where_a_force_is_asked() -> None:
    """NIST SP 811 B.8: the pound is 0.453 592 37 kg, the pound-force 4.448 221 615 260 5 N, both exact."""
    assert value("5 lb", "force") == 22.2411080763025
    assert value("5 lb", "mass", "force") == 2.26796185
    assert value("1 lb/in", "line tension") == value("1 lbs/in", "line tension") == value("1 pli", "line tension")
    assert value("1 lb/in", "mass per length") == pytest.approx(0.45359237 / 0.0254, rel=1e-15)
    assert value("10 in-lb", "torque") == value("10 lbf in", "torque") == value("10 lbf·in", "torque")


@pytest.mark.parametrize(
    ("text", "dimension"),
    [
        ("1 pli", "line tension"),
        ("1 lbs/in", "line tension"),
        ("5 lb", "mass"),
        ("5 N m", "torque"),
        ("5 J", "energy"),
        ("5 mJ/cm²", "areal energy"),
        ("5 J/m²", "areal energy"),
        ("5 N/m", "line tension"),
        ("5 lb/in²", "pressure"),
        ("3 %", "ratio"),
        ("3 °", "angle"),
        ("20 °C", "temperature"),
        ("3 teeth", "count"),
        ("300 labels/min", "frequency"),
    ],
)
def test_dimension_told_by_the_unit(text: str, dimension: str) -> None:
    found = parse_any(text)
    assert isinstance(found, Quantity)
    assert found.dimension == dimension


# --- Faults, word for word ---

LENGTHS = "a length is written in mm, in, µm or m"
FORCES = "a force is written in N, lbf, kgf or cN"
TENSIONS = "a line tension is written in lbf/in, N/m, N/cm or pli"
TWO_WAYS = "can be read in more than one way"

FAULTS = [  # text, dimensions, kind, what it says, hint
    ("96", "length", "bare number", "96 has no unit; a length needs one", "did you mean 96 mm or 96 in?"),
    (96, "length", "bare number", "96 has no unit; a length needs one", "did you mean 96 mm or 96 in?"),
    (0.82, "ratio", "bare number", "0.82 has no unit; a ratio needs one", "did you mean 82 %?"),
    ("82", "ratio", "bare number", "82 has no unit; a ratio needs one", "did you mean 82 %?"),
    ("1/2", "ratio", "bare number", "1/2 has no unit; a ratio needs one", "did you mean 50 %?"),
    ("0", "energy", "bare number", "0 has no unit; an energy needs one", "did you mean 0 mJ or 0 J?"),
    (
        "96",
        "force|line tension",
        "bare number",
        "96 has no unit; a force or a line tension needs one",
        "did you mean 96 N or 96 lbf/in?",
    ),
    (
        "48 N to 54",
        "force",
        "bare number",
        "54 has no unit; a force needs one",
        "did you mean 54 N or 54 lbf?",
    ),
    ("96", "", "bare number", "96 has no unit; a quantity needs one", ""),
    (
        "3 Mpa",
        "pressure",
        "unknown unit",
        "'Mpa' is not a known unit",
        "did you mean MPa? A pressure is written in MPa, psi, kPa or GPa",
    ),
    (
        "3 minch",
        "length",
        "unknown unit",
        "'minch' is not a known unit",
        f"did you mean inch? A{LENGTHS[1:]}",
    ),
    ("3 N/mm m", "force", "unknown unit", "'N/mm m' is not a known unit", FORCES),
    ("3 blork", "force", "unknown unit", "'blork' is not a known unit", FORCES),
    (
        "3 J/kg K",
        "specific heat",
        "unknown unit",
        "'J/kg K' is not a known unit",
        "did you mean J/(kg K)? A specific heat is written in J/(kg K) or kJ/(kg K)",
    ),
    (
        "12 pt",
        "length",
        "unknown unit",
        "'pt' is not a known unit",
        "a point is 0.001 in of board and 0.353 mm of type: write mm, mil or µm",
    ),
    (
        "1 ton",
        "mass",
        "unknown unit",
        "'ton' is not a known unit",
        "tons differ: write t (1000 kg), kg or lb",
    ),
    ("3 pi", "angle", "unknown unit", "'pi' is not a known unit", "an angle is written in °, deg or rad"),
    ("1 N/0 mm", "force", "unknown unit", "'N/0 mm' is not a known unit", FORCES),
    ("3 m**9**9", "length", "unknown unit", "'m**9**9' is not a known unit", LENGTHS),
    ("52 N", "line tension", "wrong dimension", "52 N is a force, not a line tension", TENSIONS),
    ("20 C", "temperature", "wrong dimension", "20 C is a charge, not a temperature", "did you mean 20 °C?"),
    (
        "68 F",
        "temperature",
        "wrong dimension",
        "68 F is a capacitance, not a temperature",
        "did you mean 68 °F?",
    ),
    ("3 mm2", "length", "wrong dimension", "3 mm2 is an area, not a length", LENGTHS),
    ("5 mm", "count", "wrong dimension", "5 mm is a length, not a count", "a count is a whole number"),
    ("20 N to 400 mm", "force", "wrong dimension", "400 mm is a length, not a force", FORCES),
    (
        "20 °C ± 4 %",
        "temperature",
        "wrong dimension",
        "4 % is a ratio, not a temperature difference",
        "a temperature difference is written in K, °C or °F",
    ),
    ("1,5 N", "force", "not a quantity", "'1,5 N' has a decimal comma", "did you mean 1.5 N?"),
    ("1,500 N", "force", "not a quantity", f"'1,500 N' {TWO_WAYS}", "did you mean 1.5 N or 1500 N?"),
    ("1'500 m", "length", "not a quantity", f"'1'500 m' {TWO_WAYS}", "did you mean 1.5 m or 1500 m?"),
    ("48-54 N", "force", "not a quantity", f"'48-54 N' {TWO_WAYS}", "did you mean 48 to 54 N?"),
    ("3-1/2 in", "length", "not a quantity", f"'3-1/2 in' {TWO_WAYS}", "did you mean 3 1/2 in?"),
    (
        "54 to 48 N",
        "force",
        "not a quantity",
        "54 to 48 N runs from high to low",
        "write the lower end first",
    ),
    ("50 N ± -2 N", "force", "not a quantity", "a tolerance is not negative", "write ± 2 N"),
    ("-0 N", "force", "not a quantity", "-0 N is zero with a sign", "write 0 N"),
    (-0.0, "force", "not a quantity", "-0.0 is zero with a sign", "write 0.0"),
    ("1e400 N", "force", "not a quantity", "1e400 N is too large to be real", ""),
    ("1e-400 N", "force", "not a quantity", "1e-400 N is too small to be real", ""),
    ("1e5000 N", "force", "not a quantity", "'1e5000 N' is not a number with a unit", FORCES),
    ("-300 °C", "temperature", "not a quantity", "-300 °C is below absolute zero", ""),
    ("1/0 in", "length", "not a quantity", "'1/0 in' is not a number with a unit", LENGTHS),
    ("", "length", "not a quantity", "there is nothing written here", LENGTHS),
    ("soft", "", "not a quantity", "'soft' is not a number with a unit", "write a number and a unit"),
    (math.inf, "length", "not a quantity", "'inf' is not a number with a unit", LENGTHS),
    (math.nan, "length", "not a quantity", "'nan' is not a number with a unit", LENGTHS),
    (True, "count", "not a quantity", "'true' is not a number with a unit", "a count is a whole number"),
    (2.5, "count", "not a quantity", "2.5 is not a whole number", "write a count as 0, 1, 2 …"),
    ("-3", "count", "not a quantity", "-3 is not a whole number", "write a count as 0, 1, 2 …"),
    ("1" * 200 + " N", "force", "not a quantity", "the text is too long to be a quantity", FORCES),
    (10**5000, "force", "not a quantity", "the text is too long to be a quantity", FORCES),
]


@pytest.mark.parametrize(
    ("text", "dimensions", "kind", "says", "hint"), FAULTS, ids=[f"fault{i}" for i in range(len(FAULTS))]
)
def test_faults(text: str | int | float, dimensions: str, kind: str, says: str, hint: str) -> None:
    found = fault(text, *filter(None, dimensions.split("|")))
    assert (found.kind, found.says, found.hint) == (kind, says, hint)
    assert (found.quantity is not None) == (kind == "wrong dimension")


def test_wrong_dimension_keeps_what_was_read() -> None:
    found = fault("0.5 to 1 psi", "line tension").quantity
    assert found is not None
    assert found.dimension == "pressure"
    assert (found.low, found.high) == pytest.approx((3447.3786, 6894.757), rel=5e-7)  # NIST SP 811 B.8


def test_lookalike_values_are_kept_apart() -> None:
    """1, 1.0 and True are equal in Python; as a count they are three different texts."""
    assert value(1, "count") == 1
    assert fault(True, "count").kind == "not a quantity"
    assert value("1", "count") == 1


PIECES = st.sampled_from([*"0123456789.,-+±/%'\"°µ()^*²eE ", " to ", "in", "N", "lb", "mm", "K", "\u00a0", "½", "٣"])


@given(st.lists(PIECES, max_size=14).map("".join) | st.text(alphabet="0123456789.eE+- /\"'±%()·", max_size=90))
def test_no_text_raises(text: str) -> None:
    for dimensions in ((), ("length",), ("count", "ratio"), ("temperature",)):
        found = parse_quantity(text, dimensions)
        if isinstance(found, Quantity):
            assert math.isfinite(found.low)
            assert found.low <= found.high
