"""The sheet of a repeat order: that of an earlier job without what was found and done on it."""

from __future__ import annotations

from filmcheck.plant.plant import Sheet
from filmcheck.plant.sheet_text import Steps, sheet_text
from filmcheck.reading.lines import Lines
from filmcheck.reading.nodes import Mapping
from filmcheck.records.errors import UseError

OF_ONE_JOB = ("preparation", "results", "deviations", "signed", "press_time")
"""What an earlier job has and a repeat of it has not."""


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
