"""What is laminated on the way counts from its station on: in pull, stretch, warmth, mass and rolls of the web.

Wanted values are worked out by hand from the layers: face 50 µm of 2 GPa and liner 23 µm of 4.5 GPa carry 203.5 kN/m,
with 30 µm of 2 GPa on it 263.5 kN/m.
"""

from __future__ import annotations

from datetime import date
from functools import cache
from math import pi

import pytest

from filmcheck.figures.figures import Figures
from filmcheck.figures.scopes import WOUND
from filmcheck.plant.job import resolve
from filmcheck.plant.plant import Plant, load_plant, type_text
from filmcheck.reading.shipped import shipped_folder
from filmcheck.records.value import Missing, Value

PROVING = shipped_folder("rules") / "proving"
SHEET = (PROVING / "sheets" / "film-label.yaml").read_text("utf-8")
FILM = "film_caliper: 30 µm, film_modulus: 2 GPa, film_density: 0.91 g/cm^3"
BARE, LAID = 203.5e3, 263.5e3


@cache
def _plant() -> Plant:
    return load_plant(PROVING / "plant.yaml")


def _figures(film: str, before: str = "die cut:", behind: str = "", infeed: str = ", tension: 46 N") -> Figures:
    """Make the figures of the proving sheet with a film laid on before a station, and what comes behind the film."""
    laid = f"  - laminate: {{{film}}}\n" if film else ""
    text = SHEET.replace("infeed, tension: 46 N", f"infeed{infeed}")
    text = text.replace(f"  - {before}", f"{laid}{behind}  - {before}")
    sheet = type_text(text, "sheet", "job-sheet")
    assert sheet.faults == ()
    job, _ = resolve(sheet.record, "sheet", _plant())
    return Figures(job, date(2026, 11, 25))


def _got(figures: Figures, name: str, thing: str = "") -> float:
    things = (thing for kind in ("zone", *WOUND) for thing in figures.things(kind))
    items = {item.label: item for item in (*things, *figures.job.stations)}
    found = figures(name, items[thing] if thing else None)
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


OUTFEED = "  - nip: {name: outfeed, tension: 66 N}\n"
MORE = 20 / 0.33
"""By how much the outfeed pulls harder than the infeed, 66 against 46 N on 330 mm."""


def test_laying_a_film_on_changes_no_stretch_and_so_no_register() -> None:
    figures = _figures(FILM)
    assert _got(figures, "die_cut.strain") == _got(_figures(""), "die_cut.strain")
    found = figures("die_cut.strain")
    assert "what is laminated on is taken to go on without a pull of its own" in found.assumes  # type: ignore[union-attr]
    assert _got(figures, "its.register_drift", "zone behind nip infeed") == pytest.approx(
        _got(_figures(""), "its.register_drift", "zone behind nip infeed")
    )


def test_what_pulls_harder_behind_it_stretches_web_and_film_together() -> None:
    with_film, without = _figures(FILM, behind=OUTFEED), _figures("", behind=OUTFEED)
    less = _got(without, "die_cut.strain") - _got(with_film, "die_cut.strain")
    assert less == pytest.approx(MORE * (1 / BARE - 1 / LAID))
    drifts = [_got(figures, "its.register_strain", "zone behind nip outfeed") for figures in (without, with_film)]
    assert drifts[0] - drifts[1] == pytest.approx(MORE * (1 / BARE - 1 / LAID))


def test_layers_with_lengths_of_their_own_come_to_the_same_stretch() -> None:
    """The film's own length is the web's where they are bonded; then the pulls of all layers add up to the tension."""
    first, then = 46 / 0.33, 66 / 0.33
    bonded = 1 + first / BARE
    film = LAID - BARE
    length = (then + BARE + film) / (BARE + film / bonded)  # BARE (λ − 1) + film (λ / bonded − 1) = then
    behind = _figures(FILM, "chill roll: {temperature: 18 degC}\n  - die", "  - nip: {name: outfeed, tension: 66 N}\n")
    zone = "zone behind nip outfeed"
    assert _got(behind, "its.liner_share_of_yield", zone) > 0  # from the die on the liner alone
    assert _got(behind, "its.face_share_of_yield", zone) * 35e6 / 2e9 == pytest.approx(length - 1, rel=1e-3)


def test_a_draw_behind_it_stretches_web_and_film_and_one_over_it_the_web_alone() -> None:
    nips = "  - nip: {name: outfeed, draw: 0.01 %}\n  - nip: {name: last, draw: 0.02 %}\n"
    figures = _figures(FILM, behind=nips, infeed="")
    # The film is laid on the stretched web and has no pull yet, so the span that it comes into pulls as without it.
    over = _got(_figures("", behind=nips, infeed=""), "its.highest_line_tension", "uv lamp 2")
    assert _got(figures, "its.highest_line_tension", "laminate") == pytest.approx(over)
    assert _got(figures, "its.highest_line_tension", "nip outfeed") == pytest.approx(over + LAID * 0.0002)
    assert _got(figures, "its.following_draw", "nip last") == pytest.approx(0.0002)


