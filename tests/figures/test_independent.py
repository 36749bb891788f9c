"""Every figure of the sound job, worked out anew by hand from the raw numbers of its sheet and registers.

Nothing here uses the formulas of the package: the arithmetic is written out, each line a line of a pocket calculator.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from math import exp, floor, pi, sqrt
from typing import Any

import pytest

PATH = (
    "unwind",
    "static control (1 of 2)",
    "web cleaner",
    "static control (2 of 2)",
    "nip infeed",
    "print 1",
    "uv lamp 1",
    "chill roll (1 of 2)",
    "print 2",
    "uv lamp 2",
    "chill roll (2 of 2)",
    "die cut",
    "matrix strip",
    "rewind",
)
ZONES = ("zone behind unwind", "zone behind nip infeed", "zone before rewind")
TODAY = date(2026, 11, 25)
DAY = 86400.0


def test_every_figure_of_the_sound_job_is_what_hand_arithmetic_gives(sound, compare: Callable[..., list[str]]) -> None:
    raw, sheet = sound
    assert sheet.faults == 0
    families = (_plain, _laminate, _tensions, _parent, _walk, _lamps, _cure, _zones, _creep, _layout, _matrix, _cut)
    families += (_rolls, _air, _booking, _checks, _wound_rolls)
    expected = {name: value for family in families for name, value in family(raw).items()}
    wrong = compare(sheet, expected)
    assert not wrong, "\n".join(wrong)


# Charge comes of unwinding, cleaning by contact, printing, cutting, stripping; a nip rolls. The two bars take it.
CHARGED = [True, False, True, False, False] + [True] * 9
CLEAN = [False, False] + [True] * 12  # cleaned once it was neutral, behind the cleaner


def test_the_walk_tells_the_same_as_the_figures(sound) -> None:
    raw, sheet = sound
    hand = _walk(raw)
    highest = hand["station.highest_line_tension"] | {"unwind": _tensions(raw)["unwind.line_tension"]["unwind"]}
    heat = hand["station.web_temperature"] | hand["lamp.web_temperature"]
    assert [line.station for line in sheet.walk] == list(PATH)
    for line in sheet.walk:
        assert line.lowest.low == pytest.approx(hand["station.lowest_line_tension"][line.station], rel=1e-6)
        assert line.highest.high == pytest.approx(highest[line.station], rel=1e-6)
        assert line.temperature.high == pytest.approx(heat[line.station], rel=1e-6)
        assert line.charged is CHARGED[PATH.index(line.station)]
        assert line.clean is CLEAN[PATH.index(line.station)]
    assert [line.why for line in sheet.walk] == [
        *[("set at unwind",)] * 4,
        *[("set at nip infeed",)] * 9,
        ("set at rewind",),
    ]


def _plain(raw) -> dict[str, Any]:
    """Days and numbers."""
    return {
        "job.day": date.fromisoformat(str(raw("sheet", "date"))),
        "job.today": TODAY,
        "roll.number": {f"roll {n}": n for n in range(1, raw.on_path("rewind")["rolls"] + 1)},
        "lane.number": {f"lane {n}": n for n in range(1, raw("sheet", "layout", "lanes") + 1)},
        "check.number": {"check imprint (1)": 1, "check snap (2)": 2},
        "result.number": {f"result {'snap' if n % 2 == 0 else 'imprint'} ({n})": n for n in range(1, 7)},
        "station.number": {label: number for number, label in enumerate(PATH, 1)},
        "station.on_press": dict.fromkeys(PATH, True),
        "station.in_press_order": dict.fromkeys(PATH, True),
        "press.dryers": 1,
        "press.nip_run_past": "none",
        "press.cleaner_run_past": "none",
        "lamp.chill_roll_run_past": dict.fromkeys(("uv lamp 1", "uv lamp 2"), False),
        "zone.number": {label: number for number, label in enumerate(ZONES, 1)},
    }


def _layers(raw, field: str) -> list[float]:
    return [raw("stock", layer, field) for layer in ("face", "adhesive", "liner")]


LAMPS = ("uv lamp 1", "uv lamp 2")
ROLLS = {"parent roll": "supplied_roll", "press roll": "press_roll", "finished roll": "finished_roll"}


def _stiffness(raw) -> tuple[float, float]:
    """Whole laminate and liner: Σ E t, N/m; the sound stock gives its adhesive no modulus, which counts as none."""
    (face_t, _, liner_t), (face, _, liner) = _layers(raw, "caliper"), _layers(raw, "modulus")
    return face * face_t + liner * liner_t, liner * liner_t


def _laminate(raw) -> dict[str, Any]:
    t, rho, c = (_layers(raw, field) for field in ("caliper", "density", "specific_heat"))
    whole, liner = _stiffness(raw)
    return {
        "laminate.caliper": t[0] + t[1] + t[2],
        "laminate.stiffness": whole,
        "liner.stiffness": liner,
        "laminate.areal_mass": rho[0] * t[0] + rho[1] * t[1] + rho[2] * t[2],
        "laminate.heat_capacity": rho[0] * c[0] * t[0] + rho[1] * c[1] * t[1] + rho[2] * c[2] * t[2],
        "laminate.gain_of_liner": (t[0] + t[1] + 60e-6) / sum(t),
        "laminate.hoop_modulus": whole / sum(t),
        "product.caliper": sum(t),  # nothing is laminated on the way
        "product.stiffness": _stiffness(raw)[0],
        "product.areal_mass": sum(rho[n] * t[n] for n in range(3)),
        **{f"{kind}.caliper": {of: sum(t)} for of, kind in ROLLS.items()},
        **{f"{kind}.stiffness": {of: _stiffness(raw)[0]} for of, kind in ROLLS.items()},
        **{f"{kind}.areal_mass": {of: sum(rho[n] * t[n] for n in range(3))} for of, kind in ROLLS.items()},
        "lamp.web_heat_capacity": dict.fromkeys(LAMPS, sum(rho[n] * c[n] * t[n] for n in range(3))),
    }


def _tensions(raw) -> dict[str, Any]:
    w = raw("sheet", "web", "width")
    unwind, nip, rewind = (raw.on_path(kind) for kind in ("unwind", "nip", "rewind"))
    assert unwind["control"] == "closed loop"  # so the tension does not climb while the roll runs down
    force, start, finished = unwind["tension"], rewind["start_tension"], raw("sheet", "finishing", "start_tension")
    pull = raw("sheet", "finishing", "unwind_tension")
    brake, hold = raw.fitted("unwind")["brake_range"], raw.fitted("rewind")["tension_range"]
    finisher = raw("finisher", "tension_range")
    return {
        "unwind.total_tension": {"unwind": force},
        "unwind.line_tension": {"unwind": force / w},
        "unwind.core_diameter": {"unwind": unwind["roll"]["core"] + 2 * unwind["roll"]["core_wall"]},
        "unwind.climb": {"unwind": 1.0},
        "unwind.highest_line_tension": {"unwind": force / w},
        "unwind.highest_total_tension": {"unwind": force},
        "unwind.brake_least": {"unwind": brake[0]},
        "unwind.brake_most": {"unwind": brake[1]},
        "rewind.tension_least": {"rewind": hold[0]},
        "rewind.tension_most": {"rewind": hold[1]},
        "finisher.tension_least": finisher[0],
        "finisher.tension_most": finisher[1],
        "rewind.total_start_tension": {"rewind": start * w},
        "rewind.line_start_tension": {"rewind": start},
        "finishing.total_start_tension": finished * w,
        "finishing.line_start_tension": finished,
        "finishing.total_unwind_tension": pull * w,
        "finishing.line_unwind_tension": pull,
        "nip.total_tension": {"nip infeed": nip["tension"]},
        "nip.line_tension": {"nip infeed": nip["tension"] / w},
        "web.line_proved_tension": raw("sheet", "web", "proved_tension"),
    }


def _rises(raw) -> tuple[float, float]:
    """ΔT = a P′ s / (v C″) of both lamps; C″ is the heat capacity per area."""
    capacity = _laminate(raw)["laminate.heat_capacity"] * raw("sheet", "web", "speed")
    pairs = ((raw.on_path("uv lamp", nth), raw.fitted("uv lamp", nth)) for nth in (1, 2))
    one, two = (fitted["absorbed"] * fitted["power"] * lamp["setting"] / capacity for lamp, fitted in pairs)
    return one, two


def _temperatures(raw) -> list[float]:
    """Behind each station: lamps add their rise, chill rolls draw the web towards themselves."""
    air = raw("sheet", "preparation", "air", "temperature")
    first, second = _rises(raw)
    lit = air + first
    roll, share = raw.on_path("chill roll")["temperature"], raw.fitted("chill roll")["contact"]
    cooled = lit - share * (lit - roll)
    lit_again = cooled + second
    roll, share = raw.on_path("chill roll", 2)["temperature"], raw.fitted("chill roll", 2)["contact"]
    cold = lit_again - share * (lit_again - roll)
    return [air] * 6 + [lit, cooled, cooled, lit_again] + [cold] * 4


def _walk(raw) -> dict[str, Any]:
    w = raw("sheet", "web", "width")
    rewind = raw.on_path("rewind")
    set_at_unwind, set_at_nip = (raw.on_path(kind)["tension"] / w for kind in ("unwind", "nip"))
    # The three idlers of the press stand between the second bar and the nip, which sets the tension anew.
    tension = [set_at_unwind] * 4 + [set_at_nip] * 9
    heat = _temperatures(raw)
    start, end = rewind["start_tension"], rewind["start_tension"] * (1 - rewind["taper"])
    return {
        "station.lowest_line_tension": dict(zip(PATH, [*tension, end], strict=True)),
        # The unwind and the lamps have figures of their own by these names.
        "station.highest_line_tension": dict(zip(PATH[1:], [*tension[1:], start], strict=True)),
        "station.web_temperature": {of: degrees for of, degrees in zip(PATH, heat, strict=True) if "lamp" not in of},
        "station.temperature_before": dict(zip(PATH, [heat[0], *heat[:-1]], strict=True)),
        "web.entry_temperature": heat[0],
        "web.hottest": max(heat),
        "lamp.web_temperature": {"uv lamp 1": heat[6], "uv lamp 2": heat[9]},
    }


def _lamps(raw) -> dict[str, Any]:
    lamps = {"uv lamp 1": 1, "uv lamp 2": 2}
    on_path = {label: raw.on_path("uv lamp", nth) for label, nth in lamps.items()}
    on_press = {label: raw.fitted("uv lamp", nth) for label, nth in lamps.items()}
    lacks = {label: f"lacks {label}: cure_minimum is not given as a" for label in lamps}
    speed = raw("sheet", "web", "speed")
    return {
        "uv_lamp.runs_hot": {label: on_press[label]["kind"] == "mercury" for label in lamps},
        "lamp.share_of_maximum": {label: on_path[label]["setting"] / on_press[label]["maximum"] for label in lamps},
        "lamp.over_need": {label: on_path[label]["setting"] / on_path[label]["cure_minimum"] for label in lamps},
        "lamp.over_need_at_speed": {
            label: on_path[label]["setting"] / on_path[label]["cure_minimum"] * on_path[label]["proved_speed"] / speed
            for label in lamps
        },
        "lamp.power_share": {label: on_path[label]["setting"] for label in lamps},
        "lamp.cure_share": {label: on_path[label]["cure_minimum"] for label in lamps},
        "lamp.cure_power": {label: f"{lack} power per length" for label, lack in lacks.items()},
        "lamp.cure_temperature": {label: f"{lack} temperature" for label, lack in lacks.items()},
        "lamp.maximum_said_as": dict.fromkeys(lamps, "share of full power"),
        "lamp.most_power": {label: f"lacks {label}: maximum is not given as a power per length" for label in lamps},
        "lamp.most_air": {label: f"lacks {label}: maximum is not given as a temperature" for label in lamps},
        "lamp.air_temperature": {label: f"lacks {label}: setting is not given as a temperature" for label in lamps},
        "lamp.temperature_rise": dict(zip(lamps, _rises(raw), strict=True)),
    }


def _zones(raw) -> dict[str, Any]:
    w = raw("sheet", "web", "width")
    whole, liner = _stiffness(raw)
    rewind = raw.on_path("rewind")
    unwind, nip = (raw.on_path(kind)["tension"] / w for kind in ("unwind", "nip"))
    low = [unwind, nip, rewind["start_tension"] * (1 - rewind["taper"])]
    idlers = raw.fitted("idlers")
    before_nip = unwind + idlers["count"] * idlers["drag"] / w  # three idlers stand in front of the nip
    high = [before_nip, nip, rewind["start_tension"]]
    # The second zone runs from the nip to the matrix strip: behind the die cut the liner alone carries it.
    stiffness = [whole, liner, liner]
    stretch = [tension / part for tension, part in zip(high, stiffness, strict=True)]
    (face, _, film), (face_yield, _, film_yield) = _layers(raw, "modulus"), _layers(raw, "yield")
    liner_shares = [film * strain / film_yield for strain in stretch]
    face_shares = [face * tension / whole / face_yield for tension in high[:2]]
    heat, web = _temperatures(raw), raw("stock", "liner")
    slack = [  # at print 1, print 2 and the die cut: longer by warmth, shorter by what has shrunk on the way
        web["expansion"] * (heat[at] - heat[0])
        - web["shrinkage"] * (max(heat[: at + 1]) - heat[0]) / (web["maximum_temperature"] - heat[0])
        for at in (5, 8, 11)
    ]
    apart = max(abs(here - slack[0]) for here in slack)
    press, fitted = raw("press", "tension_range"), [raw.fitted(kind)["tension_range"] for kind in ("nip", "rewind")]

    def by_zone(*values: Any) -> dict[str, Any]:
        return dict(zip(ZONES, values, strict=True))

    return {
        "zone.lowest_line_tension": by_zone(*low),
        "zone.highest_line_tension": by_zone(*high),
        "zone.slackest_line_tension": by_zone(unwind, nip, rewind["start_tension"]),  # idlers only pull harder
        "zone.lowest_total_tension": by_zone(*[tension * w for tension in low]),
        "zone.highest_total_tension": by_zone(*[tension * w for tension in high]),
        "zone.allowed_least": by_zone(press[0], *[ends[0] for ends in fitted]),
        "zone.allowed_most": by_zone(press[1], *[ends[1] for ends in fitted]),
        "zone.idler_drag": by_zone(idlers["count"] * idlers["drag"], 0.0, 0.0),
        "zone.printed": by_zone(False, True, False),
        "zone.made_by": by_zone(*["lacks the tension of the zone is what is set"] * 3),
        "zone.draw_at_end": by_zone(*["lacks no draw makes the pull of the zone"] * 3),
        "zone.reaches_cut": by_zone(False, True, True),
        "zone.set_at": by_zone("unwind", "nip", "rewind"),
        "zone.keeps_register": by_zone(False, True, False),
        "zone.rise": by_zone("lacks there is no zone before it", nip / before_nip - 1, high[2] / nip - 1),
        "zone.stiffness": by_zone(*stiffness),
        "zone.stretch": by_zone(*stretch),
        "zone.liner_share_of_yield": by_zone(*liner_shares),
        "zone.face_share_of_yield": by_zone(*face_shares, "lacks the face is cut into labels in this zone"),
        "zone.share_of_yield": by_zone(*map(max, liner_shares, face_shares), liner_shares[2]),
        # One tension from print 1 to the die cut, so only warmth and shrinkage make it drift.
        "zone.register_strain": by_zone(0.0, apart, 0.0),
        "zone.register_drift": by_zone(0.0, apart * raw("die", "teeth") * raw("die", "pitch"), 0.0),
    }


def _creep(raw) -> dict[str, Any]:
    w = raw("sheet", "web", "width")
    heat, liner = _temperatures(raw), raw("stock", "liner")
    strain = raw.on_path("nip")["tension"] / w / _stiffness(raw)[0] + liner["expansion"] * (heat[11] - heat[0])
    shrunk = liner["shrinkage"] * (max(heat[:12]) - heat[0]) / (liner["maximum_temperature"] - heat[0])
    length = raw("sheet", "layout", "label", "around")
    return {
        "die_cut.strain": {"die cut": strain},
        "die_cut.shrunk": {"die cut": shrunk},
        "die_cut.creep_back": {"die cut": (strain * liner["relaxes"] + shrunk) * length},  # nothing stays in the face
    }


def _parent(raw) -> dict[str, Any]:
    roll, length, t = raw.on_path("unwind")["roll"], raw("sheet", "web", "length"), sum(_layers(raw, "caliper"))
    core = roll["core"] + 2 * roll["core_wall"]
    whole = pi * (roll["diameter"] ** 2 - core**2) / 4 / t
    return {
        "unwind.roll_length": {"unwind": whole},
        "unwind.supply": {"unwind": whole},  # one roll, for nothing else is said
        "unwind.rolls_needed": {"unwind": 1},
        "unwind.end_diameter": {"unwind": sqrt(roll["diameter"] ** 2 - 4 * length * t / pi)},
        "unwind.fitted_control": {"unwind": raw.fitted("unwind")["control"]},
        "nip.following_draw": {"nip infeed": "lacks no nip runs before it"},
    }


def _cure(raw) -> dict[str, Any]:
    lamps = {"uv lamp 1": 1, "uv lamp 2": 2}
    needs = {label: raw.on_path("uv lamp", nth)["cure_minimum"] for label, nth in lamps.items()}
    full = {label: raw.fitted("uv lamp", nth)["maximum"] for label, nth in lamps.items()}
    return {
        "lamp.need_of_maximum": {label: needs[label] / full[label] for label in lamps},
        "uv_lamp.heat_let_through": dict.fromkeys(lamps, 1.0),  # the register gives no share of the cold mirrors
        "inked_unit.cure": {"print 1": "right kind", "print 2": "right kind"},
        "inked_unit.next_contact": {"print 1": "print 2", "print 2": "die cut"},
        "print.first": {"print 1": True, "print 2": False},
        "print.comes_charged": {"print 1": False, "print 2": True},
        "print.charged_by": {"print 1": "web cleaner", "print 2": "print 1"},
        "static_control.field": {
            f"static control ({n} of 2)": f"lacks static control ({n} of 2): reading" for n in (1, 2)
        },
        "static_control.fitted_kind": {
            f"static control ({n} of 2)": raw.fitted("static control", n)["kind"] for n in (1, 2)
        },
        "web_cleaner.fitted_kind": {"web cleaner": raw.fitted("web cleaner")["kind"]},
        "die_cut.fitted_gauge": {"die cut": raw.fitted("die cut")["gauge"]},
    }


def _matrix(raw) -> dict[str, Any]:
    layout = raw("sheet", "layout")
    release = "lacks adhesive.release"
    return {
        "matrix.strips": layout["lanes"] - 1 + 2,
        "matrix.narrowest": min(layout["gap"]["across"], layout["edge_trim"]),
        "matrix.stripping_force": release,
        "matrix.strip_load": release,
        "matrix.strip_strength": "lacks face.strength",
        "matrix.load_share": release,
        "adhesive.release_work": release,
        "label.peel_radius": release,
        "label.bending_stiffness": raw("stock", "face", "modulus") * raw("stock", "face", "caliper") ** 3 / 12,
        "label.narrower_side": layout["label"]["across"],
        "finished_roll.ooze": {"finished roll": "lacks finishing.in_stock"},
        "finished_roll.asked_core": {"finished roll": raw("customer", "core")},
    }


def _air(raw) -> dict[str, Any]:
    """Dew point by bisection of the vapour pressure e = 611.2 Pa exp[17.62 θ/(243.12 + θ)]."""
    room = raw("sheet", "preparation", "air")

    def vapour(celsius: float) -> float:
        return 611.2 * exp(17.62 * celsius / (243.12 + celsius))

    wanted, low, high = room["humidity"] * vapour(room["temperature"] - 273.15), -40.0, 60.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if vapour(middle) < wanted else (low, middle)
    return {"air.dew_point": low + 273.15}


def _booking(raw) -> dict[str, Any]:
    lack = "lacks press_time.from"
    return {
        "press_time.from_day": lack,
        "press_time.to_day": "lacks press_time.to",
        "press_time.from_clock": "lacks press_time.from",
        "press_time.to_clock": "lacks press_time.to",
        "press_time.hours": lack,
        "web.run_time": raw("sheet", "web", "length") / raw("sheet", "web", "speed"),
    }


def _layout(raw) -> dict[str, Any]:
    label, gap = raw("sheet", "layout", "label"), raw("sheet", "layout", "gap")
    lanes, around, trim = (raw("sheet", "layout", name) for name in ("lanes", "labels_around", "edge_trim"))
    around_label = label["around"] + gap["around"]
    repeats = {tool: raw(tool, "teeth") * raw(tool, "pitch") for tool in ("die", "magnetic", "anvil", "print")}
    off = repeats["print"] - round(repeats["print"] / around_label) * around_label
    return {
        "stock.widest": "lacks stock.widths",
        "die.circumference": repeats["die"],
        "magnetic_cylinder.circumference": repeats["magnetic"],
        "anvil.circumference": repeats["anvil"],
        "print_cylinder.circumference": repeats["print"],
        "print.cylinder_circumference": {f"print {n}": f"lacks print {n}: cylinder.repeat" for n in (1, 2)},
        "print.circumference": {f"print {n}": repeats["print"] for n in (1, 2)},
        "print.repeat_error": {f"print {n}": abs(off) for n in (1, 2)},
        "layout.label_repeat": around_label,
        "layout.around": around,
        "layout.cut_repeat": around * around_label,
        "layout.repeat_error": abs(repeats["die"] - around * around_label),
        "layout.carrier_error": abs(repeats["magnetic"] - repeats["die"]),
        "layout.labels_width": lanes * label["across"] + (lanes - 1) * gap["across"],
        "layout.width_needed": lanes * label["across"] + (lanes - 1) * gap["across"] + 2 * trim,
        "layout.lane_width": label["across"] + gap["across"],
        "snap.needed_sample": 2 * repeats["die"],
    }


def _cut(raw) -> dict[str, Any]:
    growth = 11.5e-6 * raw("die", "radius") * raw.on_path("die cut")["warm_up"]
    run_out = sum(raw(tool, "run_out") for tool in ("die", "magnetic", "anvil")) + raw("press", "bearing_tolerance")
    off = raw("stock", "liner", "caliper") - raw("die", "for_liner_caliper")
    wear = raw("die", "wear")
    turns = raw("sheet", "web", "length") / (raw("die", "teeth") * raw("die", "pitch"))
    day = date.fromisoformat(str(raw("sheet", "date")))
    ages = {
        tool: (day - date.fromisoformat(str(raw(tool, "inspected")))).days * DAY
        for tool in ("die", "magnetic", "anvil")
    }
    return {
        "die.growth": growth,
        "cut.growth": growth,  # nothing is said of the bearers, so they count as cold
        "cut.run_out": run_out,
        "cut.deepest": max(0.0, off + growth + run_out - wear),
        "cut.shallowest": max(0.0, -off + run_out + wear),  # before the die has grown
        "die.planned_revolutions": turns,
        "die.life_share": (raw("die", "revolutions") + turns) / raw("die", "life"),
        "die.inspection_age": ages["die"],
        "magnetic_cylinder.inspection_age": ages["magnetic"],
        "anvil.inspection_age": ages["anvil"],
        "slitter.condition": raw("sheet", "finishing", "knives", "condition"),
        "slitter.changed": date.fromisoformat(str(raw("sheet", "finishing", "knives", "changed"))),
    }


def _diameter(core: float, length: float, caliper: float) -> float:
    """The side of the roll is as large as the side of the web: π/4 (D² − d²) = L t."""
    return sqrt(core**2 + length * caliper / (3.141592653589793 / 4))


def _rolls(raw) -> dict[str, Any]:
    w, length = raw("sheet", "web", "width"), raw("sheet", "web", "length")
    rewind, finishing = raw.on_path("rewind"), raw("sheet", "finishing")
    assert (rewind["taper_law"], finishing["taper_law"]) == ("linear", "linear")
    t = sum(_layers(raw, "caliper"))
    mass = _laminate(raw)["laminate.areal_mass"]
    repeat = raw("sheet", "layout", "label", "around") + raw("sheet", "layout", "gap", "around")
    lane = raw("sheet", "layout", "label", "across") + raw("sheet", "layout", "gap", "across")
    core, finished_core = (roll["core"] + 2 * roll["core_wall"] for roll in (rewind, finishing))
    per_roll, finished = length / rewind["rolls"], finishing["labels_per_roll"] * repeat
    largest = raw("customer", "maximum_diameter")
    return {
        "rewind.core_diameter": {"rewind": core},
        "rewind.full_diameter": {"rewind": _diameter(core, per_roll, t)},
        "rewind.end_tension": {"rewind": rewind["start_tension"] * (1 - rewind["taper"])},
        "rewind.roll_mass": {"rewind": mass * w * per_roll},
        "rewind.linear_law": {"rewind": "linear"},
        "rewind.roll_length": {"rewind": per_roll},
        "finishing.core_diameter": finished_core,
        "finishing.full_diameter": _diameter(finished_core, finished, t),
        "finishing.end_tension": finishing["start_tension"] * (1 - finishing["taper"]),
        "finishing.roll_mass": mass * lane * finished,
        "finishing.linear_law": "linear",
        "finishing.roll_length": finished,
        "finishing.labels_wanted": finishing["labels_per_roll"],
        "finishing.labels_in_length": "lacks finishing.length_per_roll",
        "finishing.labels_in_diameter": "lacks finishing.diameter",
        "finishing.most_labels": floor(3.141592653589793 / 4 * (largest**2 - finished_core**2) / t / repeat),
    }


def _checks(raw) -> dict[str, Any]:
    first, later, last = (raw("sheet", "results", number, "die_pressure") for number in (0, 2, 4))
    drift = {f"result snap ({n})": f"lacks result snap ({n}): die_pressure" for n in (2, 4, 6)}
    drift |= {f"result imprint ({n})": value / first - 1 for n, value in ((1, first), (3, later), (5, last))}
    checks = {"check imprint (1)": True, "check snap (2)": True}
    off = {name: value if isinstance(value, str) else "lacks die.pressure" for name, value in drift.items()}
    return {
        "check.made_at_set_up": checks,
        "check.made_on_every_roll": checks,
        "check.made_at_end": dict.fromkeys(checks, False),
        "result.pressure_drift": drift,
        "result.pressure_off_register": off,
    }


def _wound_rolls(raw) -> dict[str, Any]:
    """What the three wound rolls take over from elsewhere, and the small formulas among them."""
    w, t = raw("sheet", "web", "width"), sum(_layers(raw, "caliper"))
    unwind, rewind = raw.on_path("unwind"), raw.on_path("rewind")
    finishing, wound, machine = raw("sheet", "finishing"), raw("stock", "wound"), raw.fitted("rewind")
    rolls = _rolls(raw)
    lane = raw("sheet", "layout", "label", "across") + raw("sheet", "layout", "gap", "across")
    by_roll = {"parent roll": unwind["roll"], "press roll": rewind, "finished roll": finishing}
    outside = {label: roll["core"] + 2 * roll["core_wall"] for label, roll in by_roll.items()}
    full = {
        "press roll": rolls["rewind.full_diameter"]["rewind"],
        "finished roll": rolls["finishing.full_diameter"],
    }
    end = {label: by_roll[label]["start_tension"] * (1 - by_roll[label]["taper"]) for label in full}
    speed = {"press roll": raw("sheet", "web", "speed"), "finished roll": finishing["speed"]}
    # Lamé: outside pressure over hoop strain of a tube of 3 GPa and ν 0.3.
    outer = {label: diameter / 2 for label, diameter in outside.items()}
    inner = {label: roll["core"] / 2 for label, roll in by_roll.items()}
    core_stiffness = {
        label: 3e9 / ((outer[label] ** 2 + inner[label] ** 2) / (outer[label] ** 2 - inner[label] ** 2) - 0.3)
        for label in by_roll
    }
    # Knox and Sweeney: h = 0.643 R (12 η v / T′)^(2/3), air of 1.81e-5 Pa s.
    air = {n: 0.643 * full[n] / 2 * (12 * 1.81e-5 * speed[n] / end[n]) ** (2 / 3) for n in full}
    total = {"press roll": rewind["start_tension"] * w, "finished roll": finishing["start_tension"] * w}
    start_up = {
        "supplied_roll": ("parent roll", raw("press", "speed") / raw("press", "start_time")),
        "press_roll": ("press roll", raw("finisher", "speed") / raw("finisher", "start_time")),
        "finished_roll": ("finished roll", raw("finisher", "speed") / raw("finisher", "start_time")),
    }
    table = {
        "core": {label: roll["core"] for label, roll in by_roll.items()},
        "core_wall": {label: roll["core_wall"] for label, roll in by_roll.items()},
        "core_diameter": outside,
        "full_diameter": {"parent roll": unwind["roll"]["diameter"], **full},
        "line_start_tension": {
            "parent roll": wound["tension"],
            "press roll": rewind["start_tension"],
            "finished roll": finishing["start_tension"],
        },
        "total_start_tension": total,
        "line_end_tension": end,
        "taper": {
            "parent roll": wound["taper"],
            "press roll": rewind["taper"],
            "finished roll": finishing["taper"],
        },
        "taper_law": dict.fromkeys(by_roll, "linear"),
        "machine_taper": {"press roll": machine["taper"], "finished roll": raw("finisher", "taper")},
        "machine_least": {
            "press roll": machine["tension_range"][0],
            "finished roll": raw("finisher", "tension_range")[0],
        },
        "machine_most": {
            "press roll": machine["tension_range"][1],
            "finished roll": raw("finisher", "tension_range")[1],
        },
        "width": {"parent roll": w, "press roll": w, "finished roll": lane},
        "winding_speed": speed,
        "lay_on": {"press roll": machine["lay_on"], "finished roll": raw("finisher", "lay_on")},
        "pull": {
            "parent roll": unwind["tension"],
            "press roll": finishing["unwind_tension"] * w,
            "finished roll": end["finished roll"] * lane,
        },
    }
    rough = 3 * raw("stock", "stack", "roughness")
    leak = {
        label: 1.81e-5 * table["width"][label] ** 2 / 2 * full[label] / 2 / end[label] * (rough**-2 - air[label] ** -2)
        for label in air
    }
    scopes = {"parent roll": "supplied_roll", "press roll": "press_roll", "finished roll": "finished_roll"}
    taken = {f"{scopes[of]}.{name}": {of: value} for name, values in table.items() for of, value in values.items()}
    return taken | {
        **{f"{scope}.web_acceleration": {label: value} for scope, (label, value) in start_up.items()},
        "rewind.taper": {"rewind": rewind["taper"]},
        "rewind.machine_taper": {"rewind": machine["taper"]},
        "parent_roll.line_tension": wound["tension"],
        "core.modulus": 3e9,
        "wound_roll.core_stiffness": core_stiffness,
        "rewound_roll.air_film": air,
        "rewound_roll.air_leak_time": leak,
        "laminate.hoop_modulus": _stiffness(raw)[0] / t,
    }
