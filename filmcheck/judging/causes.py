"""One cause, one finding: which findings of a job follow from which, by the data that they rest on.

Nothing is taken away. Each finding that follows from another names it, and reports tell it there.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import dataclass, replace

from filmcheck.judging.rule import Rule
from filmcheck.reading.nodes import Mapping as Tree
from filmcheck.reading.nodes import Node, Scalar, Sequence
from filmcheck.records.finding import LEVELS, Finding, Kind, lack_parts
from filmcheck.records.place import Place, Span

Who = tuple[str, str]
"""A finding by its rule and address."""

_NO_CAUSE = (("job",), ("stage",), ("date",), ("title",))
"""Data at which findings stand that have nothing else in common."""

_OF_KEYS = ("key-missing", "key-unknown")
"""Faults of a key: what else stands at that place is another matter."""

_SAID_BY_NAME = (
    *(
        (word, ("customer",))
        for word in ("core", "core_wall", "labels_per_roll", "length_per_roll", "unwind_direction")
    ),
    ("diameter", ("customer",)),
    ("cylinder", ("tooling", "print_cylinder")),
)
"""Data that a register entry gives where the sheet is silent, by the sheet's name of that entry."""

_SHARED = 2
"""Data on the sheet that two faults must share to be taken for one, where the one rests on nothing else."""

_MOST = 200
"""Faults of one sheet that are held against each other; one with more is wrong from the ground up."""

_TOLD: tuple[Kind, ...] = ("fail", "review", "open")


@dataclass(frozen=True, slots=True)
class Mended:
    """A fault of form that was mended for a trial: where it stands, and which findings were gone then."""

    place: Place
    gone: frozenset[Who]


def with_causes(
    findings: Iterable[Finding],
    file: str,
    tree: Node | None,
    rules: Mapping[str, Rule],
    mended: Iterable[Mended] = (),
) -> list[Finding]:
    """Give the findings of one sheet, each that follows from another with the name of that one."""
    every = list(findings)
    asked = [one for one in every if one.kind in _TOLD and one.permit is None]
    if len(asked) < 2 or not any(one.kind == "fail" for one in asked):
        return every
    groups = _Groups(asked)
    sheet = _Sheet.of(file, tree)
    for kind in (_by_form, _by_place, _by_sameness, _by_data, _by_declaration):
        kind(asked, groups, sheet, rules)
    for trial in mended:
        _by_trial(asked, groups, trial)
    followed = {id(one): head for head, rest in groups.led(rules, sheet) for one in rest}
    return [replace(one, follows_from=followed[id(one)].name if id(one) in followed else "") for one in every]


class _Groups:
    """Findings joined to those with which they share a cause."""

    def __init__(self, findings: list[Finding]) -> None:
        self._findings = findings
        self._joined = {id(one): id(one) for one in findings}

    def join(self, one: Finding, other: Finding) -> None:
        """Join a finding to its cause. What only waits makes no one fault of the two things that it waits for."""
        if other.kind == "open" and self._joined[id(other)] != id(other):
            return
        self._joined[self._root(id(other))] = self._root(id(one))

    def join_all(self, findings: Iterable[Finding]) -> None:
        first, *rest = findings
        for one in rest:
            self.join(first, one)

    def led(self, rules: Mapping[str, Rule], sheet: _Sheet) -> Iterator[tuple[Finding, list[Finding]]]:
        """Give each finding that has others behind it, and those."""
        groups: dict[int, list[Finding]] = defaultdict(list)
        for one in self._findings:
            groups[self._root(id(one))].append(one)
        for group in groups.values():
            if any(one.kind == "fail" for one in group):
                names = {one.rule for one in group if one.kind == "fail"}
                head = min(group, key=lambda one: _rank(one, rules, sheet, names))
                yield head, [one for one in group if one is not head]

    def _root(self, one: int) -> int:
        while self._joined[one] != one:
            self._joined[one] = one = self._joined[self._joined[one]]
        return one


@dataclass(frozen=True, slots=True)
class _Sheet:
    """Where the data of a sheet stand, each with the names that lead to it."""

    file: str
    paths: dict[Span, tuple[str, ...]]
    """The names that lead to each value and each key."""

    @classmethod
    def of(cls, file: str, tree: Node | None) -> _Sheet:
        paths: dict[Span, tuple[str, ...]] = {}
        waiting: list[tuple[Node, tuple[str, ...]]] = [(tree, ())] if tree is not None else []
        while waiting:
            node, path = waiting.pop()
            if isinstance(node, Tree):
                for name, (key, value) in node.entries.items():
                    paths[key.span] = (*path, name)
                    waiting.append((value, (*path, name)))
            elif isinstance(node, Sequence):
                waiting += [(item, path) for item in node.items]
            elif isinstance(node, Scalar):
                paths[node.span] = path
        return cls(file, paths)

    def holds(self, place: Place) -> bool:
        """Whether a datum stands there about which faults can agree. Whatever is in a register is one."""
        if place.file != self.file:
            return True
        path = self.paths.get(place.span)
        return path is not None and path not in _NO_CAUSE


def _is_of_form(finding: Finding, rules: Mapping[str, Rule]) -> bool:
    rule = rules.get(finding.rule)
    return finding.kind == "fail" and (rule is None or rule.requires is None)


