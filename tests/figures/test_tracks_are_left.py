"""Figures look at the records of a thing by the way that leaves a track, or verdicts could be taken over wrongly."""

from __future__ import annotations

import re
from pathlib import Path

import filmcheck.figures

FOLDER = Path(filmcheck.figures.__file__).parent
MAY = {
    "figures.py": "keeps the tracks",
    "lookups.py": "keeps the tracks",
    "tracks.py": "says what a track reads",
    "press_order.py": "compares unit and name, which are part of the shape of the path",
    "wound_rolls.py": "hands records on to the thing that it makes",
    "zones.py": "hands records on to the thing that it makes",
}


def test_no_figure_reaches_past_the_tracks() -> None:
    reach = {path.name for path in FOLDER.glob("*.py") if re.search(r"(?<!ask)\.records\b", path.read_text("utf-8"))}
    assert reach == set(MAY)


def test_things_that_are_made_hand_records_on_and_read_none() -> None:
    for name in ("wound_rolls.py", "zones.py"):
        text = (FOLDER / name).read_text("utf-8")
        assert not re.search(r"(?<!ask)\.records\[\d+\]", text), name
