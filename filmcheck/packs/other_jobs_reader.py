"""Reads what a rule says of other jobs with the same press or tool."""

from __future__ import annotations

from filmcheck.judging.expression import Literal, Sort
from filmcheck.judging.rule import OtherJobs
from filmcheck.packs.arithmetic import AtHand
from filmcheck.packs.condition_reader import ConditionReader
from filmcheck.packs.pack_fields import inner, text_of
from filmcheck.reading.nodes import Mapping
from filmcheck.records.value import exact, number
from filmcheck.units.quantity import exponents

KEY = "no_other_job"
_WHOLE = "Leave it out: a job is held against others as a whole."
_NOT_WITH = {"requires": "Make two rules of it.", "for_each": _WHOLE, "at": _WHOLE}


def read_other_jobs(rule: Mapping, words: AtHand, conditions: ConditionReader) -> OtherJobs | None:
    """Read what must not stand beside a job; None where the rule asks nothing of the kind, or it is broken."""
    node = inner(rule, KEY)
    if node is None:
        return None
    for word in _NOT_WITH:
        if word in rule.entries:
            conditions.fault(rule.entries[word].key, f"{word} does not go with {KEY}", _NOT_WITH[word])
            return None
    entries = node.entries
    if "within" not in entries:  # the schema has told
        return None
    time = Literal(exact(0.0), Sort("time", exponents("time")), "time")
    within = conditions.compared(time, "within", entries["within"].value, words)
    if isinstance(within, Literal) and number(within.value.low) <= 0 and within.text != "0 d":
        conditions.fault(
            entries["within"].value, "within is a time above 0", "Such as 1 h or 2 d; 0 d is the same day."
        )
        return None
    side = (text_of(node, "before") and "before") or (text_of(node, "after") and "after") or ""
    if {"before", "after"} <= entries.keys():
        conditions.fault(entries["after"].key, "before and after together mean either side: leave both out")
        return None
    where = entries.get("where")
    meant = conditions.read(where.value, words) if where is not None else None
    if within is None or (where is not None and meant is None):
        return None
    same, not_same = text_of(node, "same"), text_of(node, "not_same")
    if same == not_same:
        hint = "Leave not_same out, or name another tool."
        conditions.fault(entries["not_same"].value, f"no two jobs share the {same} and do not share it", hint)
        return None
    return OtherJobs(same, within, not_same, side, meant)
