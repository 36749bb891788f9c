"""Makes the reference entry of a rule: its conditions in words, the figures and data that it asks for, its limits."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from filmcheck.figures.calculated import formula_of
from filmcheck.figures.plain_names import kind_words, plain_name, truth_words
from filmcheck.judging.limit import Limit
from filmcheck.judging.phrases import Telling, limit_value
from filmcheck.judging.rule import Rule
from filmcheck.packs.figure_needs import data_behind, meaning_of, things_asked, worked_out
from filmcheck.packs.template_words import template_words
from filmcheck.plant.plant import shown
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.rule_entry import FigureEntry, LimitEntry, RuleEntry

_FOUND_BY = {
    "reading": "reading of the files",
    "resolving": "resolving of names and figures",
    "permits": "judging of the permits",
    "repository": "comparison of all sheets of the plant",
}


_PLAIN_FORMULAS = (
    "as given",
    "as listed under at",
    "end of the range",
    "order",
    "by kind",
    "search among the stations of the zone",
    "found in the press register by unit, name or order",
)
"""Formulas that only say that there is none."""


def rule_entry(rule: Rule, limits: Mapping[str, Limit]) -> RuleEntry:
    """Tell a rule in plain words."""
    telling = Telling(limits, rule.for_each)
    asked = dict.fromkeys(one for condition in rule.conditions for one in condition.asked(rule.for_each))
    return RuleEntry(
        text=rule.text,
        pack=pack_name(rule.place.file),
        line=rule.place.span.line,
        safety=rule.safety,
        for_each=kind_words(rule.for_each) if rule.for_each else "",
        found_by=_FOUND_BY.get(rule.found_by, ""),
        applies=rule.applies.clauses(telling) if rule.applies is not None else (),
        requires=_required(rule, telling),
        only_warns=rule.warning_where.clauses(telling) if rule.warning_where is not None else (),
        says=template_words(rule.says, telling),
        instead=template_words(rule.instead, telling),
        limits=tuple(_limit(limits[name]) for name in rule.limits if name in limits),
        figures=tuple(_figure(name, kind) for name, kind in asked),
        needs=_needs(rule, tuple(asked)),
        cases=tuple((case.verdict, case.name) for case in rule.cases),
    )


def _required(rule: Rule, telling: Telling) -> tuple[str, ...]:
    if rule.beside is not None:
        return (rule.beside.describe(telling),)
    return rule.requires.clauses(telling) if rule.requires is not None else ()


def pack_name(file: str) -> str:
    """Name a shipped pack by its place in the project, wherever that is; a pack of the house as it was given."""
    shipped = {shown(path): f"rules/{path.name}" for path in shipped_folder("rules").glob("*.yaml")}
    return shipped.get(file, Path(file).as_posix())


def _limit(limit: Limit) -> LimitEntry:
    return LimitEntry(limit.name.replace("_", " "), limit_value(limit), limit.basis_text, limit.meaning)


def _figure(name: str, kind: str) -> FigureEntry:
    figure = worked_out(name, kind)
    truth = truth_words(name, kind)
    formula = formula_of(figure) if figure and figure.formula not in _PLAIN_FORMULAS else ""
    if truth:
        return FigureEntry(f"whether {truth[0]}", name, "", formula)
    owner = f"the {kind_words(kind).partition(' (')[0]}"
    called, meaning = (
        plain_name(name, kind, f"{owner} at hand" if name.startswith("that.") else owner),
        meaning_of(name, kind),
    )
    told = meaning.rstrip(".").casefold() in called
    return FigureEntry(called, name, "" if told else meaning, formula)


def _needs(rule: Rule, asked: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    """Gather the data behind a rule by the document in which they stand."""
    found: dict[str, dict[str, None]] = {}
    for name, kind in asked:
        for document, field in data_behind(name, kind):
            found.setdefault(document, {}).setdefault(field)
    for condition in rule.conditions:
        for kind in things_asked(condition):
            field = {"check": "checks", "result": "results", "deviation": "deviations"}.get(kind, "path")
            own = found.setdefault("sheet", {})
            if not any(known.startswith(f"{field}.") for known in own):
                own.setdefault(field)
    order = ("sheet", *sorted(found.keys() - {"sheet"}))
    return tuple((document, ", ".join(found[document])) for document in order if document in found)
