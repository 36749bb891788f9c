"""Mutants of short sheets against the same job written out: both must draw the same findings, with the same numbers.

A mutant that is told as a fault of form, or whose settings find no station, cannot be written out, and is passed over.

    python tests/mutants/short_against_long.py [HOW_MANY [SEED]]    # 200 mutants where left out
"""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Iterator
from pathlib import Path

from ruamel.yaml import YAML

sys.path.insert(0, str(Path(__file__).parent))

from sheet_mutants import DAY, EXAMPLES, SOUND, edits, plain

from filmcheck.plant.plant import Sheet, load_plant, type_text
from filmcheck.plant.record import Datum, Field, Listing, Record
from filmcheck.plant.short_sheet import made_whole
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.plant_context import PlantContext, make_context

Told = set[tuple[str, str, str]]


def written_out(sheet: Sheet, context: PlantContext) -> Sheet | None:
    """Give the sheet with all that it takes over written on it; None where it has faults that stand in the way."""
    whole = made_whole(sheet.record, context.plant)
    if sheet.faults or whole.faults:
        return None
    fields = {name: _plain(field) for name, field in whole.record.fields.items() if name != "set_up"}
    return type_text(json.dumps(fields, ensure_ascii=False), sheet.file, "job-sheet")


def _plain(field: Field) -> object:
    if isinstance(field, Record):
        return {name: _plain(inner) for name, inner in field.fields.items()}
    if isinstance(field, Listing):
        return [_plain(item) for item in field.items]
    assert isinstance(field, Datum)
    return field.content if isinstance(field.content, bool | int) else field.text


def differences(how_many: int, seed: int) -> Iterator[tuple[str, str, Told, Told]]:
    """Draw mutants of the short sound sheets; give of each its name, its edit, and what is told of one form alone."""
    context = make_context(load_plant(EXAMPLES / "plant.yaml"))
    texts = {path.stem: path.read_text("utf-8") for path in sorted(SOUND.glob("*.yaml"))}
    drawn = []
    for name, text in texts.items():
        if "\nset_up:" in text or "\npath: as press" in text:
            sound = plain(YAML(typ="safe", pure=True).load(text))
            drawn += [(name, path, edit, made) for path, edit, made in edits(sound, "job-sheet", context.plant)]
    random.Random(seed).shuffle(drawn)  # noqa: S311  nothing secret: the same seed draws the same mutants
    for name, path, edit, made in drawn:
        short = type_text(json.dumps(made(), ensure_ascii=False), name, "job-sheet")
        long = written_out(short, context)
        if long is not None:
            how_many -= 1
            one, other = _told(short, context), _told(long, context)
            yield name, f"{'.'.join(map(str, path))}: {edit}", one - other, other - one
        if how_many == 0:
            return


def _told(sheet: Sheet, context: PlantContext) -> Told:
    return {(one.rule, one.kind, one.says) for one in judge_as_is(sheet, context, DAY).findings}


def main(arguments: list[str]) -> None:
    """Print the mutants of which the two forms are told otherwise, and how many were tried."""
    how_many, seed = ([int(word) for word in arguments] + [200, 1][len(arguments) :])[:2]
    tried = unlike = 0
    for name, edit, of_short, of_long in differences(how_many, seed):
        tried += 1
        unlike += bool(of_short or of_long)
        for which, told in (("short", of_short), ("long", of_long)):
            for rule, kind, says in sorted(told):
                print(f"{name} {edit}\n  {which} alone: {kind}: {says}  [{rule}]")
    print(f"{unlike} of {tried} mutants are told otherwise when written out")


if __name__ == "__main__":
    main(sys.argv[1:])
