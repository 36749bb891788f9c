"""Figures by the names that people use: 'highest line tension of the unwind' for ``unwind.highest_line_tension``."""

from __future__ import annotations

from typing import TypeVar

from filmcheck.figures.scopes import kinds_in, scopes_of

Words = TypeVar("Words")

IT = "{it}"
"""Where the thing at hand stands in the plain name of one of its figures; a name without it ends in 'of {it}'."""

_OF_JOB = {
    "job.day": "day of the job",
    "job.today": "date of today",
    "job.stage": "stage of the job",
    "job.date": "date of the job",
    "job.press": "name of the press",
    "job.press_time.from": "start of the booked hours",
    "job.press_time.to": "end of the booked hours",
    "press_time.from": "start of the booked hours",
    "press_time.to": "end of the booked hours",
    "press.nip_run_past": "nip of the press that the path runs past",
    "press.cleaner_run_past": "web cleaner of the press that the path runs past",
    "unwind.rolls": "number of parent rolls",
    "unwind.rolls_needed": "number of parent rolls that the job needs",
    "unwind.supply": "length on all parent rolls",
    "finisher.tension_least": "least total tension that the finishing machine holds",
    "finisher.tension_most": "greatest total tension that the finishing machine holds",
    "finisher.knives.changed": "day on which the knives of the finishing machine were changed",
    "press_time.hours": "length of the booked hours",
    "press_time.from_day": "day on which the booked hours begin",
    "press_time.to_day": "day on which the booked hours end",
    "press_time.from_clock": "time of day at which the booked hours begin",
    "press_time.to_clock": "time of day at which the booked hours end",
    "adhesive.release": "release force of the adhesive",
    "customer.applicator.peel_plate_radius": "radius of the peel plate on the customer's applicator",
    "customer.unwind_direction.customers_number": "number that the customer's entry has for the unwind direction",
    "customer.core_wall": "wall of the core that the customer takes",
    "cut.growth": "deepening of the cut as the die warms up",
    "die_cut.creep_back": "creep-back of the liner at the die cut",
    "finisher.knives.kind": "kind of knives of the finishing machine",
    "finisher.slowest": "lowest steady speed of the finishing machine",
    "finisher.speed": "highest speed of the finishing machine",
    "finishing.core_wall": "wall of the finished roll's core",
    "finishing.in_stock": "time that the finished rolls lie in stock",
    "finishing.knives.changed": "day on which the finishing knives were changed",
    "finishing.knives.kind": "kind of finishing knives",
    "finishing.line_unwind_tension": "line tension that pulls off the press roll in finishing",
    "finishing.unwind_direction.customers_number": "number that the sheet has for the unwind direction",
    "layout.edge_trim": "edge trim",
    "layout.gap.across": "gap across",
    "layout.gap.around": "gap around",
    "layout.label.across": "label across",
    "layout.label.around": "label around",
    "layout.rim_tolerance": "shift of the label's ends that is allowed",
    "matrix.load_share": "share of its strength at which the matrix is pulled",
    "press.slowest": "lowest steady speed of the press",
    "press.speed": "highest speed of the press",
    "rewind.core": "core bore of the press roll",
    "rewind.core_diameter": "outside diameter of the press roll's core",
    "rewind.diameter": "diameter of the press roll on the sheet",
    "rewind.full_diameter": "diameter of the full press roll",
    "rewind.rolls": "number of press rolls",
    "unwind.core_diameter": "outside diameter of the parent roll's core",
    "unwind.roll.core": "core bore of the parent roll",
    "unwind.roll.diameter": "diameter of the parent roll",
    "unwind.stress": "stress set at the unwind",
    "tooling.die": "name of the die",
    "tooling.magnetic_cylinder": "name of the magnetic cylinder",
    "tooling.anvil": "name of the anvil",
    "web.proved_tension": "proved tension",
    "die_cut.warm_up": "warm-up of the die",
    "web.line_proved_tension": "lowest line tension proved to hold register",
    "web.register_tolerance": "register tolerance of the job",
    "web.entry_temperature": "temperature of the web as it enters",
    "web.hottest": "highest temperature of the web",
    "face.yield": "yield stress of the face",
    "face.relaxes": "share of its stretch that stays in the face",
    "liner.yield": "yield stress of the liner",
    "liner.relaxes": "share of its stretch that stays in the liner",
    "parent_roll.taper": "taper of the parent roll",
    "finisher.lay_on": "lay-on roller of the finishing machine",
    "finisher.start_time": "time from standstill to full speed of the finishing machine",
    "finisher.knives.condition": "condition of the knives of the finishing machine",
    "rewind.tension_most": "greatest total tension that the rewind holds",
    "die_cut.strain": "stretch of the web at the die cut",
    "die_cut.shrunk": "shrinkage of the liner on its way to the die",
    "unwind.roll_length": "length on one parent roll",
    "matrix.strips": "number of strips of the matrix",
    "matrix.strip_load": "load on each strip of the matrix",
    "matrix.narrowest": "width of the narrowest strip of the matrix",
    "matrix.strip_strength": "strength of the narrowest strip of the matrix",
    "laminate.stiffness": "stiffness of the laminate",
    "laminate.hoop_modulus": "modulus of the laminate along the web",
    "laminate.gain_of_liner": "length gained over a 60 µm paper liner",
    "liner.material": "liner material",
    "liner.caliper": "liner caliper",
    "liner.maximum_temperature": "temperature that the liner must stay below",
    "face.material": "face material",
    "stack.roughness": "combined roughness of the two surfaces of the web",
    "stack.friction": "friction of turn on turn",
    "stock.strain_limit": "highest stretch that the stock is to see",
    "press.width": "widest web of the press",
    "unwind.climb": "growth of the tension at the unwind",
    "unwind.strain": "stretch of the laminate at the unwind",
    "unwind.control": "tension control of the unwind",
    "unwind.brake_least": "least total tension that the brake or load cell holds",
    "unwind.brake_most": "greatest total tension that the brake or load cell holds",
    "die.cut_window": "cut window of the die",
    "die.for_face": "face that the die was built for",
    "die.for_liner": "liner that the die was built for",
    "die.for_liner_caliper": "liner caliper that the die was built for",
    "die.growth": "growth of the die as it warms up",
    "die.kind": "kind of die",
    "die.labels_around": "number of labels around the die",
    "die.lanes": "number of labels across the die",
    "die.life_share": "share of the die's life that is run when the job is done",
    "die.planned_revolutions": "turns of the die that the job takes",
    "die.pitch": "circular pitch of the die",
    "die.repeat": "repeat of the die in the register",
    "die.teeth": "number of teeth of the die",
    "die.circumference": "repeat of the die",
    "die.inspection_age": "time since the die was inspected",
    "die_cut.gauge": "die pressure gauge",
    "magnetic_cylinder.damage": "damage of the magnetic cylinder",
    "magnetic_cylinder.circumference": "repeat of the magnetic cylinder",
    "magnetic_cylinder.inspection_age": "time since the magnetic cylinder was inspected",
    "anvil.circumference": "repeat of the anvil",
    "anvil.inspection_age": "time since the anvil was inspected",
    "print_cylinder.circumference": "repeat of the print cylinder",
    "cut.deepest": "most by which the blade can stand too deep",
    "cut.shallowest": "most by which the blade can stand too shallow",
    "cut.run_out": "run-out between blade and anvil",
    "cut.liner_difference": "difference of the liner from the one the die was built for",
    "layout.around": "number of labels around",
    "layout.labels_around": "number of labels around on the sheet",
    "layout.lanes": "number of lanes",
    "layout.label_repeat": "repeat of the label",
    "layout.cut_repeat": "length of all labels around the die",
    "layout.repeat_error": "difference of the die's repeat from that of its labels",
    "layout.carrier_error": "difference of the magnetic cylinder's repeat from the die's",
    "layout.width_needed": "width that the layout takes",
    "layout.lane_width": "width of one lane",
    "snap.needed_sample": "least length of a snap sample",
    "slitter.condition": "condition of the finishing knives",
    "slitter.changed": "day on which the finishing knives were changed",
    "finisher.maximum_diameter": "largest roll that the finishing machine winds",
    "finishing.after": "time between press and finishing",
    "finishing.core": "bore of the finished roll's core",
    "finishing.core_diameter": "outside diameter of the finished roll's core",
    "finishing.diameter": "diameter of the finished roll on the sheet",
    "finishing.full_diameter": "diameter of the full finished roll",
    "finishing.roll_length": "length on one finished roll",
    "finishing.roll_mass": "mass of one finished roll",
    "finishing.length_per_roll": "length per finished roll on the sheet",
    "finishing.labels_per_roll": "number of labels per roll on the sheet",
    "finishing.labels_wanted": "number of labels wanted per roll",
    "finishing.labels_in_length": "number of labels in the length per roll",
    "finishing.labels_in_diameter": "number of labels in a roll of the given diameter",
    "finishing.most_labels": "number of labels in a roll of the customer's largest diameter",
    "finishing.unwind_direction.wound": "side on which the labels are wound by the sheet",
    "finishing.unwind_direction.leading_edge": "leading edge of the label by the sheet",
    "customer.core": "bore of the core that the customer takes",
    "customer.labels_per_roll": "number of labels per roll by the customer's entry",
    "customer.maximum_diameter": "largest roll that the customer takes",
    "customer.unwind_direction.wound": "side on which the labels are wound by the customer's entry",
    "customer.unwind_direction.leading_edge": "leading edge of the label by the customer's entry",
    "preparation.air.humidity": "relative humidity at the press",
    "preparation.ground.checked": "day on which the paths to ground were checked",
    "preparation.ground.unwind": "resistance from the unwind to ground",
    "preparation.ground.press": "resistance from the press to ground",
    "preparation.ground.rewind": "resistance from the rewind to ground",
    "preparation.ground.inline": "resistance from the inline parts to ground",
    "preparation.idlers.checked": "day on which the idlers were checked",
    "preparation.idlers.found": "finding on the idlers",
    "preparation.nips.checked": "day on which the nips were checked",
    "preparation.nips.found": "finding on the nips",
    "preparation.rollers.checked": "day on which the rollers were checked",
    "preparation.rollers.found": "finding on the rollers",
    "preparation.shocks": "report of shocks or sparks",
    "preparation.surroundings.checked": "day on which floor and air around the press were checked",
    "preparation.surroundings.found": "finding on floor and air around the press",
}

