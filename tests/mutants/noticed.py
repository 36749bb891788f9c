"""What notices when a field is wrong: too large, too small, contradictory, missing, or of the wrong kind.

Fields of sheets are spoiled by the mutants of sound sheets; those of registers and set-ups likewise, and the sheets
that use the entry are judged again; settings are spoiled on a copy of the demo plant. A value of the wrong kind is
written into every field of every schema, whether the demo plant has it or not.
"""

from __future__ import annotations

import json
import re
import shutil
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

from ruamel.yaml import YAML
from schema_fields import schema_fields
from sheet_mutants import DAY, DAYS, EXAMPLES, FACTORS, Bench, Wanted, edits, inner_value, plain, times, told

from filmcheck.plant.generic import with_generic
from filmcheck.plant.plant import Plant, load_plant, type_text
from filmcheck.records.errors import FilmcheckError
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.plant_context import PlantContext, make_context

REGISTERS = ("presses", "stocks", "tooling", "finishing", "customers", "set_ups")
COLUMNS = ("too large", "too small", "contradictory", "missing", "wrong kind")
STAGES = ("planned", "set-up", "running", "finishing", "released")


class Spoiled(NamedTuple):
    """A field that was spoiled, how, and the rules that notice it."""

    field: str
    edit: str
    rules: set[str]


def column(edit: str) -> str:
    """Say under which of the columns an edit falls; none for stations that are doubled or change places."""
    if edit in ("x3", "/3"):
        return "too large" if edit == "x3" else "too small"
    if edit in ("left out", "taken off"):
        return "missing"
    return "contradictory" if edit in DAYS or edit == "turned about" or edit.startswith("is ") else ""


class FirstFew:
    """Wants the first few edits of each field in each column: what speaks up differs little from entry to entry."""

    def __init__(self, most: int) -> None:
        """Take how many."""
        self.most, self.met = most, Counter[tuple[str, str]]()

    def __call__(self, field: str, edit: str) -> bool:
        """Say whether this one is still wanted."""
        self.met[field, column(edit)] += 1
        return column(edit) != "" and self.met[field, column(edit)] <= self.most


def of_sheets(bench: Bench, wanted: Wanted) -> Iterator[Spoiled]:
    """Spoil the fields of sound sheets, of the last ones first: they say most."""
    for name in reversed(bench.sheets):
        for mutant in bench.mutants(name, wanted):
            yield Spoiled(f"job-sheet.{_unmarked(mutant.field)}", mutant.edit, bench.notices(mutant))


def _unmarked(field: str) -> str:
    """Take unit, name and number off the stations that settings name: settings.uv lamp 2.setting."""
    return re.sub(r"(?<=settings\.)([a-z ]+?) (?:\d+|infeed|outfeed)(?=\.|$)", r"\1", field)


def of_registers(bench: Bench, wanted: Wanted = lambda field, edit: True) -> Iterator[Spoiled]:
    """Spoil the entries of registers and set-ups, and judge the sheets that use them until one notices."""
    alone = {name: _drawn(bench, bench.context, name) for name in bench.sheets}
    for register in REGISTERS:
        record = bench.plant.registers[register]
        sound = plain(YAML(typ="safe", pure=True).load(bench.plant.files[record.file].text))
        deep = 2 if register == "tooling" else 1
        for path, edit, made in edits(sound, register, bench.plant):
            section = f"{register}.{path[0]}" if deep == 2 else register
            inner = [step for step in path[deep:] if isinstance(step, str)]
            if isinstance(path[-1], int):
                inner.append(_label(inner_value(sound, path)))
            field = f"{section}.{_unmarked('.'.join(inner))}"
            users = _users(bench, register, path[:deep])
            if inner and users and wanted(field, edit):
                plant, faults = _with_register(bench.plant, register, record.file, made())
                context = replace(bench.context, plant=plant)
                told = ({rule for rule, *_ in _drawn(bench, context, name) - alone[name]} for name in users)
                yield Spoiled(field, edit, faults or next(filter(None, told), set()))


def _label(item: Any) -> str:
    """Name an item of a list: a station or check by its kind, a word by itself."""
    return str(next(iter(item.values() if "check" in item else item))) if isinstance(item, dict) else str(item)


