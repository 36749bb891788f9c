"""The names that a rule may use, of which kind each is, and the nearest one to a name that is not known."""

from __future__ import annotations

from functools import cache

from filmcheck.figures.catalogue import CATALOGUE, field_dimensions, job_dimensions
from filmcheck.figures.given import given_figures
from filmcheck.figures.scopes import SINGLE, FigureName, kinds_in, parsed, scoped_name, scopes_of
from filmcheck.judging.expression import PURE, Expression, Sort, sort_of
from filmcheck.packs.language_words import meant_by, trade_word
from filmcheck.plant.nearest import nearest

_PLAIN = ("count", "ratio")
_TEMPERATURES = ("temperature", "temperature difference")


class NameFaultError(Exception):
    """A name is not known, or names what cannot be reckoned with; says what and gives the way out."""

    def __init__(self, says: str, hint: str = "") -> None:
        self.says = says
        self.hint = hint
        super().__init__(says)


class ManyDimensionsError(NameFaultError):
    """A given figure may be written in several dimensions, so it can be shown but not reckoned with."""


def figure_sort(name: str, kinds: tuple[str, ...], outer: tuple[str, ...], own: tuple[str, ...] = ()) -> Sort:
    """Give the sort of a figure. ``kinds`` is what ``its.`` can be here, ``outer`` what ``that.`` can be.

    ``own`` are figures of the pack, which may be the nearest to a name that is not known.
    """
    parts = parsed(name)
    if parts.is_of_thing:
        return _field_sort(name, parts.field, kinds if parts.head == "its" else outer)
    return sort_of(_one(name, job_dimensions(name), kinds, own))


def words_of(name: str, kinds: tuple[str, ...], outer: tuple[str, ...]) -> tuple[str, ...]:
    """Give the words that a figure can be, where it has a fixed list of them."""
    given = given_figures()
    parts = parsed(name)
    names = [scoped_name(kind, parts.field) for kind in (kinds if parts.head == "its" else outer)]
    found = [given[one] for one in (names if parts.is_of_thing else [name]) if one in given]
    return tuple(dict.fromkeys(word for one in found for word in one.words))


def _field_sort(name: str, field: str, kinds: tuple[str, ...]) -> Sort:
    if not kinds:
        around = (
            "for_each, every, some, no or count" if name.startswith("its.") else "two of for_each, every, some or no"
        )
        raise NameFaultError(f"{name} has nothing to belong to here", f"It needs {around} around it.")
    found = {dimension for kind in kinds for dimension in field_dimensions(kind, field)}
    return sort_of(_one(name, tuple(sorted(found)), kinds))


def _one(name: str, dimensions: tuple[str, ...], kinds: tuple[str, ...] = (), own: tuple[str, ...] = ()) -> str:
    if len(dimensions) == 1:
        return dimensions[0]
    if not dimensions:
        raise NameFaultError(f"{name} is no known figure", _of_things(name) or _nearest_name(name, kinds, own))
    listed = " or ".join(sorted(dimensions))
    worked = ", ".join(worked_from(name, kinds)[:4])
    hint = f"Worked out from it: {worked}." if worked else "Use a figure of one dimension that is worked out from it."
    hint += " Whether it is written is asked by given."
    raise ManyDimensionsError(f"{name} may be given as {listed}", hint)


def _nearest_name(name: str, kinds: tuple[str, ...], own: tuple[str, ...]) -> str:
    first, field, _ = parsed(name)
    known = (*own, *all_names(kinds))
    if name in ("every", "some", "no", "count"):
        return f"Write {name}: and the kind, then has: and what each must be."
    if f"its.{name}" in known:
        return f"Did you mean its.{name}?"
    told = meant_by(name)
    if told:
        return told
    last = name.rpartition(".")[2]
    called = trade_word(last)
    if called != last:
        same = sorted(
            (one for one in known if called in one.rpartition(".")[2]), key=lambda one: parsed(one).head != first
        )
        return f"That is called {called}: {', '.join(same[:4])}{', …' if len(same) > 4 else ''}." if same else ""
    near = nearest(f"its.{field}" if first == "that" else name, known)
    near = f"that.{near[4:]}" if first == "that" and near.startswith("its.") else near
    return f"Nearest: {near}." if near else "All words: filmcheck rules words."


def _of_things(name: str) -> str:
    """Say how a field of things is asked for, where it was written as a figure of the job."""
    parts = parsed(name)
    kind, field = parts.kind, parts.field
    if kind in SINGLE or not any(field_dimensions(one, field) for one in kinds_in(kind)):
        return ""
    return f"It belongs to each {kind}: write its.{field} within for_each, every, some or no."


def worked_from(name: str, kinds: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Give the figures of one dimension that are worked out from a given one of several."""
    head, field, _ = parts = parsed(name)
    scopes = {scope for kind in (kinds if parts.is_of_thing else (parts.kind,)) for scope in scopes_of(kind)}
    asked = (f"its.{field}:", f"{name}:")
    found = [
        f"{head}.{one.field}"
        for one, needs in _needs()
        if (one.kind in scopes or one.head == head) and any(need.startswith(asked) for need in needs)
    ]
    return tuple(dict.fromkeys(found)) or tuple(
        f"{head}.{one.field}"
        for one in map(parsed, CATALOGUE)
        if one.kind in scopes and set(one.field.split("_")) & set(field.split("_"))
    )


@cache
def _needs() -> list[tuple[FigureName, list[str]]]:
    """Give name and needs of each figure that is worked out."""
    return [
        (
            parsed(figure.name),
            [need if isinstance(need, str) else need.name for route in figure.routes for need in route.needs],
        )
        for figure in CATALOGUE.values()
    ]


def all_names(kinds: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Give every name that may stand in a rule where ``its.`` is of these kinds."""
    fields = {
        parsed(name).field
        for kind in kinds
        for names, scopes in ((CATALOGUE, scopes_of(kind)), (given_figures(), (kind,)))
        for name in names
        if parsed(name).kind in scopes
    }
    everything = (*CATALOGUE, *given_figures())
    free = [name for name in everything if job_dimensions(name)]
    return (*free, *(f"its.{field}" for field in sorted(fields)))


def a_sort(sort: Sort) -> str:
    """Name a sort with its article: an areal mass, a speed."""
    if sort.name == "truth":
        return "a yes or no"
    return f"{'an' if sort.name[:1] in 'aeio' else 'a'} {sort.name}"


def one_kind(left: Expression, right: Expression) -> bool:
    """Whether two expressions can be compared.

    The dimension of arithmetic is known by its exponents only, so N/m may be a line tension or an areal energy.
    A declared figure is of its own kind: a torque is no energy, a temperature no difference of temperatures.
    """
    a, b = left.sort, right.sort
    if not (a.is_amount and b.is_amount):
        return a == b
    if a.exponents != b.exponents:
        return False
    declared = left.is_declared and right.is_declared
    told_apart = declared or {a.name, b.name} == set(_TEMPERATURES)
    plain = a.exponents == PURE and a.name in _PLAIN and b.name in _PLAIN
    return a.name == b.name or plain or not told_apart