_OF_THINGS = {
    "unwind.climb": "growth of the tension at {it}",
    "station.number": "place along the path",
    "station.charged": "charge behind it",
    "zone.allowed_least": "least total tension that the press holds in {it}",
    "zone.allowed_most": "greatest total tension that the press holds in {it}",
    "zone.share_of_yield": "share of the yield stress that the web sees in {it}",
    "zone.face_share_of_yield": "share of the face's yield stress in {it}",
    "zone.liner_share_of_yield": "share of the liner's yield stress in {it}",
    "zone.stretch": "stretch of the web in {it}",
    "zone.set_at": "kind of station that begins {it}",
    "zone.idler_drag": "drag of all idlers in {it}",
    "nip.following_draw": "draw that the tensions make at {it}",
    "station.temperature_before": "temperature of the web before {it}",
    "static_control.field": "field on the web behind {it}",
    "static_control.fitted_kind": "kind on the press of {it}",
    "web_cleaner.fitted_kind": "way of cleaning on the press of {it}",
    "turn_bar.fitted_wrap": "wrap on the press of {it}",
    "turn_bar.fitted_slant": "slant on the press of {it}",
    "unwind.fitted_control": "control on the press of {it}",
    "die_cut.fitted_gauge": "gauge on the press of {it}",
    "zone.made_by": "way in which the pull comes about in {it}",
    "zone.rise": "rise of the tension into {it} over the zone before",
    "zone.register_drift": "change of the printed repeat up to {it}",
    "zone.highest_line_tension": "highest line tension in {it}",
    "zone.slackest_line_tension": "line tension in {it} where it is slackest",
    "zone.lowest_line_tension": "lowest line tension in {it}",
    "zone.highest_total_tension": "highest total tension in {it}",
    "zone.lowest_total_tension": "lowest total tension in {it}",
    "lamp.share_of_maximum": "setting as a share of its maximum of {it}",
    "lamp.over_need": "setting as a share of the proved cure minimum of {it}",
    "lamp.over_need_at_speed": "share of the proved cure that {it} gives at this speed",
    "lamp.need_of_maximum": "proved cure minimum as a share of the maximum of {it}",
    "lamp.absorbed": "share of its heat that the web takes up from {it}",
    "chill_roll.contact": "share of its warmth that the web gives off at {it}",
    "lamp.cold_side_takes": "share of heat that the cold side keeps off at {it}",
    "lamp.web_temperature": "temperature of the web behind {it}",
    "lamp.temperature_rise": "rise of the web's temperature under {it}",
    "lamp.cure_minimum": "proved cure minimum of {it}",
    "lamp.proved_speed": "speed of the trial of {it}",
    "lamp.unit": "unit number of {it}",
    "inked_unit.unit": "unit number of {it}",
    "inked_unit.ink": "ink of {it}",
    "print.repeat_error": "amount by which {it} misses a whole number of label repeats",
    "print.circumference": "print repeat of {it}",
    "web_cleaner.kind": "way of cleaning of {it}",
    "slit.knives.kind": "kind of knives in {it}",
    "slit.knives.condition": "condition of the knives in {it}",
    "slit.knives.changed": "day on which the knives in {it} were changed",
    "check.check": "kind of {it}",
    "check.covers": "reach of {it}",
    "check.sample": "sample length of {it}",
    "check.strips": "number of strips of {it}",
    "result.check": "kind of check in {it}",
    "result.at": "occasion of {it}",
    "result.complete": "word on gaps in the cut line of {it}",
    "result.embossed": "word on grooves in the liner of {it}",
    "result.lanes": "number of lanes looked at in {it}",
    "result.roll": "roll number of {it}",
    "result.pressure_drift": "change of the die pressure from the first reading to {it}",
    "result.pressure_off_register": "difference of the die pressure in {it} from the register's",
    "roll.number": "number of {it}",
    "lane.number": "number of {it}",
    "wound_roll.core": "core bore of {it}",
    "wound_roll.core_pressure": "pressure on the core of {it}",
    "wound_roll.body_pressure": "pressure between the turns half way through {it}",
    "wound_roll.slip_margin": "share of the torque asked that friction carries in {it}",
    "wound_roll.slip_radius": "radius at which {it} is nearest to sliding",
    "wound_roll.torque_carried": "torque that friction carries in {it}",
    "wound_roll.torque_asked": "torque asked of {it}",
    "wound_roll.line_start_tension": "line tension at the core of {it}",
    "wound_roll.total_start_tension": "total tension at the core of {it}",
    "wound_roll.line_end_tension": "line tension at the outside of {it}",
    "wound_roll.machine_least": "least total tension that the machine winding {it} holds",
    "wound_roll.machine_most": "greatest total tension that the machine winding {it} holds",
    "wound_roll.machine_taper": "taper law of the machine that winds {it}",
    "wound_roll.lay_on": "lay-on roller of {it}",
    "wound_roll.big_core_pressure": "pressure on a 6 in core for {it}",
    "wound_roll.core_pressure_ratio": "pressure on the core against a 6 in core for {it}",
    "wound_roll.core_grip_share": "grip of the core turns against a 6 in core for {it}",
    "wound_roll.compressed_share": "share of the build pushed together lengthwise in {it}",
    "wound_roll.big_core_compressed_share": "share of the build pushed together lengthwise on a 6 in core for {it}",
    "wound_roll.start_for_big_core": "start tension that presses no harder than a 6 in core for {it}",
    "wound_roll.asked_core": "bore that the customer asks for {it}",
    "rewound_roll.air_leak_time": "time for air to leak from {it}",
    "rewound_roll.air_film": "air film wound in at the outside of {it}",
    "turn_bar.capstan": "times by which the tension is multiplied at {it}",
}

