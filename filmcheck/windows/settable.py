"""The catalogue of set-points: what somebody can set, who does, and in which steps people set it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from typing import Literal

PLANNER, CREW, FINISHING = "planner", "press crew", "finishing"

FORCE = {"N": 1.0, "lbf": 0.2, "kgf": 0.1, "lbf/in": 0.01, "N/m": 1.0, "N/mm": 0.001, "N/cm": 0.01}
SHARE = {"%": 1.0, "W/cm": 1.0, "W/in": 2.0}
WARMTH = {"degC": 1.0, "degF": 1.0, "K": 1.0, "%": 1.0}
SPEED = {"m/min": 1.0, "ft/min": 5.0, "m/s": 0.02}
FINE = {"mm": 0.1, "in": 0.005, "cm": 0.01, "m": 0.0001}
GAP = {"mm": 0.05, "in": 0.001, "cm": 0.005, "m": 0.00005}
"""Finer: label and gap must come to the repeat of the die."""
WIDE = {"mm": 1.0, "in": 0.0625, "cm": 0.1, "m": 0.001}
ROLL = {"mm": 10.0, "in": 0.5, "cm": 1.0, "m": 0.01}
RUN = {"m": 10.0, "ft": 50.0, "mm": 10000.0, "km": 0.01}
ROLL_RUN = {"m": 1.0, "ft": 5.0, "mm": 1000.0, "km": 0.001}
CORE = {"mm": 1.0, "in": 0.25, "cm": 0.1}
STRIP = {"mm": 10.0, "in": 0.5, "cm": 1.0, "m": 0.01}
SPAN = {"h": 1.0, "min": 10.0, "d": 1.0, "day": 1.0, "days": 1.0}
DRAW = {"%": 0.05}


@dataclass(frozen=True, slots=True)
class Settable:
    """One thing that can be set. ``kind`` is a kind of station, or empty for a field of the sheet itself.

    ``steps`` gives for each unit that a sheet may use the step in which it is set: common practice, no source. One
    without steps is a count, a word or a name out of a register. ``links`` names what a name stands for.
    """

    kind: str
    field: str
    who: str
    steps: Mapping[str, float] | None = None
    links: str = ""
    near: tuple[str, ...] = ()
    """The numbers of an entry by which others are near to it: those that are nearest are tried first."""
    asked_for: bool = False
    """Whether customer, stock or die asks for it, so that it is changed only where a fault rests on it."""
    ordered: bool = False
    """Whether it is what was ordered, so that it is the last to be changed."""
    advised: Literal["anywhere", "here", "never"] = "anywhere"
    """Where a fault may stand for which advice changes it; elsewhere that would go around the fault."""
    far: float = inf
    """Times its own size up to which it is changed where a fault does not stand at it."""
    counts: tuple[str, ...] = ()
    """Kinds of thing that it counts or numbers: a fault of one of them is not cured by having more or fewer."""
    kept: str = ""
    """Field of the stock's entry that lists the sizes in which it is kept."""
    words: str = ""
    """What people call it, where its field does not say so."""

    @property
    def path(self) -> tuple[str, ...]:
        """The names of the fields down to it."""
        return tuple(self.field.split("."))

    @property
    def is_mounted(self) -> bool:
        """Whether it is what the web runs through or is made of: nobody changes it while the press runs."""
        return bool(self.links) and self.path[0] != "finishing"

    def is_past(self, stage: str) -> bool:
        """Whether a job at this stage has run with what is set here, or was finished with it."""
        return stage == "released" or (stage == "finishing" and self.path[0] != "finishing")


