"""Every figure of a job that takes the other roads, by hand from its raw numbers: a brake left alone, web stress,
idlers, a turn bar, a draw, LED and hot air, hyperbolic tapers, gear modules, and much that is not given.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from math import ceil, e, floor, pi, sqrt
from typing import Any

PATH = (
    "unwind",
    "static control",
    "print 1",
    "led lamp 1",
    "dryer 1",
    "chill roll",
    "turn bar",
    "nip outfeed",
    "die cut",
    "matrix strip",
    "rewind",
)
ZONES = ("zone behind unwind", "zone behind nip outfeed", "zone before rewind")
ROLLS = {"parent roll": "supplied_roll", "press roll": "press_roll", "finished roll": "finished_roll"}
TODAY = date(2026, 11, 25)
SET_HERE = "lacks the tension of the zone is what is set"
ROOM = 296.15  # 23 °C, since the sheet gives no air temperature


def test_every_figure_of_the_second_job_is_what_hand_arithmetic_gives(
    second, compare: Callable[..., list[str]]
) -> None:
    raw, sheet = second
    assert sheet.faults == 0
    families = (_plain, _laminate, _tensions, _parent, _walk, _heat, _lamps, _cure, _zones, _strains, _layout, _matrix)
    families += (_cut, _rolls, _wound, _elsewhere)
    wrong = compare(sheet, {name: value for family in families for name, value in family(raw).items()})
    assert not wrong, "\n".join(wrong)


def test_what_the_second_job_takes_for_granted_is_named(second) -> None:
    assumed = {line.name: line.assumes for line in second[1].figures}
    assert assumed["job.day"] == ("the sheet gives no date, so today counts",)
    assert assumed["web.entry_temperature"] == (
        "the web is taken to enter at 23 °C, since no air temperature is given",
    )
    assert assumed["layout.width_needed"] == (
        "no gap across is given and none is counted",
        "no edge trim is given and none is counted",
    )
    assert assumed["rewind.roll_length"] == ("one press roll is counted",)
    assert assumed["laminate.stiffness"] == ()


def _plain(raw) -> dict[str, Any]:
    return {
        "job.day": TODAY,
        "job.today": TODAY,
        "lane.number": {f"lane {n}": n for n in range(1, raw("sheet", "layout", "lanes") + 1)},
        "roll.number": "lacks rewind: rolls",
        "deviation.number": {"deviation small-core-thin-liner (1)": 1},
        "station.number": {label: number for number, label in enumerate(PATH, 1)},
        "station.on_press": dict.fromkeys(PATH, True),
        "station.in_press_order": dict.fromkeys(PATH, True),
        "press.dryers": 1,
        "press.nip_run_past": "none",
        "press.cleaner_run_past": "none",
        "lamp.chill_roll_run_past": dict.fromkeys(("led lamp 1", "dryer 1"), False),
        "zone.number": {label: number for number, label in enumerate(ZONES, 1)},
    }


def _layers(raw, field: str) -> list[float]:
    return [raw("stock", layer, field) for layer in ("face", "adhesive", "liner")]


def _stiffness(raw) -> tuple[float, float]:
    """Whole laminate, adhesive counted, and liner: Σ E t."""
    products = [modulus * t for modulus, t in zip(_layers(raw, "modulus"), _layers(raw, "caliper"), strict=True)]
    return sum(products), products[2]


def _laminate(raw) -> dict[str, Any]:
    t, rho, c = (_layers(raw, field) for field in ("caliper", "density", "specific_heat"))
    return {
        "laminate.caliper": sum(t),
        "laminate.stiffness": _stiffness(raw)[0],
        "liner.stiffness": _stiffness(raw)[1],
        "laminate.areal_mass": sum(rho[n] * t[n] for n in range(3)),
        "laminate.heat_capacity": sum(rho[n] * c[n] * t[n] for n in range(3)),
        "laminate.gain_of_liner": (t[0] + t[1] + 60e-6) / sum(t),
        "laminate.hoop_modulus": _stiffness(raw)[0] / sum(t),
        "product.caliper": sum(t),  # nothing is laminated on the way
        "product.stiffness": _stiffness(raw)[0],
        "product.areal_mass": sum(rho[n] * t[n] for n in range(3)),
        **{f"{kind}.caliper": {of: sum(t)} for of, kind in ROLLS.items()},
        **{f"{kind}.stiffness": {of: _stiffness(raw)[0]} for of, kind in ROLLS.items()},
        **{f"{kind}.areal_mass": {of: sum(rho[n] * t[n] for n in range(3))} for of, kind in ROLLS.items()},
        "lamp.web_heat_capacity": dict.fromkeys(("led lamp 1", "dryer 1"), sum(rho[n] * c[n] * t[n] for n in range(3))),
    }


def _ends_at_unwind(raw) -> tuple[float, float]:
    """Line tension from web stress, and where the job ends: a brake of constant torque pulls D/D_end times as hard."""
    unwind = raw.on_path("unwind")
    line = unwind["stress"] * sum(_layers(raw, "caliper"))
    return line, line * unwind["roll"]["diameter"] / _end_diameter(raw)


def _end_diameter(raw) -> float:
    """What is left on the side of the roll: π/4 (D² − D_end²) = L t."""
    side = raw("sheet", "web", "length") * sum(_layers(raw, "caliper"))
    return sqrt(raw.on_path("unwind")["roll"]["diameter"] ** 2 - 4 * side / pi)


def _parent(raw) -> dict[str, Any]:
    roll, t = raw.on_path("unwind")["roll"], sum(_layers(raw, "caliper"))
    core = roll["core"] + 2 * roll["core_wall"]
    whole = pi * (roll["diameter"] ** 2 - core**2) / 4 / t
    return {
        "unwind.roll_length": {"unwind": whole},
        "unwind.supply": {"unwind": whole},
        "unwind.rolls_needed": {"unwind": ceil(raw("sheet", "web", "length") / whole)},
        "unwind.end_diameter": {"unwind": _end_diameter(raw)},
    }


def _tensions(raw) -> dict[str, Any]:
    w = raw("sheet", "web", "width")
    line, highest = _ends_at_unwind(raw)
    roll, force = raw.on_path("unwind")["roll"], raw.on_path("rewind")["start_tension"]
    finished = raw("sheet", "finishing", "start_tension")
    brake, hold, finisher = raw.fitted("unwind")["brake_range"], raw.fitted("rewind")["tension_range"], None
    finisher = raw("finisher", "tension_range")
    return {
        "unwind.line_tension": {"unwind": line},
        "unwind.total_tension": {"unwind": line * w},
        "unwind.core_diameter": {"unwind": roll["core"] + 2 * roll["core_wall"]},
        "unwind.climb": {"unwind": highest / line},
        "unwind.highest_line_tension": {"unwind": highest},
        "unwind.highest_total_tension": {"unwind": highest * w},
        "unwind.brake_least": {"unwind": brake[0]},
        "unwind.brake_most": {"unwind": brake[1]},
        "rewind.tension_least": {"rewind": hold[0]},
        "rewind.tension_most": {"rewind": hold[1]},
        "finisher.tension_least": finisher[0],
        "finisher.tension_most": finisher[1],
        "rewind.total_start_tension": {"rewind": force},
        "rewind.line_start_tension": {"rewind": force / w},
        "finishing.total_start_tension": finished,
        "finishing.line_start_tension": finished / w,
        "finishing.total_unwind_tension": "lacks finishing.unwind_tension",
        "finishing.line_unwind_tension": "lacks finishing.unwind_tension",
        "nip.total_tension": {"nip outfeed": "lacks nip outfeed: tension"},
        "nip.line_tension": {"nip outfeed": "lacks nip outfeed: tension"},
        "web.line_proved_tension": raw("sheet", "web", "proved_tension") / w,
        "parent_roll.line_tension": raw("stock", "wound", "tension") / w,
        "turn_bar.capstan": {"turn bar": _bar(raw)},
        "turn_bar.fitted_wrap": {"turn bar": pi},
        "turn_bar.fitted_slant": {"turn bar": "lacks slant of turn bar on the press"},
    }


def _along(raw, tension: float) -> list[float]:
    """Carry one end of the unwind tension along to the first nip: idlers add drag, the bar multiplies."""
    first = raw.fitted("idlers")
    printed = tension + first["count"] * first["drag"] / raw("sheet", "web", "width")
    return [tension] * 2 + [printed] * 4 + [printed * _bar(raw)]


def _bar(raw) -> float:
    """The register says nothing of the bar's slant, so it lies at 45°, whose cosine is √½."""
    bar = raw.fitted("turn bar")
    return e ** (bar["friction"] * bar["wrap"] * sqrt(0.5))


