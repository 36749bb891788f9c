"""Judges one job by the rules: each verdict becomes a finding with its numbers, its places and the way out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from filmcheck.figures.figures import Figures
from filmcheck.figures.scopes import kinds_in
from filmcheck.judging.conditions import Compared, Here, IsGiven, Near, OneOf, Things
from filmcheck.judging.decisions import Decider
from filmcheck.judging.expression import Expression, LimitName
from filmcheck.judging.limit import Limit
from filmcheck.judging.reasons import reason
from filmcheck.judging.rule import Rule
from filmcheck.judging.scene import Scene
from filmcheck.judging.template import complete, fields, fill
from filmcheck.judging.verdict import HOLDS, Evidence, Outcome, Verdict
from filmcheck.judging.wording import Units, arithmetic, related
from filmcheck.plant.job import LINKS, Item, Job
from filmcheck.plant.record import Datum, Field, Listing, Record, deepest, find
from filmcheck.records.finding import BELONGS, Finding, Kind, Level, Related
from filmcheck.records.place import Place
from filmcheck.records.value import Missing, Need, Value

_KINDS: dict[Verdict, Kind] = {
    Verdict.HOLDS: "pass",
    Verdict.FAILS: "fail",
    Verdict.OPEN: "open",
    Verdict.REVIEW: "review",
}
DAYS = ("job.day", "job.date", "job.today")
"""Days to which ages are counted: what is old is at fault, not the day of the job."""
MOST_SUMS = 8


@dataclass(frozen=True, slots=True)
class House:
    """What a plant has settled about the rules: limits, levels, units, and rules that it does not use."""

    limits: dict[str, Limit]
    units: Units = field(default_factory=dict)
    levels: dict[str, Level] = field(default_factory=dict)
    switched_off: frozenset[str] = frozenset()
    by_stage: dict[str, tuple[Sequence[Rule], list[Decider]]] = field(default_factory=dict, compare=False, repr=False)

    def owed(self, rules: Sequence[Rule], stage: str) -> list[Rule]:
        """Give the rules that a sheet at a stage must meet."""
        return [
            rule
            for rule in rules
            if rule.requires is not None and rule.id not in self.switched_off and rule.owed_at(stage)
        ]

    def deciders(self, rules: Sequence[Rule], stage: str) -> list[Decider]:
        """Give the short roads of the rules owed at a stage, made once for all jobs that are judged by these rules."""
        known = self.by_stage.get(stage)
        if known is None or known[0] is not rules:
            known = self.by_stage[stage] = (rules, [Decider(rule, self.limits) for rule in self.owed(rules, stage)])
        return known[1]


def judge_job(figures: Figures, rules: Sequence[Rule], house: House, *, passes: bool = False) -> list[Finding]:
    """Judge a job by every rule that its stage owes; passes are only put into words when asked for."""
    stage = figures("job.stage")
    word = str(stage.low) if isinstance(stage, Value) else ""
    scene = Scene(figures, house.limits)
    if passes:
        return [finding for rule in house.owed(rules, word) for finding in _findings(rule, scene, house, passes=passes)]
    unsettled = [short.rule for short in house.deciders(rules, word) if not short.is_settled(figures)]
    return [finding for rule in unsettled for finding in _findings(rule, scene, house, passes=False)]


def _findings(rule: Rule, scene: Scene, house: House, *, passes: bool) -> Iterator[Finding]:
    for here, outcome in _outcomes(rule, scene):
        if outcome is not None and (passes or outcome.verdict is not Verdict.HOLDS):
            yield _finding(rule, here, outcome, house)


def _outcomes(rule: Rule, scene: Scene) -> Iterable[tuple[Scene, Outcome | None]]:
    if not rule.for_each:
        yield scene, _outcome(rule, scene)
        return
    lack = scene.figures.lack(rule.for_each)
    if lack is not None:
        yield scene, Outcome(Verdict.OPEN, (), lack.needs)
        return
    for kind in kinds_in(rule.for_each):
        for thing in scene.figures.things(kind):
            here = scene.at(thing)
            yield here, _outcome(rule, here)


def _outcome(rule: Rule, scene: Scene) -> Outcome | None:
    """Give the verdict, or None where the rule does not apply."""
    applies = rule.applies.judge(scene) if rule.applies else HOLDS
    if applies.verdict is Verdict.FAILS:
        return None
    outcome = rule.requires.judge(scene) if rule.requires else HOLDS
    if applies.verdict is Verdict.HOLDS or outcome.verdict is Verdict.HOLDS:
        return outcome
    # Whether the rule speaks at all cannot be told, and it would have something to say.
    return Outcome(applies.verdict, (*applies.evidence, *outcome.evidence), applies.needs)


def _finding(rule: Rule, scene: Scene, outcome: Outcome, house: House) -> Finding:
    kind = _KINDS[outcome.verdict]
    why = reason(outcome, house.units) if kind in ("fail", "review") else ""
    places = _places(outcome)
    place = _place(rule, scene, outcome, places)
    level: Level = house.levels.get(rule.id, rule.level) if kind == "fail" else "none"
    return Finding(
        rule=rule.id,
        level=level,
        kind=kind,
        place=place,
        says=_says(rule, scene, outcome, house, why),
        address=_address(rule, scene),
        job=scene.figures.job.name,
        arithmetic=_sums(outcome, house) if kind != "open" else (),
        instead=_instead(rule, scene, house) if kind in ("fail", "review") else "",
        because=rule.text.because if kind in ("fail", "review") else "",
        basis=_basis(rule, scene, house) if kind != "open" else "",
        caution=rule.text.caution if kind in ("fail", "review") else "",
        missing=tuple(_wanted(need) for need in outcome.needs),
        related=(*[p for p in places if p.place != place], *_limit_places(outcome, scene)),
    )


def _says(rule: Rule, scene: Scene, outcome: Outcome, house: House, why: str) -> str:
    if outcome.verdict is Verdict.OPEN:
        return f"cannot tell: {rule.text.title[:1].lower()}{rule.text.title[1:]}"
    if outcome.verdict is Verdict.HOLDS:
        return f"checked: {rule.text.title[:1].lower()}{rule.text.title[1:]}"
    said = fill(rule.says, scene, house.units, why)
    told = {name for field in fields(rule.says) for name in field.names}
    asked = {name for evidence in outcome.evidence for field in _expressions(evidence) for name in field.names}
    # What is borderline is told with its numbers, unless the rule's own words have them already.
    return f"{said} ({why})" if outcome.verdict is Verdict.REVIEW and not asked <= told and why not in said else said


def _instead(rule: Rule, scene: Scene, house: House) -> str:
    """Give the way out; one whose numbers cannot be worked out is left without its empty figures."""
    return fill(rule.instead, scene, house.units) if complete(rule.instead, scene) else ""


def _places(outcome: Outcome) -> tuple[Related, ...]:
    """Give the places of all data behind a verdict; each test is asked in the scene in which it was made."""
    found: dict[Place, Related] = {}
    for evidence in outcome.evidence:
        names = [name for expression in _expressions(evidence) for name in expression.names]
        for place in related(evidence.scene, names):
            found.setdefault(place.place, place)
    return tuple(found.values())


def _expressions(evidence: Evidence) -> tuple[Expression, ...]:
    condition = evidence.condition
    if isinstance(condition, Compared):
        return (condition.left, condition.right)
    if isinstance(condition, Near):
        return (condition.left, condition.right, condition.tolerance)
    if isinstance(condition, OneOf):
        return (condition.left, *condition.choices)
    return (condition.left,) if isinstance(condition, IsGiven) else ()


def _sums(outcome: Outcome, house: House) -> tuple[str, ...]:
    lines: dict[str, None] = {}
    for evidence in outcome.evidence:
        names = [name for expression in _expressions(evidence) for name in expression.names]
        lines.update(dict.fromkeys(arithmetic(evidence.scene, names, house.units)))
    return tuple(lines)[-MOST_SUMS:]  # the innermost come first and give way


def _place(rule: Rule, scene: Scene, outcome: Outcome, places: tuple[Related, ...]) -> Place:
    """Point at the datum on the job sheet that decided; else at the thing judged; else where the datum belongs."""
    job = scene.figures.job
    if rule.at:
        return address_place(job, scene.item, rule.at)
    for evidence in outcome.evidence:
        here = evidence.scene
        names = [name for expression in _expressions(evidence) for name in expression.names]
        own = related(here, sorted(names, key=DAYS.__contains__))
        for found in own:
            if found.place.file == job.file:
                return found.place
        if isinstance(evidence.condition, (Here, Things)) and here.item is not None:
            return here.item.place
        if own:
            return _naming(job, own[0].place) or own[0].place
        beside = _beside(evidence)
        if beside is not None and beside.file == job.file:
            return beside
    if outcome.needs and outcome.needs[0].place is not None and outcome.needs[0].place.file == job.file:
        return outcome.needs[0].place
    if scene.item is not None:
        return scene.item.place
    return deepest(job.sheet, ("path",)) if find(job.sheet, ("path",)) else job_place(job)


def _beside(evidence: Evidence) -> Place | None:
    """Give a place for a test that has no datum: its thing, the station it looks from, where the datum belongs."""
    condition, scene = evidence
    if isinstance(condition, Things) and condition.quantity in ("some", "count") and condition.position is not None:
        station = condition.position.anchors[0].find(scene)
        return station.place if station is not None else None
    if isinstance(condition, IsGiven):
        found = condition.left.work(scene)
        return found.needs[0].place if isinstance(found, Missing) and found.needs else None
    plain = isinstance(condition, (Compared, Near, OneOf))
    return scene.item.place if plain and scene.item is not None else None


def _naming(job: Job, place: Place) -> Place | None:
    """Find where the sheet names the register entry that a place belongs to."""
    for name, (path, _, _) in LINKS.items():
        record = job.documents[name].record
        named = find(job.sheet, path)
        if record is not None and isinstance(named, Datum) and _holds(record, place):
            return named.place
    return None


def _holds(field: Field, place: Place) -> bool:
    """Whether a place is that of a datum within a record. A span alone would not tell: proofs put data in from afar."""
    if isinstance(field, Datum):
        return field.place == place
    inner = field.fields.values() if isinstance(field, Record) else field.items if isinstance(field, Listing) else ()
    return any(_holds(part, place) for part in inner)


def job_place(job: Job) -> Place:
    """Give the place of the job's number, which stands for the whole sheet."""
    number = job.sheet.fields.get("job")
    return number.place if number is not None else job.sheet.place


