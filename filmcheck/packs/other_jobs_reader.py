"""Reads what a rule says of other jobs with the same press or tool."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from filmcheck.judging.expression import Expression, Literal, Sort
from filmcheck.judging.rule import OtherJobs
from filmcheck.packs.arithmetic import AtHand
from filmcheck.packs.condition_reader import ConditionReader
from filmcheck.packs.pack_fields import all_read, inner, text_of
from filmcheck.reading.nodes import Mapping
from filmcheck.records.value import exact, number
from filmcheck.units.quantity import exponents

KEY = "no_other_job"
_WHOLE = "Leave it out: a job is held against others as a whole."
_NOT_WITH = {"requires": "Make two rules of it.", "for_each": _WHOLE, "at": _WHOLE}


def read_other_jobs(rule: Mapping, words: AtHand, conditions: ConditionReader) -> OtherJobs | None:
    """Read what must not stand beside a job; None where the rule asks nothing of the kind. Raises BrokenError."""
    node = inner(rule, KEY)
    if node is None:
        return None
    for word in _NOT_WITH:
        if word in rule.entries:
            raise conditions.broken(rule.entries[word].key, f"{word} does not go with {KEY}", _NOT_WITH[word])
    entries = node.entries
    if "within" not in entries:  # the schema has told
        return None
    reads: list[Callable[[], Any]] = [partial(_within, node, words, conditions), partial(_side, node, conditions)]
    reads += [partial(conditions.read, entries["where"].value, words)] if "where" in entries else []
    within, side, *where = all_read(reads)
    same, not_same = text_of(node, "same"), text_of(node, "not_same")
    if same == not_same:
        hint = "Leave not_same out, or name another tool."
        raise conditions.broken(entries["not_same"].value, f"no two jobs share the {same} and do not share it", hint)
    return OtherJobs(same, within, not_same, side, *where)


def _within(node: Mapping, words: AtHand, conditions: ConditionReader) -> Expression:
    time = Literal(exact(0.0), Sort("time", exponents("time")), "time")
    value = node.entries["within"].value
    within = conditions.figures.operand(time, "within", value, words)
    if isinstance(within, Literal) and number(within.value.low) <= 0 and within.text != "0 d":
        raise conditions.broken(value, "within is a time above 0", "Such as 1 h or 2 d; 0 d is the same day.")
    return within


def _side(node: Mapping, conditions: ConditionReader) -> str:
    if {"before", "after"} <= node.entries.keys():
        says = "before and after together mean either side: leave both out"
        raise conditions.broken(node.entries["after"].key, says)
    return (text_of(node, "before") and "before") or (text_of(node, "after") and "after") or ""
