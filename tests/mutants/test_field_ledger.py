"""Every field of the schemas has a job: a rule reads it, or the schema says it is for people; the ledger shows it."""

from __future__ import annotations

import random
import re
import sys
from itertools import chain
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from field_ledger import SCHEMAS, fields_of, for_people, ledger
from ledger_page import PAGE, SILENT
from noticed import Spoiled, column, of_registers, of_wrong_kinds
from sheet_mutants import demo_bench
from silence import explained

RENEW = "renew the ledger, some minutes: python tests/mutants/ledger_page.py > tests/mutants/LEDGER.md"
SHARE = 0.015
"""Share of the spoiled register entries that the test tries again; always the same ones."""


@pytest.fixture(scope="module")
def asked() -> dict[str, set[str]]:
    return ledger()


@pytest.mark.slow
def test_every_field_is_read_by_a_rule_or_marked_as_for_people(asked: dict[str, set[str]]) -> None:
    idle = {field for field, rules in asked.items() if not rules}
    assert idle - for_people() == set(), "write a rule that reads them, or mark them for_people in the schema"


def test_what_is_marked_as_for_people_is_read_by_no_rule(asked: dict[str, set[str]]) -> None:
    # A name on the shop floor helps to say which entry was meant; no rule judges it.
    assert {field for field in for_people() if asked[field] - {"names"}} == set()


def test_the_ledger_sees_what_is_known_to_be_read(asked: dict[str, set[str]]) -> None:
    """Rules whose fields stand in their own text, so that a ledger that sees too little is noticed."""
    assert "speed-over-press" in asked["job-sheet.web.speed"] & asked["presses.speed"] & asked["set_ups.web.speed"]
    assert "die-life" in asked["tooling.dies.life"]
    assert "web-too-hot" in asked["stocks.liner.maximum_temperature"]
    assert "core-not-customers" in asked["customers.core"]
    assert "permits" in asked["permits.permits.until"]
    assert "settings" in asked["plant.limits.value"]


def told(field: str) -> dict[str, str]:
    """Give the cells of a field on the page, by column."""
    schema, _, inner = field.partition(".")
    part = PAGE.read_text("utf-8").partition(f"## {schema.replace('_', '-')}\n")[2].partition("\n## ")[0]
    rows = [line.strip("| ").split(" | ") for line in re.sub(r"\|  (?=\|)", "| - ", part).splitlines()]
    head = next(row for row in rows if row[0] == "field")
    return dict(zip(head, next(row for row in rows if row[0] == f"`{inner}`"), strict=True))


def test_the_page_has_every_field() -> None:
    fields = [field.partition(".")[2] for schema in SCHEMAS for field in fields_of(schema)]
    assert re.findall(r"^\| `([^`]+)`", PAGE.read_text("utf-8"), re.MULTILINE) == fields, RENEW


def test_a_value_of_the_wrong_kind_is_noticed_in_every_field() -> None:
    """What a limit may hold hangs on which limit it is, which is asked once the rules are there."""
    spoiled = chain.from_iterable(map(of_wrong_kinds, SCHEMAS))
    assert {one.field for one in spoiled if not one.rules} == {"plant.limits.value"}


@pytest.mark.slow
def test_the_page_says_of_register_entries_what_is_so() -> None:
    draw = random.Random(1)  # noqa: S311  nothing secret: the same seed draws the same entries
    shown = {field for schema in SCHEMAS for field in fields_of(schema)}
    spoiled = list(of_registers(demo_bench(), lambda field, edit: draw.random() < SHARE))
    assert [one for one in spoiled if not one.rules and not explained(one)] == []
    tried = [one for one in spoiled if one.field in shown]
    assert len(tried) > 15
    assert [one for one in tried if bool(one.rules) != _on_page(one)] == [], RENEW


def _on_page(one: Spoiled) -> bool:
    """Whether the page tells a spoiled entry as noticed; where it tells of one of two, both are right."""
    cell = told(one.field)[column(one.edit)]
    return bool(one.rules) if re.search(r"\([1-9]\d* of \d+\)$", cell) else not cell.startswith(SILENT)
