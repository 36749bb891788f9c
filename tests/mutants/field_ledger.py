"""The ledger of fields: for each field of sheets, registers and permits, the rules that read it.

It is made by watching, not by looking at names: every record keeps which of its fields are asked for while one rule
judges one job. A field that no rule, and no other part that tells faults, asks for has no job.

``LEDGER.md`` shows it, with what notices a wrong value; ``ledger_page.py`` makes it.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from schema_fields import schema_fields

from filmcheck.figures.figures import Figures
from filmcheck.judging.job_summary import summarise
from filmcheck.judging.judge import judge_job, reading_faults
from filmcheck.judging.permits import Permitted, claims
from filmcheck.judging.repository import changed_entries
from filmcheck.packs.pack_files import pack_files
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import PERMITS, Plant, Sheet, load_plant, read_sheet, type_text
from filmcheck.plant.record import Listing, Record
from filmcheck.reading.shipped import shipped_folder
from filmcheck.running.pack_store import rule_set
from filmcheck.running.plant_context import PlantContext, make_context

ROOT = Path(__file__).parents[2]
DAY = date(2026, 11, 25)
SCHEMAS = ("job-sheet", "presses", "stocks", "tooling", "finishing", "customers", "set_ups", "permits", "plant")
Asked = dict[str, set[str]]


class Watched(dict[str, Any]):
    """The fields of a record, keeping which were asked for."""

    def __init__(self, fields: dict[str, Any]) -> None:
        """Take the fields; none was asked for yet."""
        super().__init__(fields)
        self.asked: set[str] = set()

    def get(self, key: str, default: Any = None) -> Any:
        """Give a field, and keep that it was asked for, whether it is there or not."""
        self.asked.add(key)
        return super().get(key, default)

    def __getitem__(self, key: str) -> Any:
        self.asked.add(key)
        return super().__getitem__(key)


@contextmanager
def watching() -> Iterator[list[Watched]]:
    """Make every record that is read meanwhile keep which of its fields are asked for; give all of them."""
    plain, made = Record.__init__, []

    def watched(self: Record, fields: dict[str, Any], *rest: Any) -> None:
        made.append(Watched(fields))
        plain(self, made[-1], *rest)

    Record.__init__ = watched  # type: ignore[method-assign]
    try:
        yield made
    finally:
        Record.__init__ = plain  # type: ignore[method-assign]


def _records(field: Any, path: str) -> Iterator[tuple[str, Watched]]:
    """Give every record below a field, with its path; items of lists stand under the path of the list."""
    if isinstance(field, Record) and isinstance(field.fields, Watched):
        yield path, field.fields
        for name, inner in dict.items(field.fields):
            yield from _records(inner, f"{path}.{name}")
    elif isinstance(field, Listing):
        for item in field.items:
            yield from _records(item, path)


def _entries(plant: Plant) -> Iterator[tuple[str, Any]]:
    for register, record in plant.registers.items():
        if register == PERMITS:
            yield register, record
            continue
        sections = dict.items(record.fields) if register == "tooling" else [("", record)]
        for section, entries in sections:
            root = f"tooling.{section}" if section else register
            yield from ((root, entry) for _, entry in dict.items(entries.fields))


MORE = (
    ("length: 4200 m", "length: 12 km"),
    ("unit: 2, ink: uv flexo", "unit: 2, ink: solvent flexo"),
    ("  - die cut:", "  - turn bar: {}\n  - die cut:"),
    ("  - rewind:", "  - slit: {KNIVES}\n  - rewind:"),
    ("  - die cut:", "  - laminate: {film_caliper: 30 µm}\n  - die cut:"),
)
"""What the proving sheet has not, and some rule reads only where it is there."""
MORE_LINES = """
deviations: [{rule: air-in-roll, reason: trial, approved_by: quality, granted: 2026-11-01, until: 2027-03-31}]
signed: {by: planner, date: 2026-11-20, entries: {press: 0123456789abcdef}}
"""
PERMIT = """
permits:
  - {rule: air-in-roll, jobs: [PG-1001], press: straight-8, stock: clear-pp50-film23, customer: six-inch, reason: trial}
