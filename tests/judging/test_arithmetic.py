"""Arithmetic of rules: dimensions against pint, values against Python's own reckoning, ranges against their points."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import date

import pint
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from filmcheck.judging.context import Context
from filmcheck.judging.expression import Expression
from filmcheck.judging.limit import Limit
from filmcheck.packs.arithmetic import AtHand, read_expression
from filmcheck.packs.names import NameFaultError
from filmcheck.records.place import Place, Span
from filmcheck.records.value import Missing, Need, Value, exact
from filmcheck.units.quantity import DIMENSIONS, Quantity, parse_any

Make = Callable[..., Context]
WORDS = AtHand({})
PINT = pint.UnitRegistry()

FIGURES = {
    "web.width": "m",
    "web.speed": "m/s",
    "finishing.after": "s",
    "press.tension_range": "N",
    "unwind.line_tension": "N/m",
    "rewind.roll_mass": "kg",
    "liner.density": "kg/m^3",
    "liner.modulus": "Pa",
    "die.life_share": "dimensionless",
    "die.teeth": "dimensionless",
    "die_cut.warm_up": "delta_degC",
    "adhesive.specific_heat": "J/(kg*K)",
}
"""Figures of many dimensions, each with its unit in pint."""

BASES = ("[length]", "[mass]", "[time]", "[temperature]", "[current]")


def powers(unit: pint.Unit) -> tuple[float, ...]:
    """Give the powers of m, kg, s, K and A, as pint finds them."""
    return tuple(unit.dimensionality.get(base, 0) for base in BASES)


@pytest.mark.parametrize("name", FIGURES)
def test_a_figure_has_the_dimension_that_pint_gives_its_unit(name: str) -> None:
    assert read_expression(name, WORDS).sort.exponents == powers(PINT.Unit(FIGURES[name]))


@given(st.lists(st.tuples(st.sampled_from("*/"), st.sampled_from(sorted(FIGURES))), min_size=1, max_size=5))
def test_products_have_the_dimension_that_pint_gives(factors: list[tuple[str, str]]) -> None:
    text, unit = "web.width", PINT.Unit("m")
    for sign, name in factors:
        text += f" {sign} {name}"
        unit = unit * PINT.Unit(FIGURES[name]) if sign == "*" else unit / PINT.Unit(FIGURES[name])
    sort = read_expression(text, WORDS).sort
    assert sort.exponents == powers(unit)
    if sort.name in DIMENSIONS:
        assert DIMENSIONS[sort.name].exponents == sort.exponents


@pytest.mark.parametrize("sign", ["+", "-"])
@pytest.mark.parametrize("left", FIGURES)
@pytest.mark.parametrize("right", FIGURES)
def test_what_pint_does_not_add_is_not_added(sign: str, left: str, right: str) -> None:
    one, other = PINT.Quantity(1, FIGURES[left]), PINT.Quantity(1, FIGURES[right])
    if one.is_compatible_with(other):
        assert read_expression(f"{left} {sign} {right}", WORDS).sort.is_amount
    else:
        with pytest.raises(NameFaultError, match=r"cannot be (added to|taken from)"):
            read_expression(f"{left} {sign} {right}", WORDS)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("web.hottest - web.entry_temperature", "temperature difference"),
        ("web.hottest + [5 K]", "temperature"),
        ("[5 K] + web.hottest", "temperature"),
        ("die_cut.warm_up * 2", "temperature difference"),
        ("die_cut.warm_up - [2 K]", "temperature difference"),
        ("least(web.hottest, [60 degC])", "temperature"),
        ("20 % of web.width", "length"),
        ("die.teeth / 2", "count"),
        ("die.teeth + die.life_share", "ratio"),
        ("web.width / web.width", "ratio"),
        ("job.day - die.inspected", "time"),
        ("count(lamp)", "count"),
        ("greatest(station.web_temperature)", "temperature"),
    ],
)
def test_what_is_reckoned_is_of_a_kind(text: str, kind: str) -> None:
    assert read_expression(text, WORDS).sort.name == kind


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("web.hottest + web.hottest", "a temperature cannot be added to a temperature"),
        ("die_cut.warm_up - web.hottest", "a temperature cannot be taken from a temperature difference"),
        ("web.hottest * 2", "a temperature cannot be multiplied or divided"),
        ("20 % of web.hottest", "a temperature cannot be multiplied or divided"),
        ("-web.hottest", "a temperature cannot be multiplied or divided"),
        ("die.inspected + anvil.inspected", "a date cannot be added to a date"),
        ("liner.material + liner.material", "a word cannot be added to a word"),
        ("size(web.width, web.width)", "size takes one expression"),
        ("web.width / 0", "this divides by zero"),
        ("web.width * 5 lanes", "a quantity stands in brackets: [5 lanes]"),
        ("[5]", "5 has no unit; a quantity needs one"),
        ("(" * 30 + "web.width" + ")" * 30, "the arithmetic is nested deeper than 20 brackets"),
        ("web.width web.width", "'web.width' is not expected here in 'web.width web.width'"),
        ("", "nothing stands here"),
    ],
)
def test_what_cannot_be_reckoned_says_why(text: str, says: str) -> None:
    with pytest.raises(NameFaultError) as fault:
        read_expression(text, WORDS)
    assert fault.value.says == says


# Values, against Python's own reckoning of the same text.

NUMBERS = st.integers(1, 99).map(str)


def texts(leaf: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    """Make arithmetic of the four signs, brackets and minus, in which only numbers are added to numbers."""

    def grown(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
        pair = st.tuples(inner, st.sampled_from(["+", "-", "*", "/"]), inner).map(" ".join)
        return pair | inner.map("({})".format) | inner.map("-({})".format)

    return st.recursive(leaf, grown, max_leaves=12)


@given(texts(NUMBERS))
def test_precedence_is_that_of_python(make_context_of: Make, text: str) -> None:
    try:
        wanted = eval(text)  # noqa: S307  text of our own making: numbers, signs and brackets
    except ZeroDivisionError:
        assume(False)
    assume(len(text) <= 400)
    value = read_expression(text, WORDS).work(make_context_of())
    assert isinstance(value, Value)
    assert value.low == value.high == pytest.approx(wanted)


RATIOS = ("die.life_share", "rewind.taper", "finishing.taper", "stock.strain_limit")
ENDS = st.tuples(st.floats(0.1, 10), st.floats(0.1, 10)).map(sorted)


@given(
    st.permutations(RATIOS),
    st.lists(st.sampled_from("+-*/"), min_size=3, max_size=3),
    st.lists(ENDS, min_size=4, max_size=4),
    st.lists(st.floats(0, 1), min_size=4, max_size=4),
)
def test_a_range_holds_the_result_of_every_point_within(
    make_context_of: Make, names: list[str], signs: list[str], ranges: list[list[float]], at: list[float]
) -> None:
    """Each figure stands once, as in the fundamental theorem of interval arithmetic (Moore 1966; from memory)."""
    text = f"({names[0]} {signs[0]} {names[1]}) {signs[1]} ({names[2]} {signs[2]} {names[3]})"
    expression = read_expression(text, WORDS)
    whole = expression.work(make_context_of({name: Value(*ends) for name, ends in zip(names, ranges, strict=True)}))
    points = {name: low + t * (high - low) for name, (low, high), t in zip(names, ranges, at, strict=True)}
    inner = expression.work(make_context_of({name: exact(value) for name, value in points.items()}))
    if isinstance(whole, Missing):
        assert signs[1] == "/"  # the range of the divisor holds zero
        return
    assert isinstance(inner, Value)
    slack = 1e-9 * max(abs(whole.low), abs(whole.high))
    assert whole.low - slack <= inner.low <= whole.high + slack


@given(st.floats(-10, 10), st.floats(-10, 10))
def test_the_size_of_a_range(make_context_of: Make, one: float, other: float) -> None:
    low, high = sorted((one, other))
    size = read_expression("size(rewind.taper)", WORDS).work(make_context_of({"its.taper": exact(0)}))
    assert isinstance(size, Missing)  # asked under another name: nothing is taken for zero
    size = read_expression("size(rewind.taper)", WORDS).work(make_context_of({"rewind.taper": Value(low, high)}))
    assert isinstance(size, Value)
    points = [low, high] + ([0.0] if low < 0 < high else [])
    assert size.low == min(abs(point) for point in points)
    assert size.high == max(abs(point) for point in points)


def gathered(make_context_of: Make, text: str, values: list[list[float]]) -> Value | Missing:
    fields = {(n, "line_tension"): Value(*ends) for n, ends in enumerate(values, 1)}
    return read_expression(text, WORDS).work(make_context_of({}, ["nip"] * len(values), fields))


@given(st.lists(ENDS, max_size=5))
def test_figures_of_all_things(make_context_of: Make, values: list[list[float]]) -> None:
    total = gathered(make_context_of, "sum(nip.line_tension)", values)
    assert isinstance(total, Value)
    assert total.low == pytest.approx(math.fsum(low for low, _ in values))
    assert total.high == pytest.approx(math.fsum(high for _, high in values))
    assert gathered(make_context_of, "count(nip)", values) == exact(len(values))
    for function, pick in (("least", min), ("greatest", max)):
        found = gathered(make_context_of, f"{function}(nip.line_tension)", values)
        if values:
            assert found == Value(pick(v[0] for v in values), pick(v[1] for v in values))
        else:
            assert found == Missing((Need("nip", "the job has no nip"),))


def test_what_a_result_assumes_is_not_lost(make_context_of: Make) -> None:
    context = make_context_of({"rewind.taper": exact(0.3, "a guess"), "finishing.taper": exact(0.2, "a hope")})
    for text in ("rewind.taper + finishing.taper", "least(rewind.taper, finishing.taper)"):
        value = read_expression(text, WORDS).work(context)
        assert isinstance(value, Value)
        assert value.assumes == ("a guess", "a hope")


def test_days_between_dates(make_context_of: Make) -> None:
    context = make_context_of({"job.day": exact(date(2026, 3, 1)), "die.inspected": exact(date(2026, 2, 1))})
    value = read_expression("job.day - die.inspected", WORDS).work(context)
    assert value == exact(28 * 86400.0)


def quantity(text: str) -> Quantity:
    read = parse_any(text)
    assert isinstance(read, Quantity)
    return read


TABLE = Limit(
    "air",
    None,
    "house",
    "",
    Place("rules.yaml", Span(4, 3, 4, 6)),
    by="face.material",
    table={"pp": quantity("45 degC"), "pet": quantity("60 degC")},
)


@pytest.mark.parametrize(("word", "kelvin"), [("pp", 318.15), ("pet", 333.15)])
def test_a_limit_by_a_word(make_context_of: Make, word: str, kelvin: float) -> None:
    """0 degC is 273.15 K; source: NIST SP 811, 8.5."""
    value = limit(TABLE).work(make_context_of({"face.material": exact(word)}, limits={"air": TABLE}))
    assert isinstance(value, Value)
    assert value.low == value.high == pytest.approx(kelvin)


def test_a_word_that_the_table_lacks_is_told(make_context_of: Make) -> None:
    value = limit(TABLE).work(make_context_of({"face.material": exact("pe")}, limits={"air": TABLE}))
    assert isinstance(value, Missing)
    assert value.needs[0].says == "limit air has no value for face.material pe"


def limit(one: Limit) -> Expression:
    return read_expression(f"limit.{one.name}", AtHand({one.name: one}))


@given(st.text(max_size=40))
@settings(max_examples=400)
def test_no_text_ends_in_a_traceback(text: str) -> None:
    try:
        read_expression(text, WORDS)
    except NameFaultError as fault:
        assert fault.says  # noqa: PT017  a text that happens to be right is right too