HEAT = 50e-6 * 905 * 1800 + 18e-6 * 1000 * 1900 + 23e-6 * 1395 * 1170
FILM_HEAT = 30e-6 * 910 * 1800


def test_a_lamp_warms_web_and_film_behind_it_and_a_cold_film_cools_the_web() -> None:
    chill = "chill roll: {temperature: 18 degC}\n  - print: {unit: 2"
    figures = _figures(f"{FILM}, film_specific_heat: 1800 J/(kg K)", chill)
    assert _got(figures, "its.web_heat_capacity", "uv lamp 1") == pytest.approx(HEAT)
    assert _got(figures, "its.web_heat_capacity", "uv lamp 2") == pytest.approx(HEAT + FILM_HEAT)
    # Web and film together, no heat lost: what is 22 °C warm draws the web to it by its share.
    front = _got(figures, "its.web_temperature", "uv lamp 1")
    mixed = (HEAT * front + FILM_HEAT * 295.15) / (HEAT + FILM_HEAT)
    assert _got(figures, "its.web_temperature", "laminate") == pytest.approx(mixed)


def test_a_film_of_unknown_heat_counts_as_none_and_says_so() -> None:
    figures = _figures(FILM, "print: {unit: 2")
    lamp = next(item for item in figures.job.stations if item.label == "uv lamp 2")
    found = figures("its.temperature_rise", lamp)
    assert isinstance(found, Value)
    assert "the heat that the film laminated on takes up is not known, so none is counted" in found.assumes
    assert _got(figures, "its.web_heat_capacity", "uv lamp 2") == pytest.approx(HEAT)


def test_rolls_wound_behind_it_are_as_heavy_to_stop_as_web_and_film() -> None:
    mass = 905 * 50e-6 + 1000 * 18e-6 + 1395 * 23e-6
    figures = _figures(FILM)
    assert _got(figures, "its.areal_mass", "parent roll") == pytest.approx(mass)
    assert _got(figures, "its.areal_mass", "press roll") == pytest.approx(mass + 910 * 30e-6)
    assert _got(figures, "its.areal_mass", "finished roll") == pytest.approx(mass + 910 * 30e-6)


def test_a_film_of_unknown_thickness_leaves_the_rolls_unknown() -> None:
    found = _figures("film_modulus: 2 GPa")("rewind.full_diameter")
    assert isinstance(found, Missing)
    assert "laminate: film_caliper" in [need.name for need in found.needs]


def test_a_label_under_film_bends_harder_and_leaves_over_a_blunter_plate() -> None:
    figures = _figures(FILM)
    # 50 and 30 µm of one modulus, 2 GPa, bend as 80 µm of it: E t³/12.
    assert _got(figures, "label.bending_stiffness") == pytest.approx(2e9 * 80e-6**3 / 12)


PULLED = f"{FILM}, film_tension: 12 N, film_width: 320 mm, film_yield: 30 MPa"
FILM_STRETCH = 12 / 0.32 / (2e9 * 30e-6)


def test_a_film_with_a_pull_of_its_own_adds_it_to_the_web_behind_and_stretches_the_web_no_more() -> None:
    figures, without = _figures(PULLED, "chill roll: {temperature: 18 degC}\n  - die"), _figures("")
    assert _got(figures, "its.lowest_line_tension", "chill roll (2 of 2)") == pytest.approx((46 + 12) / 0.33)
    zone = "zone behind nip infeed"
    assert _got(figures, "its.face_share_of_yield", zone) == pytest.approx(
        _got(without, "its.face_share_of_yield", zone)
    )
    assert _got(figures, "its.register_strain", zone) == pytest.approx(_got(without, "its.register_strain", zone))
    assert _got(figures, "its.stretch", zone) == pytest.approx((46 + 12) / 0.33 / (4.5e9 * 23e-6))  # the liner, cut


def test_what_is_pulled_behind_a_film_with_a_pull_is_carried_by_both() -> None:
    """Of the 50 N more that the outfeed pulls, the film brings 12 of its own; both together carry the other 38."""
    hard = OUTFEED.replace("66 N", "96 N")
    pulled, slack = _figures(PULLED, behind=hard), _figures(FILM, behind=hard)
    less = 12 / 0.33 / LAID
    assert _got(slack, "die_cut.strain") - _got(pulled, "die_cut.strain") == pytest.approx(less)
    drifts = [_got(figures, "its.register_strain", "zone behind nip outfeed") for figures in (slack, pulled)]
    assert drifts[0] - drifts[1] == pytest.approx(less)


