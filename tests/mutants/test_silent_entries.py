"""Of each spoiled register, set-up or settings entry that nothing notices, a list says why; so of each silent rule.

All mutants of sheets are tried here too, for what they say of rules is asked with what entries say.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from field_ledger import SCHEMAS, fields_of
from ledger_page import PAGE, SILENT
from noticed import Spoiled, column, of_registers, of_settings, spoken_of_faults
from sheet_mutants import all_tried, demo_bench
from silence import ENTRIES, PEOPLE, RULES, explained
from test_sheet_mutants import unexplained

from filmcheck.packs.pack_files import pack_files
from filmcheck.reading.shipped import shipped_folder
from filmcheck.running.pack_store import rule_set

LEAST_OF_SHEETS = 0.92
"""Own figure of the day on which it was measured, over all mutants of sheets: it may only rise."""
LEAST_NOTICED = 0.776
"""Own figure of the day on which it was measured, over all entries; it may only rise."""


def silent_cells() -> set[tuple[str, str]]:
    """Give field and column of each cell of the page that tells of spoiled entries that were not noticed."""
    found = set()
    for part in PAGE.read_text("utf-8").split("\n## ")[1:]:
        schema, *lines = part.splitlines()
        rows = [line.strip("| ").split(" | ") for line in re.sub(r"\|  (?=\|)", "| - ", "\n".join(lines)).splitlines()]
        head = next((row for row in rows if row[0] == "field"), [])
        for row in (row for row in rows if row[0].startswith("`") and schema != "job-sheet"):
            names = f"{schema.replace('-', '_')}.{row[0].strip('`')}"
            found |= {(names, head[n]) for n, cell in enumerate(row[:-1]) if SILENT in cell or " of " in cell}
    return found


def test_every_silent_cell_of_the_page_has_a_reason_and_no_reason_is_stale() -> None:
    shown = {field for schema in SCHEMAS for field in fields_of(schema)}
    reasons = {(line["field"], column(edit)) for line in ENTRIES for edit in line["edit"] if line["field"] in shown}
    assert {cell for cell in silent_cells() if cell[0] not in PEOPLE} == reasons


def test_no_reason_is_given_twice() -> None:
    given = [(line["field"], edit) for line in ENTRIES for edit in line["edit"]]
    assert len(given) == len(set(given))


def test_a_rule_that_is_said_to_be_silent_is_one_and_speaks_on_no_recorded_fault() -> None:
    known = {rule.id for rule in rule_set([*pack_files([shipped_folder("rules")])]).rules}
    assert RULES.keys() - known == set()
    assert RULES.keys() & spoken_of_faults() == set()


@pytest.mark.slow
def test_most_mutants_of_sheets_are_noticed_and_every_silent_one_is_explained() -> None:
    found = all_tried()
    assert sum(bool(rules) for _, rules in found) / len(found) >= LEAST_OF_SHEETS
    assert unexplained(found) == set()


@pytest.mark.slow
def test_every_silent_entry_and_rule_is_explained_and_every_line_is_needed() -> None:
    entries = [*of_registers(demo_bench()), *(one for one in of_settings(demo_bench()) if column(one.edit))]
    silent = [one for one in entries if not one.rules]
    assert 1 - len(silent) / len(entries) >= LEAST_NOTICED
    assert {(one.field, one.edit) for one in silent if not explained(one)} == set()
    on_record = {(line["field"], edit) for line in ENTRIES for edit in line["edit"]}
    assert on_record - {(one.field, one.edit) for one in silent} == set()
    spoken = spoken_of_faults().union(*(one.rules for one in entries), *(rules for _, rules in all_tried()))
    known = {rule.id for rule in rule_set([*pack_files([shipped_folder("rules")])]).rules}
    assert known - spoken == RULES.keys(), "say why in silent_rules.yaml, or take out what speaks now"


def test_an_entry_that_is_on_no_record_is_not_explained() -> None:
    assert not explained(Spoiled("presses.width", "/3", set()))