def address_place(job: Job, item: Item | None, address: str) -> Place:
    """Give the place of an address on the sheet: a datum, or the innermost record on the way to it."""
    path = tuple(address.split("."))
    if path[0] == "its" and item is not None:
        for record in item.records:
            found = find(record, path[1:])
            if found is not None and found.place.file == job.file:
                return found.place if isinstance(found, Datum) else found.key_place
        return item.place
    found = find(job.sheet, path)
    if isinstance(found, Datum):
        return found.place
    near = deepest(job.sheet, path)
    return near if near != job.sheet.key_place else job_place(job)


def _address(rule: Rule, scene: Scene) -> str:
    """Name the datum within the sheet by what it is, so that the name stays when lines move."""
    where = f"path/{scene.item.label}" if scene.item is not None else "job"
    return f"{where}/{rule.id}"


def _basis(rule: Rule, scene: Scene, house: House) -> str:
    cited = [house.limits[name] for name in rule.limits if name in house.limits]
    texts = []
    for limit in cited:
        value = limit.value.text if limit.value else ", ".join(f"{w} {q.text}" for w, q in limit.table.items())
        texts.append(f"{limit.name.replace('_', ' ')} {value} ({limit.basis_text}; {limit.place})")
    return "; ".join(texts) or rule.text.basis


def _limit_places(outcome: Outcome, scene: Scene) -> tuple[Related, ...]:
    found: dict[str, Related] = {}
    for evidence in outcome.evidence:
        for expression in _expressions(evidence):
            for name in _limits_in(expression):
                limit = scene.limits[name]
                found.setdefault(name, Related(limit.place, f"limit {name}"))
    return tuple(found.values())


def _limits_in(expression: Expression) -> tuple[str, ...]:
    if isinstance(expression, LimitName):
        return (expression.name,)
    parts = [getattr(expression, side, None) for side in ("left", "right")]
    return tuple(name for part in parts if part is not None for name in _limits_in(part))


def _wanted(need: Need) -> str:
    where = f"{BELONGS}{need.place})" if need.place is not None else ""
    return f"{need.says}{where}"
