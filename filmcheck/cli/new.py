"""``filmcheck new``: a short job sheet from the answers that nobody can guess."""

from __future__ import annotations

from datetime import date, datetime
from math import isclose, pi
from pathlib import Path

import click

from filmcheck.cli.streams import put
from filmcheck.plant.nearest import known_names
from filmcheck.plant.plant import Plant, load_plant, settings_above, settled, type_text
from filmcheck.plant.record import Datum, Record, find
from filmcheck.plant.sheet_text import scalar_text
from filmcheck.records.errors import UseError
from filmcheck.running.safe_write import write_new
from filmcheck.units.quantity import Quantity, parse_quantity

FITS = 1e-3
"""Share by which a repeat may miss that of a tool: the slack of numbers rounded to a tenth of a millimetre."""

ASKED = (
    ("job", "Job number"),
    ("title", "Title"),
    ("set_up", "Set-up"),
    ("stock", "Stock (empty: as the set-up has it)"),
    ("customer", "Customer (empty: as the set-up has it)"),
    ("around", "Label, along the web"),
    ("across", "Label, across the web"),
    ("gap_around", "Gap along the web"),
    ("gap_across", "Gap across the web"),
    ("lanes", "Lanes"),
    ("length", "Length to run"),
)
MAY_BE_EMPTY = ("stock", "customer")


@click.command("new")
@click.argument("target", metavar="SHEET", type=click.Path(path_type=Path))
@click.option("--job", help="Job number.")
@click.option("--title", help="What the job is, in words.")
@click.option("--set-up", "set_up", help="Set-up, by its name in the register of set-ups.")
@click.option("--stock", help="Stock; empty where the set-up names it.")
@click.option("--customer", help="Customer; empty where the set-up names it.")
@click.option("--around", help="Label along the web, such as '98.4 mm'.")
@click.option("--across", help="Label across the web.")
@click.option("--gap-around", help="Gap along the web.")
@click.option("--gap-across", help="Gap across the web.")
@click.option("--lanes", help="Labels side by side.")
@click.option("--length", help="Length to run, such as '4200 m'.")
@click.option("--day", type=click.DateTime(["%Y-%m-%d"]), help="Day on which the job is to run; today if not given.")
@click.option("--first-film-job", is_flag=True, help="The crew or press runs film liner for the first time.")
def new_command(target: Path, day: datetime | None, first_film_job: bool, **given: str | None) -> None:
    """Write a new job SHEET by a set-up. What is not given as an option is asked for.

    A die that fits label, gaps, lanes is proposed with the cylinders of its gear; look whether it is free. Nothing
    that is there is written over.
    """
    plant = _plant(target)
    answers = {name: _answer(name, words, given.get(name)) for name, words in ASKED}
    for name, register in (("set_up", "set_ups"), ("stock", "stocks"), ("customer", "customers")):
        _check_name(answers[name], register, plant)
    on = day.date() if day else date.today()
    text = sheet_text(answers, tools_that_fit(answers, plant), on, first_film_job=first_film_job)
    faults = type_text(text, target.name, "job-sheet").faults
    if faults:
        raise UseError(f"no sheet was written: {faults[0].says}", way_out=faults[0].hint)
    write_new(target, text.encode("utf-8"))
    put(f"{text}\nWritten to {target.as_posix()}. Next: filmcheck lint {target.as_posix()}\n")


def sheet_text(answers: dict[str, str], tools: dict[str, str], day: date, *, first_film_job: bool) -> str:
    """Give the text of a short sheet. Words of people stand in quotes, so that none can be anything but a word."""
    label = f"label: {{around: {scalar_text(answers['around'])}, across: {scalar_text(answers['across'])}}}"
    gap = f"gap: {{around: {scalar_text(answers['gap_around'])}, across: {scalar_text(answers['gap_across'])}}}"
    around = f", labels_around: {tools['labels_around']}" if "labels_around" in tools else ""
    named = {name: tools[name] for name in ("die", "magnetic_cylinder", "print_cylinder") if name in tools}
    lines = [
        f"job: {scalar_text(answers['job'])}",
        f"title: {scalar_text(answers['title'])}",
        "stage: planned",
        f"date: {day.isoformat()}",
        f"first_film_job: {str(first_film_job).lower()}",
        *(f"{name}: {scalar_text(answers[name])}" for name in ("set_up", "stock", "customer") if answers[name]),
        f"web: {{length: {scalar_text(answers['length'])}}}",
        f"layout: {{{label}, {gap}, lanes: {answers['lanes']}{around}}}",
    ]
    if named:
        lines.append(f"tooling: {{{', '.join(f'{name}: {scalar_text(tool)}' for name, tool in named.items())}}}")
    return "\n".join(lines) + "\n"


def tools_that_fit(answers: dict[str, str], plant: Plant) -> dict[str, str]:
    """Propose the first die whose repeat and lanes are those of the layout, and cylinders of the same gear."""
    label, gap = (parse_quantity(answers[name], ("length",)) for name in ("around", "gap_around"))
    if not (isinstance(label, Quantity) and isinstance(gap, Quantity)):
        return {}
    for name, die in plant.entries("tooling", "dies").items():
        rows, lanes = find(_record(die), ("labels_around",)), find(_record(die), ("lanes",))
        repeat = _repeat(die)
        if not (isinstance(rows, Datum) and isinstance(lanes, Datum) and repeat):
            continue
        wanted = float(str(rows.content)) * (label.low + gap.low)
        if isclose(repeat, wanted, rel_tol=FITS) and str(lanes.content) == answers["lanes"].strip():
            found = {"die": name, "labels_around": str(rows.content)}
            for kind in ("magnetic_cylinder", "print_cylinder"):
                entries = plant.entries("tooling", f"{kind}s").items()
                same = [tool for tool, entry in entries if isclose(_repeat(entry) or 0.0, repeat, rel_tol=1e-9)]
                found.update({kind: same[0]} if same else {})
            return found
    return {}


def _repeat(entry: object) -> float | None:
    """Give the pitch circumference of a tool in m: teeth times circular pitch, or teeth times π times module."""
    teeth, pitch, module = (find(_record(entry), (name,)) for name in ("teeth", "pitch", "module"))
    if not isinstance(teeth, Datum):
        return None
    for size, share in ((pitch, 1.0), (module, pi)):
        if isinstance(size, Datum) and isinstance(size.content, Quantity):
            return float(str(teeth.content)) * size.content.low * share
    return None


def _record(entry: object) -> Record | None:
    return entry if isinstance(entry, Record) else None


def _plant(target: Path) -> Plant:
    settings = settings_above(settled(target).parent)
    if settings is None:
        raise UseError(f"{target} would belong to no plant: no plant.yaml lies in a folder above it")
    return load_plant(settings)


def _answer(name: str, words: str, given: str | None) -> str:
    if given is not None:
        return given
    return str(click.prompt(words, default="" if name in MAY_BE_EMPTY else None, show_default=False, err=True))


def _check_name(name: str, register: str, plant: Plant) -> None:
    entries = plant.entries(register)
    if name and name not in entries:
        what = register.rstrip("s").replace("_", "-")
        raise UseError(f"{what} {name[:60]} is not in its register", way_out=known_names(name, entries, what))