def _behind_nip(raw, rewound: float) -> list[float]:
    """The nip holds its speed only, so the winder holds the pull behind it; two idlers stand before the strip."""
    second = raw.fitted("idlers", 2)
    cut = rewound - second["count"] * second["drag"] / raw("sheet", "web", "width")
    return [cut, cut, rewound]


def _rewound(raw) -> tuple[float, float]:
    """Start and end of the hyperbolic taper: T′₀ [1 − p (1 − r_c/R)]."""
    rewind = raw.on_path("rewind")
    start = rewind["start_tension"] / raw("sheet", "web", "width")
    core, full = _rewind_diameters(raw)
    return start, start * (1 - rewind["taper"] * (1 - core / full))


def _rewind_diameters(raw) -> tuple[float, float]:
    rewind = raw.on_path("rewind")
    core = rewind["core"] + 2 * rewind["core_wall"]
    side = raw("sheet", "web", "length") * sum(_layers(raw, "caliper"))  # one press roll takes the whole length
    return core, sqrt(core**2 + 4 * side / pi)


def _walk(raw) -> dict[str, Any]:
    low, high = (_along(raw, tension) for tension in _ends_at_unwind(raw))
    start, end = _rewound(raw)
    return {
        "station.lowest_line_tension": dict(zip(PATH, [*low, *_behind_nip(raw, end), end], strict=True)),
        "station.highest_line_tension": dict(zip(PATH[1:], [*high[1:], *_behind_nip(raw, start), start], strict=True)),
        "nip.following_draw": {"nip outfeed": "lacks no nip runs before it"},
    }


