"""Routes to a figure that neither of the two whole jobs takes: the sound job with one datum written otherwise."""

from __future__ import annotations

import shutil
from datetime import date
from math import exp, pi, sqrt
from pathlib import Path
from typing import NamedTuple

import pytest

from filmcheck.figures.catalogue import CATALOGUE
from filmcheck.figures.figures import Figures
from filmcheck.figures.scopes import owners_of
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import load_plant, read_sheet, settings_above
from filmcheck.reading.shipped import shipped_folder
from filmcheck.running.figure_run import work_out

TODAY = date(2026, 11, 25)
SHEET, TOOLS, CUSTOMERS = "sheets/film-label.yaml", "registers/tooling.yaml", "registers/customers.yaml"
ROLL = "diameter: 900 mm, core: 6 in"
UNWIND = "tension: 46 N\n      control"
DIE, MAGNETIC, ANVIL, CYLINDER = (
    "    teeth: 96\n    pitch: 1/8 in\n",
    "m-96: {teeth: 96, pitch: 1/8 in,",
    "a-1: {teeth: 96, pitch: 1/8 in,",
    "p-96: {teeth: 96, pitch: 1/8 in,",
)
STOCKS, PRESSES = "registers/stocks.yaml", "registers/presses.yaml"
BAR = "static control: {kind: active bar}\n  - web cleaner"
TESTED = "release: 10 cN/25 mm, viscosity: 1e6 Pa s, "
OWN = ((SHEET, "print: {unit: 1,", "print: {unit: 1, cylinder: own,"),)

Edits = tuple[tuple[str, str, str], ...]


class Case(NamedTuple):
    name: str
    edits: Edits
    figures: dict[str, float]


FILM = "laminate: {film_caliper: 30 µm, film_modulus: 1.6 GPa, film_density: 0.91 g/cm^3, film_yield: 30 MPa, "
COLD = "print: {unit: 1,"
WEB_STRETCH = 46 / 0.33 / (2e9 * 50e-6 + 4.5e9 * 23e-6)  # in front of the lamps the web is as cold as the room
APART = 36 / 0.328 / 48e3 - WEB_STRETCH
"""The film carries 1.6 GPa × 30 µm = 48 kN/m."""