def test_a_draw_over_it_stretches_the_web_and_the_film_pulls_on_top() -> None:
    nips = "  - nip: {name: outfeed, draw: 0.01 %}\n  - nip: {name: last, draw: 0.02 %}\n"
    figures, bare = _figures(PULLED, behind=nips, infeed=""), _figures("", behind=nips, infeed="")
    over = _got(bare, "its.highest_line_tension", "uv lamp 2")
    assert _got(figures, "its.highest_line_tension", "uv lamp 2") == pytest.approx(over)
    assert _got(figures, "its.highest_line_tension", "laminate") == pytest.approx(over + 12 / 0.33)
    # Behind the last nip the face is cut, and the film with it: the liner is drawn on from the web's stretch alone.
    assert _got(figures, "its.following_draw", "nip last") == pytest.approx(0.0002)


def test_a_winder_that_holds_the_pull_takes_the_films_from_it_in_front_of_the_film() -> None:
    figures = _figures(PULLED, infeed=", draw: 0 %")
    held = _got(figures, "its.lowest_line_tension", "laminate")
    assert held == pytest.approx(_got(figures, "rewind.end_tension"))
    assert held - _got(figures, "its.lowest_line_tension", "uv lamp 2") == pytest.approx(12 / 0.33)


def test_film_and_web_joined_at_different_stretch() -> None:
    figures = _figures(PULLED)
    warmth = _got(figures, "its.web_stretch", "laminate") - 46 / 0.33 / BARE
    assert warmth == pytest.approx(17e-6 * (_got(figures, "its.temperature_before", "laminate") - 295.15), abs=1e-9)
    assert _got(figures, "its.film_stretch", "laminate") == pytest.approx(FILM_STRETCH)
    assert _got(figures, "its.share_of_yield", "laminate") == pytest.approx(2e9 * FILM_STRETCH / 30e6)
    apart = FILM_STRETCH - _got(figures, "its.web_stretch", "laminate")
    assert _got(figures, "its.stretch_apart", "laminate") == pytest.approx(apart)
    assert _got(figures, "its.even_pull", "laminate") == pytest.approx(
        _got(figures, "its.web_stretch", "laminate") * 60e3
    )


def test_a_label_curls_as_balance_of_forces_and_moments_wants() -> None:
    """Two layers of unlike caliper: no force and no moment is left; the stresses are linear, solved by hand."""
    figures = _figures(PULLED)
    apart = _got(figures, "its.stretch_apart", "laminate")
    # Strain of both layers e + κ z from the face's lower side; the film's own zero lies at −apart.
    stiff, first, second = 2e9 * 80e-6, 2e9 * 80e-6**2 / 2, 2e9 * 80e-6**3 / 3
    force, moment = -apart * 2e9 * 30e-6, -apart * 2e9 * (80e-6**2 - 50e-6**2) / 2
    curvature = (stiff * moment - first * force) / (stiff * second - first**2)
    assert _got(figures, "its.curl", "laminate") == pytest.approx(-curvature * 98.4e-3**2 / 8, rel=1e-9)


def test_a_film_as_wide_as_the_web_where_its_width_is_not_given_and_not_where_it_is_wrong() -> None:
    assert _got(_figures(f"{FILM}, film_tension: 12 N"), "its.line_pull", "laminate") == pytest.approx(12 / 0.33)
    sheet = SHEET.replace(
        "  - die cut:", f"  - laminate: {{{FILM}, film_tension: 12 N, film_width: 320}}\n  - die cut:"
    )
    job, _ = resolve(type_text(sheet, "sheet", "job-sheet").record, "sheet", _plant())
    figures = Figures(job, date(2026, 11, 25))
    assert isinstance(figures("its.line_pull", next(one for one in job.stations if one.kind == "laminate")), Missing)


def test_a_film_charges_the_web_again_unless_its_roll_has_static_control() -> None:
    figures = _figures(PULLED, before="print: {unit: 1")
    laid = next(one for one in figures.job.stations if one.kind == "laminate")
    assert not figures.states()[laid].surface.charged  # the press has a bar there
    other = SHEET.replace("press: straight-8", "press: no-such").replace(
        "  - print: {unit: 1", f"  - laminate: {{{PULLED}}}\n  - print: {{unit: 1"
    )
    job, _ = resolve(type_text(other, "sheet", "job-sheet").record, "sheet", _plant())
    figures = Figures(job, date(2026, 11, 25))
    assert figures.states()[next(one for one in job.stations if one.kind == "laminate")].surface.charged