def _led_rise(raw) -> float:
    lamp, fitted = raw.on_path("led lamp"), raw.fitted("led lamp")
    share = lamp["setting"] / fitted["power"]
    capacity = _laminate(raw)["laminate.heat_capacity"]
    return fitted["absorbed"] * fitted["power"] * share / (raw("sheet", "web", "speed") * capacity)


def _heat(raw) -> dict[str, Any]:
    lit, hot, cold = ROOM + _led_rise(raw), raw.on_path("dryer")["setting"], raw.on_path("chill roll")["temperature"]
    # Hot air of a temperature: the web is somewhere between its own and the air's. The chill roll is reached.
    behind = [ROOM] * 3 + [lit, (lit, hot)] + [cold] * 6
    return {
        "web.entry_temperature": ROOM,
        "web.hottest": (lit, hot),
        "station.web_temperature": {
            of: heat for of, heat in zip(PATH, behind, strict=True) if of not in ("led lamp 1", "dryer 1")
        },
        "station.temperature_before": dict(zip(PATH, [ROOM, *behind[:-1]], strict=True)),
        "lamp.web_temperature": {"led lamp 1": lit, "dryer 1": (lit, hot)},
    }


def _lamps(raw) -> dict[str, Any]:
    led, dryer = raw.on_path("led lamp"), raw.on_path("dryer")
    full, hottest, zero = raw.fitted("led lamp"), raw.fitted("dryer")["maximum"], ROOM  # by the rise over the room
    share = "lacks led lamp 1: cure_minimum is not given as a ratio"
    return {
        "led_lamp.runs_hot": {"led lamp 1": False},
        "dryer.runs_hot": {"dryer 1": True},
        "lamp.cure_share": {"led lamp 1": share, "dryer 1": share.replace("led lamp", "dryer")},
        "lamp.cure_power": {
            "led lamp 1": led["cure_minimum"],
            "dryer 1": "lacks dryer 1: cure_minimum is not given as a power per length",
        },
        "lamp.cure_temperature": {
            "led lamp 1": "lacks led lamp 1: cure_minimum is not given as a temperature",
            "dryer 1": dryer["cure_minimum"],
        },
        "lamp.maximum_said_as": {"led lamp 1": "power per width", "dryer 1": "air temperature"},
        "lamp.most_power": {
            "led lamp 1": full["maximum"],
            "dryer 1": "lacks dryer 1: maximum is not given as a power per length",
        },
        "lamp.most_air": {
            "led lamp 1": "lacks led lamp 1: maximum is not given as a temperature",
            "dryer 1": hottest,
        },
        "lamp.share_of_maximum": {
            "led lamp 1": led["setting"] / full["maximum"],
            "dryer 1": (dryer["setting"] - zero) / (hottest - zero),
        },
        "lamp.over_need": {
            "led lamp 1": led["setting"] / led["cure_minimum"],
            "dryer 1": (dryer["setting"] - zero) / (dryer["cure_minimum"] - zero),
        },
        "lamp.over_need_at_speed": {
            "led lamp 1": led["setting"] / led["cure_minimum"] * led["proved_speed"] / raw("sheet", "web", "speed"),
            "dryer 1": "lacks dryer 1: proved_speed",
        },
        "lamp.need_of_maximum": {
            "led lamp 1": led["cure_minimum"] / full["maximum"],
            "dryer 1": (dryer["cure_minimum"] - zero) / (hottest - zero),
        },
        "led_lamp.heat_let_through": {"led lamp 1": 1.0},
        "dryer.heat_let_through": {"dryer 1": 1.0},
        "lamp.air_temperature": {
            "led lamp 1": "lacks led lamp 1: setting is not given as a temperature",
            "dryer 1": dryer["setting"],
        },
        "lamp.power_share": {
            "led lamp 1": led["setting"] / full["power"],
            "dryer 1": "lacks dryer 1: setting is not given as a ratio",
        },
        "lamp.temperature_rise": {"led lamp 1": _led_rise(raw), "dryer 1": "lacks dryer 1: power"},
    }


