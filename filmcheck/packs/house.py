"""What a plant has settled about the rules, read from its settings and checked against the rules there are."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import cast

from filmcheck.judging.house import House
from filmcheck.judging.limit import Limit
from filmcheck.judging.rule_head import RuleHead
from filmcheck.plant.nearest import nearest_hint
from filmcheck.plant.record import Datum, Record, group_at, text_at, word
from filmcheck.reading.nodes import Fault, FileFault, first_of
from filmcheck.records.finding import LEVELS, Level
from filmcheck.units.quantity import DIMENSIONS, Quantity, parse_quantity

FAR_OFF = 2.5
"""How many times a limit may differ from the shipped one before that is worth a word."""


def settle(
    settings: Record, every: Iterable[RuleHead], known_limits: Mapping[str, Limit]
) -> tuple[House, tuple[FileFault, ...]]:
    """Give the house rules of a plant, and what is wrong or worth telling in its settings."""
    told: list[FileFault] = []
    limits = _changed_limits(known_limits, settings, told)
    rules = {rule.id: rule for rule in every}
    told += first_of(_unknown_names(settings, rules, known_limits))
    told += first_of(_unfit_units(settings))
    told += _loosened(settings, rules, known_limits)
    of_others = {name: limit for name, limit in known_limits.items() if name not in _guarded(rules)}
    told += _far_off(settings, of_others, limits)
    return House(
        limits, preferred_units(settings), _levels(settings), frozenset(_fields(settings, "switched_off"))
    ), tuple(told)


def _fields(settings: Record, name: str) -> dict[str, Record | Datum]:
    return {key: field for key, field in group_at(settings, name).items() if isinstance(field, (Record, Datum))}


def _levels(settings: Record) -> dict[str, Level]:
    entries = _fields(settings, "levels").items()
    levels = {name: word(entry, "level") for name, entry in entries if isinstance(entry, Record)}
    return {name: cast(Level, level) for name, level in levels.items() if level}


def _unknown_names(settings: Record, rules: Mapping[str, RuleHead], limits: Mapping[str, Limit]) -> Iterator[FileFault]:
    for name, field in _fields(settings, "limits").items():
        if name not in limits and isinstance(field, Record):
            yield _at(field, "settings-wrong", f"{name} is no known limit", nearest_hint(name, limits))
    for section in ("levels", "switched_off"):
        for name, field in _fields(settings, section).items():
            if name not in rules:
                hint = nearest_hint(name, rules, "See: filmcheck rules list")
                yield _at(field, "settings-wrong", f"{name} is no known rule", hint)


def _unfit_units(settings: Record) -> Iterator[FileFault]:
    for name, field in _fields(settings, "units").items():
        if name not in DIMENSIONS:
            yield _at(field, "settings-wrong", f"{name} is no known dimension", nearest_hint(name, DIMENSIONS))
        elif isinstance(field, Datum) and not is_unit(name, field.text):
            units = ", ".join(DIMENSIONS[name].units)
            says = f"{field.text} is no unit of {name}"
            yield field.place.file, Fault("settings-wrong", field.place.span, says, f"Known: {units}.")


def _loosened(settings: Record, rules: dict[str, RuleHead], known_limits: Mapping[str, Limit]) -> Iterator[FileFault]:
    """Tell on every run where a rule that guards people was loosened, and refuse to have it done without a reason."""
    safety = {name: rule for name, rule in rules.items() if rule.safety}
    for name, field in _fields(settings, "switched_off").items():
        if name in safety and isinstance(field, Datum):
            yield _at(field, "safety-loosened", f"safety rule {name} is switched off here: {field.text}")
    for name, field in _fields(settings, "levels").items():
        level = word(field, "level") if isinstance(field, Record) else None
        if name in safety and level in LEVELS and LEVELS.index(level) > LEVELS.index(safety[name].level):
            reason = word(field, "reason") if isinstance(field, Record) else None
            if not reason:
                yield _at(field, "settings-wrong", f"{name} guards people; to lower its level takes a reason")
            else:
                yield _at(field, "safety-loosened", f"safety rule {name} only counts as {level} here: {reason}")
    for name, field in _fields(settings, "limits").items():
        if name in _guarded(rules) and name in known_limits and isinstance(field, Record):
            value, before = text_at(field, "value"), known_limits[name].value
            was = before.text if before else "a table"
            yield _at(field, "safety-loosened", f"limit {name} of a safety rule is {value} here instead of {was}")


def _guarded(rules: Mapping[str, RuleHead]) -> set[str]:
    return {limit for rule in rules.values() if rule.safety for limit in rule.limits}


def _far_off(settings: Record, shipped: Mapping[str, Limit], limits: Mapping[str, Limit]) -> Iterator[FileFault]:
    """Tell of a limit that is many times the shipped one, or a small part of it: its point may be misplaced."""
    for name, field in _fields(settings, "limits").items():
        was, now = (known[name].value if name in known else None for known in (shipped, limits))
        if was is None or now is None or was.dimension in ("temperature", "date") or not was.low or not now.low:
            continue
        if not 1 / FAR_OFF <= now.low / was.low <= FAR_OFF:
            says = f"limit {name} is {now.text} here, and {was.text} as shipped"
            yield _at(
                field,
                "limit-far-from-shipped",
                says,
                "Check the unit and the decimal point; where it is right, leave it.",
            )


def _at(field: Record | Datum, rule: str, says: str, hint: str = "") -> FileFault:
    return field.key_place.file, Fault(rule, field.key_place.span, says, hint)


def why_no_limit(read: Quantity) -> tuple[str, str] | None:
    """Say why a quantity cannot be a limit, and the way out; None where it can."""
    if read.low != read.high:
        return f"a limit is one value, and {read.text} is a range", "Write two limits, the least and the most."
    if read.dimension == "capacitance" and read.text.endswith(" F"):
        return f"{read.text} is a capacitance", "Degrees Fahrenheit are written degF."
    return None


def _changed_limits(limits: Mapping[str, Limit], settings: Record, told: list[FileFault]) -> dict[str, Limit]:
    """Give the limits as a plant sets them; a change that cannot be used is told and not taken."""
    changed = dict(limits)
    for name, entry in group_at(settings, "limits").items():
        if isinstance(entry, Record) and name in limits:
            limit = _changed(limits[name], entry)
            if isinstance(limit, Limit):
                changed[name] = limit
            else:
                told += [(entry.file, limit)] if limit else []
    return changed


def _changed(limit: Limit, entry: Record) -> Limit | Fault | None:
    """Give a limit as an entry of the settings has it, or why not; None where the schema has told."""
    value, basis = entry.fields.get("value"), entry.fields.get("basis")
    if not isinstance(value, Datum) or not isinstance(basis, Datum):
        return None
    read = parse_quantity(value.text, (limit.dimension,))
    if not isinstance(read, Quantity):
        return Fault("settings-wrong", value.place.span, read.says, read.hint)
    if limit.dimension == "count" and value.text.isdigit():
        read = Quantity(int(value.text), int(value.text), "count", "", value.text)
    doubt = why_no_limit(read)
    if doubt:
        return Fault("settings-wrong", value.place.span, *doubt)
    return replace(limit, value=read, basis="house", source=str(basis.content), place=value.place, by="", table={})


def preferred_units(settings: Record) -> dict[str, str]:
    """Give the plant's unit by dimension, as its settings name them; unknown or unfit ones are left out."""
    fields = group_at(settings, "units").items()
    named = {name: datum.text for name, datum in fields if isinstance(datum, Datum)}
    return {name: unit for name, unit in named.items() if is_unit(name, unit)}


def is_unit(dimension: str, unit: str) -> bool:
    """Whether a text is a unit of a dimension that has this name."""
    return dimension in DIMENSIONS and isinstance(parse_quantity(f"1 {unit}", (dimension,)), Quantity)
