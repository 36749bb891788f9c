"""The catalogue as a whole: every figure is described, every need is a name that is known, every formula is of use."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pint
import pytest

import filmcheck
from filmcheck.figures import calculated
from filmcheck.figures.calculated import formula_of
from filmcheck.figures.catalogue import CATALOGUE, field_dimensions, find_scoped, job_dimensions
from filmcheck.figures.figure import Default, Figure, Route
from filmcheck.figures.scopes import owners_of
from filmcheck.units.quantity import DIMENSIONS, parse_any

PACKAGE = Path(filmcheck.__file__).parent
BRACKETS = re.compile(r"\[([^]]+)\]")


@pytest.mark.parametrize("figure", CATALOGUE.values(), ids=lambda figure: figure.name)
def test_a_figure_is_described(figure: Figure) -> None:
    known = {*DIMENSIONS, "word", "date", "truth", "number"}
    assert figure.dimension in known, f"{figure.dimension} is no dimension: units/table.py has {sorted(known)}"
    assert figure.meaning.endswith("."), "say what it means, in a sentence"
    assert formula_of(figure), "give its formula"
    assert figure.source, "give the source of its formula"
    assert figure.routes, "say how it is worked out"


@pytest.mark.parametrize("figure", CATALOGUE.values(), ids=lambda figure: figure.name)
def test_every_need_of_a_figure_is_a_known_name(figure: Figure) -> None:
    unknown = [name for name in _names(figure) if not _known(figure, name)]
    assert unknown == [], "no figures of the job or of the thing: filmcheck rules words finds names"


@pytest.mark.parametrize("figure", CATALOGUE.values(), ids=lambda figure: figure.name)
def test_the_arithmetic_of_a_route_shows_needs_and_other_figures_only(figure: Figure) -> None:
    fields = {field for route in figure.routes for field in re.findall(r"\{([^{}]+)\}", route.arithmetic)}
    assert [field for field in sorted(fields) if not _known(figure, field)] == []


IN_TEXTS = [(figure, route) for figure in CATALOGUE.values() for route in figure.routes if isinstance(route.work, str)]
UNITS = pint.UnitRegistry()


@pytest.mark.parametrize(("figure", "route"), IN_TEXTS, ids=lambda value: getattr(value, "name", ""))
def test_a_text_gives_the_dimension_of_its_figure(
    figure: Figure, route: Route, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Reckoned with pint: what is unlike cannot be added, and what comes out has the declared dimension."""
    monkeypatch.setitem(calculated._WORDS, "sqrt", lambda square: square**0.5)
    monkeypatch.setitem(calculated._WORDS, "ceil", lambda ratio: ratio.to("").magnitude)
    dims = {f"in.brackets_{n}": parse_any(text).dimension for n, text in enumerate(BRACKETS.findall(route.work))}
    names = iter(dims)
    named = calculated.calculated(BRACKETS.sub(lambda _: next(names), route.work))
    dims |= {name: _dimension(figure, name) for name in named.needs if name not in dims}
    amounts = [_in_pint(dims[name], 2.0 + place) for place, name in enumerate(named.needs)]
    found = UNITS.Quantity(calculated.function_of(named)(*amounts))
    assert found.dimensionality == UNITS.Quantity(_in_pint(figure.dimension, 1.0)).dimensionality


def _in_pint(dimension: str, size: float) -> object:
    exponents = DIMENSIONS[dimension].exponents if dimension in DIMENSIONS else ()
    powers = zip(("m", "kg", "s", "K", "A"), exponents, strict=False)
    return UNITS.Quantity(size, " * ".join(f"{unit}**{power}" for unit, power in powers))


def _dimension(figure: Figure, need: str) -> str:
    """Give the dimension of a need, which must be one and the same for all things that the figure can belong to."""
    name, _, dimension = need.partition(":")
    found = {dimension} if dimension else {one for dimensions in _dimensions(figure, name) for one in dimensions}
    assert len(found) == 1, f"{figure.name}: {need} may be {found or 'nothing'}"
    return found.pop()


def _names(figure: Figure) -> Iterator[str]:
    for route in figure.routes:
        yield from (need.name if isinstance(need, Default) else need for need in route.needs)


def _known(figure: Figure, name: str) -> bool:
    """Whether a name means something for the job, or for every kind of thing that the figure belongs to."""
    base, _, dimension = name.partition(":")
    found = _dimensions(figure, base)
    return bool(found) and all(found) and (not dimension or any(dimension in dims for dims in found))


def _dimensions(figure: Figure, name: str) -> list[tuple[str, ...]]:
    """Give the dimensions of a name for the job, or for every kind of thing that the figure belongs to."""
    if not name.startswith("its."):
        return [job_dimensions(name)]
    head, _, own = figure.name.partition(".")
    kinds = [kind for kind in owners_of(head) if find_scoped(kind, own) is figure]
    return [_of_thing(kind, name.removeprefix("its.")) for kind in kinds]


def _of_thing(kind: str, field: str) -> tuple[str, ...]:
    """Give the dimensions of a field; a zone and a roll have those of the station or the sheet that they come from."""
    sources = {"zone": ("unwind", "nip", "rewind"), "press roll": ("rewind",)}
    own = field_dimensions(kind, field)
    if own:
        return own
    lent = [field_dimensions(source, field) for source in sources.get(kind, ())]
    return next((dims for dims in lent if dims), ())


def test_no_two_families_claim_one_name() -> None:
    families = [path for path in (PACKAGE / "figures").glob("*.py") if path.name != "catalogue.py"]
    assert len(families) > 10
    from filmcheck.figures import catalogue

    names = [figure.name for family in catalogue._FAMILIES for figure in family.FIGURES]
    assert sorted(names) == sorted(set(names))


def test_every_public_formula_is_used() -> None:
    formulas = _public_formulas()
    assert formulas.keys() - _used(formulas) == set(), "no figure and no table of the page asks for it"


def _public_formulas() -> dict[str, ast.FunctionDef]:
    found: dict[str, ast.FunctionDef] = {}
    for path in (PACKAGE / "formulas").glob("*.py"):
        if path.stem in ("valid_range", "wound_pressure_march", "wound_pressure_mesh"):
            continue  # checks of arguments and the inner parts of one solver
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                found[node.name] = node
    return found


def _used(formulas: dict[str, ast.FunctionDef]) -> set[str]:
    """Follow names from those who may ask for formulas into them, and from formula to formula."""
    rooms = ("figures", "web", "running")
    trees = [ast.parse(path.read_text(encoding="utf-8")) for room in rooms for path in (PACKAGE / room).glob("*.py")]
    methods = ast.parse((PACKAGE / "formulas" / "wound_pressure.py").read_text(encoding="utf-8"))
    classes = [node for node in methods.body if isinstance(node, ast.ClassDef)]
    waiting = {name for tree in (*trees, *classes) for name in _mentioned(tree)} & formulas.keys()
    used: set[str] = set()
    while waiting:
        name = waiting.pop()
        used.add(name)
        waiting |= (_mentioned(formulas[name]) & formulas.keys()) - used
    return used


def _mentioned(tree: ast.AST) -> set[str]:
    """Give the names that code calls or hands on: a bare name, or one after the name of a module."""
    bare = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    dotted = {
        node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name)
    }
    arguments = {node.arg for node in ast.walk(tree) if isinstance(node, ast.arg)}
    return (bare - arguments) | dotted