def _by_zone(*values: Any) -> dict[str, Any]:
    return dict(zip(ZONES, values, strict=True))


def _zones(raw) -> dict[str, Any]:
    w = raw("sheet", "web", "width")
    low, high = (_along(raw, tension) for tension in _ends_at_unwind(raw))
    start, end = _rewound(raw)
    behind = _behind_nip(raw, end), _behind_nip(raw, start)
    lowest, highest = (low[0], behind[0][0], end), (high[6], start, start)
    press, hold = raw("press", "tension_range"), raw.fitted("rewind")["tension_range"]
    # Behind the nip against in front of it. The winder holds the zone before itself too.
    rises = ("lacks there is no zone before it", max(behind[0][0] / low[6], behind[1][0] / high[6]) - 1, 0.0)
    walked = "set at unwind, raised by 4 idlers, multiplied at turn bar"
    return {
        "zone.lowest_line_tension": _by_zone(*lowest),
        "zone.highest_line_tension": _by_zone(*highest),
        "zone.slackest_line_tension": _by_zone(high[0], min(behind[1]), start),  # idlers and the bar pull harder
        "zone.lowest_total_tension": _by_zone(*[tension * w for tension in lowest]),
        "zone.highest_total_tension": _by_zone(*[tension * w for tension in highest]),
        "zone.allowed_least": _by_zone(press[0], press[0], hold[0]),
        "zone.allowed_most": _by_zone(press[1], press[1], hold[1]),
        "zone.rise": _by_zone(*rises),
        "zone.made_by": _by_zone(walked, "held by rewind, raised by 2 idlers", SET_HERE),
        "zone.draw_at_end": _by_zone(*["lacks no draw makes the pull of the zone"] * 3),
        "zone.idler_drag": _by_zone(4 * 0.15, 2 * 0.1, 0.0),
        "zone.printed": _by_zone(True, False, False),
        "zone.reaches_cut": _by_zone(False, True, True),
        "zone.set_at": _by_zone("unwind", "nip", "rewind"),
        "zone.keeps_register": _by_zone(True, True, False),
    }