def _users(bench: Bench, register: str, entry: tuple[Any, ...]) -> list[str]:
    """Give the sheets that name an entry: the one furthest on, the one least far, and the others."""
    found = sorted(
        (STAGES.index(summary.stage), name)
        for name, summary in bench.summaries.items()
        if any((one.section, one.name)[-len(entry) :] == entry for one in summary.entries if one.register == register)
    )
    return [name for _, name in (found[-1:] + found[:-1])]


def _with_register(plant: Plant, register: str, file: str, spoiled: Any) -> tuple[Plant, set[str]]:
    sheet = type_text(json.dumps(spoiled, ensure_ascii=False), file, register)
    record, more = with_generic(register, sheet.record)
    registers = {**plant.registers, register: record}
    return replace(plant, registers=registers, documents={}, marks={}), {one.id for one in (*sheet.faults, *more)}


def _drawn(bench: Bench, context: PlantContext, name: str) -> Counter[tuple[str, str, bool, str]]:
    result = judge_as_is(type_text(bench.sheets[name], name, "job-sheet"), context, DAY)
    return Counter(map(told, result.findings))


def of_settings(bench: Bench) -> Iterator[Spoiled]:
    """Spoil the settings of a copy of the demo plant, and judge two of its sheets."""
    names = (min(bench.sheets), max(bench.sheets, key=lambda name: STAGES.index(bench.summaries[name].stage)))
    alone = {name: _drawn(bench, bench.context, name) for name in names}
    sound = plain(YAML(typ="safe", pure=True).load((EXAMPLES / "plant.yaml").read_text("utf-8")))
    with TemporaryDirectory() as folder:
        root = shutil.copytree(EXAMPLES, Path(folder) / "plant")
        for path, edit, made in edits(sound, "plant", bench.plant):
            (root / "plant.yaml").write_text(json.dumps(made(), ensure_ascii=False), "utf-8")
            yield Spoiled("plant." + ".".join(_settings_path(path)), edit, _settled(bench, root, alone))
        own = {name: limit["value"] for name, limit in sound["limits"].items()}
        spoiled = [(edit, name, times(text, by)) for name, text in own.items() for edit, by in FACTORS.items()]
        for edit, name, text in (*spoiled, ("wrong kind", next(iter(own)), "no such")):
            limits = {**sound["limits"], name: {"value": text, "basis": "trial"}}
            (root / "plant.yaml").write_text(json.dumps({**sound, "limits": limits}), "utf-8")
            yield Spoiled("plant.limits.value", edit, _settled(bench, root, alone))


def _settings_path(path: tuple[Any, ...]) -> list[str]:
    """Name a setting without the rule, limit or dimension that it is about."""
    steps = [step for step in path if isinstance(step, str)]
    return steps[:1] + steps[2:] if steps[0] in ("limits", "levels", "switched_off", "units") else steps


def _settled(bench: Bench, root: Path, alone: dict[str, Counter[tuple[str, str, bool, str]]]) -> set[str]:
    try:
        context = make_context(load_plant(root / "plant.yaml"))
    except FilmcheckError:
        return {"the run ends with status 2"}
    rules = {fault.id for _, fault in context.faults}
    return rules.union(*({rule for rule, *_ in _drawn(bench, context, name) - alone[name]} for name in alone))


def spoken_of_faults() -> set[str]:
    """Give the rules that speak on the recorded plain faults."""
    text = (EXAMPLES.parent / "tests" / "faults" / "plain_faults.yaml").read_text("utf-8")
    return set(re.findall(r"\brule: ([a-z-]+)}?$", text, re.MULTILINE))


def of_wrong_kinds(schema: str) -> Iterator[Spoiled]:
    """Write into each field of a schema what it cannot hold, and read that."""
    for field, part, wrapped in schema_fields(schema):
        wrong: Any = (
            7 if part.get("type") == "string" and not part.get("enum") and not part.get("format") else "no such"
        )
        wrong = ["no such"] if part.get("type") == ["string", "integer"] or "register" in part else wrong
        faults = type_text(json.dumps(wrapped(wrong)), "wrong.yaml", schema).faults
        yield Spoiled(field, "wrong kind", {fault.id for fault in faults} - {"key-missing"})
