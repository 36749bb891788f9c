"""Both readings of a tension that most likely means something else.

Sources: 1 lbf/in = 175.1268 N/m, 1 psi = 6894.757 Pa, 1 lbf = 4.448222 N (NIST SP 811, appendix B.8); that 1 psi on
a web of 0.13 mm is only 0.0051 lbf/in follows from 1 in = 25.4 mm: 0.13 / 25.4 = 0.005118.
"""

from __future__ import annotations

import re

import pytest

from filmcheck.plant.plant import type_text
from filmcheck.plant.tension_readings import tension_faults
from filmcheck.reading.nodes import Fault

WIDTH, CALIPER = 0.330, 0.13e-3
NEWTON_PER_METRE = 175.1268
PASCAL = 6894.757
NEWTON = 4.448222


def told(tension: str, width: float | None = WIDTH, caliper: float | None = CALIPER) -> list[Fault]:
    text = f"job: A\nstage: planned\npath:\n  - unwind: {{tension: {tension}}}\n"
    sheet = type_text(text, "a.yaml", "job-sheet")
    assert sheet.faults == ()
    faults = tension_faults(sheet.record, width, caliper)
    assert all(file == "a.yaml" for file, _ in faults)
    return [fault for _, fault in faults]


def number_before(unit: str, text: str, nth: int = 0) -> float:
    return float(re.findall(rf"(-?[\d.]+) {re.escape(unit)}(?![\w/])", text)[nth])


def test_one_psi_is_next_to_nothing() -> None:
    (fault,) = told("1 psi")
    assert fault.id == "tension-as-pressure"
    assert tuple(fault.span) == (4, 23, 4, 28)
    assert fault.says == "unwind tension 1 psi is a pressure, not a tension"
    assert "If 1 lbf/in is meant, that is 175.1 N/m" in fault.hint
    assert "as a stress over the laminate's 130 µm it is 0.005118 lbf/in = 0.8963 N/m" in fault.hint
    assert pytest.approx(0.8963, abs=5e-5) == PASCAL * CALIPER


@pytest.mark.parametrize("psi", [0.5, 80, 1000])
def test_psi_is_read_both_ways(psi: float) -> None:
    (fault,) = told(f"{psi} psi")
    assert number_before("N/m", fault.hint, 0) == pytest.approx(psi * NEWTON_PER_METRE, rel=5e-4)
    assert number_before("N/m", fault.hint, 1) == pytest.approx(psi * PASCAL * CALIPER, rel=5e-4)
    assert number_before("N", fault.hint) == pytest.approx(psi * PASCAL * CALIPER * WIDTH, rel=5e-4)


@pytest.mark.parametrize(("written", "pascal"), [("20 kPa", 20e3), ("1.5 MPa", 1.5e6), ("0.2 bar", 20e3)])
def test_other_pressures_are_read_as_a_stress_alone(written: str, pascal: float) -> None:
    (fault,) = told(written)
    assert fault.id == "tension-as-pressure"
    assert "is meant" not in fault.hint
    assert number_before("N/m", fault.hint) == pytest.approx(pascal * CALIPER, rel=5e-4)
    assert number_before("lbf/in", fault.hint) == pytest.approx(pascal * CALIPER / NEWTON_PER_METRE, rel=5e-4)


def test_range_of_pressures() -> None:
    (fault,) = told("1 to 2 psi")
    assert "If 1 to 2 lbf/in is meant, that is 175.1 to 350.3 N/m" in fault.hint
    assert "0.005118 to 0.01024 lbf/in" in fault.hint


def test_pressure_without_width_or_caliper() -> None:
    (fault,) = told("1 psi", width=None)
    assert "in all" not in fault.hint
    (fault,) = told("1 psi", width=None, caliper=None)
    assert fault.hint.startswith("If 1 lbf/in is meant, that is 175.1 N/m. Write a line tension")
    (fault,) = told("20 kPa", caliper=None)
    assert fault.hint.startswith("Write a line tension")


def test_total_written_as_a_line_tension() -> None:
    (fault,) = told("80 lbf/in")
    assert fault.id == "tension-as-total"
    assert tuple(fault.span) == (4, 23, 4, 32)
    assert fault.says == "unwind tension 80 lbf/in is more than a web of this kind ever carries"
    assert fault.hint == (
        "As written the web pulls 1039 lbf in all; if 80 lbf in all is meant, that is 6.158 lbf/in = 1078 N/m."
    )
    assert pytest.approx(1039, rel=5e-4) == 80 * WIDTH / 0.0254
    assert pytest.approx(6.158, rel=5e-4) == 80 / (WIDTH / 0.0254)
    assert pytest.approx(1078, rel=5e-4) == 80 * NEWTON / WIDTH


WRITTEN = [
    ("80lbf/in", "80 lbf"),
    ("80 pli", "80 lbf"),
    ("25/2 lbf/in", "12.5 lbf"),
    ("12 1/2 lbf/in", "12.5 lbf"),
    ("10 000 N/m", "10000 N"),
    ("20 kN/m", "20 kN"),
    ("80 N/cm", "80 N"),
    ("5000 N/25 mm", "5000 N"),
    ("80 to 100 lbf/in", "80 to 100 lbf"),
    ("80 ± 2 lbf/in", "78 to 82 lbf"),
]


@pytest.mark.parametrize(("written", "meant"), WRITTEN)
def test_number_keeps_its_size_and_its_unit(written: str, meant: str) -> None:
    (fault,) = told(written)
    assert f"if {meant} in all is meant" in fault.hint
    (fault,) = told(written, width=None)
    assert fault.hint == f"If {meant} in all is meant, write it so."


@pytest.mark.parametrize("sound", ["10 lbf/in", "1751 N/m", "46 N", "2000 N", "0.8 lbf/in"])
def test_sound_tensions_are_read_once(sound: str) -> None:
    assert told(sound) == []


def test_every_field_of_tension_is_looked_at() -> None:
    text = """\
job: A
stage: planned
web: {proved_tension: 1 psi}
path:
  - unwind: {tension: 46 N}
  - nip: {tension: 2 psi}
  - rewind: {start_tension: 80 lbf/in}
finishing: {start_tension: 3 psi, unwind_tension: 4 kPa}
"""
    sheet = type_text(text, "a.yaml", "job-sheet")
    found = [(fault.span.line, fault.span.column, fault.says) for _, fault in tension_faults(sheet.record, 1, 1)]
    assert found == [
        (3, 23, "web proved tension 1 psi is a pressure, not a tension"),
        (6, 20, "nip tension 2 psi is a pressure, not a tension"),
        (7, 29, "rewind start tension 80 lbf/in is more than a web of this kind ever carries"),
        (8, 28, "finishing start tension 3 psi is a pressure, not a tension"),
        (8, 51, "finishing unwind tension 4 kPa is a pressure, not a tension"),
    ]
