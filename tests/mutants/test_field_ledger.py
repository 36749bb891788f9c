"""Every field that a sheet or register can hold has a job: a rule reads it, or the schema says it is for people."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from field_ledger import for_people, ledger


@pytest.fixture(scope="module")
def asked() -> dict[str, set[str]]:
    return ledger()


def test_every_field_is_read_by_a_rule_or_marked_as_for_people(asked: dict[str, set[str]]) -> None:
    idle = {field for field, rules in asked.items() if not rules}
    assert idle - for_people() == set()


def test_what_is_marked_as_for_people_is_read_by_no_rule(asked: dict[str, set[str]]) -> None:
    assert {field for field in for_people() if asked[field]} == set()


def test_the_ledger_sees_what_is_known_to_be_read(asked: dict[str, set[str]]) -> None:
    """Rules whose fields stand in their own text, so that a ledger that sees too little is noticed."""
    assert "speed-over-press" in asked["job-sheet.web.speed"] & asked["presses.speed"]
    assert "die-life" in asked["tooling.dies.life"]
    assert "web-too-hot" in asked["stocks.liner.maximum_temperature"]
    assert "core-not-customers" in asked["customers.core"]
    assert "permits" in asked["permits.permits.until"]
