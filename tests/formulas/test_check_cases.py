"""Every formula, and figures of plain arithmetic, against values from outside the project, to their printed digits."""

from __future__ import annotations

import importlib
from decimal import Decimal
from pathlib import Path
from typing import Any, NamedTuple

import pint
import pytest
from ruamel.yaml import YAML

from filmcheck.figures.calculated import function_of
from filmcheck.figures.catalogue import CATALOGUE
from filmcheck.figures.figure import Default

BASES = {"published", "derived", "common practice", "from memory"}
UNITS = pint.UnitRegistry()


class Case(NamedTuple):
    function: str
    inputs: dict[str, Any]
    expected: str | list[str]
    tolerance: str | float
    basis: str
    source: str


def read_cases() -> list[Case]:
    path = Path(__file__).with_name("check_cases.yaml")
    return [Case(*row) for row in YAML(typ="safe").load(path.read_text(encoding="utf-8"))]


def in_si(value: Any) -> Any:
    if isinstance(value, list):
        return [in_si(item) for item in value]
    if not isinstance(value, str):
        return value
    quantity = UNITS.Quantity(value)
    return quantity.to_base_units().magnitude if isinstance(quantity, pint.Quantity) else quantity


def allowed_error(expected: str, tolerance: str | float) -> float:
    """Half a unit in the last printed digit, or the stated relative tolerance; in SI."""
    number, _, unit = expected.partition(" ")
    if tolerance != "printed":
        return abs(float(in_si(expected))) * float(tolerance)
    half = Decimal(5).scaleb(int(Decimal(number).as_tuple().exponent) - 1)
    return abs(float(in_si(f"{half} {unit}"))) * (1 + 1e-9)


def worked_out(name: str, inputs: dict[str, Any]) -> Any:
    """Give the figure of this name by the route that takes these inputs, else what the formula comes to."""
    for route in CATALOGUE[name].routes if name in CATALOGUE else ():
        given = {need.name: need.value for need in route.needs if isinstance(need, Default)} | inputs
        needs = [need.name if isinstance(need, Default) else need for need in route.needs]
        if set(needs) == set(given):
            found = function_of(route)(*[given[need] for need in needs])
            return abs(found) if route.size else found
    module, function = name.split(".")
    return getattr(importlib.import_module(f"filmcheck.formulas.{module}"), function)(**inputs)


CASES = read_cases()


@pytest.mark.parametrize(
    "case", CASES, ids=lambda case: f"{case.function.split('.')[1]}-{case.expected}".replace(" ", "")
)
def test_value(case: Case) -> None:
    found = worked_out(case.function, {argument: in_si(value) for argument, value in case.inputs.items()})
    wanted = case.expected if isinstance(case.expected, list) else [case.expected]
    parts = found if isinstance(found, tuple) else (found,)
    for part, expected in zip(parts, wanted, strict=True):
        assert abs(part - float(in_si(expected))) <= allowed_error(expected, case.tolerance), case.source


def test_each_case_states_its_basis_and_source() -> None:
    assert {case.basis for case in CASES} <= BASES
    assert all(case.source.strip() for case in CASES)


def test_printed_tolerance_is_half_of_the_last_digit() -> None:
    assert allowed_error("0.700 m", "printed") == pytest.approx(0.0005)
    assert allowed_error("4.8089e6 m", "printed") == pytest.approx(50.0)
    assert allowed_error("12.0 mm", "printed") == pytest.approx(5e-5)
