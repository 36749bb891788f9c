"""Figures of lamps, dryers and the heat they leave in the web, against hand arithmetic that stands beside each."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from filmcheck.figures.figures import Figures
from filmcheck.plant.job import Item, resolve
from filmcheck.plant.plant import load_plant, read_sheet
from filmcheck.records.value import Missing, Value

Build = Callable[..., tuple[Figures, Item]]

LAYER = "density: 1 g/cm^3, specific_heat: 2000 J/(kg K)"
PRESS = """
    - unwind: {}
    - uv lamp: {unit: 1, kind: mercury, maximum: 80 %, power: 100 W/cm, absorbed: 30 %}
    - chill roll: {contact: 80 %}
    - uv lamp: {unit: 2, kind: led, maximum: 120 W/cm, power: 100 W/cm, absorbed: 30 %}
    - led lamp: {unit: 1, maximum: 100 %, power: 10 W/cm, absorbed: 30 %}
    - dryer: {unit: 1, maximum: 120 degC, power: 60 W/cm, absorbed: 5 %}
"""
UNWIND = "- unwind: {tension: 40 N, control: closed loop}"


@pytest.fixture
def build(tmp_path: Path) -> Build:
    """Give a function that makes a job with a path, and hands over its figures and the last station of the path."""

    def make(*path: str, air: str = "air: {temperature: 22 degC}") -> tuple[Figures, Item]:
        stations = "\n".join(f"  {line}" for line in (UNWIND, *path))
        # 40 + 10 + 25 µm at 1 g/cm³ and 2000 J/(kg K) take up 150 J/(m² K).
        texts = {
            "plant.yaml": "plant: Test\nregisters: {presses: p.yaml, stocks: s.yaml}\n",
            "p.yaml": f"press:\n  stations:{PRESS}",
            "s.yaml": f"stock:\n  face: {{caliper: 40 µm, {LAYER}}}\n  adhesive: {{caliper: 10 µm, {LAYER}}}\n"
            f"  liner: {{material: film, caliper: 25 µm, {LAYER}}}\n",
            "job.yaml": "job: L-1\nstage: planned\npress: press\nstock: stock\n"
            f"web: {{width: 330 mm, speed: 45 m/min}}\npreparation: {{{air}}}\npath:\n{stations}\n",
        }
        for name, text in texts.items():
            (tmp_path / name).write_text(text, encoding="utf-8")
        sheet = read_sheet(tmp_path / "job.yaml", "job-sheet")
        assert sheet.faults == ()
        job, faults = resolve(sheet.record, sheet.file, load_plant(tmp_path / "plant.yaml"))
        assert faults == ()
        return Figures(job, date(2026, 11, 25)), job.stations[-1]

    return make


def got(figures: Figures, name: str, item: Item) -> float:
    """Give a figure that must be exact."""
    value = figures(name, item)
    assert isinstance(value, Value), value
    assert value.exact
    assert not isinstance(value.low, (str, date))
    return float(value.low)


def celsius(figures: Figures, name: str, item: Item) -> float:
    """Give a temperature in °C."""
    return got(figures, name, item) - 273.15


# ---- settings against maximum and need ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lamp", "of_maximum", "over_need"),
    [
        ("uv lamp: {unit: 1, setting: 60 %, cure_minimum: 50 %}", 0.75, 1.2),  # of 80 %
        ("uv lamp: {unit: 2, setting: 90 W/cm, cure_minimum: 60 W/cm}", 0.75, 1.5),  # of 120 W/cm
        # 60 % of the power of 100 W/cm are 60 W/cm
        ("uv lamp: {unit: 2, setting: 60 %, cure_minimum: 60 W/cm}", 0.5, 1.0),
        (
            "dryer: {unit: 1, setting: 60 degC, cure_minimum: 50 degC}",
            38 / 98,
            38 / 28,
        ),  # of 120 °C; the room has 22 °C
    ],
)
def test_settings_are_compared_with_their_like(build: Build, lamp: str, of_maximum: float, over_need: float) -> None:
    figures, item = build(f"- {lamp}")
    assert got(figures, "its.share_of_maximum", item) == pytest.approx(of_maximum)
    assert got(figures, "its.over_need", item) == pytest.approx(over_need)


@pytest.mark.parametrize(
    ("lamp", "share"),
    [  # dose, energy per area of web = power per width / speed (definition): that of the job over that of the trial
        ("uv lamp: {unit: 2, setting: 90 W/cm, cure_minimum: 60 W/cm, proved_speed: 30 m/min}", (90 / 45) / (60 / 30)),
        ("uv lamp: {unit: 1, setting: 60 %, cure_minimum: 50 %, proved_speed: 45 m/min}", 60 / 50),
        ("uv lamp: {unit: 1, setting: 60 %, cure_minimum: 50 %, proved_speed: 100 ft/min}", (60 / 45) / (50 / 30.48)),
        # heat to the wet print = transfer × (air − room) × time; the room has 22 °C (common practice, no source)
        ("dryer: {unit: 1, setting: 60 degC, cure_minimum: 50 degC, proved_speed: 40 m/min}", (38 / 45) / (28 / 40)),
    ],
)
def test_what_a_lamp_gives_falls_as_the_web_runs_faster(build: Build, lamp: str, share: float) -> None:
    figures, item = build(f"- {lamp}")  # the web runs at 45 m/min
    assert got(figures, "its.over_need_at_speed", item) == pytest.approx(share)


@pytest.mark.parametrize(
    ("lamp", "known"),
    [
        ("uv lamp: {unit: 1, cure_minimum: 50 %}", {"cure_share": 0.5}),
        ("uv lamp: {unit: 2, cure_minimum: 60 W/cm}", {"cure_power": 6000.0}),
        ("dryer: {unit: 1, cure_minimum: 50 degC}", {"cure_temperature": 323.15}),
    ],
)
def test_a_cure_minimum_has_the_dimension_that_the_sheet_gave_it(
    build: Build, lamp: str, known: dict[str, float]
) -> None:
    figures, item = build(f"- {lamp}")
    for name in ("cure_share", "cure_power", "cure_temperature"):
        value = figures(f"its.{name}", item)
        assert isinstance(value, Value) is (name in known)
        if isinstance(value, Value):
            assert value.low == pytest.approx(known[name])


@pytest.mark.parametrize(
    ("lamp", "hot"),
    [("uv lamp: {unit: 1}", 1), ("uv lamp: {unit: 2}", 0), ("led lamp: {unit: 1}", 0), ("dryer: {}", 1)],
)
def test_mercury_and_hot_air_run_hot_and_leds_do_not(build: Build, lamp: str, hot: int) -> None:
    figures, item = build(f"- {lamp}")
    assert got(figures, "its.runs_hot", item) == hot


def test_a_lamp_of_unknown_kind_may_be_either(build: Build) -> None:
    figures, item = build("- uv lamp: {unit: 3}")
    assert isinstance(figures("its.runs_hot", item), Missing)


# ---- heat in the web ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lamp", "rise"),
    [
        # 0.3 × 0.6 × 10 000 W/m over 0.75 m/s × 150 J/(m² K).
        ("uv lamp: {unit: 1, setting: 60 %}", 16.0),
        # 45 of 100 W/cm: 0.3 × 0.45 × 10 000 over the same.
        ("uv lamp: {unit: 2, setting: 45 W/cm}", 12.0),
        # 0.3 × 1000 W/m.
        ("led lamp: {unit: 1, setting: 100 %}", 8 / 3),
    ],
)
def test_a_lamp_warms_the_web_by_what_it_takes_up(build: Build, lamp: str, rise: float) -> None:
    figures, item = build(f"- {lamp}")
    assert got(figures, "its.temperature_rise", item) == pytest.approx(rise)
    assert celsius(figures, "its.temperature_before", item) == pytest.approx(22.0)
    assert celsius(figures, "its.web_temperature", item) == pytest.approx(22.0 + rise)


def test_heat_of_lamps_adds_up_and_the_hottest_place_is_found(build: Build) -> None:
    figures, item = build("- uv lamp: {unit: 1, setting: 60 %}", "- uv lamp: {unit: 2, setting: 45 W/cm}")
    assert celsius(figures, "its.temperature_before", item) == pytest.approx(38.0)
    assert celsius(figures, "its.web_temperature", item) == pytest.approx(50.0)
    assert celsius(figures, "web.hottest", item) == pytest.approx(50.0)


def test_a_chill_roll_takes_its_share_of_the_difference(build: Build) -> None:
    # 38 °C before it; 18 + (1 − 0.8) × (38 − 18) = 22 °C behind it. The lamp stays the hottest place.
    figures, item = build("- uv lamp: {unit: 1, setting: 60 %}", "- chill roll: {temperature: 18 degC}")
    assert celsius(figures, "its.web_temperature", item) == pytest.approx(22.0)
    assert celsius(figures, "web.hottest", item) == pytest.approx(38.0)


def test_a_chill_roll_of_unknown_contact_is_taken_to_reach_its_temperature_and_that_is_told(build: Build) -> None:
    second = "- chill roll: {temperature: 18 degC}"
    figures, item = build(
        "- uv lamp: {unit: 1, setting: 60 %}", second, "- uv lamp: {unit: 2, setting: 45 W/cm}", second
    )
    value = figures("its.web_temperature", item)
    assert isinstance(value, Value)
    assert value.low == pytest.approx(291.15)
    assert any("chill roll" in text for text in value.assumes)


def test_a_dryer_set_by_its_air_leaves_the_web_between_its_own_and_that_temperature(build: Build) -> None:
    figures, item = build("- dryer: {unit: 1, setting: 60 degC}")
    value = figures("its.web_temperature", item)
    assert isinstance(value, Value)
    assert [value.low, value.high] == [pytest.approx(295.15), pytest.approx(333.15)]
    assert value.assumes


def test_without_air_temperature_the_web_enters_at_23_degrees_and_that_is_told(build: Build) -> None:
    figures, item = build("- uv lamp: {unit: 1, setting: 60 %}", air="shocks: none")
    value = figures("its.web_temperature", item)
    assert isinstance(value, Value)
    assert value.low == pytest.approx(273.15 + 23 + 16)
    assert any("23 °C" in text for text in value.assumes)


def test_a_lamp_without_setting_leaves_the_rest_of_the_path_unknown(build: Build) -> None:
    figures, item = build("- uv lamp: {unit: 1}", "- uv lamp: {unit: 2, setting: 45 W/cm}")
    value = figures("its.web_temperature", item)
    assert isinstance(value, Missing)
    assert any("setting" in need.says and "uv lamp 1" in need.says for need in value.needs)