TRUTHS = {
    "job.first_film_job": ("this is the first film job", "this is not the first film job"),
    "die.hardened": (
        "the die is hardened or coated for long runs",
        "the die is neither hardened nor coated for long runs",
    ),
    "magnetic_cylinder.confirmed_by_die_maker": (
        "the die maker has confirmed that the magnetic cylinder suits thin film liner",
        "the die maker has not confirmed that the magnetic cylinder suits thin film liner",
    ),
    "lamp.runs_hot": ("it throws much heat on the web", "it throws little heat on the web"),
    "lamp.cold_side": ("a cold mirror or filter keeps its heat off the web", "it has no cold mirror or filter"),
    "press.solvent_fit": (
        "the press is on record as built for solvent inks and cleaners",
        "the press is on record as not built for solvent inks and cleaners",
    ),
    "print.first": ("it is the first print unit of the path", "it is not the first print unit of the path"),
    "print.comes_charged": ("the web comes to it charged", "the web comes to it without charge"),
    "zone.printed": ("a print or varnish unit stands in it", "no print or varnish unit stands in it"),
    "zone.keeps_register": (
        "the job is printed, and a print unit, a varnish unit or the die cut stands in it",
        "the job is not printed, or no print unit, varnish unit or die cut stands in it",
    ),
    "station.on_press": ("the press has it", "the press does not have it"),
    "station.in_press_order": (
        "the web meets it at this place by the order of the press",
        "the web does not meet it at this place by the order of the press",
    ),
    "lamp.chill_roll_run_past": (
        "the press has a chill roll right behind it, and the path goes on without it",
        "the path runs over the chill roll that the press has right behind it",
    ),
    "check.made_at_set_up": ("it is to be made at set-up", "it is not to be made at set-up"),
    "check.made_on_every_roll": ("it is to be made on every roll", "it is not to be made on every roll"),
    "result.complete": ("the cut line had no gap", "the cut line had a gap"),
    "result.embossed": ("the blade pressed a groove into the liner", "the blade pressed no groove into the liner"),
}
"""Figures that are true or not, as two sentences."""

