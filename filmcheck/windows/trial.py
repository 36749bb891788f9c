"""A job judged again with other values at its set-points: verdicts alone, and only of the rules that are asked."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from functools import reduce
from operator import or_
from typing import Any

from filmcheck.figures.figures import Figures
from filmcheck.judging.comparison import Compared, Near
from filmcheck.judging.context import Context
from filmcheck.judging.expression import Expression
from filmcheck.judging.house import House
from filmcheck.judging.judge import asked_of, owed, verdicts
from filmcheck.judging.rule import Rule
from filmcheck.judging.verdict import HOLDS, Evidence, Verdict
from filmcheck.judging.wording import related
from filmcheck.plant.job import Document, Job, resolve
from filmcheck.plant.plant import Plant
from filmcheck.plant.record import Datum, Record
from filmcheck.records.place import Place
from filmcheck.windows.reads import PRESS, NotedFigures, Read
from filmcheck.windows.set_points import SetPoint, replaced

Key = tuple[str, str]
"""A rule, and the thing of which it was asked; empty where it is asked of the job."""
Verdicts = Mapping[Key, Verdict]
Change = tuple[SetPoint, Datum]
Put = tuple[dict[str, Any], str, Any]
"""The fields of a record or the documents of a job, a name among them, and what is put there."""


@dataclass(frozen=True, slots=True)
class Bench:
    """A sheet, its plant, and the rules by which it is judged again and again."""

    record: Record
    figures: NotedFigures
    """Those of the sheet as it is: what another value does not touch is not worked out again."""
    plant: Plant
    house: House
    owed: list[Rule]
    by_id: dict[str, Rule]
    base: dict[Key, Verdict] = field(default_factory=dict)
    """What the rules that are owed say of the sheet as it is."""
    reads: dict[str, Read] = field(default_factory=dict)
    """What each of them reads; the press is read by all."""
    _left: dict[Read, Figures] = field(default_factory=dict)
    _entries: dict[tuple[str, str], Document] = field(default_factory=dict)

    @classmethod
    def of(cls, record: Record, file: str, plant: Plant, day: date, rules: Sequence[Rule], house: House) -> Bench:
        """Set up for a sheet, and judge it as it is; its stage says which rules it owes."""
        figures = NotedFigures(resolve(record, file, plant)[0], day)
        due = owed(figures, rules, house)
        bench = cls(record, figures, plant, house, due, {rule.id: rule for rule in due})
        context = Context(figures, house.limits)
        for rule in bench.owed:
            said, read = figures.log.during(_judged, rule, context)
            bench.base.update(said)
            bench.reads[rule.id] = read | PRESS
        return bench

    def looking_at(self, point: SetPoint) -> dict[str, Rule]:
        """Give the rules that another value at a set-point can move, by their ids."""
        changed = self.behind(point)
        return {rule: self.by_id[rule] for rule, read in self.reads.items() if read & changed}

    def behind(self, point: SetPoint) -> Read:
        """Give what another value at a set-point changes: the datum, and the entry that it names."""
        link = point.settable.links
        if link == "press":
            return PRESS
        bit = self.figures.log.bit
        shared = reduce(or_, (bit(one.datum) for one in point.shared), 0)
        return bit(point.datum) | shared | (bit(self.figures.documents[link]) if link else 0)

    def trial(self, changes: Sequence[Change]) -> Trial:
        """Be ready to judge with other values. What they do not change is not worked out again.

        Another press is tried alone, for its path is another, on which the others need not stand.
        """
        if any(point.settable.links == "press" for point, _ in changes):
            (press,) = changes
            return Trial(Context(Figures(self._resolved(*press), self.figures.today), self.house.limits))
        figures = Figures(self.figures.job, self.figures.today)
        changed = reduce(or_, (self.behind(point) for point, _ in changes), 0)
        if changed not in self._left:
            self._left[changed] = self.figures.untouched(changed)
        figures.take_over(self._left[changed])
        puts = tuple(put for change in changes for put in self._puts(*change))
        return Trial(Context(figures, self.house.limits), puts)

    def _puts(self, point: SetPoint, datum: Datum) -> Iterator[Put]:
        """Give what is put where for another value: the datum, and the entry that it names."""
        for one in (point, *point.shared):
            here: Any = self.figures.job.sheet
            for step in one.path[:-1]:
                here = here.items[step] if isinstance(step, int) else here.fields[step]
            yield here.fields, str(one.path[-1]), datum
        link = point.settable.links
        if link:
            named = link, datum.text
            if named not in self._entries:
                self._entries[named] = self._resolved(point, datum).documents[link]
            yield self.figures.noted_documents, link, self._entries[named]

    def _resolved(self, point: SetPoint, datum: Datum) -> Job:
        return resolve(replaced(self.record, point.path, datum), self.figures.job.file, self.plant)[0]


@dataclass(slots=True)
class Trial:
    """One set of values being judged; each rule is asked only once, and only when somebody asks.

    The values stand on the bench's own copy of the sheet while a rule is judged, and are taken off again.
    """

    context: Context
    puts: tuple[Put, ...] = ()
    _known: dict[str, Verdicts] = field(default_factory=dict)

    def all(self, rules: Collection[Rule]) -> Verdicts:
        """Give what rules say of each thing that they do not simply hold for."""
        new = [rule for rule in rules if rule.text.id not in self._known]
        if new:
            with self._put_on():
                self._known.update((rule.text.id, _judged(rule, self.context)) for rule in new)
        return {key: verdict for rule in rules for key, verdict in self._known[rule.text.id].items()}

    def shortfall(self, rule: Rule, thing: str) -> float:
        """Give by how much the figures behind a verdict are off what the rule asks of a thing, as shares summed up."""
        with self._put_on():
            tests = self._tests(rule, thing)
            return sum(one.condition.off(one.context) for one in tests if isinstance(one.condition, Compared | Near))

    def asks_nearness(self, rule: Rule, thing: str) -> bool:
        """Whether what decides is that a figure be near another."""
        with self._put_on():
            return any(isinstance(one.condition, Near) for one in self._tests(rule, thing))

    def asked_at(self, rule: Rule, thing: str, but: Place) -> tuple[Place, ...]:
        """Give where that stands, but for one place, which a rule holds a thing against, right of a comparison."""
        found: list[Place] = []
        with self._put_on():
            for condition, context in self._tests(rule, thing):
                sides = condition.expressions
                found += _places(sides[1:], context, but) or _places(sides, context, but)
        return tuple(found)

    def figures_of(self, rule: Rule, thing: str) -> set[str]:
        """Name the figures that decided what a rule says of a thing."""
        with self._put_on():
            sides = [side for test in self._tests(rule, thing) for side in test.condition.expressions]
        return {name for side in sides for name in side.names}

    def _tests(self, rule: Rule, thing: str) -> list[Evidence]:
        here = (one for one in asked_of(rule, self.context) if _label(one) == thing)
        return [test for one in here if rule.requires is not None for test in rule.requires.explain(one).evidence]

    @contextmanager
    def _put_on(self) -> Iterator[None]:
        before = [(fields, name, dict.__getitem__(fields, name)) for fields, name, _ in self.puts]
        for fields, name, value in self.puts:
            fields[name] = value
        try:
            yield
        finally:
            for fields, name, value in before:
                fields[name] = value


def _judged(rule: Rule, context: Context) -> Verdicts:
    return {(rule.id, _label(here)): said for here, said in verdicts(rule, context) if said is not HOLDS}


def _places(sides: Iterable[Expression], context: Context, but: Place) -> list[Place]:
    data = [one.place for side in sides for one in related(context, side.names)]
    limits = [context.limits[name].place for side in sides for name in side.limit_names]
    return [place for place in data + limits if place != but]


def _label(context: Context) -> str:
    return context.item.label if context.item is not None else ""
