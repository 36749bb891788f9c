"""Sound jobs of two invented plants, one metric and one of inches: the sheets made from a table.

The table is `sound_jobs.txt`, chosen by hand, by family, after the handbook of the trade: film pulled at 88 to 112 N/m,
taper 30 %, thin liner on 6 in cores, lamps six to ten per cent above what cures, bars before and after the cleaner;
dies built for the stock, repeats by 1/8 in gear. `checked_by_hand.py` holds every row against the handbook.

    python tests/corpus/sound_sheets.py FOLDER
"""

from __future__ import annotations

import shutil
import sys
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

HERE = Path(__file__).parent
STAGES = ("planned", "set-up", "running", "finishing", "released")

PULL = {"film": 110, "paper": 160}
"""Line tension at the infeed in N/m: soft for film, as is customary for paper."""
CORES = {
    "fernmoor": ("6 in", 8, 1500, "{wound: out, leading_edge: left}"),
    "ashwold": ("40 mm", 5, 800, "{wound: in, leading_edge: top, customers_number: 5}"),
    "holmewick": ("3 in", 6, 2000, "{wound: out, leading_edge: right, customers_number: 3}"),
    "stonemere": ("6 in", 8.001, 1200, "{wound: out, leading_edge: left}"),
    "larkfold": ("1 in", 3.048, 400, "{wound: in, leading_edge: bottom, customers_number: 6}"),
    "elmthwaite": ("3 in", 6.35, 1000, "{wound: out, leading_edge: top}"),
}
"""What each customer asks for: bore, wall in mm, labels a roll, how wound."""


