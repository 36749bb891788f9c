"""Advice that holds: the nearest value that cures a finding, judged on the sheet as it would then read."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice

from filmcheck.judging.causes import Who
from filmcheck.judging.rule import Rule
from filmcheck.judging.verdict import FAILS
from filmcheck.plant.plant import Sheet, type_text
from filmcheck.plant.record import word
from filmcheck.records.finding import LEVELS, Edit, Finding
from filmcheck.records.value import Value, number
from filmcheck.units.quantity import Quantity
from filmcheck.windows.advice_words import Shut, called, for_a_repeat, no_value, otherwise, plain_words, while_it_runs
from filmcheck.windows.empty import meeting, openings
from filmcheck.windows.found import Bad, Excuse
from filmcheck.windows.gears import gear_that_fits
from filmcheck.windows.gone import gone_by, settled_by
from filmcheck.windows.offers import names_that_hold, sizes_that_hold
from filmcheck.windows.search import Search
from filmcheck.windows.set_points import SetPoint, lacking_points, set_points
from filmcheck.windows.spans import SpanError, applied
from filmcheck.windows.trial import Bench, Key
from filmcheck.windows.written_in import edits_of, line_of

MOST_TRIED = 4
"""Set-points whose windows are sought for one finding."""

MOST_LOOKED_AT = 10
"""Set-points of which it is asked whether they move the finding at all; the nearest come first."""

MOST_FAULTS = 12
"""Findings of one sheet that are looked into: a sheet with more is wrong from the ground up."""

ONE_BY_ONE = "Set this one alone and judge again: with the other values told here it does not hold."

JudgeSheet = Callable[[Sheet], Sequence[Finding]]


@dataclass(frozen=True, slots=True)
class Cure:
    """A value that was judged: on the sheet as it would then read the findings are gone, and nothing is new."""

    point: SetPoint
    text: str
    holds: str
    edits: tuple[Edit, ...]
    cures: frozenset[Who]
    clears: frozenset[Who] = frozenset()
    """What could not be told, or was borderline, and is settled with it."""

    @property
    def name(self) -> str:
        """What tells it from others: findings with the same share it."""
        return f"{self.point.address} = {self.text}"

    @property
    def says(self) -> str:
        """Say what to set, and up to where it holds."""
        line = line_of(self.point, self.text)
        where = f": write {line} on this sheet" if line else ""
        return f"Set {called(self.point)} to {self.text}{f' ({self.holds})' if self.holds else ''}{where}."


@dataclass(slots=True)
class Adviser:
    """Looks for cures of the findings of one sheet."""

    sheet: Sheet
    make_bench: Callable[[], Bench]
    judge: JudgeSheet
    before: Sequence[Finding]
    by_id: Mapping[str, Rule]
    cures: list[Cure] = field(default_factory=list)
    bench: Bench = field(init=False)
    points: Sequence[SetPoint] = ()
    apart: bool = False
    """Whether the cures that are told do not hold all at once."""
    _searches: dict[str, Search] = field(default_factory=dict)
    _first: dict[str, str] = field(default_factory=dict)
    """The name of a fault that each cure cures."""
    _judged: dict[str, tuple[frozenset[Who] | None, frozenset[Who]]] = field(default_factory=dict)

    def advise(self) -> list[Finding]:
        """Give the findings anew, those that a value cures with it."""
        wanted = sorted(
            (one for one in self.before if self._asks(one)), key=lambda one: (LEVELS.index(one.level), one.place)
        )[:MOST_FAULTS]
        if not wanted:
            return list(self.before)
        self.bench = self.make_bench()
        self.points = set_points(self.bench.figures.job, self.bench.plant)
        shut = {id(one): self._cure(one) for one in wanted}
        chosen = {id(one): self._chosen(one) for one in wanted}
        self.apart = not self._hold_together({cure.name: cure for cure in chosen.values() if cure is not None})
        told = {id(one): self._told(one, chosen[id(one)], shut[id(one)]) for one in wanted}
        return [told.get(id(one)) or self._settled(one) for one in self.before]

    def _settled(self, finding: Finding) -> Finding:
        """Note on what is no fault that with which it is settled: it follows from the fault which that value cures."""
        who = finding.rule, finding.address
        cures = (one for one in self.cures if who in one.clears and finding.kind in ("open", "review"))
        cured = [self._first[cure.name] for cure in cures if cure.name in self._first]
        return replace(finding, follows_from=cured[0]) if cured else finding

    def _asks(self, finding: Finding) -> bool:
        rule = self.by_id.get(finding.rule)
        is_judged = rule is not None and rule.requires is not None and not rule.safety
        return finding.counts and is_judged

    def _chosen(self, finding: Finding) -> Cure | None:
        """Give the cure that cures the most beside a finding."""
        cures = [one for one in self.cures if (finding.rule, finding.address) in one.cures]
        return max(cures, key=self._worth) if cures else None

    def _hold_together(self, cures: Mapping[str, Cure]) -> bool:
        """Whether cures that hold each by itself do so all at once; edits that meet cannot be tried."""
        if len(cures) < 2:
            return True
        own, put_in = ([one for one in cures.values() if bool(one.point.steps) is taken] for taken in (False, True))
        try:
            text = applied(self.sheet.text, [edit for cure in own for edit in cure.edits])
            for cure in put_in:
                text = applied(text, edits_of(text, self.sheet.file, cure.point, cure.text))
        except SpanError:
            return True
        gone = gone_by(self.before, self.judge(type_text(text, self.sheet.file, "job-sheet")))
        return gone is not None and all(cure.cures <= gone for cure in cures.values())

    def _told(self, finding: Finding, cure: Cure | None, empty: str) -> Finding:
        """Give the finding with its cure."""
        rule, empty = self.by_id[finding.rule], empty if empty or cure else self._gear(finding)
        own = plain_words(rule.instead) if cure is not None or empty else finding.instead
        past = cure.point.settable.is_past(self._stage) if cure else self._is_past(finding)
        if cure is not None and cure.point.datum.place != finding.place:
            own = otherwise(own)
        says = _joined(empty, cure.says if cure else "", ONE_BY_ONE if cure and self.apart else "", own)
        says = while_it_runs(says) if cure and self._stage == "running" and cure.point.settable.is_mounted else says
        told = replace(finding, instead=for_a_repeat(self._stage, says) if past else says, is_past=past)
        if cure is None:
            return told
        self._first.setdefault(cure.name, finding.name)
        return replace(told, edits=cure.edits, correction=cure.name)

    def _is_past(self, finding: Finding) -> bool:
        """Whether a fault of what was set, for which no value is known, has been made with all that could be set."""
        points = self._candidates(finding)
        is_set = any(point.datum.place == finding.place or point.label == finding.thing != "" for point in points)
        return (is_set or self._lacks(finding)) and all(point.settable.is_past(self._stage) for point in points)

    def _lacks(self, finding: Finding) -> bool:
        """Whether a fault stands where the job has run with something that its rule asks for and that is not told."""
        asked = {name.rpartition(".")[2] for name in self._asked_by(finding)}
        return any(
            one.datum.key_place == finding.place and one.path[-1] in asked and one.settable.is_past(self._stage)
            for one in lacking_points(self.bench.figures.job, self.bench.plant)
        )

    def _worth(self, cure: Cure) -> tuple[bool, bool, int]:
        kind = cure.point.settable
        return not kind.ordered, not kind.is_past(self._stage), len(cure.cures)

    @property
    def _stage(self) -> str:
        return word(self.sheet.record, "stage") or ""

    def _cure(self, finding: Finding) -> str:
        """Look for a cure, unless one is known; where no value of what it points at will do, say so.

        The set-points that the rule looks at are tried, the one that the finding points at first. Where a name
        cures it, other names are tried too: a wrong press or stock is told by many faults.
        """
        if any((finding.rule, finding.address) in one.cures for one in self.cures):
            return ""
        shut: Shut | None = None
        target, is_cured = _key(finding), False
        moved = (point for point in self._candidates(finding)[:MOST_LOOKED_AT] if self._search(point).moves(target))
        for point in islice(moved, MOST_TRIED):
            if is_cured and not point.settable.links:
                continue
            search = self._search(point)
            cure = self._nearest(finding, search) or self._nearest(finding, search, _but(self._tolerated(point)))
            if cure is not None:
                self.cures.append(cure)
                is_cured = True
                if not point.settable.links:
                    break
            if is_cured:
                continue
            is_here = point.datum.place == finding.place and not point.settable.ordered
            if shut is None and is_here and not point.choices:
                found = search.run()
                met = None if found.stretches else meeting(search, found, target)
                shut = (search, met) if met else None
        if shut is None or (is_cured and shut[0].point.settable.asked_for):
            return ""  # who is told what to set need not hear what the customer's own would have to be
        if is_cured:
            return no_value(shut)
        return no_value(shut, [(one, self._named(one.address)) for one in openings(shut[0], self.points, shut[1])])

    def _tolerated(self, point: SetPoint) -> Bad:
        """Give what is bad on the sheet already and need not be cured here: all that does not stand there."""
        here = {_key(one) for one in self.before if one.place == point.datum.place}
        return frozenset(key for key, verdict in self.bench.base.items() if verdict is FAILS and key not in here)

    def _named(self, address: str) -> str:
        return called(next(point for point in self.points if point.address == address))

    def _gear(self, finding: Finding) -> str:
        """Where a geared tool is at fault and no entry of the register fits, say what one must have."""
        if not any(name.endswith("repeat_error") for name in self._asked_by(finding)):
            return ""
        limit = self.bench.house.limits["repeat_fit"].value
        unit = next((point.unit for point in self.points if point.address == "layout.label.around"), "mm")
        return gear_that_fits(self.bench.figures, limit.low, unit) if limit is not None else ""

    def _candidates(self, finding: Finding) -> list[SetPoint]:
        """Give the set-points that the rule reads: that at which the finding stands first, then what it rests on.

        What it rests on stands beside it as evidence; where there is none, it is the set-points of the thing itself.
        Names, and what the customer asks for, are only offered where the finding rests on them; a note is no reason to
        change what is asked for.
        """
        rule = self.by_id[finding.rule]
        thing = finding.address.split("/")[1] if finding.address.count("/") > 1 else ""
        behind = {finding.place, *(related.place for related in finding.related)}
        files, read = {place.file for place in behind}, self.bench.reads.get(rule.id, 0)

        def is_behind(point: SetPoint) -> bool:
            if point.datum.place in behind:
                return True
            link = point.settable.links
            if link:
                is_lacking = link == "press" and "its.on_press" in self._asked_by(finding)
                return self._file_of(link) in files or is_lacking
            return not finding.related and point.label == thing

        def may_be(point: SetPoint) -> bool:
            kind, is_here = point.settable, point.datum.place == finding.place
            is_open = kind.advised == "anywhere" or (kind.advised == "here" and is_here)
            is_open = is_open and rule.for_each not in kind.counts
            is_wide = kind.links or kind.asked_for
            is_open = is_open and not (kind.asked_for and finding.level == "note")
            return is_open and bool(read & self.bench.behind(point)) and (is_behind(point) or not is_wide)

        return sorted(
            filter(may_be, self.points),
            key=lambda point: (
                point.settable.ordered,
                point.settable.is_past(self._stage),
                point.datum.place != finding.place,
                not is_behind(point),
                not point.label or point.label != thing,
                bool(point.settable.links),
                point.settable.asked_for,
            ),
        )

    def _asked_by(self, finding: Finding) -> set[str]:
        """Name the figures that decided on a finding."""
        return self.bench.trial([]).figures_of(self.by_id[finding.rule], finding.thing)

    def _file_of(self, document: str) -> str:
        """Give the file of the register entry that the sheet names; empty where there is none."""
        entry = self.bench.figures.documents[document].record
        return entry.file if entry is not None else ""

    def _search(self, point: SetPoint) -> Search:
        if point.address not in self._searches:
            self._searches[point.address] = Search(self.bench, point, finer=1)
        return self._searches[point.address]

    def _nearest(self, finding: Finding, search: Search, relaxed: Excuse | None = None) -> Cure | None:
        curing, is_here = _key(finding), search.point.datum.place == finding.place
        offers = (
            names_that_hold(search.run(relaxed=relaxed, curing=curing))
            if search.point.choices
            else sizes_that_hold(search, search.nearest(curing, relaxed), curing, is_here)
        )
        for text, holds in offers:
            if not self._is_of_die(search.point, text):
                continue
            edits, gone, clears = self._with(search.point, text)
            if gone is not None and (finding.rule, finding.address) in gone:
                return Cure(search.point, text, holds, edits, gone, clears)
        return None

    def _is_of_die(self, point: SetPoint, text: str) -> bool:
        """Whether a size of the label is that of the die, where this has one: no other can be cut with it."""
        cut = self.bench.figures(f"die.{point.address.removeprefix('layout.')}") if point.settable.ordered else None
        datum = point.with_text(text) if isinstance(cut, Value) else None
        if datum is None or not isinstance(cut, Value) or not isinstance(datum.content, Quantity):
            return True
        fit = self.bench.house.limits["label_fit"].value
        return fit is None or abs(datum.content.high - number(cut.high)) <= fit.high

    def _with(self, point: SetPoint, text: str) -> tuple[tuple[Edit, ...], frozenset[Who] | None, frozenset[Who]]:
        """Judge the sheet as it would read: what faults are gone, or None where one is new; and what is settled."""
        try:
            edits = edits_of(self.sheet.text, self.sheet.file, point, text)
            changed = applied(self.sheet.text, edits)
        except SpanError:
            return (), None, frozenset()
        name = f"{point.address} = {text}"
        if name not in self._judged:
            after = self.judge(type_text(changed, self.sheet.file, "job-sheet"))
            self._judged[name] = gone_by(self.before, after), settled_by(self.before, after)
        return edits, *self._judged[name]


def _but(standing: Bad) -> Excuse:
    """Take from what is bad that which is bad on the sheet already."""
    return lambda bad: bad - standing


def _key(finding: Finding) -> Key:
    """Give the rule and the thing of which a finding tells."""
    return finding.rule, finding.thing


def _joined(*texts: str) -> str:
    return " ".join(text for text in texts if text)
