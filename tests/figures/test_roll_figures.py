"""Figures of rolls, repeats and the snap sample, put to the sheet as the check cases of geometry give them."""

from __future__ import annotations

import math

import pytest

from filmcheck.records.value import Missing, Value

FINISHED_CORE = "  after: 2 h\n  core: 6 in\n  core_wall: 8 mm\n"
NO_COUNTS = (
    ("  speed: 120 m/min\n  labels_per_roll: 2500\n", "  speed: 120 m/min\n"),
    ("  maximum_diameter: 300 mm\n  labels_per_roll: 2500\n", "  maximum_diameter: 300 mm\n"),
)


def core(bore: str, wall: str, more: str = "") -> tuple[str, str]:
    return FINISHED_CORE, f"  after: 2 h\n  core: {bore}\n  core_wall: {wall}\n{more}"


def calipers(face: str, adhesive: str, liner: str) -> tuple[tuple[str, str], ...]:
    """Changes that give the laminate other layers."""
    return (
        ("{material: pp, caliper: 50 µm", f"{{material: pp, caliper: {face}"),
        (
            "  adhesive: {material: acrylic, caliper: 18 µm, density: 1.0 g/cm^3, specific_heat: 1900 J/(kg K)}\n"
            "  liner:\n    material: film\n    caliper: 23 µm\n",
            f"  adhesive: {{material: acrylic, caliper: {adhesive}, density: 1.0 g/cm^3}}\n"
            f"  liner:\n    material: film\n    caliper: {liner}\n",
        ),
    )


def amount(value) -> float:
    assert isinstance(value, Value), value
    assert value.low == value.high
    return float(value.low)


def test_diameter_of_a_length(changed) -> None:
    # 1000 m of 150 µm on 88.9 mm: √(0.0889² + 4 × 150e-6 × 1000 / π) = 445.97 mm.
    figures = changed(*calipers("50 µm", "40 µm", "60 µm"), core("76.2 mm", "6.35 mm", "  length_per_roll: 1000 m\n"))
    assert amount(figures("finishing.core_diameter")) == pytest.approx(0.0889, rel=1e-12)
    assert amount(figures("finishing.full_diameter")) == pytest.approx(0.44597, rel=2e-5)


@pytest.mark.parametrize(
    ("layers", "bore", "wall", "diameter", "length"),
    [
        # Length by counting turns, each as long as its own circle: agrees with the area within π n t.
        (("12 µm", "2 µm", "9 µm"), "76.2 mm", "8 mm", "250 mm", 1843.950),
        (("50 µm", "40 µm", "60 µm"), "76.2 mm", "6.35 mm", "300 mm", 429.858),
    ],
)
def test_labels_on_a_diameter(changed, layers, bore, wall, diameter, length) -> None:
    figures = changed(*calipers(*layers), core(bore, wall, f"  diameter: {diameter}\n"))
    # The label repeat of the sound sheet is 98.4 + 3.2 = 101.6 mm.
    assert amount(figures("finishing.labels_in_diameter")) == math.floor(length / 0.1016)


def test_labels_that_the_customer_can_take(changed) -> None:
    # π (300² − 168.4²) / (4 × 0.091 × 101.6) in mm = 5236.4
    assert amount(changed()("finishing.most_labels")) == 5236


@pytest.mark.parametrize(("law", "share"), [("linear", 0.700), ("hyperbolic", 0.8106)])
def test_tension_at_the_outside(changed, law, share) -> None:
    # Taper 30 % from 46.1 to 125 mm radius: (1 − 0.3), and 1 − 0.3 (1 − 46.1/125).
    figures = changed(
        *NO_COUNTS,
        core("76.2 mm", "8 mm", "  diameter: 250 mm\n"),
        ("  start_tension: 0.7 lbf/in\n  taper: 30 %\n  taper_law: linear\n", _winding("100 N/m", "30 %", law)),
    )
    assert amount(figures("finishing.end_tension")) == pytest.approx(share * 100.0, rel=1e-4)


def _winding(start: str, taper: str, law: str) -> str:
    return f"  start_tension: {start}\n  taper: {taper}\n  taper_law: {law}\n"


def test_taper_of_the_press_is_never_taken_for_that_of_the_sheet(changed) -> None:
    # The press register calls its own ability taper as well; a sheet without taper must not borrow that word.
    figures = changed(("start_tension: 0.8 lbf/in, taper: 30 %, taper_law", "start_tension: 0.8 lbf/in, taper_law"))
    (roll,) = figures.things("press roll")
    taper = figures("its.taper", roll)
    assert isinstance(taper, Missing)
    assert [need.name for need in taper.needs] == ["rewind.taper"]
    assert isinstance(figures("rewind.end_tension"), Missing)
    assert figures("its.machine_taper", roll).low == "linear"


def test_length_of_a_press_roll(changed) -> None:
    assert amount(changed()("rewind.roll_length")) == 2100.0


def test_mass_of_a_press_roll(changed) -> None:
    # 0.905 × 50 + 1.0 × 18 + 1.395 × 23 = 95.335 g/m²; × 0.330 m × 2100 m = 66.067 kg
    assert amount(changed()("rewind.roll_mass")) == pytest.approx(66.067, rel=1e-5)