KINDS = {
    "lamp": "lamp or dryer",
    "inked unit": "print or varnish unit",
    "wound roll": "wound roll (parent roll, press roll, finished roll)",
    "rewound roll": "rewound roll (press roll, finished roll)",
    "check": "planned check",
    "result": "check result",
    "zone": "tension zone",
    "print": "print unit",
    "varnish": "varnish unit",
    "deviation": "deviation permit",
}


def kind_words(kind: str) -> str:
    """Name a kind of thing: 'lamp or dryer'."""
    return KINDS.get(kind, kind)


def plain_name(name: str, kind: str = "", it: str = "") -> str:
    """Name a figure without its article: 'line tension of the unwind'.

    ``kind`` is the kind of thing whose figure it is, where the name begins with ``its.`` or ``that.``; without ``it``
    for the thing itself, its figures are named with 'its'.
    """
    head, _, field = name.partition(".")
    if head in ("its", "that"):
        return _of_thing(field, kind, it)
    known = _OF_JOB.get(name)
    if known is not None:
        return known
    return (
        f"{_FIELDS.get(field) or _spaced(field)} of the {_HEADS.get(head) or _spaced(head)}" if field else _spaced(name)
    )


def _of_thing(field: str, kind: str, it: str) -> str:
    words = scoped(_OF_THINGS, field, kind) or f"{_FIELDS.get(field) or _spaced(field)} of {IT}"
    if it:
        return words.replace(IT, it)
    ending = f" of {IT}"
    return f"its {words.removesuffix(ending)}" if words.endswith(ending) else words.replace(IT, "it")


def truth_words(name: str, kind: str) -> tuple[str, str] | None:
    """Give the two sentences of a figure that is true or not, where it has them."""
    head, _, field = name.partition(".")
    return scoped(TRUTHS, field, kind) if head in ("its", "that") else TRUTHS.get(name)


def scoped(table: dict[str, Words], field: str, kind: str) -> Words | None:
    """Find what a table has for a field of a thing, under its kind or a class that its kind is in."""
    scopes = {kind: None} | {scope: None for one in kinds_in(kind) for scope in scopes_of(one)}
    found = (table.get(f"{scope.replace(' ', '_')}.{field}") for scope in scopes)
    return next((words for words in found if words is not None), None)


_HEADS = {"finishing": "finishing step", "finisher": "finishing machine", "stack": "stack of webs"}
_FIELDS = {
    "inspected": "day of inspection",
    "checked": "day of the check",
    "run_out": "run-out",
    "teeth": "number of teeth",
    "until": "last day",
}
"""First words and fields that are no nouns as they are written."""


def _spaced(name: str) -> str:
    return name.replace("_", " ").replace(".", " ")
