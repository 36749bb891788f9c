"""How one job stands to the rules that forbid another beside it: worked out job by job, held together later."""

from __future__ import annotations

from collections.abc import Sequence

from filmcheck.figures.figures import Figures
from filmcheck.judging.context import Context
from filmcheck.judging.house import House
from filmcheck.judging.job_summary import Standing
from filmcheck.judging.rule import OtherJobs, Rule
from filmcheck.judging.template import complete, fill
from filmcheck.judging.verdict import FAILS, HOLDS
from filmcheck.records.value import Missing, number


def standings(figures: Figures, rules: Sequence[Rule], house: House) -> tuple[Standing, ...]:
    """Say how a job stands to each rule on other jobs; nothing of those that it has no part in."""
    stage = str(getattr(figures("job.stage"), "low", ""))
    context = Context(figures, house.limits)
    found = (
        _standing(rule, rule.beside, context, house, owed=rule.head.owed_at(stage))
        for rule in rules
        if rule.beside is not None and rule.id not in house.switched_off
    )
    return tuple(one for one in found if (one.applies, one.meant) != (FAILS.value, FAILS.value))


def _standing(rule: Rule, beside: OtherJobs, context: Context, house: House, *, owed: bool) -> Standing:
    applies = rule.applies.explain(context) if rule.applies is not None else None
    meant = beside.where.explain(context) if beside.where is not None else None
    within = beside.within.work(context)
    needs = (*(applies.needs if applies else ()), *(within.needs if isinstance(within, Missing) else ()))
    return Standing(
        rule.id,
        (FAILS if not owed else applies.verdict if applies else HOLDS).value,
        (meant.verdict if meant else HOLDS).value,
        None if isinstance(within, Missing) else number(within.low),
        fill(rule.says, context, house.units, "{reason}"),
        fill(rule.instead, context, house.units) if complete(rule.instead, context) else "",
        tuple(need.name for need in needs),
        tuple(need.name for need in meant.needs) if meant else (),
    )
