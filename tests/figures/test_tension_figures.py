"""Figures of tension on small jobs, against hand arithmetic and published values that stand beside each."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from math import e, pi, sqrt
from pathlib import Path

import pytest

from filmcheck.figures.figures import Figures
from filmcheck.plant.job import Item, resolve
from filmcheck.plant.plant import load_plant, read_sheet
from filmcheck.records.value import Missing, Value

LBF_IN = 4.4482216152605 / 0.0254
"""N/m in 1 lbf/in (NIST SP 811: 1 lbf = 4.448 221 615 260 5 N, 1 in = 0.0254 m)."""

FACE = "modulus: 4.5 GPa, caliper: 11.5 µm, yield: 100 MPa"
GLUE = "caliper: 10 µm"
LINER = "material: film, modulus: 4.5 GPa, caliper: 11.5 µm, yield: 100 MPa, expansion: 17e-6 1/K"
UNWIND = "- unwind: {tension: 33 N, control: closed loop}"
BRAKE = "- unwind: {{tension: 33 N, control: brake alone, roll: {{diameter: 1 m, core: {core}}}}}"
PRINT, CUT = "- print: {unit: 1}", "- die cut: {}"
REWIND = "- rewind: {start_tension: 110 N/m, taper: 30 %, taper_law: linear}"

Build = Callable[..., Figures]


@pytest.fixture
def build(tmp_path: Path) -> Build:
    """Give a function that makes a job on a plant of its own: a path, a press, two films glued together."""

    def make(*path: str, **parts: str) -> Figures:
        part = {"web": "width: 330 mm", "press": "- unwind: {}", "face": FACE, "adhesive": GLUE, "liner": LINER} | parts
        stations = "\n".join(f"  {line}" for line in path)
        fitted = "\n".join(f"    {line}" for line in part["press"].splitlines())
        layers = "\n".join(f"  {layer}: {{{part[layer]}}}" for layer in ("face", "adhesive", "liner"))
        texts = {
            "plant.yaml": "plant: Test\nregisters: {presses: p.yaml, stocks: s.yaml, tooling: t.yaml}\n",
            "p.yaml": f"press:\n  tension_range: 20 to 400 N\n  stations:\n{fitted}\n",
            "s.yaml": f"stock:\n{layers}\n",
            "t.yaml": "dies:\n  die: {teeth: 96, pitch: 1/8 in}\n",
            "job.yaml": "job: T-1\nstage: planned\npress: press\nstock: stock\ntooling: {die: die}\n"
            f"web: {{{part['web']}}}\npreparation: {{air: {{temperature: 20 degC}}}}\npath:\n{stations}\n",
        }
        for name, text in texts.items():
            (tmp_path / name).write_text(text, encoding="utf-8")
        sheet = read_sheet(tmp_path / "job.yaml", "job-sheet")
        assert sheet.faults == ()
        job, faults = resolve(sheet.record, sheet.file, load_plant(tmp_path / "plant.yaml"))
        assert faults == ()
        return Figures(job, date(2026, 11, 25))

    return make


def got(figures: Figures, name: str, item: Item | None = None) -> float:
    """Give a figure that must be exact."""
    value = figures(name, item)
    assert isinstance(value, Value), value
    assert value.exact
    assert not isinstance(value.low, (str, date))
    return float(value.low)


def lacks(figures: Figures, name: str, item: Item | None = None) -> str:
    """Give what a figure that cannot be told lacks."""
    value = figures(name, item)
    assert isinstance(value, Missing), value
    return "; ".join(need.says for need in value.needs)


def zone(figures: Figures, label: str) -> Item:
    """Give a zone by its label."""
    return next(item for item in figures.things("zone") if item.label == label)


def station(figures: Figures, label: str) -> Item:
    """Give a station by its label."""
    return next(item for item in figures.job.stations if item.label == label)


# ---- what sets the tension ----------------------------------------------------------------------------------------


def test_a_brake_alone_ends_eleven_times_tighter_on_a_76_mm_core(build: Build) -> None:
    # 1000 mm / (76 mm + 2 × 8 mm wall) = 10.870; the trade says about 11.
    figures = build(
        "- unwind: {tension: 33 N, control: brake alone, roll: {diameter: 1 m, core: 76 mm, core_wall: 8 mm}}"
    )
    assert got(figures, "unwind.climb") == pytest.approx(10.870, abs=0.001)
    assert round(got(figures, "unwind.climb")) == 11
    # 33 N / 0.33 m = 100 N/m at the start.
    assert got(figures, "unwind.highest_line_tension") == pytest.approx(1087.0, abs=0.1)
    assert got(figures, "unwind.highest_total_tension") == pytest.approx(358.7, abs=0.05)


def test_a_core_wall_that_is_not_given_counts_as_none_and_is_told(build: Build) -> None:
    figures = build(BRAKE.format(core="76 mm"))
    value = figures("unwind.climb")
    assert isinstance(value, Value)
    assert value.low == pytest.approx(1000 / 76)
    assert any("core wall" in text for text in value.assumes)


def test_a_closed_loop_never_climbs_and_needs_no_diameters(build: Build) -> None:
    assert got(build(UNWIND), "unwind.climb") == 1.0


def test_a_brake_alone_needs_the_diameters(build: Build) -> None:
    figures = build("- unwind: {tension: 33 N, control: brake alone}")
    assert "roll.diameter" in lacks(figures, "unwind.climb")
    assert "roll.core" in lacks(figures, "unwind.climb")


def test_control_that_nobody_gave_is_asked_for(build: Build) -> None:
    assert lacks(build("- unwind: {tension: 33 N}"), "unwind.climb").endswith("control")


@pytest.mark.parametrize(
    ("unwind", "newtons"),
    [
        ("tension: 33 N", 33.0),
        ("tension: 100 N/m", 33.0),  # 100 N/m × 0.33 m
        ("tension: 1 lbf/in", LBF_IN * 0.33),
        ("brake_torque: 7.5 N m, roll: {diameter: 300 mm}", 50.0),  # 50 N at r 150 mm is 7.5 N m
        ("brake_torque: 800 lbf in, roll: {diameter: 8 in}", 200 * 4.4482216152605),  # trade press: 800 lbf in on 8 in
        ("stress: 1 MPa", 1e6 * 33e-6 * 0.33),  # over 11.5 + 10 + 11.5 µm
    ],
)
def test_every_way_to_write_the_unwind_comes_to_one_total(build: Build, unwind: str, newtons: float) -> None:
    figures = build(f"- unwind: {{{unwind}, control: closed loop}}")
    assert got(figures, "unwind.total_tension") == pytest.approx(newtons, rel=1e-9)


def test_a_hundred_psi_on_a_web_of_0_13_mm_are_half_a_lbf_per_in(build: Build) -> None:
    figures = build(
        "- unwind: {stress: 100 psi, control: closed loop}",
        face="modulus: 2 GPa, caliper: 70 µm",
        adhesive="caliper: 20 µm",
        liner="material: film, modulus: 4.5 GPa, caliper: 40 µm",
    )
    # 1 psi is 0.0051 lbf/in on it: 6894.757 Pa × 0.13 mm = 0.8963 N/m.
    assert got(figures, "unwind.line_tension") / LBF_IN == pytest.approx(0.51, abs=0.005)


@pytest.mark.parametrize(("proved", "line"), [("0.75 lbf/in", 0.75 * LBF_IN), ("33 N", 100.0)])
def test_a_proved_tension_may_be_written_either_way(build: Build, proved: str, line: float) -> None:
    figures = build(UNWIND, web=f"width: 330 mm, proved_tension: {proved}")
    assert got(figures, "web.line_proved_tension") == pytest.approx(line)


# ---- what the path does to it -------------------------------------------------------------------------------------


def test_a_turn_bar_multiplies_by_e_to_the_mu_theta(build: Build) -> None:
    press = "- unwind: {}\n- turn bar: {wrap: 180 deg, friction: 25 %}"
    figures = build(UNWIND, "- turn bar: {}", press=press)
    bar = station(figures, "turn bar")
    # No slant is given, so the bar lies at 45°: e^(0.25 π cos 45°) = 1.743; square to the web it would be 2.193.
    assert got(figures, "its.capstan", bar) == pytest.approx(1.743, abs=0.0005)
    assert got(figures, "its.highest_line_tension", bar) == pytest.approx(100 * e ** (0.25 * pi * sqrt(0.5)))
    assert got(figures, "its.lowest_line_tension", station(figures, "unwind")) == pytest.approx(100.0)


def test_idlers_of_the_press_add_their_drag_though_the_sheet_leaves_them_out(build: Build) -> None:
    figures = build(UNWIND, PRINT, press="- unwind: {}\n- idlers: {count: 3, drag: 0.2 N}\n- print: {unit: 1}")
    # 3 × 0.2 N over 0.33 m.
    assert got(figures, "its.highest_line_tension", station(figures, "print 1")) == pytest.approx(100 + 0.6 / 0.33)


INFEED = "- nip: {name: infeed}"


def test_a_draw_of_a_thousandth_adds_34_155_newtons_before_the_faster_nip(build: Build) -> None:
    figures = build(UNWIND, INFEED, PRINT, "- nip: {name: outfeed, draw: 0.1 %}", REWIND)
    # 4.5 GPa × 23 µm × 0.33 m = 34 155 N; a thousandth of it is 34.155 N, 103.5 N/m, 0.591 lbf/in.
    added = got(figures, "its.highest_line_tension", station(figures, "print 1")) - 100
    assert added * 0.33 == pytest.approx(34.155, rel=1e-6)
    assert added / LBF_IN == pytest.approx(0.591, abs=0.0005)
    # Behind it the winder holds the pull, for the nip holds its speed only.
    assert got(figures, "its.highest_line_tension", station(figures, "nip outfeed")) == pytest.approx(110.0)
    assert got(figures, "its.following_draw", station(figures, "nip outfeed")) == pytest.approx(0.001)


def test_a_draw_into_the_first_nip_says_nothing_for_the_brake_holds_that_span(build: Build) -> None:
    figures = build(UNWIND, "- nip: {name: infeed, draw: 0.1 %}", PRINT)
    assert got(figures, "its.highest_line_tension", zone(figures, "zone behind unwind")) == pytest.approx(100.0)
    assert "nip infeed: tension" in lacks(figures, "its.highest_line_tension", station(figures, "print 1"))


# Two films of 57 µm and 2.75 GPa make S = 313.5 kN/m; 44 N on 330 mm are 133.33 N/m.
THICK = {
    "face": "modulus: 2.75 GPa, caliper: 57 µm",
    "liner": "modulus: 2.75 GPa, caliper: 57 µm, expansion: 17e-6 1/K",
}
PULL44 = "- unwind: {tension: 44 N, control: closed loop}"
DRAWN = (PULL44, INFEED, PRINT, "- nip: {name: outfeed, draw: 0.03 %}", REWIND)


def test_the_strain_is_carried_through_the_web(build: Build) -> None:
    # Check value K1: 133.33 + 313 500 × 0.0003 = 227.4 N/m in the span before the faster nip.
    figures = build(*DRAWN, **THICK)
    assert got(figures, "its.highest_line_tension", station(figures, "print 1")) == pytest.approx(227.4, abs=0.05)
    assert got(figures, "its.highest_line_tension", station(figures, "unwind")) == pytest.approx(133.33, abs=0.005)


def test_a_draw_stands_for_the_span_before_its_nip_and_not_for_the_one_behind(build: Build) -> None:
    figures = build(*DRAWN, **THICK)
    assert got(figures, "its.draw_at_end", zone(figures, "zone behind nip infeed")) == pytest.approx(0.0003)
    assert "no draw makes the pull" in lacks(figures, "its.draw_at_end", zone(figures, "zone behind nip outfeed"))


def test_a_warmer_span_is_slacker(build: Build) -> None:
    # Check value K2: the web comes to the nip 10 K warmer, 17e-6/K: − 313 500 × 0.00017 = 174.1 N/m.
    lamp = "{unit: 1, kind: mercury, maximum: 100 %, power: 22.85 W/cm, absorbed: 100 %}"
    heats = "density: 1 g/cm^3, specific_heat: 2000 J/(kg K)"  # 114 µm × 2e6 + 10 µm × 5e4: 228.5 J/(m² K)
    parts = {layer: f"{text}, {heats}" for layer, text in THICK.items()}
    path = (*DRAWN[:3], "- uv lamp: {unit: 1, setting: 100 %}", *DRAWN[3:])
    figures = build(
        *path,
        **parts,
        adhesive="caliper: 10 µm, density: 0.1 g/cm^3, specific_heat: 500 J/(kg K)",
        web="width: 330 mm, speed: 60 m/min",
        press=f"- unwind: {{}}\n- nip: {{name: infeed}}\n- uv lamp: {lamp}\n- nip: {{name: outfeed}}",
    )
    assert got(figures, "its.highest_line_tension", station(figures, "print 1")) == pytest.approx(174.1, abs=0.1)


def test_behind_the_die_the_liner_takes_the_strain_that_comes(build: Build) -> None:
    # Mass is conserved without any draw: the strain stays, and half of the stiffness is cut away: 133.33 / 2.
    path = (PULL44, INFEED, CUT, "- matrix strip: {}", "- nip: {name: outfeed, draw: 0 %}", REWIND)
    figures = build(*path, **THICK)
    assert got(figures, "its.highest_line_tension", station(figures, "die cut")) == pytest.approx(66.67, abs=0.005)


def test_drag_of_idlers_counts_before_a_nip_that_holds_tension(build: Build) -> None:
    # Check value K4: 44 N and ten idlers of 3 N before a nip that holds 44 N: 74 N.
    press = "- unwind: {}\n- idlers: {count: 10, drag: 3 N}\n- nip: {name: infeed}"
    figures = build(PULL44, "- nip: {name: infeed, tension: 44 N}", press=press)
    first, second = figures.things("zone")
    assert got(figures, "its.highest_total_tension", first) == pytest.approx(74.0)
    assert got(figures, "its.highest_total_tension", second) == pytest.approx(44.0)


def test_a_force_on_an_uncertain_width_is_still_that_force(build: Build) -> None:
    figures = build(PULL44, "- nip: {name: infeed, tension: 44 N}", PRINT, web="width: 320 to 340 mm")
    for label in ("zone behind unwind", "zone behind nip infeed"):
        assert got(figures, "its.highest_total_tension", zone(figures, label)) == 44.0
        assert got(figures, "its.lowest_total_tension", zone(figures, label)) == 44.0
    line = figures("its.highest_line_tension", zone(figures, "zone behind unwind"))
    assert isinstance(line, Value)
    assert [line.low, line.high] == [pytest.approx(44 / 0.34), pytest.approx(44 / 0.32)]


def test_the_share_of_yield_of_uncertain_layers_is_that_of_layers_there_can_be(build: Build) -> None:
    """Hooke's law in layers that stretch alike, tried over both moduli: a stiff layer carries more, and stretches less.

    Behind the die the liner carries all, however stiff it is.
    """
    face, liner = (
        "modulus: 3 to 9 GPa, caliper: 80 µm, yield: 15 MPa",
        "modulus: 5 to 10 GPa, caliper: 60 µm, yield: 35 MPa",
    )
    figures = build(PULL44, "- nip: {name: infeed, tension: 44 N}", PRINT, CUT, REWIND, face=face, liner=liner)
    tried = [(f * 1e9, n * 1e9) for f in (3, 4, 6, 8, 9) for n in (5, 6, 8, 9, 10)]
    pulls = [44 / 0.33 / (f * 80e-6 + n * 60e-6) for f, n in tried]
    of_face = [strain * f / 15e6 for strain, (f, _) in zip(pulls, tried, strict=True)]
    of_liner = [strain * n / 35e6 for strain, (_, n) in zip(pulls, tried, strict=True)]
    behind = 44 / 0.33 / 60e-6 / 35e6
    for name, label, ends in (
        ("its.face_share_of_yield", "zone behind unwind", (min(of_face), max(of_face))),
        ("its.liner_share_of_yield", "zone behind unwind", (min(of_liner), max(of_liner))),
        ("its.liner_share_of_yield", "zone behind nip infeed", (behind, behind)),
    ):
        share = figures(name, zone(figures, label))
        assert isinstance(share, Value)
        assert [share.low, share.high] == [pytest.approx(end) for end in ends]


@pytest.mark.parametrize(
    ("length", "rolls", "end", "climb"),
    [
        ("1200 m", 1, 819.1, 1.099),  # check value K5: √(0.9² − 4 × 91e-6 × 1200 / π)
        ("1200 m", 2, 168.4, 5.344),  # of several rolls all but the last are emptied
        ("99 km", 1, 168.4, 5.344),  # a roll gives no more than it holds
    ],
)
def test_a_brake_climbs_to_where_the_job_ends(build: Build, length: str, rolls: int, end: float, climb: float) -> None:
    roll = "{diameter: 900 mm, core: 6 in, core_wall: 8 mm}"
    figures = build(
        f"- unwind: {{tension: 44 N, control: brake alone, rolls: {rolls}, roll: {roll}}}",
        web=f"width: 330 mm, length: {length}",
        face="modulus: 2 GPa, caliper: 50 µm",
        adhesive="caliper: 18 µm",
        liner="modulus: 4.5 GPa, caliper: 23 µm",
    )
    assert got(figures, "unwind.end_diameter") * 1000 == pytest.approx(end, abs=0.05)
    assert got(figures, "unwind.climb") == pytest.approx(climb, abs=0.0005)


def test_without_a_length_the_roll_is_taken_to_be_emptied_and_that_is_told(build: Build) -> None:
    value = build(BRAKE.format(core="100 mm"))("unwind.end_diameter")
    assert isinstance(value, Value)
    assert value.low == pytest.approx(0.1)
    assert any("emptied" in text for text in value.assumes)


def test_a_web_that_a_draw_would_push_has_a_tension_below_nothing_and_no_stretch(build: Build) -> None:
    figures = build(UNWIND, INFEED, PRINT, "- nip: {name: outfeed, draw: -1 %}", REWIND)
    behind = zone(figures, "zone behind nip infeed")
    assert got(figures, "its.lowest_total_tension", behind) < 0
    assert "must be 0 N/m or more" in lacks(figures, "its.stretch", behind)


# ---- the zones ----------------------------------------------------------------------------------------------------


def test_each_zone_begins_where_the_tension_is_set(build: Build) -> None:
    figures = build(UNWIND, "- nip: {name: infeed, tension: 40 N}", PRINT, CUT, REWIND)
    assert [item.label for item in figures.things("zone")] == [
        "zone behind unwind",
        "zone behind nip infeed",
        "zone before rewind",
    ]
    assert [got(figures, "its.printed", item) for item in figures.things("zone")] == [0, 1, 0]


def test_the_rewind_pulls_between_its_start_and_its_end(build: Build) -> None:
    last = zone(figures := build(UNWIND, REWIND), "zone before rewind")
    assert got(figures, "its.highest_line_tension", last) == pytest.approx(110.0)
    assert got(figures, "its.lowest_line_tension", last) == pytest.approx(77.0)  # 110 × (1 − 0.30)


def test_a_nip_has_its_own_range_else_the_press_has_one(build: Build) -> None:
    press = "- unwind: {}\n- nip: {name: infeed, tension_range: 25 to 300 N}"
    figures = build(UNWIND, "- nip: {name: infeed, tension: 40 N}", press=press)
    first, second = figures.things("zone")
    assert [got(figures, f"its.allowed_{end}", first) for end in ("least", "most")] == [20.0, 400.0]
    assert [got(figures, f"its.allowed_{end}", second) for end in ("least", "most")] == [25.0, 300.0]


def test_a_rise_is_taken_at_one_moment_of_the_roll_and_not_between_its_ends(build: Build) -> None:
    # The unwind climbs from 100 to 1000 N/m, the draw adds 103.5 N/m throughout: at most 103.5 % more, never 1003 %.
    brake = BRAKE.format(core="100 mm")
    figures = build(brake, INFEED, PRINT, "- nip: {name: outfeed, draw: 0.1 %}", REWIND)
    assert got(figures, "its.rise", zone(figures, "zone behind nip infeed")) == pytest.approx(1.035)
    assert "no zone before it" in lacks(figures, "its.rise", zone(figures, "zone behind unwind"))


def test_a_rewind_is_hardest_while_the_unwind_is_still_full(build: Build) -> None:
    # At the start 110 against 100 N/m; at the end 77 against 1000.
    brake = BRAKE.format(core="100 mm")
    figures = build(brake, REWIND)
    assert got(figures, "its.rise", zone(figures, "zone before rewind")) == pytest.approx(0.10)


def test_a_nip_behind_a_turn_bar_is_held_against_the_pull_behind_the_bar(build: Build) -> None:
    press = "- unwind: {}\n- turn bar: {wrap: 180 deg, friction: 25 %, slant: 45 deg}"
    figures = build(UNWIND, "- turn bar: {}", "- nip: {name: infeed, tension: 33 N}", press=press)
    # 100 N/m behind the nip against 174.3 N/m in front of it.
    rise = got(figures, "its.rise", zone(figures, "zone behind nip infeed"))
    assert rise == pytest.approx(1 / 1.7426 - 1, abs=0.0005)


def test_the_walk_tells_how_a_pull_comes_about(build: Build) -> None:
    press = "- unwind: {}\n- turn bar: {wrap: 180 deg, friction: 25 %}"
    figures = build(UNWIND, "- turn bar: {}", "- nip: {name: infeed, tension: 40 N}", press=press)
    told = figures("its.made_by", zone(figures, "zone behind unwind"))
    assert isinstance(told, Value)
    assert told.low == "set at unwind, multiplied at turn bar"
    assert "what is set" in lacks(figures, "its.made_by", zone(figures, "zone behind nip infeed"))


# ---- what the tension does to the web -----------------------------------------------------------------------------


def test_behind_the_die_cut_the_liner_carries_alone(build: Build) -> None:
    # 1 lbf/in on 92 gauge (0.92 mil) at 4.5 GPa stretches by 0.16654 %: 7.49430 MPa / 4500 MPa.
    liner = "material: film, modulus: 4.5 GPa, caliper: 0.92 mil, yield: 100 MPa"
    rewind = "- rewind: {start_tension: 1 lbf/in, taper: 0 %, taper_law: linear}"
    figures = build(UNWIND, PRINT, CUT, rewind, liner=liner)
    last = zone(figures, "zone before rewind")
    assert got(figures, "its.stretch", last) == pytest.approx(0.0016654, rel=1e-4)
    assert got(figures, "its.liner_share_of_yield", last) == pytest.approx(0.0749430, rel=1e-5)
    assert "cut into labels" in lacks(figures, "its.face_share_of_yield", last)


@pytest.mark.parametrize(("line", "share"), [(230, 0.10), (460, 0.20)])
def test_share_of_yield_of_pet_23(build: Build, line: int, share: float) -> None:
    # 23 µm × 100 MPa = 2300 N/m: 10 to 20 % are 230 to 460 N/m.
    liner = "material: film, modulus: 4.5 GPa, caliper: 23 µm, yield: 100 MPa"
    rewind = f"- rewind: {{start_tension: {line} N/m, taper: 0 %, taper_law: linear}}"
    figures = build(UNWIND, CUT, rewind, liner=liner)
    assert got(figures, "its.share_of_yield", zone(figures, "zone before rewind")) == pytest.approx(share)


def test_before_the_die_cut_the_layer_nearest_to_its_yield_counts(build: Build) -> None:
    # Both layers stretch by 100 / 103500 = 0.0966 %: 4.348 MPa each. Of 100 MPa that is 4.35 %, of 20 MPa 21.7 %.
    figures = build(UNWIND, PRINT, face="modulus: 4.5 GPa, caliper: 11.5 µm, yield: 20 MPa")
    first = zone(figures, "zone behind unwind")
    assert got(figures, "its.liner_share_of_yield", first) == pytest.approx(0.0435, abs=0.00005)
    assert got(figures, "its.share_of_yield", first) == pytest.approx(0.2174, abs=0.00005)


def test_a_face_whose_yield_nobody_knows_is_left_out_and_told(build: Build) -> None:
    figures = build(UNWIND, PRINT, face="modulus: 4.5 GPa, caliper: 11.5 µm")
    value = figures("its.share_of_yield", zone(figures, "zone behind unwind"))
    assert isinstance(value, Value)
    assert value.low == pytest.approx(0.0435, abs=0.00005)
    assert any("face's yield" in text for text in value.assumes)


def test_zones_that_stretch_alike_keep_register_however_hard_they_pull(build: Build) -> None:
    for newtons in (33, 330):
        figures = build(f"- unwind: {{tension: {newtons} N, control: closed loop}}", PRINT, CUT)
        assert got(figures, "its.register_drift", zone(figures, "zone behind unwind")) == 0.0


def test_a_tension_known_only_as_a_range_drifts_not_against_itself(build: Build) -> None:
    figures = build("- unwind: {tension: 30 to 40 N, control: closed loop}", PRINT, CUT)
    assert got(figures, "its.register_drift", zone(figures, "zone behind unwind")) == 0.0


def test_drift_is_the_difference_of_stretch_times_the_repeat(build: Build) -> None:
    figures = build(UNWIND, PRINT, "- nip: {name: outfeed, tension: 66 N}", CUT)
    # 200 − 100 N/m over 103 500 N/m, times 96 teeth × 3.175 mm = 304.8 mm: 0.29449 mm.
    assert got(figures, "its.register_drift", zone(figures, "zone behind nip outfeed")) == pytest.approx(
        0.00029449, rel=1e-4
    )
    assert got(figures, "its.register_drift", zone(figures, "zone behind unwind")) == 0.0


def test_a_bar_between_print_and_die_makes_drift_within_one_zone(build: Build) -> None:
    press = "- unwind: {}\n- print: {unit: 1}\n- turn bar: {wrap: 180 deg, friction: 25 %}\n- die cut: {}"
    figures = build(UNWIND, PRINT, "- turn bar: {}", CUT, press=press)
    # (174.257 − 100) N/m / 103 500 N/m × 304.8 mm.
    drift = got(figures, "its.register_drift", zone(figures, "zone behind unwind"))
    assert drift == pytest.approx(74.257 / 103500 * 0.3048, rel=1e-5)


def test_without_print_there_is_no_register_to_keep(build: Build) -> None:
    figures = build(UNWIND, CUT)
    assert figures("its.keeps_register", zone(figures, "zone behind unwind")) == Value(False, False)


HOT_LAMP = "{unit: 1, kind: mercury, maximum: 100 %, power: 100 W/cm, absorbed: 30 %}"
CHILLED = ("- uv lamp: {unit: 1, setting: 60 %}", "- chill roll: {temperature: 20 degC}")


@pytest.mark.parametrize(("behind", "warmth"), [(CHILLED[:1], 27.2727), (CHILLED, 0.0)], ids=["hot", "chilled"])
def test_creep_back_is_what_face_and_liner_recover_differently_from_the_state_at_the_die(
    build: Build, behind: tuple[str, ...], warmth: float
) -> None:
    heats = "density: 1 g/cm^3, specific_heat: 2000 J/(kg K)"
    figures = build(
        UNWIND,
        PRINT,
        *behind,
        CUT,
        press=f"- unwind: {{}}\n- print: {{unit: 1}}\n- uv lamp: {HOT_LAMP}\n- chill roll: {{}}",
        web="width: 330 mm, speed: 60 m/min}\nlayout: {label: {around: 100 mm}",
        face=f"modulus: 4.5 GPa, caliper: 11.5 µm, relaxes: 5 %, {heats}",
        adhesive=f"caliper: 10 µm, {heats}",
        liner=f"{LINER}, relaxes: 20 %, shrinkage: 0.1 %, maximum_temperature: 70 degC, {heats}",
    )
    # Heat: 0.3 × 0.6 × 10 000 W/m / (1 m/s × 33 µm × 2e6 J/(m³ K)) = 27.2727 K over a room of 20 °C.
    # Pull: 100 / 103 500. Shrinkage stays, by the hottest: 0.001 × 27.2727 / 50; a web chilled before the die is cold.
    strain, shrunk = 100 / 103500 + 17e-6 * warmth, 0.001 * 27.2727 / 50
    die = station(figures, "die cut")
    assert got(figures, "its.strain", die) == pytest.approx(strain, rel=1e-5)
    assert got(figures, "its.creep_back", die) == pytest.approx((strain * 0.15 + shrunk) * 0.1, rel=1e-5)


@pytest.mark.parametrize(
    ("tension", "wanted"),
    [("33 N", {"unwind.line_tension": "web.width"}), ("100 N/m", {"unwind.total_tension": "web.width"})],
    ids=["in all", "per width"],
)
def test_a_tension_that_stands_there_is_not_what_is_lacking(build: Build, tension: str, wanted: dict[str, str]) -> None:
    """Force is line tension times width, so with one of them given only the width is wanted for the other."""
    figures = build(UNWIND.replace("33 N", tension), REWIND, web="speed: 50 m/min")
    for name, lack in wanted.items():
        found = figures(name)
        assert isinstance(found, Missing)
        assert [need.name for need in found.needs] == [lack]