def _strains(raw) -> dict[str, Any]:
    low, high = (_along(raw, tension) for tension in _ends_at_unwind(raw))
    whole, liner = _stiffness(raw)
    stiffness = (whole, liner, liner)
    start, end = _rewound(raw)
    highest = (high[6], start, start)
    cut = _behind_nip(raw, end)[0], _behind_nip(raw, start)[0]
    stretch = [tension / part for tension, part in zip(highest, stiffness, strict=True)]
    film, face = raw("stock", "liner"), raw("stock", "face")
    film_share = [film["modulus"] * strain / film["yield"] for strain in stretch]
    face_share = [face["modulus"] * tension / whole / face["yield"] for tension in highest[:2]]
    repeat = raw("die", "teeth") * pi * raw("die", "module")
    # At the die the web still has the chill roll's temperature, which is below the room's.
    colder = raw("stock", "liner", "expansion") * (raw.on_path("chill roll")["temperature"] - ROOM)
    # The die cut against print 1, at both ends of the roll: by pull, and by the warmth that the chill roll took.
    spread = max(abs((one - other[2]) / whole + colder) for one, other in zip(cut, (low, high), strict=True))
    return {
        "zone.stiffness": _by_zone(*stiffness),
        "zone.stretch": _by_zone(*stretch),
        "zone.liner_share_of_yield": _by_zone(*film_share),
        "zone.face_share_of_yield": _by_zone(*face_share, "lacks the face is cut into labels in this zone"),
        "zone.share_of_yield": _by_zone(*map(max, film_share, face_share), film_share[2]),
        "zone.register_strain": _by_zone(0.0, spread, 0.0),
        "zone.register_drift": _by_zone(0.0, spread * repeat, 0.0),
        "die_cut.strain": {"die cut": cut[1] / whole + colder},
        "die_cut.shrunk": {"die cut": 0.0},  # the register gives the liner no shrinkage
        "die_cut.creep_back": {"die cut": 0.0},  # and no share that stays
    }


def _cure(raw) -> dict[str, Any]:
    return {
        "inked_unit.cure": {"print 1": "lacks print 1: ink"},
        "inked_unit.next_contact": {"print 1": "lacks print 1: ink"},
        "print.first": {"print 1": True},
        "print.comes_charged": {"print 1": False},
        "print.charged_by": {"print 1": "unwind"},
        "static_control.field": {"static control": "lacks static control: reading"},
    }


def _matrix(raw) -> dict[str, Any]:
    release, label = "lacks adhesive.release", raw("sheet", "layout", "label")
    return {
        "matrix.strips": "lacks layout.gap.across",
        "matrix.narrowest": "lacks layout.gap.across",
        "matrix.stripping_force": release,
        "matrix.strip_load": release,
        "matrix.strip_strength": "lacks face.strength",
        "matrix.load_share": release,
        "adhesive.release_work": release,
        "label.peel_radius": release,
        "label.bending_stiffness": raw("stock", "face", "modulus") * raw("stock", "face", "caliper") ** 3 / 12,
        "label.narrower_side": min(label["around"], label["across"]),
        "finished_roll.ooze": {"finished roll": "lacks finishing.in_stock"},
        "finished_roll.asked_core": {"finished roll": raw("customer", "core")},
        "air.dew_point": "lacks preparation.air.temperature",
    }


def _elsewhere(raw) -> dict[str, Any]:
    lack = "lacks press_time.from"
    return {
        "press_time.from_day": lack,
        "press_time.to_day": "lacks press_time.to",
        "press_time.from_clock": "lacks press_time.from",
        "press_time.to_clock": "lacks press_time.to",
        "press_time.hours": lack,
        "web.run_time": raw("sheet", "web", "length") / raw("sheet", "web", "speed"),
        "unwind.fitted_control": {"unwind": raw.fitted("unwind")["control"]},
        "static_control.fitted_kind": {"static control": raw.fitted("static control")["kind"]},
        "die_cut.fitted_gauge": {"die cut": raw.fitted("die cut")["gauge"]},
    }


