"""Judges one job by the rules: each verdict becomes a finding with its numbers, its places and the way out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import PurePath

from filmcheck.figures.figures import Figures
from filmcheck.figures.scopes import kinds_in
from filmcheck.figures.wording import Units, add_line
from filmcheck.judging.context import Context
from filmcheck.judging.house import House
from filmcheck.judging.joined import AllHold
from filmcheck.judging.pointing import REGISTER, finding_place
from filmcheck.judging.rule import Rule
from filmcheck.judging.rule_head import stages_until
from filmcheck.judging.template import complete, fields, fill
from filmcheck.judging.to_write import to_write
from filmcheck.judging.verdict import FAILS, HELD, HOLDS, OPEN, Outcome, Verdict
from filmcheck.judging.wording import arithmetic, related
from filmcheck.plant.generic import GENERIC_FILES
from filmcheck.plant.tension_readings import tension_faults
from filmcheck.reading.nodes import FileFault
from filmcheck.records.finding import Finding, Kind, Level, Related, lack_text
from filmcheck.records.place import Place
from filmcheck.records.value import Value

KINDS: dict[Verdict, Kind] = {
    FAILS: "fail",
    OPEN: "open",
    Verdict.REVIEW: "review",
    HOLDS: "pass",
}
"""The kind of finding that a verdict makes, the gravest first."""
MOST_SUMS, MOST_REASONS = 8, 3


def judge_job(figures: Figures, rules: Sequence[Rule], house: House, *, passes: bool = False) -> list[Finding]:
    """Judge a job by every rule that its stage owes; passes are only put into words when asked for."""
    context = Context(figures, house.limits)
    things: dict[str, list[Context] | None] = {}
    return [
        finding
        for rule in owed(figures, rules, house)
        if passes or not _is_settled(rule, context, things)
        for finding in _findings(rule, context, house, passes=passes)
    ]


def reading_faults(figures: Figures) -> tuple[FileFault, ...]:
    """Find tensions that most likely mean something else than they say."""
    width, caliper = (_amount(figures, name) for name in ("web.width", "laminate.caliper"))
    return tension_faults(figures.job.sheet, width, caliper)


def _amount(figures: Figures, name: str) -> float | None:
    value = figures(name)
    return value.low if isinstance(value, Value) and isinstance(value.low, float) else None


def verdicts_of(figures: Figures, rules: Sequence[Rule], house: House) -> dict[str, set[Verdict]]:
    """Decide rules without a word: for each that the stage owes, the verdicts over all things to which it applies."""
    context = Context(figures, house.limits)
    return {rule.id: {said for _, said in verdicts(rule, context)} for rule in owed(figures, rules, house)}


def owed(figures: Figures, rules: Sequence[Rule], house: House) -> list[Rule]:
    """Give the rules that a job owes by its stage."""
    stage = figures("job.stage")
    due, off = stages_until(str(stage.low) if isinstance(stage, Value) else ""), house.switched_off
    return [r for r in rules if r.requires is not None and r.text.from_stage in due and r.text.id not in off]


def verdicts(rule: Rule, context: Context) -> Iterator[tuple[Context, Verdict]]:
    """Give what a rule says wherever it applies; where its things cannot be told, it is open for the job."""
    if rule.for_each and context.figures.lack(rule.for_each) is not None:
        yield context, OPEN
        return
    for here in asked_of(rule, context):
        verdict = decided(rule, here)
        if verdict is not None:
            yield here, verdict


def asked_of(rule: Rule, context: Context) -> Iterator[Context]:
    """Give the contexts in which a rule is asked: the job, or each of the things that it judges one by one."""
    if not rule.for_each:
        yield context
        return
    for kind in kinds_in(rule.for_each):
        for thing in context.figures.things(kind):
            yield context.at(thing)


def decided(rule: Rule, context: Context) -> Verdict | None:
    """Come to the verdict of a rule in one context; None where it does not apply."""
    applies = HOLDS if rule.applies is None else rule.applies.decide(context)
    if applies is FAILS:
        return None
    required = HOLDS if rule.requires is None else rule.requires.decide(context)
    return required if HOLDS in (applies, required) else applies


def _is_settled(rule: Rule, context: Context, things: dict[str, list[Context] | None]) -> bool:
    """Whether a rule has nothing to say of a job: of each thing, it does not apply, or what it requires holds.

    Where rules are asked is found once a job and kind; None where the things cannot be told.
    """
    kind = rule.for_each
    if kind not in things:
        lack = context.figures.lack(kind) if kind else None
        things[kind] = list(asked_of(rule, context)) if lack is None else None
    asked = things[kind]
    if asked is None:
        return False
    applies, requires = rule.applies, rule.requires
    for here in asked:
        if applies is not None and applies.decide(here) is FAILS:
            continue
        if requires is not None and requires.decide(here) is not HOLDS:
            return False
    return True


def _findings(rule: Rule, context: Context, house: House, *, passes: bool) -> Iterator[Finding]:
    lack = context.figures.lack(rule.for_each) if rule.for_each else None
    asked = ((here, _outcome(rule, here)) for here in asked_of(rule, context))
    for here, outcome in asked if lack is None else [(context, Outcome(OPEN, (), lack.needs))]:
        if outcome is None or (outcome.verdict is HOLDS and not passes):
            continue
        if rule.at != REGISTER or not _is_of_generic(outcome):
            yield _finding(rule, here, outcome, house)


def _is_of_generic(outcome: Outcome) -> bool:
    """Whether all that decided is generic: such ranges may overlap, and no plant can mend them."""
    places = _places(outcome)
    return bool(places) and all(one.place.file in GENERIC_FILES for one in places)


def _outcome(rule: Rule, context: Context) -> Outcome | None:
    """Give the verdict, or None where the rule does not apply."""
    applies = rule.applies.explain(context) if rule.applies else HELD
    if applies.verdict is FAILS:
        return None
    outcome = rule.requires.explain(context) if rule.requires else HELD
    if applies.verdict is HOLDS or outcome.verdict is HOLDS:
        return outcome
    # Whether the rule speaks at all cannot be told, and it would have something to say.
    return Outcome(applies.verdict, (*applies.evidence, *outcome.evidence), applies.needs)


def _finding(rule: Rule, context: Context, outcome: Outcome, house: House) -> Finding:
    kind = KINDS[outcome.verdict]
    why = _reason(outcome, house.units) if kind in ("fail", "review") else ""
    places = _places(outcome)
    place = finding_place(rule, context, outcome)
    level: Level = house.levels.get(rule.id, _level(rule, context)) if kind == "fail" else "none"
    return Finding(
        rule=rule.id,
        level=level,
        kind=kind,
        place=place,
        says=_says(rule, context, outcome, house, why),
        address=_address(rule, context, place),
        job=context.figures.job.name if rule.at != REGISTER or place.file == context.figures.job.file else "",
        arithmetic=_sums(outcome, house) if kind != "open" else (),
        instead=_instead(rule, context, house) if kind in ("fail", "review") else "",
        because=rule.text.because if kind in ("fail", "review") else "",
        basis=_basis(rule, context, house) if kind != "open" else "",
        caution=rule.text.caution if kind in ("fail", "review") else "",
        missing=tuple(lack_text(need.says, need.place) for need in outcome.needs),
        to_write=tuple(map(to_write, outcome.needs)),
        related=(*[p for p in places if p.place != place], *_limit_places(outcome, context)),
    )


def _level(rule: Rule, context: Context) -> Level:
    eased = rule.warning_where is not None and rule.warning_where.decide(context) is HOLDS
    return "warning" if eased else rule.level


def _reason(outcome: Outcome, units: Units) -> str:
    """Say why the verdict is what it is, in the rule's own words where it has them."""
    own = [evidence for evidence in outcome.evidence if isinstance(evidence.condition, AllHold)]
    texts = [evidence.condition.reason(evidence.context, units) for evidence in own or outcome.evidence]
    return "; ".join(dict.fromkeys([text for text in texts if text][:MOST_REASONS]))


