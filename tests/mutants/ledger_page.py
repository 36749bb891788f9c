"""Makes ``LEDGER.md``: for every field of the schemas who reads it, and what notices when it is wrong.

python tests/mutants/ledger_page.py > tests/mutants/LEDGER.md         # takes some minutes
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from itertools import chain
from pathlib import Path

from field_ledger import SCHEMAS, fields_of, for_people, ledger
from noticed import COLUMNS, FirstFew, Spoiled, column, of_registers, of_settings, of_sheets, of_wrong_kinds
from sheet_mutants import demo_bench
from silence import ENTRIES, RULES

PAGE = Path(__file__).with_name("LEDGER.md")
MOST_TRIED = 2
"""Sheets or entries on which each field is spoiled in each way."""
MOST_NAMED = 2
"""Rules that a cell names; how many more there are is said behind them."""
SILENT = "nothing"
HEAD = """# Ledger of fields

Made by `ledger_page.py`, of the schemas and the sound sheets of the demo plant. *Read by*: the rules that ask for the
field while they judge sheets, watched and not guessed from names. The other columns: what speaks up on a sound sheet
when the field is taken three times (too large), a third (too small), as another allowed word, name, day or truth
(contradictory), left out (missing), or holds what it cannot be (wrong kind). Fields of sheets are tried on two sheets
at the most, those of registers and set-ups on every entry that a sound sheet names. *1 of 2*: so many of them were
noticed; *nothing*: none was. `silent.yaml` says why of each on a sheet; below the other tables stands why of each
entry. An empty cell: those tried have no such field, or it can be wrong in no such way.
"""

Cells = dict[tuple[str, str], "Cell"]


class Cell:
    """What came of spoiling a field in one way: who noticed how often, of how many tried."""

    def __init__(self) -> None:
        """Start with nothing tried."""
        self.rules: Counter[str] = Counter()
        self.noticed = self.tried = 0

    def add(self, spoiled: Spoiled) -> None:
        """Count one more."""
        self.rules.update(spoiled.rules)
        self.noticed += bool(spoiled.rules)
        self.tried += 1

    def __str__(self) -> str:
        """Give the cell in words."""
        names = [name for name, _ in sorted(self.rules.items(), key=lambda pair: (-pair[1], pair[0]))]
        some = named(names) or SILENT
        return some if self.noticed == self.tried else f"{some} ({self.noticed} of {self.tried})"


def named(names: list[str]) -> str:
    """Name the first of several rules, and say how many more there are."""
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" +{more}" if more > 0 else "")


def cells(spoiled: Iterable[Spoiled]) -> Cells:
    """Gather what came of it by field and column."""
    found: Cells = defaultdict(Cell)
    for one in spoiled:
        where = one.edit if one.edit in COLUMNS else column(one.edit)
        if where:
            found[one.field, where].add(one)
    return found


def everything() -> Iterator[Spoiled]:
    """Spoil everything that can be spoiled."""
    bench = demo_bench()
    wrong = chain.from_iterable(map(of_wrong_kinds, SCHEMAS))
    return chain(of_sheets(bench, FirstFew(MOST_TRIED)), of_registers(bench), of_settings(bench), wrong)


def rows(found: Cells) -> Iterator[str]:
    """Give the page line by line."""
    asked, people = ledger(), for_people()
    yield HEAD
    for schema in SCHEMAS:
        yield f"## {schema.replace('_', '-')}\n\n| field | read by | {' | '.join(COLUMNS)} |\n|{' --- |' * 7}"
        for field in fields_of(schema):
            readers = "people only" if field in people else named(sorted(asked[field]))
            told = [str(found[field, name]) if (field, name) in found else "" for name in COLUMNS]
            yield f"| `{field.partition('.')[2]}` | {readers} | {' | '.join(told)} |"
        yield ""
        yield from _reasons(schema)
    yield "## Rules that no mutant and no recorded fault makes speak\n"
    yield "Their own proofs do. Why nothing else does:\n"
    yield from (f"* {rule}: {why}" for rule, why in sorted(RULES.items()))


def _reasons(schema: str) -> Iterator[str]:
    lines = [line for line in ENTRIES if line["field"].partition(".")[0] == schema]
    if lines:
        yield "Why nothing notices:\n"
        for line in lines:
            yield f"* {line['field'].partition('.')[2]} ({', '.join(line['edit'])}): {line['why']}"
        yield ""


if __name__ == "__main__":
    print("\n".join(rows(cells(everything()))).rstrip())