CASES = (
    Case(
        "film laid on with a pull in all",
        ((SHEET, COLD, f"{FILM}film_tension: 36 N, film_width: 328 mm}}\n  - {COLD}"),),
        {
            "laid_film.width": 0.328,
            "laid_film.total_pull": 36.0,
            "laid_film.line_pull": 36 / 0.328,
            "laid_film.film_stretch": 36 / 0.328 / 48e3,
            "laid_film.share_of_yield": 36 / 0.328 / 30e-6 / 30e6,
            "laid_film.web_stretch": WEB_STRETCH,
            "laid_film.even_pull": WEB_STRETCH * 48e3,
            "laid_film.stretch_apart": APART,
            # Timoshenko, m = 0.6 and n = 0.8: 6 × 2.56 / (3 × 2.56 + 1.48 × 2.443333) / 80 µm, on 98.4 mm
            "laid_film.curl": APART * 15.36 / 11.2961333333 / 80e-6 * 0.0984**2 / 8,
            "laid_film.pull_least": 3.0,
            "laid_film.pull_most": 60.0,
        },
    ),
    Case(
        "film laid on with a pull per width, as wide as the web",
        ((SHEET, COLD, f"{FILM}film_tension: 100 N/m}}\n  - {COLD}"),),
        {"laid_film.width": 0.33, "laid_film.total_pull": 33.0, "laid_film.line_pull": 100.0},
    ),
    Case(
        "stock kept in several widths",
        ((STOCKS, "  strain_limit: 0.3 %\n  basis: invented\npaper", "  widths: [250 mm, 340 mm, 13 in]\npaper"),),
        {"stock.widest": 0.34},
    ),
    # 0.8 lbf/in = 0.8 × 4.4482216152605 N / 25.4 mm = 140.101468 N/m; × 0.33 m = 46.233484 N
    Case(
        "unwind set per width",
        ((SHEET, UNWIND, "tension: 0.8 lbf/in\n      control"),),
        {"unwind.line_tension": 140.101468197, "unwind.total_tension": 46.233484505},
    ),
    # 20 N m on a radius of 450 mm; / 0.33 m
    Case(
        "unwind set by the brake",
        ((SHEET, UNWIND, "brake_torque: 20 N m\n      control"),),
        {"unwind.total_tension": 44.4444444444, "unwind.line_tension": 134.6801346801},
    ),
    Case(
        "finishing unwinds by a force",
        ((SHEET, "unwind_tension: 0.6 lbf/in", "unwind_tension: 30 N"),),
        {"finishing.total_unwind_tension": 30.0, "finishing.line_unwind_tension": 90.9090909091},
    ),
    # 0.7 × 4.4482216152605 / 0.0254 = 122.588784673 N/m; × 0.33 = 40.454298942 N
    Case(
        "nip set per width",
        ((SHEET, "infeed, tension: 46 N", "infeed, tension: 0.7 lbf/in"),),
        {"nip.line_tension": 122.588784673, "nip.total_tension": 40.454298942},
    ),
    Case("die by repeat", ((TOOLS, DIE, "    repeat: 304.9 mm\n"),), {"die.circumference": 0.3049}),
    # 12.001 × 25.4 = 304.8254 mm
    Case(
        "magnetic cylinder by repeat",
        ((TOOLS, MAGNETIC, "m-96: {repeat: 12.001 in,"),),
        {"magnetic_cylinder.circumference": 0.3048254},
    ),
    # 97 × π × 1 mm = 304.734487 mm
    Case(
        "magnetic cylinder by module",
        ((TOOLS, MAGNETIC, "m-96: {teeth: 97, module: 1 mm,"),),
        {"magnetic_cylinder.circumference": 0.304734487398},
    ),
    Case("anvil by repeat", ((TOOLS, ANVIL, "a-1: {repeat: 12.001 in,"),), {"anvil.circumference": 0.3048254}),
    Case(
        "anvil by module",
        ((TOOLS, ANVIL, "a-1: {teeth: 97, module: 1 mm,"),),
        {"anvil.circumference": 0.304734487398},
    ),
    Case(
        "print cylinder by repeat",
        ((TOOLS, CYLINDER, "p-96: {repeat: 305 mm,"),),
        {"print_cylinder.circumference": 0.305},
    ),
    # 95 × 25.4/8 mm = 301.625 mm
    Case(
        "print unit with a cylinder of its own by pitch",
        (*OWN, (TOOLS, "  p-96:", "  own: {teeth: 95, pitch: 1/8 in}\n  p-96:")),
        {"print.cylinder_circumference": 0.301625, "print.circumference": 0.301625},
    ),
    # 100 × π × 0.95 mm = 298.451302 mm
    Case(
        "print unit with a cylinder of its own by module",
        (*OWN, (TOOLS, "  p-96:", "  own: {teeth: 100, module: 0.95 mm}\n  p-96:")),
        {"print.cylinder_circumference": 0.298451302091},
    ),
    Case(
        "press roll by diameter",
        ((SHEET, ", length: 4200 m", ""), (SHEET, ", rolls: 2}", ", diameter: 500 mm}")),
        {"rewind.full_diameter": 0.5},
    ),
    Case(
        "finished roll by diameter",
        ((SHEET, "  labels_per_roll: 2500\n", "  diameter: 250 mm\n"), (CUSTOMERS, "  labels_per_roll: 2500\n", "")),
        {"finishing.full_diameter": 0.25},
    ),
    # G = 2 × 10 cN / 25 mm = 8 J/m²; 8 × 0.33 = 2.64 N on 6 strips, the narrowest of 3 mm × 50 µm × 120 MPa = 18 N;
    # √(2e9 × 1.25e-13 / (24 × 8)) = 1.1411 mm
    Case(
        "adhesive and face tested",
        (
            (STOCKS, "yield: 35 MPa}\n  adhesive: {", "yield: 35 MPa, strength: 120 MPa}\n  adhesive: {" + TESTED),
            (SHEET, "  after: 2 h\n", "  after: 2 h\n  in_stock: 1 d\n"),
        ),
        {
            "adhesive.release_work": 8.0,
            "matrix.stripping_force": 2.64,
            "matrix.strip_load": 0.44,
            "matrix.strip_strength": 18.0,
            "matrix.load_share": 0.44 / 18,
            "label.peel_radius": sqrt(2e9 * 50e-6**3 / (24 * 8)),
        },
    ),
    Case(
        "static read as a field",
        ((SHEET, BAR, BAR.replace("}", ", reading: -1.2 kV/cm}", 1)),),
        {"static_control.field": 1.2e5},
    ),
    # 3 kV / 25 mm = 1.2 kV/cm
    Case(
        "static read as a voltage",
        ((SHEET, BAR, BAR.replace("}", ", reading: 3 kV, distance: 25 mm}", 1)),),
        {"static_control.field": 1.2e5},
    ),
    # e^(0.25 × π × cos 30°)
    Case(
        "a turn bar with a slant",
        ((SHEET, "  - die cut:", "  - turn bar: {slant: 30 deg}\n  - die cut:"),),
        {"turn_bar.capstan": exp(0.25 * pi * sqrt(0.75))},
    ),
    # 1 − 0.40; the sheet says nothing of the dryer's cooled backing, and the press has one: 1 − 0.25
    Case(
        "lamps whose cold side takes a share",
        (
            (PRESSES, "{unit: 1, kind: mercury,", "{cold_side_takes: 40 %, unit: 1, kind: mercury,"),
            (PRESSES, "dryer: {unit: 1,", "dryer: {cold_side_takes: 25 %, unit: 1,"),
            (SHEET, "  - die cut:", "  - dryer: {unit: 1, setting: 50 %}\n  - die cut:"),
        ),
        {"uv_lamp.heat_let_through": 0.6, "dryer.heat_let_through": 0.75},
    ),
    # both spans pull 46 N, and no warmth stays behind the chill rolls but 19.13 °C − 22 °C
    Case("a second nip", ((SHEET, "  - die cut:", "  - nip: {name: outfeed, tension: 46 N}\n  - die cut:"),), {}),
    # 2.40 kN read at set-up; / 3 kN − 1
    Case(
        "a die that last cut at another pressure",
        ((TOOLS, "    life: 1000000\n", "    life: 1000000\n    pressure: 3 kN\n"),),
        {"result.pressure_off_register": -0.2},
    ),
    Case(
        "a fitted turn bar with a slant",
        (
            (SHEET, "  - die cut:", "  - turn bar: {}\n  - die cut:"),
            (
                PRESSES,
                "turn bar: {wrap: 180 deg, friction: 25 %}",
                "turn bar: {wrap: 180 deg, slant: 30 deg, friction: 25 %}",
            ),
        ),
        {"turn_bar.fitted_slant": pi / 6},
    ),
    # A share is of the power at full setting, 140 W/cm: 70 / 140 = 0.5; / 52 %; 0.58 × 140 = 81.2 W/cm, / 70 W/cm
    Case(
        "lamp set in W/cm, maximum and need in per cent",
        ((SHEET, "setting: 58 %, cure", "setting: 70 W/cm, cure"),),
        {"lamp.share_of_maximum": 0.5, "lamp.over_need": 0.5 / 0.52},
    ),
    Case(
        "lamp set in per cent, need in W/cm",
        ((SHEET, "setting: 58 %, cure_minimum: 52 %", "setting: 58 %, cure_minimum: 70 W/cm"),),
        {"lamp.need_of_maximum": 0.5, "lamp.over_need": 1.16},
    ),
    Case(
        "maximum of a lamp in W/cm, setting and need in per cent",
        ((PRESSES, "unit: 1, kind: mercury, maximum: 100 %", "unit: 1, kind: mercury, maximum: 112 W/cm"),),
        {"lamp.share_of_maximum": 0.58 * 140 / 112, "lamp.need_of_maximum": 0.52 * 140 / 112},
    ),
    Case(
        "booked",
        ((SHEET, "first_film_job", "press_time: {from: 2026-11-24 06:00, to: 2026-11-24 10:00}\nfirst_film_job"),),
        {"press_time.hours": 14400.0},
    ),
    Case(
        "a draw makes the pull of the span before its nip",
        (
            (SHEET, "nip: {name: infeed, tension: 46 N}", "nip: {name: infeed, draw: 0 %}"),
            (SHEET, "  - die cut:", "  - nip: {name: outfeed, draw: 0.01 %}\n  - die cut:"),
        ),
        {"unwind.line_tension": 46 / 0.33},
    ),
)