def _says(rule: Rule, context: Context, outcome: Outcome, house: House, why: str) -> str:
    if outcome.verdict is OPEN:
        return f"cannot tell: {rule.text.title[:1].lower()}{rule.text.title[1:]}"
    if outcome.verdict is HOLDS:
        return f"checked: {rule.text.title[:1].lower()}{rule.text.title[1:]}"
    said = fill(rule.says, context, house.units, why)
    told = {name for field in fields(rule.says) for name in field.names}
    asked = {name for evidence in outcome.evidence for name in evidence.names}
    # What is borderline is told with its numbers, unless the rule's own words have them already.
    return f"{said} ({why})" if outcome.verdict is Verdict.REVIEW and not asked <= told and why not in said else said


def _instead(rule: Rule, context: Context, house: House) -> str:
    """Give the way out; one whose numbers cannot be worked out is left without its empty figures."""
    return fill(rule.instead, context, house.units) if complete(rule.instead, context) else ""


def _places(outcome: Outcome) -> tuple[Related, ...]:
    """Give the places of all data behind a verdict; each test is asked in the context in which it was made."""
    found: dict[Place, Related] = {}
    for evidence in outcome.evidence:
        for place in related(evidence.context, evidence.names):
            found.setdefault(place.place, place)
    return tuple(found.values())


def _sums(outcome: Outcome, house: House) -> tuple[str, ...]:
    lines: dict[str, None] = {}
    for evidence in outcome.evidence:
        condition, context = evidence
        lines.update(dict.fromkeys(arithmetic(context, evidence.names, house.units)))
        for own in (own for expression in condition.expressions for own in expression.own_figures):
            add_line(own.title(context), own.working(context, house.units), own.work(context), lines)
    return tuple(lines)[-MOST_SUMS:]  # the innermost come first and give way


def _address(rule: Rule, context: Context, place: Place) -> str:
    """Name the datum within the sheet, or within a register, by what it is: the name stays when lines move."""
    where = f"path/{context.item.label}" if context.item is not None else "job"
    if rule.at == REGISTER:
        where = f"{PurePath(place.file).name}/{where}"  # the path to it is another from every working folder
    return f"{where}/{rule.id}"


def _basis(rule: Rule, context: Context, house: House) -> str:
    cited = [house.limits[name] for name in rule.limits if name in house.limits]
    texts = []
    for limit in cited:
        value = limit.value.text if limit.value else ", ".join(f"{w} {q.text}" for w, q in limit.table.items())
        texts.append(f"{limit.name.replace('_', ' ')} {value} ({limit.basis_text}; {limit.place})")
    return "; ".join(texts) or rule.text.basis


def _limit_places(outcome: Outcome, context: Context) -> tuple[Related, ...]:
    expressions = (expression for evidence in outcome.evidence for expression in evidence.condition.expressions)
    cited = dict.fromkeys(name for expression in expressions for name in expression.limit_names)
    return tuple(Related(context.limits[name].place, f"limit {name}") for name in cited)
