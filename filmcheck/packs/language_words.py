"""The fixed words of the rule language with their meaning and an example, and what people call them instead."""

from __future__ import annotations

TEST_WORDS = {
    "at_most": ("No more than this.", "{web.speed: {at_most: 80 m/min}}"),
    "at_least": ("No less than this; of a date: no earlier.", "{web.speed: {at_least: 20 m/min}}"),
    "below": ("Less than this.", "{die.revolutions: {below: 0.9 * die.life}}"),
    "above": ("More than this.", "{web.speed: {above: 10 m/min}}"),
    "equals": ("The same as this; short: the value alone.", "{finishing.core: {equals: customer.core}}"),
    "not": ("Anything but this; before a condition, its opposite.", "{job.customer: {not: six-inch}}"),
    "one_of": ("One of a list; short: the list alone.", "{face.material: {one_of: [pp, pe]}}"),
    "none_of": ("None of a list.", "{finishing.knives.kind: {none_of: [score, razor]}}"),
    "between": ("From a least to a most, both ends allowed.", "{web.width: {between: [200 mm, 330 mm]}}"),
    "near": (
        "Within a tolerance of something.",
        "{web.width: {near: {to: press.width, within: 5 mm}}}",
    ),
    "given": ("Whether it is written at all; also: given, not given.", "{web.proved_tension: given}"),
    "begins_with": ("A word that begins with a text, or one of a list.", "{job.job: {begins_with: [PG-, PH-]}}"),
}
CONDITION_WORDS = {
    "all": ("Every condition of a list must hold.", "{all: [{layout.lanes: 5}, {web.speed: {at_most: 60 m/min}}]}"),
    "either": ("One condition of a list must hold.", "{either: [{job.first_film_job: false}, {layout.lanes: 5}]}"),
    "when": ("Where this holds, then must hold too.", "{when: {liner.material: film}, then: {layout.lanes: 5}}"),
    "then": ("What must hold where when holds.", "{when: {liner.material: film}, then: {layout.lanes: 5}}"),
    "every": ("Each thing of a kind must be so.", "{every: result, has: {its.outcome: passed}}"),
    "some": ("At least one thing of a kind must be there.", "{some: chill roll, after: last lamp}"),
    "no": ("No thing of a kind may be there.", "{no: nip, after: last lamp}"),
    "count": ("How many things of a kind there are.", "{count: check, at_least: 2}"),
    "where": ("Which things are meant.", "{every: result, where: {its.check: snap}, has: {its.outcome: passed}}"),
    "has": ("What each of the things must be.", "{every: result, has: {its.outcome: passed}}"),
    "else": ("What {reason} says where the condition fails.", '{layout.lanes: 5, else: "it has {layout.lanes}"}'),
}
PLACE_WORDS = {
    "before": ("Earlier on the path than a place.", "{some: nip, before: print 1}"),
    "after": ("Later on the path than a place.", "{some: chill roll, after: last lamp}"),
    "between": ("Between two places.", "{some: matrix strip, between: [last die cut, first rewind]}"),
    "next_to": ("Right before or behind a place.", "{some: static control, next_to: this}"),
    "within": ("No more than so many stations away.", "{some: chill roll, after: last lamp, within: 2}"),
    "this": ("The station at hand.", "{some: static control, next_to: this}"),
    "first": ("The first of a kind; a bare kind means the same.", "{some: nip, before: first print}"),
    "last": ("The last of a kind.", "{some: chill roll, after: last lamp}"),
    "next": ("The next of a kind behind the one at hand.", "{some: chill roll, between: [this, next print]}"),
    "previous": ("The last of a kind before the one at hand.", "{some: print, between: [previous uv lamp, this]}"),
}
KIND_MEANINGS = {
    "check": "A check that the crew will make, as listed under checks.",
    "result": "What a check gave, as listed under results.",
    "deviation": "A deviation permit of the job.",
    "zone": "The path between two places that set the tension.",
    "roll": "One of the press rolls that the job makes, by its number.",
    "lane": "One label position across the web, by its number.",
    "supplied roll": "The parent roll on the unwind, as a wound roll.",
    "press roll": "What the press winds, as a wound roll.",
    "finished roll": "What goes to the customer, as a wound roll.",
}
FUNCTION_WORDS = {
    "least": ("The least of several, or of a field over all things of a kind.", "least(web.width, press.width)"),
    "greatest": ("The greatest of several, or over all things of a kind.", "greatest(zone.stretch)"),
    "size": ("A difference without its sign.", "size(rewind.taper - finishing.taper)"),
    "first_of": ("The first that the job has the data for.", "first_of(finishing.speed, web.speed)"),
    "count": ("How many things of a kind the job has.", "count(lamp)"),
    "sum": ("The sum of a field over all things of a kind.", "sum(lamp.temperature_rise)"),
}
NEAR_WORDS = {
    "other job": "no_other_job",
    "other jobs": "no_other_job",
    "another job": "no_other_job",
    "previous job": "no_other_job",
    "next job": "no_other_job",
    "thickness": "caliper",
    "thick": "caliper",
    "gsm": "areal_mass",
    "grammage": "areal_mass",
    "basis weight": "areal_mass",
    "weight": "mass",
    "heat": "temperature",
    "hot": "temperature",
    "pull": "tension",
    "guide": "idler",
    "roller": "idler",
    "velocity": "speed",
    "fast": "speed",
    "row": "lane",
    "age": "inspected",
    "hours": "time",
    "knife": "knives",
    "blade": "knives",
    "glue": "adhesive",
    "backing": "liner",
    "facestock": "face",
    "bobbin": "core",
    "parent roll": "supplied roll",
    "winding": "rewind",
    "lamp power": "setting",
    "or": "either",
    "any": "some",
    "if": "when",
    "unless": "when",
    "and": "all",
    "unit": "its.unit",
    "minimum": "at_least",
    "maximum": "at_most",
    "min": "at_least",
    "max": "at_most",
    "exists": "given",
    "empty": "given",
    "present": "given",
    "fallback": "first_of",
    "neighbour": "next_to",
    "behind": "after",
    "starts with": "begins_with",
    "number of": "count",
    "less than": "below",
    "less": "below",
    "under": "below",
    "lower than": "below",
    "more than": "above",
    "greater than": "above",
    "over": "above",
    "up to": "at_most",
    "is": "equals",
    "equal": "equals",
    "in": "one_of",
    "not in": "none_of",
    "within": "near",
    "about": "near",
    "range": "between",
    "contains": "begins_with",
    "otherwise": "when",
    "abs": "size",
    "coalesce": "first_of",
    "<=": "at_most",
    ">=": "at_least",
    "<": "below",
    ">": "above",
    "=": "equals",
    "==": "equals",
    "!=": "not",
}
"""What people look for, and the word of the language or the trade that means it."""


_OTHER_JOB = ("In place of requires.", "no_other_job: {same: die, not_same: press, within: 2 d}")
_FIXED = {**TEST_WORDS, **CONDITION_WORDS, **PLACE_WORDS, **FUNCTION_WORDS, "no_other_job": _OTHER_JOB}


def function_meant(word: str) -> str:
    """Say which function was most likely meant by another name for it; empty where nobody knows."""
    meant = {"min": "least", "max": "greatest"}.get(word) or NEAR_WORDS.get(word, "")
    return f"Meant is perhaps {meant}, as in {FUNCTION_WORDS[meant][1]}." if meant in FUNCTION_WORDS else ""


def meant_by(word: str) -> str:
    """Say which word of the language was most likely meant, with an example; empty where nobody knows."""
    meant = NEAR_WORDS.get(word.casefold().replace("_", " "), "")
    return f"Meant is perhaps {meant}, as in {_FIXED[meant][1]}." if meant in _FIXED else ""


def trade_word(word: str) -> str:
    """Give the word by which figures are named, for one that people use instead; the word itself where none is."""
    return NEAR_WORDS.get(word.replace("_", " "), word)
