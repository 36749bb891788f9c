"""Numbers that a finding advises: who keeps to the printed number keeps to the limit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmcheck.figures.wording import bounded
from filmcheck.records.value import Value, exact
from filmcheck.units.quantity import Quantity, parse_quantity


@pytest.mark.parametrize(
    ("newtons", "at_most", "at_least"),
    [
        (57.7919, "57.7 N", "57.8 N"),
        (40.0, "40 N", "40 N"),
        (0.1 + 0.2, "0.3 N", "0.3 N"),  # a sum that is round but for its last binary digit
        (1234.0, "1230 N", "1240 N"),
        (0.0, "0 N", "0 N"),
    ],
)
def test_three_digits_of_a_force_rounded_to_the_safe_side(newtons: float, at_most: str, at_least: str) -> None:
    assert bounded(exact(newtons), "force", "N", "at most") == at_most
    assert bounded(exact(newtons), "force", "N", "at least") == at_least


def test_of_a_range_the_safe_end_is_taken() -> None:
    assert bounded(Value(40.0, 50.0), "force", "N", "at most") == "40 N"
    assert bounded(Value(40.0, 50.0), "force", "N", "at least") == "50 N"


def test_a_temperature_is_rounded_in_the_unit_that_is_printed() -> None:
    # 57.58 °C is 330.73 K: rounding the kelvins would give 330 K, 56.85 °C.
    assert bounded(exact(273.15 + 57.58), "temperature", "°C", "at most") == "57.5 °C"


@given(st.floats(min_value=1e-3, max_value=1e6))
def test_no_printed_bound_passes_the_limit(newtons: float) -> None:
    for bound, over in (("at most", 1), ("at least", -1)):
        read = parse_quantity(bounded(exact(newtons), "force", "N", bound), ("force",))
        assert isinstance(read, Quantity)
        assert over * (read.low - newtons) <= 1e-8 * newtons
        assert abs(read.low - newtons) <= 0.01 * newtons * 1.0001  # three digits
