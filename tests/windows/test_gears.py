"""Gears have whole teeth: 1/8 in circular pitch is 3.175 mm a tooth, so 96 teeth are 304.8 mm round."""

from __future__ import annotations

from pathlib import Path

from benches import proving_copy, ready

from filmcheck.windows.gears import gear_that_fits


def said(folder: Path, around: str, unit: str = "mm") -> str:
    made = ready(proving_copy(folder, {"around: 98.4 mm": f"around: {around}"}, {}))
    return gear_that_fits(made.bench.figures, 0.05e-3, unit)


def test_a_gear_that_carries_whole_labels(tmp_path: Path) -> None:
    # 101.6 mm is 32 teeth; the die has 96, which carry three.
    assert said(tmp_path, "98.4 mm") == "96 teeth of the die's pitch carry 3 of these labels."


def test_the_nearest_gear_is_told(tmp_path: Path) -> None:
    # 123.8 + 3.2 mm are 127 mm, 40 teeth: 80 teeth carry two, 120 three, and 80 is nearer to 96.
    assert said(tmp_path, "123.8 mm") == "80 teeth of the die's pitch carry 2 of these labels."


def test_no_gear_does(tmp_path: Path) -> None:
    # 102.77 mm is 32.3685 teeth. 3 × 102.77 = 308.31 mm; 97 teeth are 307.975 mm, a third of that 102.658 mm.
    text = said(tmp_path, "99.57 mm")
    for teeth in range(40, 201):
        count = round(teeth * 3.175 / 102.77)
        assert abs(teeth * 3.175 - count * 102.77) > 0.05
    assert "97 teeth carry 3 of 102.658 mm" in text
    # 97 × 0.125 in / 3 is 4.0416667 in.
    assert "97 teeth carry 3 of 4.04167 in" in said(tmp_path / "in", "99.57 mm", "in")


def test_where_the_sheet_counts_other_labels_than_the_die_both_are_told(tmp_path: Path) -> None:
    # 304.8 mm on a die that cuts 3 are 101.6 mm each; six of 102.77 mm are 616.62 mm, 194.2 teeth, and 194 carry none.
    made = ready(
        proving_copy(tmp_path, {"around: 98.4 mm": "around: 99.57 mm", "labels_around: 3": "labels_around: 6"}, {})
    )
    text = gear_that_fits(made.bench.figures, 0.05e-3, "mm")
    assert text.endswith("The die that is named cuts 3 around: label and gap together are 101.6 mm.")
