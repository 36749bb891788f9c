"""What is laminated on the way counts in the web that is wound, in its rolls and in the span behind the nip."""

from __future__ import annotations

from datetime import date
from math import pi

import pytest

from filmcheck.figures.figures import Figures
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import load_plant, type_text
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.value import Missing, Value

PROVING = shipped_folder("rules") / "proving"
SHEET = (PROVING / "sheets" / "film-label.yaml").read_text("utf-8")
PLANT = load_plant(PROVING / "plant.yaml")
FILM = "film_caliper: 30 µm, film_modulus: 2 GPa, film_density: 0.91 g/cm^3"


def _figures(film: str) -> Figures:
    text = SHEET.replace("  - die cut:", f"  - laminate: {{{film}}}\n  - die cut:")
    sheet = type_text(text, "sheet", "job-sheet")
    assert sheet.faults == ()
    job, _ = resolve(sheet.record, "sheet", PLANT)
    return Figures(job, date(2026, 11, 25))


def _got(figures: Figures, name: str) -> float:
    found = figures(name)
    assert isinstance(found, Value), found
    assert isinstance(found.low, float)
    return found.low


def test_thickness_stiffness_and_mass_behind_the_laminating_station() -> None:
    figures = _figures(FILM)
    assert _got(figures, "product.caliper") == pytest.approx(50e-6 + 18e-6 + 23e-6 + 30e-6)
    assert _got(figures, "product.stiffness") == pytest.approx(2e9 * 50e-6 + 4.5e9 * 23e-6 + 2e9 * 30e-6)
    mass = 905 * 50e-6 + 1000 * 18e-6 + 1395 * 23e-6 + 910 * 30e-6
    assert _got(figures, "product.areal_mass") == pytest.approx(mass)
    assert _got(figures, "laminate.caliper") == pytest.approx(91e-6)


def test_rolls_wound_behind_it_grow_by_it_and_the_parent_roll_does_not() -> None:
    figures = _figures(FILM)
    core = 0.1524 + 0.016
    # 4200 m on two rolls: D² = d² + 4 t L/π, area of the side of the roll.
    wanted = (core**2 + 4 * 121e-6 * 2100 / pi) ** 0.5
    assert _got(figures, "rewind.full_diameter") == pytest.approx(wanted)
    assert _got(figures, "rewind.roll_mass") == pytest.approx(_got(figures, "product.areal_mass") * 0.33 * 2100)
    assert _got(figures, "unwind.roll_length") == pytest.approx(pi * (0.9**2 - core**2) / (4 * 91e-6))
    assert _got(figures, "press_roll.caliper") == pytest.approx(121e-6)
    assert _got(figures, "supplied_roll.caliper") == pytest.approx(91e-6)


def test_the_web_is_stretched_less_behind_it() -> None:
    job, _ = resolve(type_text(SHEET, "sheet", "job-sheet").record, "sheet", PLANT)
    less = _got(Figures(job, date(2026, 11, 25)), "die_cut.strain") - _got(_figures(FILM), "die_cut.strain")
    # 46 N on 330 mm over 203.5 and over 263.5 kN/m; the warmth at the die is the same.
    assert less == pytest.approx(46 / 0.33 * (1 / 203.5e3 - 1 / 263.5e3))


def test_a_film_of_unknown_thickness_leaves_the_rolls_unknown() -> None:
    found = _figures("film_modulus: 2 GPa")("rewind.full_diameter")
    assert isinstance(found, Missing)
    assert "film_caliper of laminate" in [need.name for need in found.needs]