@dataclass(frozen=True)
class Job:
    """A row of the table."""

    job: str
    stage: str
    line: str
    stock: str
    units: int
    teeth: int
    around: int
    lanes: int
    across: float
    speed: int
    length: int
    customer: str
    how: str
    film_job: str

    @property
    def inch(self) -> bool:
        return self.job.startswith("i")

    @property
    def film(self) -> bool:
        return "film" in self.stock

    @property
    def brake_alone(self) -> bool:
        return self.line in ("air", "bar")

    @property
    def pull(self) -> float:
        return PULL["film" if self.film else "paper"]

    @property
    def width(self) -> float:
        return self.lanes * self.across + (self.lanes - 1) * 3 + 12

    @property
    def parent_diameter(self) -> float:
        """Diameter of the parent roll in mm: a brake alone wants a small one on film, or it climbs."""
        if self.brake_alone:
            return 500 if self.film else 600
        return 820 if self.length > 2000 else 660 + 20 * (int(self.job[1:]) % 4)

    @property
    def day(self) -> date:
        """Day of the job: before today where it has been webbed; three jobs a day, each with hours of its own."""
        number = int(self.job[1:])
        return date(2026, 12, 1 + number // 5) if self.stage == "planned" else date(2026, 11, 9 + number // 3)

    @property
    def hours(self) -> str:
        """Give the time on press."""
        start = 6 + 4 * (int(self.job[1:]) % 3)
        return f"{{from: {self.day} {start:02}:00, to: {self.day} {start + 3:02}:30}}"

    @property
    def rolls(self) -> int:
        """Give the number of press rolls."""
        return 2 if self.length > 2500 else 1

    @property
    def press_core(self) -> str:
        """Give the bore of the parent roll and the press roll."""
        return "6 in" if self.film or int(self.job[1:]) % 2 else "3 in"

    def size(self, mm: float) -> str:
        """Give a length in the plant's own unit."""
        return f"{mm / 25.4:.4f} in" if self.inch else f"{mm:g} mm"

    def tension(self, share: float) -> str:
        """Give a share of the infeed's pull as line tension in the plant's own unit."""
        pull = self.pull * share
        return f"{pull / 175.1268:.3f} lbf/in" if self.inch else f"{pull:.1f} N/m"

    def pace(self, speed: float) -> str:
        """Give a speed in the plant's own unit."""
        return f"{speed / 0.3048:.0f} ft/min" if self.inch else f"{speed:g} m/min"


def jobs() -> list[Job]:
    """Give all rows."""
    rows = (row.split() for row in (HERE / "sound_jobs.txt").read_text("utf-8").splitlines()[1:])
    return [Job(*r[:4], *map(int, r[4:8]), float(r[8]), int(r[9]), int(r[10]), *r[11:]) for r in rows]  # type: ignore[arg-type]


Station = tuple[str, str, str]
"""A station: its kind, what tells it from its like, and what is set."""


def _cures(job: Job, unit: int) -> list[Station]:
    proved = f"proved_speed: {job.pace(job.speed)}"
    if job.brake_alone:
        setting, least = (48, 45) if job.film else (75, 68)
        cold = ", cold_side: true" if job.film else ""
        bar = [("turn bar", "", "")] if job.line == "bar" and unit == 1 else []
        return [
            ("print", f"unit: {unit}", "ink: water flexo"),
            ("dryer", f"unit: {unit}", f"setting: {setting} degC, cure_minimum: {least} degC, {proved}{cold}"),
            *bar,
        ]
    lamp, setting = (
        ("uv lamp", f"setting: 57 %, cure_minimum: 52 %, {proved}")
        if job.line == "mercury"
        else ("led lamp", f"setting: 33 W/cm, cure_minimum: 30 W/cm, {proved}")
    )
    return [
        ("print", f"unit: {unit}", "ink: uv flexo"),
        (lamp, f"unit: {unit}", setting),
        ("chill roll", "", "temperature: 18 degC"),
    ]


def _stations(job: Job) -> list[Station]:
    """Give the stations in the order in which the web meets them."""
    core = f"core: {job.press_core}, core_wall: {job.size(8)}"
    control = "brake alone" if job.brake_alone else "closed loop"
    outfeed = [("nip", "name: outfeed", f"tension: {job.tension(1.02)}")] if job.brake_alone else []
    chill = [("chill roll", "", "temperature: 18 degC")] if job.line == "air" and job.film else []
    return [
        (
            "unwind",
            "",
            f"tension: {job.tension(0.8 if job.brake_alone else 1)}, control: {control}, "
            f"roll: {{diameter: {job.size(job.parent_diameter)}, {core}}}",
        ),
        ("static control", "", "kind: active bar"),
        ("web cleaner", "", f"kind: {'vacuum' if job.brake_alone else 'contact'}"),
        ("static control", "", "kind: active bar"),
        ("nip", "name: infeed", f"tension: {job.tension(1.02)}"),
        *(station for unit in range(1, job.units + 1) for station in _cures(job, unit)),
        *([("cold foil", "", "")] if job.line == "foil" else []),
        *chill,
        *outfeed,
        ("die cut", "", "gauge: fitted, warm_up: 6 K"),
        ("matrix strip", "", ""),
        (
            "rewind",
            "",
            f"{core}, start_tension: {job.tension(1.05)}, taper: 30 %, taper_law: linear, rolls: {job.rolls}",
        ),
    ]


def _written(job: Job) -> list[str]:
    """Write the path out."""
    return [
        "path:",
        *(f"  - {kind}: {{{', '.join(part for part in (own, set_) if part)}}}" for kind, own, set_ in _stations(job)),
    ]


FITTED = {"mercury": 3, "led": 3, "bar": 2, "air": 2, "foil": 2}
"""Print units of each press; the inch plant's mercury press has two."""


def _as_press(job: Job) -> list[str]:
    """Take the path over from the press, without what stands idle."""
    fitted = 2 if (job.line, job.inch) == ("mercury", True) else FITTED[job.line]
    lamp = {"mercury": "uv lamp", "led": "led lamp", "foil": "led lamp"}.get(job.line, "dryer")
    kinds = ("print", lamp) if job.brake_alone else ("print", lamp, "chill roll")
    idle = [f"{kind} {unit}" for unit in range(job.units + 1, fitted + 1) for kind in kinds]
    idle += ["chill roll"] if job.line == "air" and not job.film else []
    settings = {}
    for kind, own, set_ in _stations(job):
        if set_ and kind not in ("static control", "web cleaner"):
            settings[f"nip {own.removeprefix('name: ')}" if kind == "nip" else kind] = set_
    return [
        "path: as press",
        *([f"leave_out: [{', '.join(idle)}]"] if idle else []),
        "settings:",
        *(f"  {kind}: {{{set_}}}" for kind, set_ in settings.items()),
    ]


def _finishing(job: Job) -> str:
    knives = "{kind: score, condition: sharp clean free, changed: 2026-10-12}"
    if not job.inch:
        knives = "{kind: shear, condition: sharp clean free, changed: 2026-10-05}"
    return (
        f"machine: slitter, after: {1 + job.lanes // 2} h, start_tension: {job.tension(0.9)}, taper: 30 %, "
        f"taper_law: linear, unwind_tension: {job.tension(0.8)}, speed: {job.pace(100)}, knives: {knives}"
    )


def _customer(job: Job) -> str:
    bore, wall, labels, wound = CORES[job.customer]
    return f"core: {bore}, core_wall: {job.size(wall)}, labels_per_roll: {labels}, unwind_direction: {wound}"


def set_up_name(job: Job) -> str:
    """Name the standard set-up of this job's press, stock and colours."""
    return f"{job.line}-{job.stock}-{job.units}-colours"


def set_up(job: Job) -> list[str]:
    """Write what the standard set-up of this job's press and stock holds."""
    return [
        f"press: {job.line}",
        f"stock: {job.stock}",
        f"web: {{speed: {job.pace(job.speed)}, register_tolerance: {job.size(0.3)}, "
        f"proved_tension: {job.tension(0.9)}}}",
        "tooling: {anvil: a-1}",
        *_as_press(job),
        f"finishing: {{{_finishing(job)}}}",
    ]


def _checks(job: Job) -> list[str]:
    return [
        "checks:",
        f"  - {{check: {'imprint' if job.film else 'stain'}, at: [set-up, every roll], covers: full width and repeat}}",
        f"  - {{check: snap, at: [set-up, every roll], sample: {job.size(2 * job.teeth * 3.175 + 20)}, "
        f"strips: {job.lanes}}}",
    ]


def _found(job: Job) -> list[str]:
    """Write what was looked at before the run, and the results."""
    cut = "imprint" if job.film else "stain"
    marks = "complete: true, embossed: false, " if job.film else ""
    made = ["set-up"]
    if job.stage in ("finishing", "released"):
        made += [f"roll, roll: {roll}" for roll in range(1, job.rolls + 1)]
    return [
        "preparation:",
        *(
            f"  {what}: {{checked: {job.day}, found: {found}}}"
            for what, found in (
                ("idlers", "all free"),
                ("nips", "all working"),
                ("rollers", "all clean"),
                ("surroundings", "clean"),
            )
        ),
        f"  ground: {{checked: {job.day - timedelta(3)}, unwind: 0.4 ohm, press: 0.3 ohm, rewind: 0.5 ohm, "
        "inline: 0.8 ohm}",
        "  shocks: none",
        f"  air: {{temperature: {'70 degF' if job.inch else '21 degC'}, humidity: 52 %}}",
        "results:",
        *(
            f"  - {{check: {check}, at: {where}, lanes: {job.lanes}, {more}outcome: passed{pressure}}}"
            for where in made
            for check, more, pressure in ((cut, marks, ", die_pressure: 2.4 kN"), ("snap", "", ""))
        ),
    ]


def sheet(job: Job) -> str:
    """Write a job's sheet: written out, with the path of the press, or after a standard set-up."""
    around = job.teeth * 3.175 / job.around
    after = job.how == "set-up"
    web = f"register_tolerance: {job.size(0.3)}, proved_tension: {job.tension(0.9)}, speed: {job.pace(job.speed)}, "
    named = [f"set_up: {set_up_name(job)}"] if after else [f"press: {job.line}", f"stock: {job.stock}"]
    path = [] if after else _as_press(job) if job.how == "press" else _written(job)
    lines = [
        f"job: {job.job.upper()}",
        f"title: Sound job {job.job}",
        f"stage: {job.stage}",
        f"date: {job.day}",
        f"press_time: {job.hours}",
        f"first_film_job: {'true' if job.film_job == 'first' else 'false'}",
        *named,
        f"customer: {job.customer}",
        f"web: {{{'' if after else web}width: {job.size(job.width)}, length: {job.length} m}}",
        f"layout: {{label: {{around: {job.size(around - 3.2)}, across: {job.size(job.across)}}}, "
        f"gap: {{around: {job.size(3.2)}, across: {job.size(3)}}}, lanes: {job.lanes}, "
        f"labels_around: {job.around}, edge_trim: {job.size(6)}}}",
        f"tooling: {{die: d-{job.job}, magnetic_cylinder: m-{job.teeth}, print_cylinder: p-{job.teeth}"
        f"{'' if after else ', anvil: a-1'}}}",
        *path,
        f"finishing: {{{'' if after else _finishing(job) + ', '}{_customer(job)}}}",
        *_checks(job),
        *(_found(job) if job.stage != "planned" else []),
    ]
    return "\n".join(lines) + "\n"


LINER = {"film23": "23 µm", "film30": "30 µm", "film36": "36 µm", "glassine60": "60 µm"}
LINER |= {"film09": "0.92 mil", "film12": "1.2 mil", "film14": "1.42 mil", "glassine24": "2.4 mil"}


def _die(job: Job) -> str:
    face, liner = job.stock.split("-")
    return (
        f"  d-{job.job}: {{kind: flexible, teeth: {job.teeth}, pitch: 1/8 in, for_face: {face.rstrip('0123456789')}, "
        f"for_liner: {'film' if job.film else 'paper'}, for_liner_caliper: {LINER[liner]}, "
        f"labels_around: {job.around}, lanes: {job.lanes}, hardened: true, cut_window: 9 µm, run_out: 1 µm, "
        "wear: 1 µm, revolutions: 90000, life: 1000000, inspected: 2026-09-22}\n"
    )


def make_plant(folder: Path, mine: list[Job]) -> None:
    """Write a plant with its registers and sheets."""
    (folder / "jobs").mkdir(parents=True)
    shutil.copytree(HERE / "registers" / ("inch" if mine[0].inch else "metric"), folder / "registers")
    cylinder = "teeth: {0}, pitch: 1/8 in, inspected: 2026-09-15, run_out: 1 µm"
    teeth = sorted({job.teeth for job in mine})
    text = "dies:\n" + "".join(map(_die, mine)) + "magnetic_cylinders:\n"
    text += "".join(f"  m-{n}: {{{cylinder.format(n)}, confirmed_by_die_maker: true, damage: none}}\n" for n in teeth)
    text += "anvils:\n  a-1: {inspected: 2026-09-15, run_out: 1 µm, condition: unworn}\nprint_cylinders:\n"
    text += "".join(f"  p-{n}: {{{cylinder.format(n)}}}\n" for n in teeth)
    (folder / "registers" / "tooling.yaml").write_text(text, "utf-8")
    ups = [(set_up_name(job), set_up(job)) for job in mine if job.how == "set-up"]
    text = "".join(f"{name}:\n" + "".join(f"  {line}\n" for line in lines) for name, lines in ups)
    (folder / "registers" / "set-ups.yaml").write_text(text, "utf-8")
    names = {"presses", "stocks", "tooling", "finishing", "customers"}
    settings = "plant: Sound jobs\njobs: [jobs]\nregisters:\n  set_ups: registers/set-ups.yaml\n"
    (folder / "plant.yaml").write_text(
        settings + "".join(f"  {name}: registers/{name}.yaml\n" for name in sorted(names)), "utf-8"
    )
    for job in mine:
        (folder / "jobs" / f"{job.job}.yaml").write_text(sheet(job), "utf-8")


def make_plants(folder: Path) -> None:
    """Write both plants."""
    make_plant(folder / "metric", [job for job in jobs() if not job.inch])
    make_plant(folder / "inch", [job for job in jobs() if job.inch])


if __name__ == "__main__":
    make_plants(Path(sys.argv[1]))
