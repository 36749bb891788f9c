"""A job judged again with other values at its set-points: verdicts alone, and only of the rules that are asked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import lru_cache

from filmcheck.figures.figures import Figures
from filmcheck.figures.lookups import Key as Asked
from filmcheck.figures.scopes import CLASSES, WALKED, kinds_in, scopes_of
from filmcheck.judging.context import Context
from filmcheck.judging.judge import House
from filmcheck.judging.rule import Rule
from filmcheck.judging.verdict import FAILS, HOLDS, OPEN, Verdict
from filmcheck.packs.figure_needs import REGISTERS, data_behind, things_asked
from filmcheck.plant.job import Job, resolve
from filmcheck.plant.plant import Plant
from filmcheck.plant.record import Datum, Record
from filmcheck.records.value import Figured, Value
from filmcheck.windows.set_points import SetPoint, replaced, set_on

Key = tuple[str, str]
"""A rule, and the thing of which it was asked; empty where it is asked of the job."""
Verdicts = Mapping[Key, Verdict]
Change = tuple[SetPoint, Datum]


@dataclass(frozen=True, slots=True)
class Bench:
    """A sheet, its plant, and the rules by which it is judged again and again."""

    record: Record
    figures: Figures
    """Those of the sheet as it is: what another value does not touch is not worked out again."""
    plant: Plant
    house: House
    owed: list[Rule]
    data: dict[str, frozenset[str]] = field(default_factory=dict)
    """The fields of the sheet that a rule can rest on, as far as somebody asked."""
    _kept: dict[str, dict[Asked, Figured]] = field(default_factory=dict)

    @classmethod
    def of(cls, record: Record, file: str, plant: Plant, day: date, rules: Sequence[Rule], house: House) -> Bench:
        """Set up for a sheet; its stage says which rules it owes."""
        figures = Figures(resolve(record, file, plant)[0], day)
        stage = figures("job.stage")
        word = str(stage.low) if isinstance(stage, Value) else ""
        return cls(record, figures, plant, house, house.owed(rules, word))

    def verdicts(self) -> Verdicts:
        """Give what the rules that are owed say of the sheet as it is."""
        return self.trial().all(self.owed)

    def trial(self, changes: Sequence[Change] = ()) -> Trial:
        """Put other values in, and be ready to judge. Only another name has to be looked up anew."""
        if not changes:
            return Trial(Context(self.figures, self.house.limits))
        job = self.figures.job
        for point, datum in changes:
            job = self._named(job, point, datum) if point.settable.links else set_on(job, point.path, datum)
        figures = Figures(job, self.figures.today)
        first, *others = (self.kept(point) for point, _ in changes)
        kept = {key: told for key, told in first.items() if all(key in one for one in others)} if others else first
        figures.known.update(kept)
        return Trial(Context(figures, self.house.limits))

    def _named(self, job: Job, point: SetPoint, datum: Datum) -> Job:
        """Name another entry. The press alone brings stations with it."""
        found = resolve(replaced(self.record, point.path, datum), job.file, self.plant)[0]
        return found if point.settable.links == "press" else replace(found, items=job.items)

    def kept(self, point: SetPoint) -> dict[Asked, Figured]:
        """Give the figures of the sheet as it is that cannot come from a set-point."""
        found = self._kept.get(point.address)
        if found is None:
            known = self.figures.known.items()
            found = self._kept[point.address] = {key: told for key, told in known if not _touches(point, key)}
        return found


@dataclass(slots=True)
class Trial:
    """One set of values being judged; each rule is asked only once, and only when somebody asks."""

    context: Context
    _known: dict[str, Verdicts] = field(default_factory=dict)

    def verdicts(self, rule: Rule) -> Verdicts:
        """Give what a rule says of each thing that it does not simply hold for."""
        known = self._known.get(rule.id)
        if known is None:
            known = self._known[rule.id] = dict(_judged(rule, self.context))
        return known

    def all(self, rules: Sequence[Rule]) -> Verdicts:
        """Give what several rules say."""
        return {key: verdict for rule in rules for key, verdict in self.verdicts(rule).items()}


def _judged(rule: Rule, context: Context) -> Iterator[tuple[Key, Verdict]]:
    if not rule.for_each:
        things = [context]
    elif context.figures.lack(rule.for_each) is not None:
        yield (rule.id, ""), OPEN
        return
    else:
        things = [context.at(each) for kind in kinds_in(rule.for_each) for each in context.figures.things(kind)]
    for here in things:
        verdict = _verdict(rule, here)
        if verdict is not HOLDS:
            yield (rule.id, here.item.label if here.item is not None else ""), verdict


def _verdict(rule: Rule, context: Context) -> Verdict:
    applies = rule.applies.decide(context) if rule.applies is not None else HOLDS
    if applies is FAILS:
        return HOLDS
    required = rule.requires.decide(context) if rule.requires is not None else HOLDS
    return required if applies is HOLDS or required is HOLDS else applies


def may_cure(bench: Bench, rule: Rule, point: SetPoint) -> bool:
    """Whether a rule's figures can come from a set-point; of a name, from the entry that it names."""
    if not point.settable.links:
        return _hangs_on(_data(rule, bench.data), point)
    document = point.settable.links
    register = REGISTERS[document]
    head = "" if document in ("press", "stock") else f"{document.replace(' ', '_')}."
    asked = (one for condition in rule.conditions for one in condition.asked(rule.for_each))
    return any(
        where == register and field.replace(" ", "_").startswith(head)
        for name, kind in asked
        for where, field in _behind(name, kind)
    )


