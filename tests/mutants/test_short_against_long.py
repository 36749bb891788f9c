"""A short sheet and the same job written out are told alike, spoiled as they are sound."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

import pytest
import short_against_long

from filmcheck.plant.plant import Plant
from filmcheck.plant.record import Record
from filmcheck.plant.short_sheet import Whole, made_whole


def test_mutants_of_short_sheets_are_told_alike_when_written_out() -> None:
    """A few, always the same; the command tries as many as one likes."""
    drawn = list(short_against_long.differences(12, seed=7))
    assert len(drawn) == 12
    assert [one for one in drawn if one[2] or one[3]] == []


def test_a_form_that_loses_a_datum_is_told_otherwise(monkeypatch: pytest.MonkeyPatch) -> None:
    """The comparison itself can fail: a long form without its finishing is told otherwise."""

    def lossy(record: Record, plant: Plant) -> Whole:
        found = made_whole(record, plant)
        fields = {name: field for name, field in found.record.fields.items() if name != "finishing"}
        return found._replace(record=found.record.with_fields(fields))

    monkeypatch.setattr(short_against_long, "made_whole", lossy)
    assert any(of_long for _, _, _, of_long in short_against_long.differences(2, seed=7))
