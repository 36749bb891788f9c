"""The numbers of the card are those of the figures, and its tables follow the formulas."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from filmcheck.records.job_view import DiameterStep, JobView
from filmcheck.reports.card.set_up import make_card
from filmcheck.running.figure_run import work_out

EXAMPLES = Path(__file__).parents[2] / "examples"
SOUND = EXAMPLES / "jobs/sound/qm-3105-running-pear-cider.yaml"


@pytest.fixture(scope="module")
def figures() -> dict[tuple[str, str], float]:
    """The figures of the sound job by name and thing, worked out by ``filmcheck figures``' own road."""
    lines = work_out(SOUND).figures
    return {(f.name, f.of): f.amount.high for f in lines if f.amount is not None and isinstance(f.amount.high, float)}


def steps(view: JobView, roll: str) -> tuple[DiameterStep, ...]:
    return view.rolls[roll].steps


def cells(view: JobView) -> list[str]:
    return [cell for section in make_card(view).sections for row in section.rows for cell in row]


@pytest.mark.parametrize(
    ("roll", "at", "field", "name", "of"),
    [
        ("unwind", 0, "force", "unwind.total_tension", "unwind"),
        ("unwind", -1, "force", "unwind.highest_total_tension", "unwind"),
        ("unwind", -1, "diameter", "unwind.end_diameter", "unwind"),
        ("press roll", 0, "force", "rewind.total_start_tension", "rewind"),
        ("press roll", 0, "diameter", "rewind.core_diameter", "rewind"),
        ("press roll", -1, "line_tension", "rewind.end_tension", "rewind"),
        ("press roll", -1, "diameter", "rewind.full_diameter", "rewind"),
        ("finished roll", 0, "force", "finishing.total_start_tension", ""),
        ("finished roll", -1, "line_tension", "finishing.end_tension", ""),
        ("finished roll", -1, "diameter", "finishing.full_diameter", ""),
    ],
)
def test_ends_of_tables_are_figures(
    views: dict[str, JobView],
    figures: dict[tuple[str, str], float],
    roll: str,
    at: int,
    field: str,
    name: str,
    of: str,
) -> None:
    assert getattr(steps(views["qm-3105"], roll)[at], field) == pytest.approx(figures[name, of])


def test_every_number_shown_is_that_of_the_figure(
    views: dict[str, JobView], figures: dict[tuple[str, str], float]
) -> None:
    view = views["qm-3105"]
    shown = [("", name, amount) for name, amount in view.figures.items()]
    for thing in (*view.stations, *view.zones):
        kind = thing.kind.replace(" ", "_")
        shown += [(thing.label, f"{kind}.{name}", amount) for name, amount in thing.figures.items()]
    compared = [amount.high == figures[name, of] for of, name, amount in shown if (name, of) in figures]
    assert len(compared) > 50
    assert all(compared)


def test_linear_taper_by_hand(views: dict[str, JobView]) -> None:
    # T'0 = 0.8 lbf/in = 0.8 × 4.4482216 N / 0.0254 m = 140.1015 N/m; core 152.4 + 2 × 8 = 168.4 mm;
    # D = √(0.1684² + 4 × 91e-6 × 2100 / π) = 0.521224 m. At 310 mm, 30 % linear:
    # 140.1015 × (1 − 0.3 × (310 − 168.4)/(521.224 − 168.4)) = 123.2332 N/m; × 0.330 m = 40.667 N.
    found = {round(step.diameter * 1000): step for step in steps(views["qm-3105"], "press roll")}
    assert found[310].line_tension == pytest.approx(123.2332, abs=2e-4)
    assert found[310].force == pytest.approx(40.667, abs=1e-3)
    assert found[310].texts == ("310 mm", "40.7 N", "123 N/m = 0.704 lbf/in")


def test_hyperbolic_taper_is_by_the_radius(views: dict[str, JobView]) -> None:
    # T'(r) = T'0 [1 − p (1 − r_c/r)], Lee, Kang, Kim and Shin 2009 (from memory): T' − (1 − p) T'0 goes with 1/r.
    found = steps(views["qm-3231"], "press roll")
    rests = [(step.line_tension - (1 - 0.3) * found[0].line_tension) * step.diameter for step in found]
    assert rests == pytest.approx([rests[0]] * len(rests))


def test_a_brake_alone_holds_its_torque(views: dict[str, JobView]) -> None:
    # Torque balance M = F D / 2: F × D is the same at every diameter. 45 N × 900 mm at 700 mm is 57.857 N.
    found = steps(views["qm-3201"], "unwind")
    assert [step.force * step.diameter for step in found] == pytest.approx([45 * 0.9] * len(found))
    assert {round(step.diameter * 1000): step.texts[1] for step in found}[700] == "57.9 N"


def test_a_closed_loop_holds_its_tension(views: dict[str, JobView]) -> None:
    assert {step.force for step in steps(views["qm-3105"], "unwind")} == {45.0}


def test_settings_stand_as_on_the_sheet(views: dict[str, JobView]) -> None:
    lamps = {"58 %", "52 % at 46 m/min", "32 W/cm", "29 W/cm at 46 m/min"}
    assert {*lamps, "d-0412", "96 of 1/8 in", "304.8 mm", "620 mm, 5 strips"} <= {*cells(views["qm-3105"])}


@pytest.mark.parametrize("left_out", ["length: 4200 m, ", "diameter: 900 mm, ", "start_tension: 0.8 lbf/in, "])
def test_what_is_lacking_is_said_and_not_guessed(view_of: Callable[[str], JobView], left_out: str) -> None:
    text = SOUND.read_text(encoding="utf-8")
    assert left_out in text
    notes = [note for section in make_card(view_of(text.replace(left_out, ""))).sections for note in section.notes]
    assert any("cannot be told" in note for note in notes)