def _layout(raw) -> dict[str, Any]:
    layout = raw("sheet", "layout")
    label_repeat = layout["label"]["around"] + layout["gap"]["around"]
    around, lanes = raw("die", "labels_around"), layout["lanes"]
    die, tooled = (raw(tool, "teeth") * pi * raw(tool, "module") for tool in ("die", "print"))
    own = 10.5 * 0.0254  # cylinder p-own of the tooling register
    return {
        "stock.widest": "lacks stock.widths",
        "die.circumference": die,
        "print_cylinder.circumference": tooled,
        "magnetic_cylinder.circumference": "lacks the sheet names no magnetic cylinder",
        "anvil.circumference": "lacks the sheet names no anvil",
        "print.cylinder_circumference": {"print 1": own},
        "print.circumference": {"print 1": own},
        "print.repeat_error": {"print 1": abs(own - 4 * label_repeat)},  # 4.24 labels: 4 is nearest
        "layout.label_repeat": label_repeat,
        "layout.around": around,
        "layout.cut_repeat": around * label_repeat,
        "layout.repeat_error": abs(die - around * label_repeat),
        "layout.carrier_error": "lacks the sheet names no magnetic cylinder",
        "layout.labels_width": lanes * layout["label"]["across"],
        "layout.width_needed": lanes * layout["label"]["across"],
        "layout.lane_width": layout["label"]["across"],
        "snap.needed_sample": 2 * die,
    }


def _cut(raw) -> dict[str, Any]:
    die = raw("die", "teeth") * pi * raw("die", "module")
    growth = 11.5e-6 * die / (2 * pi) * raw.on_path("die cut")["warm_up"]
    off = raw("stock", "liner", "caliper") - raw("die", "for_liner_caliper")
    turns = raw("sheet", "web", "length") / die
    age = (TODAY - date.fromisoformat(str(raw("die", "inspected")))).days * 86400.0
    return {
        "die.growth": growth,
        "cut.growth": growth,
        "cut.run_out": raw("die", "run_out"),
        "cut.deepest": off + growth + raw("die", "run_out"),
        "cut.shallowest": 0.0,  # the liner is thicker by more than the run-out
        "die.planned_revolutions": turns,
        "die.life_share": (raw("die", "revolutions") + turns) / raw("die", "life"),
        "die.inspection_age": age,
        "magnetic_cylinder.inspection_age": "lacks the sheet names no magnetic cylinder",
        "anvil.inspection_age": "lacks the sheet names no anvil",
        "slitter.condition": raw("finisher", "knives", "condition"),
        "slitter.changed": date.fromisoformat(str(raw("finisher", "knives", "changed"))),
    }


def _finished(raw) -> tuple[float, float]:
    """Core and full diameter of the finished roll, from its length."""
    finishing = raw("sheet", "finishing")
    core = finishing["core"] + 2 * finishing["core_wall"]
    return core, sqrt(core**2 + 4 * finishing["length_per_roll"] * sum(_layers(raw, "caliper")) / pi)


def _finished_end(raw) -> float:
    finishing, (core, full) = raw("sheet", "finishing"), _finished(raw)
    start = finishing["start_tension"] / raw("sheet", "web", "width")
    return start * (1 - finishing["taper"] * (1 - core / full))


def _rolls(raw) -> dict[str, Any]:
    finishing, t = raw("sheet", "finishing"), sum(_layers(raw, "caliper"))
    length, (core, full) = finishing["length_per_roll"], _finished(raw)
    whole = raw("sheet", "web", "length")
    label_repeat = raw("sheet", "layout", "label", "around") + raw("sheet", "layout", "gap", "around")
    mass = _laminate(raw)["laminate.areal_mass"]

    def labels(diameter: float) -> int:
        return floor(pi * (diameter**2 - core**2) / 4 / t / label_repeat)

    return {
        "rewind.core_diameter": {"rewind": _rewind_diameters(raw)[0]},
        "rewind.full_diameter": {"rewind": _rewind_diameters(raw)[1]},
        "rewind.end_tension": {"rewind": _rewound(raw)[1]},
        "rewind.roll_mass": {"rewind": mass * raw("sheet", "web", "width") * whole},
        "rewind.linear_law": {"rewind": "lacks the taper law is not linear"},
        "rewind.roll_length": {"rewind": whole},
        "rewind.taper": {"rewind": raw.on_path("rewind")["taper"]},
        "rewind.machine_taper": {"rewind": raw.fitted("rewind")["taper"]},
        "finishing.core_diameter": core,
        "finishing.full_diameter": full,
        "finishing.end_tension": _finished_end(raw),
        "finishing.roll_mass": mass * raw("sheet", "layout", "label", "across") * length,
        "finishing.linear_law": "lacks the taper law is not linear",
        "finishing.roll_length": length,
        "finishing.labels_wanted": raw("customer", "labels_per_roll"),
        "finishing.labels_in_length": floor(length / label_repeat),
        "finishing.labels_in_diameter": labels(finishing["diameter"]),
        "finishing.most_labels": labels(raw("customer", "maximum_diameter")),
    }