def _rank(finding: Finding, rules: Mapping[str, Rule], sheet: _Sheet, beside: Set[str]) -> tuple[object, ...]:
    """Order findings by how near they are to the cause: form before value, what was set before what comes of it."""
    declared = finding.rule in rules and not beside.isdisjoint(rules[finding.rule].follows)
    is_set = any(edit.place == finding.place for edit in finding.edits)
    return (
        finding.kind != "fail",
        not _is_of_form(finding, rules),
        declared,
        finding.level in ("note", "none"),  # a hint does not speak for a fault, whatever cures both
        not is_set and not sheet.holds(finding.place),
        not is_set,
        LEVELS.index(finding.level),
        finding.address.startswith(("path/zone ", "path/roll ")),
        len(finding.arithmetic),
        len(finding.related),
        finding.place,
        finding.rule,
    )


# --- what makes two findings one


def _by_form(asked: list[Finding], groups: _Groups, sheet: _Sheet, rules: Mapping[str, Rule]) -> None:
    """A datum that could not be read at all is the cause of all that lacks it."""
    forms = [one for one in asked if _is_of_form(one, rules)]
    by_place = {str(form.place): form for form in reversed(forms) if form.rule not in _OF_KEYS}
    by_path = {_path(form, sheet): form for form in reversed(forms)}
    by_word: dict[str, list[tuple[tuple[str, ...], Finding]]] = defaultdict(list)
    for form in forms:
        for path in dict.fromkeys((_path(form, sheet), sheet.paths.get(form.place.span, ()))):
            by_word[path[-1] if path else ""].append((path, form))
    set_up = by_path.get(("set_up",))
    for one in asked:
        found: list[Finding | None] = [by_place.get(str(one.place))]
        for text in one.missing:
            name, place = lack_parts(text)
            words = name.replace(": ", ".").split(".")
            found.append(by_place.get(place))
            found += [form for path, form in by_word[words[-1]][:_MOST] if _is_at(words[0], path)]
            # A key that is not known at the top of the sheet stands there in place of a group that it belongs to.
            outer = [form for word in words for path, form in by_word[word][:_MOST] if len(path) == 1]
            found += [form for form in outer if form.rule == "key-unknown"]
            found += [by_path.get(tuple(words[:length])) for length in range(2, len(words))]
            found += [by_path.get(named) for word, named in _SAID_BY_NAME if word in words]
            found.append(set_up)  # what a set-up that is not known would have said, nobody can tell
        for cause in found:
            if cause is not None:
                groups.join(cause, one)


def _path(form: Finding, sheet: _Sheet) -> tuple[str, ...]:
    """Give the names that lead to what is at fault; a key that is missing stands where its group begins."""
    path = sheet.paths.get(form.place.span, ())
    return (*path[:-1], form.key) if form.key else path


def _is_at(first: str, path: tuple[str, ...]) -> bool:
    return first in path or (first == "job" and len(path) == 1)


def _by_place(asked: list[Finding], groups: _Groups, sheet: _Sheet, rules: Mapping[str, Rule]) -> None:
    """Faults that stand at one datum are told there once, and so are those that one value was seen to cure."""
    places, values = defaultdict(list), defaultdict(list)
    for one in asked:
        if one.kind != "open" and sheet.holds(one.place) and one.rule not in _OF_KEYS:
            places[one.place].append(one)
        if one.correction:
            values[one.correction].append(one)
    for group in (*places.values(), *values.values()):
        groups.join_all(group)
    named = {one.name: one for one in reversed(asked)}
    for one in asked:
        if one.follows_from in named:  # what is settled by the same value
            groups.join(named[one.follows_from], one)


def _by_sameness(asked: list[Finding], groups: _Groups, sheet: _Sheet, rules: Mapping[str, Rule]) -> None:
    """The same rule on several things of a job, by the same data, says one thing."""
    same = defaultdict(list)
    for one in asked:
        if one.kind != "open" and one.related:
            same[one.rule, one.related].append(one)
    for group in same.values():
        groups.join_all(group)


def _by_data(asked: list[Finding], groups: _Groups, sheet: _Sheet, rules: Mapping[str, Rule]) -> None:
    """What rests on a datum that is at fault by itself follows from that fault; so does what rests on the same data."""
    faults = [one for one in asked if one.kind == "fail"][:_MOST]
    alone = {one.place: one for one in faults if not one.related and sheet.holds(one.place)}
    data = {id(one): _data(one, sheet) for one in faults}
    for one in asked:
        for cause in (alone[each.place] for each in one.related if each.place in alone):
            groups.join(cause, one)
    for one in faults:
        own = data[id(one)]
        for other in faults:
            if other is not one and len(own) >= _SHARED and own <= data[id(other)]:
                groups.join(other, one)


def _data(finding: Finding, sheet: _Sheet) -> frozenset[Place]:
    here = [finding.place, *(each.place for each in finding.related)]
    return frozenset(each for each in here if each.file == finding.place.file and sheet.holds(each))


def _by_declaration(asked: list[Finding], groups: _Groups, sheet: _Sheet, rules: Mapping[str, Rule]) -> None:
    """What a rule says of itself: that its fault follows from that of another, wherever both speak."""
    heads = {one.rule: one for one in reversed(asked) if one.kind == "fail"}
    for one in asked:
        for name in rules[one.rule].follows if one.rule in rules else ():
            if name in heads:
                groups.join(heads[name], one)


def _by_trial(asked: list[Finding], groups: _Groups, trial: Mended) -> None:
    form = next((one for one in asked if one.place == trial.place), None)
    if form is None:
        return
    for one in asked:
        if (one.rule, one.address) in trial.gone:
            groups.join(form, one)
