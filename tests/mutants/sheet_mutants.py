"""Spoils sound job sheets by one edit each, and tells which of these mutants no rule notices.

Every number is taken three times and a third, every word exchanged for another that is allowed, every yes turned into
a no, every entry left out, every date moved, every station left out, doubled and changed with its neighbour. A mutant
counts as noticed where the sheet draws a finding (fault, note or cannot tell) that the sound sheet does not draw.

An entry left out that the set-up, a register or the customer's entry says as well leaves the job as it was: nothing is
there to notice, and it is no mutant. Both sheets are resolved, and every field of the sound one is asked for by the
name of its figure; where each answers the same value on both, the edit is dropped, noticed or not. Only entries left
out are dropped so: a word or number that is changed always counts.

    python tests/mutants/sheet_mutants.py [SHARE]         # share of the mutants to try, 1 where left out
    python tests/mutants/sheet_mutants.py --silent        # every silent one, by what was edited
"""

from __future__ import annotations

import json
import random
import re
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache, partial
from itertools import zip_longest
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

from filmcheck.figures.catalogue import CATALOGUE
from filmcheck.figures.figures import Figures
from filmcheck.figures.given import ROOTS
from filmcheck.judging.job_summary import JobSummary, summarise
from filmcheck.judging.repository import Repository
from filmcheck.plant.job import Item, Job, resolve
from filmcheck.plant.plant import Plant, load_plant, type_text
from filmcheck.plant.record import Listing, Record, find, word
from filmcheck.plant.shape import Shape, shape_of
from filmcheck.records.finding import Finding
from filmcheck.records.value import Value
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.plant_context import PlantContext, make_context

EXAMPLES = Path(__file__).parents[2] / "examples"
SOUND = EXAMPLES / "jobs" / "sound"
DAY = date(2026, 11, 25)
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
FACTORS = {"x3": 3.0, "/3": 1 / 3}
DAYS = {"60 d earlier": timedelta(days=-60), "60 d later": timedelta(days=60)}

Path_ = tuple[str | int, ...]


@dataclass(frozen=True)
class Mutant:
    """One sheet spoiled by one edit: which sheet on which liner, what was edited, how, and the text that came of it."""

    sheet: str
    liner: str
    field: str
    edit: str
    stage: str
    text: str


Wanted = Callable[[str, str], bool]
"""Whether a mutant of this field and edit is to be made."""


Answers = list[tuple[str, Any]]


def _answers(sound: Job, job: Job) -> Answers:
    """Give what a job answers for each field that the sound sheet holds, by the name of the field's figure."""
    figures = Figures(job, DAY)
    found: Answers = [("stations", [(item.kind, item.on_press) for item in job.stations])]
    for name, field in dict.items(sound.sheet.fields):
        if name in ITEMS:
            things, own = sound.items[ITEMS[name]], job.items[ITEMS[name]]
            for thing, other in zip_longest(things, own):
                leaves = _names(thing.records[0], "its") if thing is not None else ()
                found += [(leaf, None if other is None else _answer(figures, leaf, other)) for leaf in leaves]
        else:
            root = name if name in ROOTS else f"job.{name}"
            found += [(leaf, _answer(figures, leaf, None)) for leaf in _names(field, root)]
    return found


ITEMS = {"path": "station", "checks": "check", "results": "result", "deviations": "deviation"}
"""Lists of a sheet, and the kind of thing that they hold."""


def _names(field: Any, name: str) -> Iterator[str]:
    if isinstance(field, Record):
        for key, inner in dict.items(field.fields):
            yield from _names(inner, f"{name}.{key}")
    else:
        yield name


def _answer(figures: Figures, name: str, item: Item | None) -> Any:
    """Give the value of a figure; of a field whose figure is not known or is none, what the sheet itself says."""
    try:
        figure = figures(name, item)
    except (KeyError, IndexError):
        figure = None
    if isinstance(figure, Value):
        return figure.low, figure.high
    record = item.records[0] if item is not None else figures.sheet
    said = find(record, tuple(name.removeprefix("its." if item is not None else "job.").split(".")))
    if said is None and name in TAKES:
        return _answer(figures, TAKES[name], item)
    return None if said is None else _said(said)


TAKES = {
    route.needs[0]: figure.name
    for figure in CATALOGUE.values()
    if len(figure.routes) > 1
    for route in figure.routes
    if len(route.needs) == 1 and isinstance(route.needs[0], str)
}
"""Fields, and the figure that takes each as it stands or else finds it elsewhere, such as in a register."""


def _said(field: Any) -> Any:
    if isinstance(field, Record):
        return {key: _said(inner) for key, inner in dict.items(field.fields)}
    return [_said(item) for item in field.items] if isinstance(field, Listing) else getattr(field, "content", None)