def _wound(raw) -> dict[str, Any]:
    w, lane = raw("sheet", "web", "width"), raw("sheet", "layout", "label", "across")
    unwind, rewind, finishing = raw.on_path("unwind"), raw.on_path("rewind"), raw("sheet", "finishing")
    cores = {"parent roll": unwind["roll"], "press roll": rewind, "finished roll": finishing}
    end = {"press roll": _rewound(raw)[1], "finished roll": _finished_end(raw)}
    machine, finisher = raw.fitted("rewind"), raw("finisher")
    outer = {label: roll["core"] / 2 + roll["core_wall"] for label, roll in cores.items()}
    inner = {label: roll["core"] / 2 for label, roll in cores.items()}
    lame = {n: (outer[n] ** 2 + inner[n] ** 2) / (outer[n] ** 2 - inner[n] ** 2) for n in cores}
    speed = raw("sheet", "web", "speed")
    film = 0.643 * _rewind_diameters(raw)[1] / 2 * (12 * 1.81e-5 * speed / end["press roll"]) ** (2 / 3)
    no_speed, no_start = "lacks finishing.speed", "lacks finisher.start_time"
    both = ("press roll", "finished roll")
    table = {
        "core": {label: roll["core"] for label, roll in cores.items()},
        "core_wall": {label: roll["core_wall"] for label, roll in cores.items()},
        "core_diameter": {label: 2 * radius for label, radius in outer.items()},
        "full_diameter": dict(
            zip(cores, (unwind["roll"]["diameter"], _rewind_diameters(raw)[1], _finished(raw)[1]), strict=True)
        ),
        "line_start_tension": {
            "parent roll": raw("stock", "wound", "tension") / w,
            "press roll": rewind["start_tension"] / w,
            "finished roll": finishing["start_tension"] / w,
        },
        "total_start_tension": dict(zip(both, (rewind["start_tension"], finishing["start_tension"]), strict=True)),
        "line_end_tension": end,
        "taper": {"parent roll": 0.2, "press roll": rewind["taper"], "finished roll": finishing["taper"]},
        "taper_law": dict.fromkeys(cores, "hyperbolic"),
        "machine_taper": dict.fromkeys(both, "hyperbolic"),
        "machine_least": dict(zip(both, (machine["tension_range"][0], finisher["tension_range"][0]), strict=True)),
        "machine_most": dict(zip(both, (machine["tension_range"][1], finisher["tension_range"][1]), strict=True)),
        "width": {"parent roll": w, "press roll": w, "finished roll": lane},
        "winding_speed": {"press roll": speed, "finished roll": no_speed},
        "lay_on": dict.fromkeys(both, "none"),
        "pull": {
            "parent roll": _ends_at_unwind(raw)[0] * w,
            "press roll": "lacks finishing.unwind_tension",
            "finished roll": end["finished roll"] * lane,
        },
        "web_acceleration": {
            "parent roll": "lacks press.start_time",
            "press roll": no_start,
            "finished roll": no_start,
        },
    }
    taken = {f"{ROLLS[of]}.{name}": {of: value} for name, values in table.items() for of, value in values.items()}
    return taken | {
        "core.modulus": 3e9,
        "wound_roll.core_stiffness": {label: 3e9 / (ratio - 0.3) for label, ratio in lame.items()},
        "rewound_roll.air_film": {"press roll": film, "finished roll": no_speed},
        "rewound_roll.air_leak_time": {"press roll": "lacks stack.roughness", "finished roll": no_speed},
    }
