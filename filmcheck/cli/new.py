"""``filmcheck new``: a short job sheet from the answers that nobody can guess."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from filmcheck.cli.option_types import day_option
from filmcheck.cli.streams import complain, put
from filmcheck.plant.nearest import known_entries
from filmcheck.plant.new_sheet import only_anvil, repeated, tools_that_fit
from filmcheck.plant.plant import Plant, load_plant, read_sheet, settings_above, settled, type_text
from filmcheck.plant.record import Datum, Record, find, text_at
from filmcheck.plant.sheet_merge import MergeError, merged
from filmcheck.plant.sheet_text import Steps, scalar_text, sheet_text
from filmcheck.plant.typed import AS_PRESS
from filmcheck.reading.schema_words import same_word
from filmcheck.records.errors import UseError
from filmcheck.running.safe_write import write_new

ASKED: dict[str, tuple[Steps, str, str]] = {
    "job": (("job",), "", "Job number"),
    "title": (("title",), "", "Title"),
    "set_up": (("set_up",), "set_ups", "Set-up (empty: none, by the press alone)"),
    "press": (("press",), "presses", "Press"),
    "stock": (("stock",), "stocks", "Stock"),
    "customer": (("customer",), "customers", "Customer"),
    "width": (("web", "width"), "", "Web width"),
    "speed": (("web", "speed"), "", "Speed"),
    "around": (("layout", "label", "around"), "", "Label, along the web"),
    "across": (("layout", "label", "across"), "", "Label, across the web"),
    "gap_around": (("layout", "gap", "around"), "", "Gap along the web"),
    "gap_across": (("layout", "gap", "across"), "", "Gap across the web"),
    "lanes": (("layout", "lanes"), "", "Lanes"),
    "edge_trim": (("layout", "edge_trim"), "", "Waste at each edge of the web (empty: not known)"),
    "length": (("web", "length"), "", "Length to run"),
}
"""What is asked, each with its field on the sheet, the register that a name must stand in, and the question."""

FROM_SET_UP = ("press", "stock", "customer", "width", "speed")
"""What a set-up may say; asked only where it does not."""
MOST_SHOWN = 8
"""Names of a register that are shown with the question."""

WORDS = ("job", "title", "set_up", "press", "stock", "customer")


@click.command("new", short_help="Write a new job sheet from answers or options.")
@click.argument("target", metavar="SHEET", type=click.Path(path_type=Path))
@click.option("--job", help="Job number.")
@click.option("--title", help="What the job is, in words.")
@click.option("--set-up", "set_up", help="Set-up, by its name in the register of set-ups; empty for none.")
@click.option("--press", help="Press, where no set-up names it.")
@click.option("--stock", help="Stock; empty where the set-up names it.")
@click.option("--customer", help="Customer; empty where the set-up names it.")
@click.option("--width", help="Web width, such as '330 mm'.")
@click.option("--speed", help="Speed, such as '45 m/min'.")
@click.option("--around", help="Label along the web, such as '98.4 mm'.")
@click.option("--across", help="Label across the web.")
@click.option("--gap-around", help="Gap along the web.")
@click.option("--gap-across", help="Gap across the web.")
@click.option("--lanes", help="Labels side by side.")
@click.option("--edge-trim", help="Waste at each edge of the web; empty where it is not known.")
@click.option("--length", help="Length to run, such as '4200 m'.")
@day_option("--day", says="Day on which the job is to run; today if not given.")
@click.option("--first-film-job", is_flag=True, help="The crew or press runs film liner for the first time.")
@click.option("--like", "earlier", metavar="SHEET", type=click.Path(path_type=Path), help="Sheet that it repeats.")
def new_command(target: Path, day: date, first_film_job: bool, earlier: Path | None, **given: str | None) -> None:
    """Write a new job SHEET, by a set-up, by a press, or like an earlier job. What is not given is asked for.

    A die that fits label, gaps, lanes is proposed with the cylinders of its gear; look whether it is free. Of an
    earlier job all is taken over but what was found and done on it. Nothing that is there is written over.
    """
    plant = _plant(target)
    fixed: dict[Steps, str] = {
        ("stage",): "planned",
        ("date",): day.isoformat(),
        ("first_film_job",): str(first_film_job).lower(),
    }
    text = _like(earlier, given, fixed, plant) if earlier else _afresh(given, fixed, plant)
    faults = type_text(text, target.name, "job-sheet").faults
    if faults:
        raise UseError(f"no sheet was written: {faults[0].says}", way_out=faults[0].hint)
    write_new(target, text.encode("utf-8"))
    put(f"{text}\nWritten to {target.as_posix()}. Next: filmcheck lint {target.as_posix()}\n")


def _afresh(given: dict[str, str | None], fixed: dict[Steps, str], plant: Plant) -> str:
    answers: dict[str, str] = {}
    for name, (steps, _, _) in ASKED.items():
        known = _of_set_up(answers.get("set_up", ""), steps, plant) if name in FROM_SET_UP else ""
        answers[name] = _checked(name, given[name], plant) if known or given[name] is not None else _asked(name, plant)
    fields = {ASKED[name][0]: _written(name, text) for name, text in answers.items() if text}
    tools = tools_that_fit(answers["around"], answers["gap_around"], answers["lanes"], plant)
    if not _of_set_up(answers["set_up"], ("tooling", "anvil"), plant):
        press = answers["press"] or _of_set_up(answers["set_up"], ("press",), plant)
        tools |= only_anvil(press, plant) if tools else {}
    path: dict[Steps, str] = {} if answers["set_up"] else {("path",): AS_PRESS}
    return sheet_text({**fields, **fixed, **path, **tools})


def _like(earlier: Path, given: dict[str, str | None], fixed: dict[Steps, str], plant: Plant) -> str:
    """Repeat an earlier job with what is given put in its place."""
    if not earlier.is_file():
        raise UseError(f"{earlier} is not there", way_out="Give the sheet of the earlier job, such as jobs/1001.yaml.")
    sheet = read_sheet(settled(earlier), "job-sheet", fence=plant.fence)
    job = _asked("job", plant) if given["job"] is None else given["job"]
    title = given["title"] or text_at(sheet.record, "title")
    head = {("job",): _written("job", job), ("title",): _written("title", title), **fixed}
    text = repeated(sheet, head)
    for name, (steps, _, _) in ASKED.items():
        said = _checked(name, given[name], plant)
        if said and steps not in head:
            there = find(type_text(text, earlier.name, "job-sheet").record, steps)
            before = _written(name, there.text) if isinstance(there, Datum) else None
            try:
                text = merged(text, steps, before, _written(name, said))
            except MergeError as error:
                raise UseError(f"no sheet was written: {'.'.join(steps)}: {error}") from error
    return text


def _written(name: str, text: str) -> str:
    return scalar_text(text, is_word=name in WORDS)


def _plant(target: Path) -> Plant:
    settings = settings_above(settled(target).parent)
    if settings is None:
        raise UseError(f"{target} would belong to no plant: no plant.yaml lies in a folder above it")
    return load_plant(settings)


def _of_set_up(set_up: str, steps: Steps, plant: Plant) -> str:
    entry = plant.entries("set_ups").get(set_up)
    return text_at(entry if isinstance(entry, Record) else None, *steps)


def _asked(name: str, plant: Plant) -> str:
    """Ask until the answer can be taken. The names of a register that has few are shown."""
    _, register, question = ASKED[name]
    names = list(plant.entries(register))
    shown = f"{question} ({', '.join(names)})" if 0 < len(names) <= MOST_SHOWN else question
    while True:
        answer = click.prompt(shown, default="" if "(empty" in question else None, show_default=False, err=True)
        try:
            return _checked(name, str(answer), plant)
        except UseError as error:
            complain(f"{error.found}. {error.way_out}".strip())


def _checked(name: str, answer: str | None, plant: Plant) -> str:
    """Give an answer as it goes on the sheet, a name as its register has it.

    Raises UseError where it cannot be right.
    """
    steps, register, _ = ASKED[name]
    if not answer or not register:
        faults = type_text(sheet_text({steps: _written(name, answer)}), "", "job-sheet").faults if answer else ()
        for fault in (each for each in faults if each.id != "key-missing"):
            raise UseError(fault.says.rstrip("."), way_out=fault.hint)
        return answer or ""
    entries = plant.entries(register)
    known = answer if answer in entries else same_word(answer, entries)
    if known is None:
        what = register.removesuffix("es") if register == "presses" else register.removesuffix("s").replace("_", "-")
        raise UseError(f"{what} {answer[:60]} is not in its register", way_out=known_entries(answer, entries, what))
    return known