def changed(folder: Path, edits: Edits) -> Path:
    """Copy the sound job's plant with some texts replaced; give the sheet."""
    shutil.copytree(shipped_folder("rules") / "proving", folder, dirs_exist_ok=True)
    for file, old, new in edits:
        path = folder / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {file}"
        path.write_text(text.replace(old, new), encoding="utf-8")
    return folder / SHEET


@pytest.mark.sample(5)
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_figure_is_what_hand_arithmetic_gives(case: Case, tmp_path: Path) -> None:
    sheet = work_out(changed(tmp_path, case.edits), TODAY)
    assert sheet.faults == 0
    first = {line.name: line for line in reversed(sheet.figures) if line.name in case.figures}
    values = {name: line.amount.low if line.amount else None for name, line in first.items()}
    assert values == pytest.approx(case.figures, rel=1e-9)


def test_every_route_to_every_figure_is_taken_by_some_job(tmp_path: Path) -> None:
    sheets = [changed(tmp_path / str(number), case.edits) for number, case in enumerate(CASES)]
    sheets += [changed(tmp_path / "sound", ()), Path(__file__).parent / "second-plant" / "sheets" / "other.yaml"]
    taken = {key for sheet in sheets for key in _taken(sheet)}
    routes = {(name, number) for name, figure in CATALOGUE.items() for number in range(len(figure.routes))}
    assert routes - taken == set()