"""


KNIVES = "knives: {kind: shear, condition: sharp clean free, changed: 2026-11-02}"


def _fuller_sheet(slit: str, line: str = "", without: str = "") -> Sheet:
    text = (PROVING / "sheets" / "film-label.yaml").read_text("utf-8").replace(without, "")
    for found, other in MORE:
        text = text.replace(found, other.replace("KNIVES", slit))
    return type_text(text + MORE_LINES + line, "fuller.yaml", "job-sheet")


def ledger() -> Asked:
    """Give every field of the schemas, with who asks for it while sound and fuller sheets are judged."""
    with watching():
        found: Asked = {field: set() for schema in SCHEMAS for field in fields_of(schema)}
        for settings, folder in ((ROOT / "examples" / "plant.yaml", "jobs/sound"), (PROVING / "plant.yaml", "sheets")):
            _watch_plant(settings, folder, found)
    _watch_plant_within_plant(found)
    for field in fields_of("set_ups"):
        found[field] |= found.get(field.replace("set_ups.", "job-sheet.", 1), set())  # it is laid under the sheet
    return found


PROVING = ROOT / "rules" / "proving"


def _watch_plant_within_plant(found: Asked) -> None:
    """Watch the settings of a plant that holds another one, while the inner one is loaded."""
    with TemporaryDirectory() as folder, watching() as made:
        inner = Path(folder) / "inner"
        inner.mkdir()
        (inner / "plant.yaml").write_text("plant: Inner\n", "utf-8")
        (inner.parent / "plant.yaml").write_text("plant: Outer\nplants: [inner]\n", "utf-8")
        load_plant(inner / "plant.yaml")
        if any("plants" in fields and "plants" in fields.asked for fields in made):
            found["plant.plants"].add("settings")


def _watch_plant(settings: Path, folder: str, found: Asked) -> None:
    plant = load_plant(settings)
    plant.registers[PERMITS] = type_text(PERMIT, "permits.yaml", PERMITS).record
    context = make_context(plant)
    _keep("settings", [(_settings_path(path), fields) for path, fields in _records(plant.settings, "plant")], found)
    shipped = rule_set([*pack_files([shipped_folder("rules")])]).rules
    paths = sorted((settings.parent / folder).rglob("*.yaml"))
    for sheet in [
        *(read_sheet(path, "job-sheet") for path in paths),
        _fuller_sheet(""),
        _fuller_sheet(KNIVES, "set_up: one\nleave_out: [slit]", ", condition: sharp clean free"),
    ]:
        plant.documents.clear()
        job, _ = resolve(sheet.record, sheet.file, plant)
        records = list(_all(job.sheet, plant))
        for rule in shipped:
            if rule.requires is not None:
                _forget(records)
                judge_job(Figures(job, DAY), (rule,), context.house, passes=True)
                _keep(rule.id, records, found)
        _watch_others(sheet, context, found)


def _settings_path(path: str) -> str:
    """Leave out which limit or rule a setting is about."""
    steps = path.split(".")
    return ".".join(steps[:2] if steps[1:2] in (["limits"], ["levels"]) else steps)


def _watch_others(sheet: Sheet, context: PlantContext, found: Asked) -> None:
    """Watch what tells faults without being a rule of conditions: names, tensions, permits, the whole repository."""
    plant = context.plant
    _forget(list(_all(sheet.record, plant)))
    plant.documents.clear()
    job, _ = resolve(sheet.record, sheet.file, plant)
    records = list(_all(job.sheet, plant))
    _keep("names", list(_all(sheet.record, plant)), found)
    _keep("names", records, found)
    figures = Figures(job, DAY)
    works = {
        "tension-as-pressure": lambda: reading_faults(figures),
        "repository": lambda: summarise(figures),
        "entry-changed": lambda: list(changed_entries(figures, plant)),
        "permits": lambda: list(Permitted(figures, claims(job, context.permits), context.heads).faults([])),
    }
    for name, work in works.items():
        _forget(records)
        work()
        _keep(name, records, found)


Records = list[tuple[str, Watched]]


def _all(sheet: Record, plant: Plant) -> Iterator[tuple[str, Watched]]:
    yield from _records(sheet, "job-sheet")
    for root, entry in _entries(plant):
        yield from _records(entry, root)


def _forget(records: Records) -> None:
    for _, fields in records:
        fields.asked.clear()


def _keep(name: str, records: Records, found: Asked) -> None:
    for path, fields in records:
        for field in fields.asked:
            if f"{path}.{field}" in found:
                found[f"{path}.{field}"].add(name)
            elif field not in fields and name != "entry-changed":
                # A group that is asked for and not there: its fields are asked for with it.
                for leaf in (leaf for leaf in found if leaf.startswith(f"{path}.{field}.")):
                    found[leaf].add(name)


def fields_of(schema: str) -> list[str]:
    """Give every field of a schema that holds a value."""
    return [path for path, _, _ in schema_fields(schema)]


def for_people() -> set[str]:
    """Give the fields that the schemas mark as there for people only."""
    return {path for schema in SCHEMAS for path, part, _ in schema_fields(schema) if part.get("for_people")}