def looking_at(bench: Bench, point: SetPoint) -> list[Rule]:
    """Give the rules whose figures can come from a set-point; of a name, all, for its entry brings anything."""
    if point.settable.links:
        return bench.owed
    return [rule for rule in bench.owed if _hangs_on(_data(rule, bench.data), point)]


def _data(rule: Rule, known: dict[str, frozenset[str]]) -> frozenset[str]:
    """Give the fields of the sheet that a rule can rest on."""
    data = known.get(rule.id)
    if data is None:
        asked = dict.fromkeys(one for condition in rule.conditions for one in condition.asked(rule.for_each))
        fields = {name for one, kind in asked for document, name in _behind(one, kind) if document == "sheet"}
        kinds = {kind for condition in rule.conditions for kind in things_asked(condition)}
        walked = rule.for_each in WALKED or not kinds.isdisjoint(WALKED)
        data = known[rule.id] = frozenset({*fields, "path", "web"} if walked or "path" in fields else fields)
    return data


def _touches(point: SetPoint, key: Asked) -> bool:
    """Whether a figure can come from a set-point. One of a thing that holds the set-point is another thing's then."""
    name, item = (key, None) if isinstance(key, str) else key
    kind = item.kind if item is not None else ""
    if point.settable.links:
        # What is asked for by code, and what an entry of the press or the stock brings, may come from anything.
        registers = {document for document, _ in _behind(name, kind)}
        wide = point.settable.links in ("press", "stock") or "path" in _fields(name, kind)
        return wide or REGISTERS[point.settable.links] in registers or _hangs_on(_fields(name, kind), point)
    if item is not None and item.label == point.label:
        return True
    return _hangs_on(_fields(name, kind), point)


@lru_cache(maxsize=8192)
def _fields(name: str, kind: str) -> frozenset[str]:
    """Give the fields of the sheet that a figure can come from; what the stations give hangs on the web's speed too."""
    fields = {field for document, field in _behind(name, kind) if document == "sheet"}
    return frozenset({*fields, "web"} if "path" in fields else fields)


@lru_cache(maxsize=4096)
def _behind(name: str, kind: str) -> tuple[tuple[str, str], ...]:
    return data_behind(name, kind)


def _hangs_on(data: frozenset[str], point: SetPoint) -> bool:
    kind, name = point.settable.kind, point.settable.field
    if not kind:
        return any(_within(name, one) for one in data)
    if kind == "check":
        return any(_within(f"checks.{name}", one) for one in data)
    owners = {kind, *(scope for scope in scopes_of(kind) if scope in CLASSES)}
    return "path" in data or any(_within(f"{owner}.{name}", one) for owner in owners for one in data)


def _within(name: str, other: str) -> bool:
    return name == other or name.startswith(other + ".") or other.startswith(name + ".")