def _taken(sheet: Path) -> set[tuple[str, int]]:
    job, _ = resolve(read_sheet(sheet, "job-sheet").record, str(sheet), load_plant(settings_above(sheet.parent)))
    figures = Figures(job, TODAY)
    taken = set()
    for name, figure in CATALOGUE.items():
        head, _, field = name.partition(".")
        asked = [(name, None)]
        if owners_of(head):
            asked = [(f"its.{field}", item) for kind in owners_of(head) for item in figures.things(kind)]
        found = [figures.route(*each) for each in asked]
        taken |= {(name, number) for number, route in enumerate(figure.routes) if any(route is one for one in found)}
    return taken


def test_no_default_stands_in_for_a_datum_that_is_there_and_cannot_be_used(tmp_path: Path) -> None:
    """A wall that is not given is counted as none, and said to be; one without a unit leaves the core unknown."""
    found = {}
    for name, wall in (("not given", ""), ("no unit", ", core_wall: 8")):
        sheet = work_out(changed(tmp_path / name, ((SHEET, f"{ROLL}, core_wall: 8 mm", ROLL + wall),)), TODAY)
        found[name] = next(line for line in sheet.figures if line.name == "unwind.core_diameter")
    assert found["not given"].amount is not None
    assert found["not given"].assumes
    assert found["no unit"].amount is None
    assert "has no unit" in found["no unit"].missing[0].says