def plain(value: Any) -> Any:
    """Give a value as JSON has it: days and hours as they are written."""
    if isinstance(value, dict):
        return {str(key): plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [plain(inner) for inner in value]
    if isinstance(value, datetime):
        return value.strftime("%Y-%m-%d %H:%M")
    return value.isoformat() if isinstance(value, date) else value


def _pattern(path: Path_, sound: Any) -> str:
    """Name a field whatever its place in a list, and an item by what it is: path.uv lamp.setting, results.imprint."""
    names = [step for step in path if isinstance(step, str)]
    item = inner_value(sound, path)
    if isinstance(path[-1], int) and isinstance(item, dict):
        names.append(str(item.get("check") or item.get("rule") or next(iter(item))))
    return ".".join(names)


Made = Callable[[], Any]


def edits(sound: Any, schema: str, plant: Plant) -> Iterator[tuple[Path_, str, Made]]:
    """Give every edit of a sheet or register: where, what is done, and a function that does it."""
    for path, value, shape in _fields(sound, shape_of(schema), ()):
        if not path:
            continue
        yield path, "taken off" if isinstance(path[-1], int) else "left out", partial(_without, sound, path)
        if not isinstance(value, dict | list):
            for edit, other in _others(path, value, shape, plant):
                yield path, edit, partial(_with, sound, path, other)
    if schema == "job-sheet":
        yield from _station_edits(sound)


def _fields(value: Any, shape: Shape | None, path: Path_) -> Iterator[tuple[Path_, Any, Shape | None]]:
    yield path, value, shape
    if isinstance(value, dict):
        for key, inner in value.items():
            known = None if shape is None else shape.fields.get(key) if shape.sort == "record" else shape.item
            yield from _fields(inner, known, (*path, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from _fields(inner, shape.item if shape is not None else None, (*path, index))


def _others(path: Path_, value: Any, shape: Shape | None, plant: Plant) -> Iterator[tuple[str, Any]]:
    if isinstance(value, bool):
        yield "turned about", not value
    elif isinstance(value, int):
        yield "x3", value * 3
        yield "/3", max(value // 3, 1) if value > 1 else value + 1
    elif shape is not None and shape.register:
        register, section = _register(shape.register)
        yield from ((f"is {other}", other) for other in plant.entries(register, section) if other != value)
    elif shape is not None and shape.words:
        yield from ((f"is {other}", other) for other in shape.words if other != value)
    elif re.fullmatch(r"\d{4}-\d{2}-\d{2}( \d{2}:\d{2})?", str(value)):
        yield from ((edit, _moved(value, by)) for edit, by in DAYS.items())
    elif shape is not None and shape.sort == "quantity":
        yield from ((edit, times(value, by)) for edit, by in FACTORS.items())


def _register(named: str) -> tuple[str, str]:
    tools = ("dies", "magnetic_cylinders", "anvils", "print_cylinders")
    return ("tooling", named) if named in tools else (named, "")


def _moved(text: str, by: timedelta) -> str:
    form = "%Y-%m-%d %H:%M" if " " in text else "%Y-%m-%d"
    return (datetime.strptime(text, form) + by).strftime(form)


def times(text: str, factor: float) -> str:
    """Multiply the first number of a text."""
    return NUMBER.sub(lambda found: f"{float(found[0]) * factor:.6g}", text, count=1)


def _with(sound: Any, path: Path_, value: Any) -> Any:
    spoiled = deepcopy(sound)
    inner_value(spoiled, path[:-1])[path[-1]] = value
    return spoiled


def _without(sound: Any, path: Path_) -> Any:
    spoiled = deepcopy(sound)
    del inner_value(spoiled, path[:-1])[path[-1]]
    return spoiled


def inner_value(value: Any, path: Path_) -> Any:
    """Give what stands at a path."""
    for step in path:
        value = value[step]
    return value


def _station_edits(sound: Any) -> Iterator[tuple[Path_, str, Made]]:
    stations = sound.get("path", [])
    for index, station in enumerate(stations):
        path: Path_ = ("path", index, *station)
        yield path, "doubled", partial(_on, sound, [*stations[: index + 1], *stations[index:]])
        following = stations[index + 1 : index + 2]
        if following and following[0] != station:
            changed = [*stations[:index], *following, station, *stations[index + 2 :]]
            yield path, f"changed with {next(iter(following[0]))}", partial(_on, sound, changed)


def _on(sound: Any, path: list[Any]) -> Any:
    return {**sound, "path": path}


class Bench:
    """Judges sheets against one plant, read once, with all its other sound jobs beside them."""

    def __init__(self, plant: Plant, context: PlantContext, sheets: dict[str, str]) -> None:
        """Take the plant and its sound sheets by name."""
        self.plant, self.context, self.sheets = plant, context, sheets
        self._sound: dict[str, tuple[Any, str, Answers]] = {}
        self.summaries = {name: self._summary(name, text) for name, text in sheets.items()}
        self.before = {name: self._drawn(name, text) for name, text in sheets.items()}

    def _summary(self, name: str, text: str) -> JobSummary:
        return summarise(Figures(self._job(name, text), DAY))

    def _drawn(self, name: str, text: str) -> Counter[tuple[str, str, bool, str]]:
        result = judge_as_is(type_text(text, name, "job-sheet"), self.context, DAY)
        among = Repository(self.plant, self.context.heads.values(), self.context.house)
        for other, summary in self.summaries.items():
            among.add(result.summary if other == name else summary)
        return Counter(map(told, (*result.findings, *among.findings(whole=False))))

    def mutants(self, name: str, wanted: Wanted = lambda field, edit: True) -> Iterator[Mutant]:
        """Give every mutant of a sheet that is wanted."""
        sound, liner, before = self._sound.get(name) or self._sound.setdefault(name, self._read(name))
        for path, edit, made in edits(sound, "job-sheet", self.plant):
            field = _pattern(path, sound)
            if not wanted(field, edit):
                continue
            written = json.dumps(made(), ensure_ascii=False)
            if edit in ("left out", "taken off"):
                other, _ = resolve(type_text(written, name, "job-sheet").record, name, self.plant)
                if _answers(self._job(name, self.sheets[name]), other) == before:
                    continue
            yield Mutant(name, liner, field, edit, sound["stage"], written)

    def _read(self, name: str) -> tuple[Any, str, Answers]:
        job = self._job(name, self.sheets[name])
        liner = word(job.documents["stock"].record, "liner", "material") or ""
        return plain(YAML(typ="safe", pure=True).load(self.sheets[name])), liner, _answers(job, job)

    def _job(self, name: str, text: str) -> Job:
        return resolve(type_text(text, name, "job-sheet").record, name, self.plant)[0]

    def notices(self, mutant: Mutant) -> set[str]:
        """Give the rules that speak up about a mutant and not about its sound sheet."""
        return {rule for rule, *_ in self._drawn(mutant.sheet, mutant.text) - self.before[mutant.sheet]}


def told(finding: Finding) -> tuple[str, str, bool, str]:
    return finding.rule, finding.kind, finding.counts, finding.address if finding.kind != "fail" else ""


@lru_cache(maxsize=1)
def demo_bench() -> Bench:
    """Give the bench of the demo plant."""
    plant = load_plant(EXAMPLES / "plant.yaml")
    sheets = {path.stem: path.read_text("utf-8") for path in sorted(SOUND.glob("*.yaml"))}
    return Bench(plant, make_context(plant), sheets)


def tried(bench: Bench, share: float = 1.0, seed: int = 1) -> Iterator[tuple[Mutant, set[str]]]:
    """Try mutants of every sheet, a share of them drawn by the seed; give each with the rules that notice it."""
    draw = random.Random(seed)  # noqa: S311  nothing secret: the same seed draws the same mutants
    for name in bench.sheets:
        for mutant in bench.mutants(name, lambda field, edit: share >= 1 or draw.random() < share):
            yield mutant, bench.notices(mutant)


@lru_cache(maxsize=1)
def all_tried() -> tuple[tuple[Mutant, set[str]], ...]:
    """Try every mutant of the demo plant, once for all that ask."""
    return tuple(tried(demo_bench()))


def main(arguments: list[str]) -> None:
    """Print what share is noticed, by kind of edit, and the silent ones gathered by field and edit."""
    shares = [float(word) for word in arguments if not word.startswith("-")]
    all_of, noticed, silent = Counter[str](), Counter[str](), Counter[tuple[str, str]]()
    where: dict[tuple[str, str], list[str]] = {}
    for mutant, rules in tried(demo_bench(), *shares):
        kind = mutant.edit if mutant.edit == "left out" else mutant.edit.split(" ")[0]
        kind = "moved" if mutant.edit in DAYS else kind
        all_of[kind] += 1
        noticed[kind] += bool(rules)
        if not rules:
            silent[mutant.field, mutant.edit] += 1
            where.setdefault((mutant.field, mutant.edit), []).append(f"{mutant.sheet[3:7]} {mutant.stage}")
    for kind, count in sorted(all_of.items()):
        print(f"{kind:14} {noticed[kind]:5} of {count:5} noticed ({noticed[kind] / count:.1%})")
    print(f"{'all':14} {noticed.total():5} of {all_of.total():5} noticed ({noticed.total() / all_of.total():.1%})")
    if "--silent" in arguments:
        for (field, edit), count in sorted(silent.items()):
            print(f"{count:3}  {field}: {edit}   [{', '.join(where[field, edit])}]")


if __name__ == "__main__":
    main(sys.argv[1:])
