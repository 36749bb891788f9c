"""What a new sheet takes over: tools that fit its layout, or an earlier job without what was found and done on it."""

from __future__ import annotations

from math import isclose, pi

from filmcheck.plant.plant import Plant, Sheet
from filmcheck.plant.record import Record, content_at, word
from filmcheck.plant.sheet_text import Steps, scalar_text, sheet_text
from filmcheck.reading.lines import Lines
from filmcheck.reading.nodes import Mapping
from filmcheck.records.errors import UseError
from filmcheck.units.quantity import Quantity, parse_quantity

FITS = 1e-3
"""Share by which a repeat may miss that of a tool: the slack of numbers rounded to a tenth of a millimetre."""

CYLINDERS = ("magnetic_cylinder", "print_cylinder")
OF_ONE_JOB = ("preparation", "results", "deviations", "signed", "press_time")
"""What an earlier job has and a repeat of it has not."""


def only_anvil(press: str, plant: Plant) -> dict[Steps, str]:
    """Propose the anvil of a press, as YAML, where the register has no other that may be its."""
    entries = plant.entries("tooling", "anvils").items()
    of_press = ((name, word(entry, "press")) for name, entry in entries if isinstance(entry, Record))
    fitting = [name for name, its_press in of_press if its_press in (None, press)]
    return {("tooling", "anvil"): scalar_text(fitting[0])} if len(fitting) == 1 else {}


def tools_that_fit(around: str, gap: str, lanes: str, plant: Plant) -> dict[Steps, str]:
    """Propose the first die whose repeat and lanes are those of the layout, and cylinders of the same gear, as YAML."""
    sizes = [parse_quantity(text, ("length",)) for text in (around, gap)]
    pitch = sum(size.low for size in sizes if isinstance(size, Quantity))
    if not all(isinstance(size, Quantity) for size in sizes):
        return {}
    for name, die in plant.entries("tooling", "dies").items():
        rows, of_die, repeat = _number(die, "labels_around"), _number(die, "lanes"), _repeat(die)
        if rows and repeat and isclose(repeat, rows * pitch, rel_tol=FITS) and str(int(of_die)) == lanes.strip():
            found: dict[Steps, str] = {("layout", "labels_around"): str(int(rows))}
            found["tooling", "die"] = scalar_text(name)
            for kind in CYLINDERS:
                entries = plant.entries("tooling", f"{kind}s").items()
                same = [tool for tool, entry in entries if isclose(_repeat(entry), repeat, rel_tol=1e-9)]
                found.update({("tooling", kind): scalar_text(same[0])} if same else {})
            return found
    return {}


def _repeat(entry: object) -> float:
    """Give the pitch circumference of a tool in m: teeth times circular pitch, or teeth times π times module."""
    record = entry if isinstance(entry, Record) else None
    for name, share in (("pitch", 1.0), ("module", pi)):
        size = content_at(record, name)
        if isinstance(size, Quantity):
            return _number(entry, "teeth") * size.low * share
    return 0.0


def _number(entry: object, name: str) -> float:
    found = content_at(entry if isinstance(entry, Record) else None, name)
    return float(found) if isinstance(found, int | float) else 0.0


def repeated(sheet: Sheet, head: dict[Steps, str]) -> str:
    """Give the text of a repeat order: its own fields of ``head`` first, then what the earlier sheet says besides.

    What is taken over keeps its wording and its comments. Raises UseError where the sheet is not one key a line.
    """
    tree, text = sheet.tree, sheet.text
    keys = [entry.key.span for entry in tree.entries.values()] if isinstance(tree, Mapping) else []
    if not isinstance(tree, Mapping) or sheet.faults or any(key.column != 1 for key in keys):
        way_out = "Mend it first; filmcheck lint tells what is wrong, and where."
        raise UseError(f"{sheet.file} cannot be repeated: it has faults, or more than one key a line", way_out=way_out)
    starts = Lines(text).starts
    ends = [starts[key.line - 1] for key in keys[1:]] + [len(text)]
    left_out = {*OF_ONE_JOB, *(steps[0] for steps in head)}
    parts = [
        text[starts[key.line - 1] : end]
        for name, key, end in zip(tree.entries, keys, ends, strict=True)
        if name not in left_out
    ]
    return sheet_text(head) + "".join(parts).rstrip("\r\n") + "\n"
