"""Proves rules: runs the cases of each, and looks whether every one of its conditions is noticed by a case."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from filmcheck.figures.figures import Figures
from filmcheck.judging.condition import Condition
from filmcheck.judging.house import House
from filmcheck.judging.job_summary import summarise
from filmcheck.judging.judge import KINDS, judge_job, reading_faults, verdicts_of
from filmcheck.judging.other_jobs import standings
from filmcheck.judging.permits import Permitted, claims
from filmcheck.judging.pointing import REGISTER
from filmcheck.judging.repository import Repository
from filmcheck.judging.rule import VERDICTS, Case, Rule
from filmcheck.judging.verdict import Verdict
from filmcheck.packs.house import settle
from filmcheck.packs.proof_reader import sound_sheet
from filmcheck.plant.job import Job, resolve
from filmcheck.plant.plant import (
    PERMITS,
    SETTINGS_FILE,
    Plant,
    Sheet,
    load_plant,
    read_sheet,
    settings_above,
    type_text,
)
from filmcheck.proving.mutants import mutants
from filmcheck.proving.sheet_edits import EditError, Workpiece
from filmcheck.reading.nodes import Entry, Fault, FileFault, Scalar
from filmcheck.reading.nodes import Mapping as Tree
from filmcheck.reading.text_file import decode
from filmcheck.records.finding import Finding, lack_parts
from filmcheck.records.place import Place

PROVING_DAY = date(2026, 11, 25)
"""Today for every proof, so that a proof never depends on the day on which it runs."""

OF_A_CHANGE = ("key-missing", "name-unknown")
"""What a change makes of a sheet that leaves a key out or names another press: a case need not name it under also."""


@dataclass(frozen=True)
class Unproved:
    """A proof that did not come out: where, and the difference between what was wanted and what came."""

    rule: str
    place: Place
    says: str


@dataclass
class Prepared:
    """A case, its sheet made ready to be judged as often as needed."""

    case: Case
    workpiece: Workpiece | None
    figures: Figures
    faults: tuple[FileFault, ...]
    readable: bool
    """Whether the sheet is a group of keys; one that is not is never judged."""
    plant: Plant
    beside: Figures | None = None
    """Those of the other job."""


class Prover:
    """Runs the proofs of rules; sound sheets and their plants are read once."""

    def __init__(
        self,
        rules: tuple[Rule, ...],
        house: House,
        condition_keys: Mapping[int, tuple[Condition, Place]] | None = None,
        known: Iterable[Rule] = (),
    ) -> None:
        """Take every rule of the run, for a case must also stay silent on the others; where conditions stand; and
        the rules that a deviation permit may speak of besides.
        """
        self.rules = rules
        self.house = house
        self._keys = condition_keys or {}
        self._known = {rule.id: rule for rule in (*known, *rules)}
        self._sound: dict[Path, tuple[Job, Sheet, Plant]] = {}
        self._before: dict[Path, frozenset[str]] = {}

    def prove(self, rules: Iterable[Rule]) -> list[Unproved]:
        """Prove some rules; an empty list means that all is proved."""
        return [unproved for rule in rules for unproved in self.prove_rule(rule)]

    def prove_rule(self, rule: Rule) -> list[Unproved]:
        """Run the cases of a rule, then its mutants."""
        failures: list[Unproved] = []
        prepared: list[Prepared] = []
        for case in rule.cases:
            try:
                ready = self._prepare(case)
            except EditError as error:
                failures.append(Unproved(rule.id, case.place, f"case '{case.name}' cannot be made: {error}"))
                continue
            prepared.append(ready)
            failures += [
                Unproved(rule.id, case.place, f"case '{case.name}': {says}") for says in self._run(rule, ready)
            ]
        return failures or self._unnoticed(rule, prepared)

    def _unnoticed(self, rule: Rule, prepared: list[Prepared]) -> list[Unproved]:
        wanted = [(VERDICTS[ready.case.verdict], self._levels(rule, ready)) for ready in prepared]
        found = []
        for what, about, mutant in mutants(rule):
            came = ((self._kind(mutant, ready), self._levels(mutant, ready)) for ready in prepared)
            if all(one == want for one, want in zip(came, wanted, strict=True)):
                says = f"unproved condition: no case notices when this is {what}"
                found.append(Unproved(rule.id, self._keys.get(id(about), (about, rule.place))[1], says))
        return found

    def _kind(self, rule: Rule, ready: Prepared) -> str:
        """Give the verdict of a rule over all things that it judged, the gravest first."""
        if rule.beside is not None:
            return self._with_another(rule, ready)[0]
        came = verdicts_of(ready.figures, [rule], self.house).get(rule.id, set()) if ready.readable else set()
        return next((kind for verdict, kind in KINDS.items() if verdict in came), "notApplicable")

    def _levels(self, rule: Rule, ready: Prepared) -> set[str]:
        """Give how grave its faults are told, where that is asked of a rule: one level is all that others have."""
        if not ready.case.level:
            return set()
        return {one.level for one in judge_job(ready.figures, [rule], self.house) if one.kind == "fail"}

    def _with_another(self, rule: Rule, ready: Prepared) -> tuple[str, list[Finding]]:
        """Hold a job against the other job of its case, by a rule on other jobs; tell what is said of the first."""
        own = summarise(ready.figures, standings(ready.figures, [rule], self.house))
        repository = Repository(ready.plant, [rule.head], self.house)
        repository.add(own)
        if ready.beside is not None:
            other = summarise(ready.beside, standings(ready.beside, [rule], self.house))
            # It comes of the same file, and so that the job itself tells, it stands before it.
            repository.add(other._replace(number="other", place=other.place._replace(file="")))
        found = [one for one in repository.of_other_jobs() if one.place.file]
        applies = any(standing.applies != "fails" for standing in own.others)
        return (found[0].kind if found else "pass" if applies else "notApplicable"), found

    def _failing(self, figures: Figures) -> set[str]:
        came = verdicts_of(figures, self.rules, self.house)
        return {rule for rule, verdicts in came.items() if Verdict.FAILS in verdicts}

    def _run(self, rule: Rule, ready: Prepared) -> list[str]:
        case = ready.case
        told = [(file, fault) for file, fault in ready.faults if fault.id == rule.id]
        if rule.requires is None and rule.beside is None:
            kind = "fail" if told else "pass"
            places = [Place(file, fault.span) for file, fault in told]
            texts = [f"{fault.says} {fault.hint}" for _, fault in told]
        else:
            own = judge_job(ready.figures, [rule], self.house, passes=True) if ready.readable else []
            own += self._with_another(rule, ready)[1] if rule.beside is not None else []
            kind = self._kind(rule, ready)
            places = [finding.place for finding in own if finding.kind == kind]
            texts = [
                f"{finding.says} {finding.instead}"
                + (f"; lacks {', '.join(map(_lacking, finding.missing))}" if finding.missing else "")
                for finding in own
                if finding.kind == kind
            ]
        wanted = VERDICTS[case.verdict]
        if kind != wanted:
            # What is wrong with the changed sheet itself says best why; that a rule does not apply has no words at all.
            texts = [_slip(fault) for _, fault in ready.faults if rule.requires is not None] or texts
            came = next(word for word, verdict in VERDICTS.items() if verdict == kind)
            idle = not (
                case.change or case.without or case.insert or case.sheet_text or case.settings_text or case.beside
            )
            texts += ["the case changes nothing on the sound sheet"] if idle else []
            return [f"wanted {case.verdict}, came {came}" + (f": {'; '.join(texts)}" if texts else "")]
        levels = self._levels(rule, ready)
        if levels - {case.level}:
            return [f"wanted level {case.level}, came {', '.join(sorted(levels))}"]
        fired = dict.fromkeys(self._failing(ready.figures), "") if ready.readable else {}
        fired |= {fault.id: _slip(fault) for _, fault in ready.faults}
        # A case that gives an entry odd numbers is told so there too, and need not name that.
        of_entries = {one.id for one in self.rules if one.at == REGISTER} - {*case.also}
        fired = {name: slip for name, slip in fired.items() if name not in of_entries}
        return [*_differences(case, ready, places, texts), *_others(rule, case, fired, self._fired_before(case))]

    def _fired_before(self, case: Case) -> frozenset[str]:
        """Give the rules that fire on the sheet unchanged: a strict house finds something on the shipped one."""
        path = sound_sheet(case.place.file, case.sheet)
        if path not in self._before:
            self._before[path] = frozenset(self._failing(Figures(self._sound_sheet(path)[0], PROVING_DAY)))
        return self._before[path]

    def _prepare(self, case: Case) -> Prepared:
        path = sound_sheet(case.place.file, case.sheet)
        if case.sheet_text:
            return self._prepare_text(case, path)
        job, sheet, plant = self._sound_sheet(path)
        changes = [key.text for key, _ in case.change.entries.values()] if case.change else []
        workpiece = Workpiece.of(job, sheet, plant, [*changes, *case.without])
        for key, value in case.change.entries.values() if case.change else ():
            workpiece.put(key.text, value, Scalar(key.text.rpartition(".")[2], key.text.rpartition(".")[2], key.span))
        for insert in case.insert:
            workpiece.insert(*_station(insert.entries))
        for address in case.without:
            workpiece.put(address, None)
        changed, changed_plant = workpiece.finished()
        return self._ready(case, workpiece, changed, changed_plant)

    def _prepare_text(self, case: Case, path: Path) -> Prepared:
        _, sheet, plant = self._sound_sheet(path)
        text = decode(case.sheet_text.encode())
        return self._ready(case, None, type_text(text, sheet.file, "job-sheet"), plant)

    def _ready(self, case: Case, workpiece: Workpiece | None, sheet: Sheet, plant: Plant) -> Prepared:
        job, resolving = resolve(sheet.record, sheet.file, plant)
        figures = Figures(job, PROVING_DAY)
        own = tuple((sheet.file, fault) for fault in sheet.faults)
        faults = (*own, *resolving, *reading_faults(figures), *plant.faults, *self._settings_faults(case))
        made = claims(job, plant.registers.get(PERMITS))
        if made:
            named = [self._known[claim.permit.rule] for claim in made if claim.permit.rule in self._known]
            judged = judge_job(figures, named, self.house, passes=True)
            heads = {name: rule.head for name, rule in self._known.items()}
            faults = (*faults, *Permitted(figures, made, heads).faults(judged))
        beside = self._prepare(case.beside) if case.beside is not None else None
        faults = (*faults, *(beside.faults if beside is not None else ()))
        readable = isinstance(sheet.tree, Tree)
        return Prepared(case, workpiece, figures, faults, readable, plant, beside.figures if beside else None)

    def _settings_faults(self, case: Case) -> tuple[FileFault, ...]:
        if not case.settings_text:
            return ()
        settings = type_text(decode(case.settings_text.encode()), SETTINGS_FILE, "plant")
        own = tuple((settings.file, fault) for fault in settings.faults)
        return (*own, *settle(settings.record, [rule.head for rule in self.rules], self.house.limits)[1])

    def _sound_sheet(self, path: Path) -> tuple[Job, Sheet, Plant]:
        if path not in self._sound:
            if not path.is_file():
                raise EditError(f"the sound sheet {path.name} is not there")
            plant = load_plant(settings_above(path.parent))
            sheet = read_sheet(path, "job-sheet")
            job, _ = resolve(sheet.record, sheet.file, plant)
            self._sound[path] = (job, sheet, plant)
        return self._sound[path]


def _station(entries: dict[str, Entry]) -> tuple[Tree, str, str]:
    texts = {name: entry.value.text for name, entry in entries.items() if isinstance(entry.value, Scalar)}
    station = entries["station"].value
    if not isinstance(station, Tree):
        raise EditError("a station is a mapping, such as {turn bar: {}}")
    return station, texts.get("before", ""), texts.get("after", "")


def _differences(case: Case, ready: Prepared, places: list[Place], texts: list[str]) -> list[str]:
    found = []
    if case.says and not any(case.says in text for text in texts):
        found.append(f"wanted the words '{case.says}', came: {'; '.join(texts)}")
    if case.at and ready.workpiece is not None:
        try:
            allowed = ready.workpiece.place(case.at, ready.figures.job)
        except EditError as error:
            return [*found, f"at: {error}"]
        if not any(place in allowed for place in places):
            came = ", ".join(ready.workpiece.called(place, ready.figures.job) for place in places)
            found.append(f"wanted it at {case.at}, came at {came}")
    return found


def _lacking(text: str) -> str:
    """Name what is lacking without its place, which a case that changes the sheet cannot tell."""
    name, place = lack_parts(text)
    return f"{name} of the other job" if place.startswith(":") else name


def _slip(fault: Fault) -> str:
    return f"the changed sheet is at fault: {fault.says.rstrip('.')} ({fault.id})"


def _others(rule: Rule, case: Case, fired: dict[str, str], before: frozenset[str]) -> list[str]:
    extra = fired.keys() - before - {rule.id, *case.also, *OF_A_CHANGE}
    lacking = set(case.also) - fired.keys()
    slips = [fired[name] for name in sorted(extra) if fired[name]]
    judged = ", ".join(sorted(name for name in extra if not fired[name]))
    found = [*slips, *([f"also fired, without being named under also: {judged}"] if judged else [])]
    return found + ([f"named under also, but silent: {', '.join(sorted(lacking))}"] if lacking else [])