SETTABLE = (
    Settable("unwind", "tension", CREW, FORCE),
    Settable("unwind", "control", CREW),
    Settable("unwind", "rolls", PLANNER),
    Settable("unwind", "roll.diameter", PLANNER, ROLL),
    Settable("unwind", "roll.core", PLANNER, CORE),
    Settable("nip", "tension", CREW, FORCE),
    Settable("nip", "draw", CREW, DRAW),
    Settable("uv lamp", "setting", CREW, SHARE),
    Settable("led lamp", "setting", CREW, SHARE),
    Settable("dryer", "setting", CREW, WARMTH),
    Settable("chill roll", "temperature", CREW, WARMTH),
    Settable("laminate", "film_tension", CREW, FORCE),
    Settable("laminate", "film_width", PLANNER, WIDE, advised="here"),
    Settable("laminate", "film_length", PLANNER, RUN, advised="here"),
    Settable("die cut", "warm_up", CREW, WARMTH, advised="here"),
    Settable("rewind", "start_tension", CREW, FORCE),
    Settable("rewind", "taper", CREW, SHARE),
    Settable("rewind", "taper_law", CREW),
    Settable("rewind", "diameter", PLANNER, ROLL),
    Settable("rewind", "core", PLANNER, CORE),
    Settable("rewind", "rolls", PLANNER, counts=("roll", "result")),
    Settable("", "web.speed", CREW, SPEED),
    Settable("", "web.width", PLANNER, WIDE, asked_for=True, kept="widths"),
    Settable("", "web.length", PLANNER, RUN, asked_for=True, ordered=True, advised="never"),
    Settable("", "layout.label.around", PLANNER, GAP, asked_for=True, ordered=True, words="label size around"),
    Settable("", "layout.label.across", PLANNER, FINE, asked_for=True, ordered=True, words="label size across"),
    Settable("", "layout.gap.around", PLANNER, GAP, asked_for=True, far=3.0),
    Settable("", "layout.gap.across", PLANNER, FINE, asked_for=True, far=3.0),
    Settable("", "layout.edge_trim", PLANNER, FINE, asked_for=True, far=3.0),
    Settable("", "layout.lanes", PLANNER, counts=("result",)),
    Settable("", "layout.labels_around", PLANNER),
    Settable("", "press", PLANNER, links="press", near=("width", "speed"), asked_for=True),
    Settable("", "stock", PLANNER, links="stock", near=("liner.caliper", "face.caliper"), asked_for=True),
    Settable("", "tooling.die", PLANNER, links="die", near=("teeth", "for_liner_caliper", "lanes")),
    Settable("", "tooling.magnetic_cylinder", PLANNER, links="magnetic cylinder", near=("teeth",)),
    Settable("", "tooling.anvil", PLANNER, links="anvil"),
    Settable("", "tooling.print_cylinder", PLANNER, links="print cylinder", near=("teeth",)),
    Settable("", "finishing.machine", PLANNER, links="finisher", near=("maximum_diameter", "speed")),
    Settable("", "finishing.after", PLANNER, SPAN, words="time between press and finishing"),
    Settable("", "finishing.core", PLANNER, CORE, asked_for=True, words="core of the finished roll"),
    Settable("", "finishing.start_tension", FINISHING, FORCE),
    Settable("", "finishing.taper", FINISHING, SHARE),
    Settable("", "finishing.taper_law", FINISHING),
    Settable("", "finishing.unwind_tension", FINISHING, FORCE),
    Settable("", "finishing.speed", FINISHING, SPEED),
    Settable("", "finishing.labels_per_roll", PLANNER, asked_for=True, words="labels on a roll"),
    Settable("", "finishing.length_per_roll", PLANNER, ROLL_RUN, asked_for=True, words="length on a roll"),
    Settable("", "finishing.diameter", PLANNER, ROLL, asked_for=True, words="diameter of the finished roll"),
    Settable("check", "sample", CREW, STRIP),
    Settable("check", "strips", CREW),
)
"""Every set-point that filmcheck knows, in the order in which the web meets them."""

PAIRS = (
    (("rewind", "start_tension"), ("rewind", "taper")),
    (("", "finishing.start_tension"), ("", "finishing.taper")),
    (("unwind", "tension"), ("unwind", "roll.diameter")),
    (("", "web.speed"), ("uv lamp", "setting")),
    (("", "web.speed"), ("led lamp", "setting")),
    (("", "web.speed"), ("dryer", "setting")),
)
"""Set-points that trade off against each other, by kind and field."""
