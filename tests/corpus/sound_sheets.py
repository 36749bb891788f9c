"""Sound jobs of two invented plants, one metric and one of inches: a table by hand, and the sheets made from it.

Chosen by hand, by family, after the handbook of the trade: film pulled at 0.50 to 0.66 lbf/in, taper 30 %, 6 in cores,
lamps six to ten per cent above what cures, bars before and after the cleaner; dies built for the stock, repeats by
1/8 in gear.

    python tests/corpus/sound_sheets.py FOLDER
"""

from __future__ import annotations

import shutil
import sys
from dataclasses import dataclass
from pathlib import Path

DEMO = Path(__file__).parents[2] / "examples" / "registers"
STAGES = ("planned", "set-up", "running", "finishing", "released")

# job stage     line    stock                teeth around lanes across mm  speed m/min  length m
METRIC = """
m01 planned    mercury pp50-clear-film23     96    3      5    60          45           3600
m02 set-up     mercury pp50-clear-film23     96    3      1    120         40           1500
m03 running    mercury pp50-clear-film23     80    2      6    44          50           2400
m04 finishing  mercury pp50-clear-film23     112   4      3    90          55           3000
m05 released   mercury pp50-clear-film23     120   3      9    30          45           2000
m06 planned    mercury pet50-clear-film23    96    2      4    70          50           3000
m07 set-up     mercury pet50-clear-film23    88    2      2    110         45           1800
m08 running    mercury pet50-clear-film23    104   4      5    55          60           2800
m09 finishing  mercury pet50-clear-film23    112   2      7    40          40           1200
m10 released   mercury pet50-clear-film23    80    2      3    95          50           3500
m11 planned    led     pp60-white-film30     96    2      4    74          60           2600
m12 set-up     led     pp60-white-film30     112   4      6    48          50           1600
m13 running    led     pp60-white-film30     88    2      2    130         70           2200
m14 finishing  led     pp60-white-film30     104   2      1    140         45           1000
m15 released   led     pp60-white-film30     120   5      8    34          55           3000
m16 planned    led     pp50-clear-film23     80    2      7    38          60           2500
m17 set-up     led     pp50-clear-film23     96    4      3    84          40           1400
m18 running    led     pp50-clear-film23     104   2      4    72          65           3200
m19 finishing  led     pet50-clear-film23    120   3      5    58          50           2000
m20 released   led     pet50-clear-film23    96    3      2    120         60           2700
m21 planned    bar     vellum80-glassine62   88    2      3    90          60           1500
m22 set-up     bar     vellum80-glassine62   96    2      4    70          50           1200
m23 running    bar     vellum80-glassine62   80    2      5    54          70           1400
m24 finishing  bar     vellum80-glassine62   112   4      2    120         60           1000
m25 released   bar     vellum80-glassine62   104   2      6    44          55           1500
m26 planned    mercury vellum80-glassine62   120   3      4    66          80           2000
m27 set-up     mercury vellum80-glassine62   96    3      1    150         60           1200
m28 running    led     vellum80-glassine62   88    2      7    38          90           2200
m29 finishing  led     vellum80-glassine62   80    2      3    92          70           1800
m30 released   led     vellum80-glassine62   112   4      5    56          80           2000
"""
INCH = """
i01 planned    air     pp60-white-film30     112   4      4    72          40           900
i02 set-up     air     pp60-white-film30     96    3      2    110         45           800
i03 running    air     pp60-white-film30     88    2      5    54          35           700
i04 finishing  air     pp60-white-film30     104   2      3    88          40           900
i05 released   air     pp60-white-film30     80    2      6    46          50           1000
i06 planned    led     pp50-clear-film23     120   4      5    50          50           2500
i07 set-up     led     pp50-clear-film23     112   4      4    64          55           1500
i08 running    led     pp50-clear-film23     88    2      2    120         45           2000
i09 finishing  led     pp50-clear-film23     80    2      8    32          60           3000
i10 released   led     pp50-clear-film23     104   4      3    86          50           1800
i11 planned    foil    pp60-white-film30     96    3      3    80          40           1500
i12 set-up     foil    pp60-white-film30     112   2      4    62          45           1200
i13 running    foil    pp60-white-film30     104   2      5    50          40           1600
i14 finishing  foil    pp60-white-film30     88    2      1    130         35           900
i15 released   foil    pp60-white-film30     120   3      6    44          50           2000
i16 planned    mercury pet50-clear-film23    120   5      4    70          55           2600
i17 set-up     mercury pet50-clear-film23    104   2      6    45          50           1700
i18 running    mercury pet50-clear-film23    96    2      3    92          60           2300
i19 finishing  mercury pet50-clear-film23    88    2      5    52          45           1400
i20 released   mercury pet50-clear-film23    112   4      9    28          50           2800
i21 planned    air     vellum80-glassine62   96    2      4    68          60           1000
i22 set-up     air     vellum80-glassine62   104   4      2    125         50           900
i23 running    air     vellum80-glassine62   112   2      3    90          70           1100
i24 finishing  air     vellum80-glassine62   80    2      6    44          55           800
i25 released   air     vellum80-glassine62   120   3      5    55          60           1000
i26 planned    mercury vellum80-glassine62   88    2      5    56          75           1800
i27 set-up     mercury vellum80-glassine62   112   4      7    38          60           1200
i28 running    led     vellum80-glassine62   120   3      2    140         85           2000
i29 finishing  led     vellum80-glassine62   104   2      4    72          80           1600
i30 released   mercury vellum80-glassine62   96    4      3    88          70           2200
"""
PULL = {"film23": 110, "film30": 110, "glassine62": 160}
"""Line tension at the unwind in N/m: soft for film, as is customary for paper."""


@dataclass(frozen=True)
class Job:
    """A row of the table."""

    job: str
    stage: str
    line: str
    stock: str
    teeth: int
    around: int
    lanes: int
    across: float
    speed: int
    length: int
    inch: bool

    @property
    def film(self) -> bool:
        return "film" in self.stock

    @property
    def pull(self) -> float:
        return PULL[self.stock.rsplit("-", 1)[1]]

    @property
    def width(self) -> float:
        return self.lanes * self.across + (self.lanes - 1) * 3 + 12

    def size(self, mm: float) -> str:
        """Give a length in the plant's own unit."""
        return f"{mm / 25.4:.4f} in" if self.inch else f"{mm:g} mm"

    def tension(self, share: float) -> str:
        """Give a share of the unwind's pull as line tension in the plant's own unit."""
        pull = self.pull * share
        return f"{pull / 175.1268:.3f} lbf/in" if self.inch else f"{pull:.1f} N/m"


def jobs() -> list[Job]:
    """Give all rows."""
    rows = [(row.split(), inch) for text, inch in ((METRIC, False), (INCH, True)) for row in text.strip().splitlines()]
    return [
        Job(r[0], r[1], r[2], r[3], int(r[4]), int(r[5]), int(r[6]), float(r[7]), int(r[8]), int(r[9]), inch)
        for r, inch in rows
    ]


def _path(job: Job) -> list[str]:
    """Give the stations in the order in which the web meets them."""
    core = f"core: 6 in, core_wall: {job.size(8)}"
    control = "brake alone" if job.line in ("air", "bar") else "closed loop"
    diameter = job.size(500 if job.line == "air" and job.film else 700)
    yield_ = [
        f"unwind: {{tension: {job.tension(0.8 if job.line in ('air', 'bar') else 1)}, control: {control}, "
        f"roll: {{diameter: {diameter}, {core}}}}}",
        "static control: {kind: active bar}",
        "web cleaner: {kind: contact}",
        "static control: {kind: active bar}",
        f"nip: {{name: infeed, tension: {job.tension(1.02)}}}",
    ]
    for unit in (1, 2):
        if job.line in ("air", "bar"):
            air = (48, 45) if job.film else (75, 68)
            yield_ += [f"print: {{unit: {unit}, ink: water flexo}}"]
            yield_ += [f"dryer: {{unit: {unit}, setting: {air[0]} degC, cure_minimum: {air[1]} degC, cold_side: true}}"]
            yield_ += ["turn bar: {}"] if job.line == "bar" and unit == 1 else []
        else:
            lamp = "uv lamp" if job.line == "mercury" else "led lamp"
            setting = ("57 %", "52 %") if job.line == "mercury" else ("33 W/cm", "30 W/cm")
            yield_ += [f"print: {{unit: {unit}, ink: uv flexo}}"]
            yield_ += [f"{lamp}: {{unit: {unit}, setting: {setting[0]}, cure_minimum: {setting[1]}}}"]
            yield_ += ["chill roll: {temperature: 18 degC}"]
    yield_ += ["cold foil: {}"] if job.line == "foil" else []
    yield_ += [f"nip: {{name: outfeed, tension: {job.tension(1.02)}}}"] if job.line in ("air", "bar") else []
    yield_ += ["die cut: {gauge: fitted, warm_up: 6 K}", "matrix strip: {}"]
    yield_ += [f"rewind: {{{core}, start_tension: {job.tension(1.05)}, taper: 30 %, taper_law: linear, rolls: 1}}"]
    return yield_


def sheet(job: Job) -> str:
    """Write a job's sheet."""
    at = STAGES.index(job.stage)
    repeat = job.teeth * 3.175
    around = repeat / job.around
    core = f"core: 6 in, core_wall: {job.size(8)}"
    lines = [
        f"job: {job.job.upper()}",
        f"title: Sound job {job.job}",
        f"stage: {job.stage}",
        f"date: {'2026-12-03' if at == 0 else '2026-11-19'}",
        "first_film_job: false",
        f"press: {job.line}",
        f"stock: {job.stock}",
        "customer: fernmoor",
        f"web: {{width: {job.size(job.width)}, length: {job.length} m, speed: {job.speed} m/min, "
        f"register_tolerance: {job.size(0.3)}, proved_tension: {job.tension(0.9)}}}",
        f"layout: {{label: {{around: {job.size(around - 3.2)}, across: {job.size(job.across)}}}, "
        f"gap: {{around: {job.size(3.2)}, across: {job.size(3)}}}, lanes: {job.lanes}, "
        f"labels_around: {job.around}, edge_trim: {job.size(6)}}}",
        f"tooling: {{die: d-{job.job}, magnetic_cylinder: m-{job.teeth}, anvil: a-1, print_cylinder: p-{job.teeth}}}",
        "path:",
        *(f"  - {station}" for station in _path(job)),
        f"finishing: {{machine: slitter-1, after: 2 h, {core}, start_tension: {job.tension(0.9)}, taper: 30 %, "
        f"taper_law: linear, unwind_tension: {job.tension(0.8)}, speed: 100 m/min, labels_per_roll: 1500, "
        "unwind_direction: {wound: out, leading_edge: left}, "
        "knives: {kind: shear, condition: sharp clean free, changed: 2026-10-05}}",
        "checks:",
        "  - {check: imprint, at: [set-up, every roll], covers: full width and repeat}",
        f"  - {{check: snap, at: [set-up, every roll], sample: {job.size(2 * repeat + 20)}, strips: {job.lanes}}}",
    ]
    if at:
        lines += [
            "preparation:",
            *(
                f"  {what}: {{checked: 2026-11-19, found: {found}}}"
                for what, found in (
                    ("idlers", "all free"),
                    ("nips", "all working"),
                    ("rollers", "all clean"),
                    ("surroundings", "clean"),
                )
            ),
            "  ground: {checked: 2026-11-16, unwind: 0.4 ohm, press: 0.3 ohm, rewind: 0.5 ohm, inline: 0.8 ohm}",
            "  shocks: none",
            "  air: {temperature: 21 degC, humidity: 52 %}",
            "results:",
        ]
        for where in ("set-up", "roll, roll: 1")[: 1 if at < 3 else 2]:
            marks = "complete: true, embossed: false, " if job.film else ""
            passed = f"{marks}outcome: passed, die_pressure: 2.4 kN"
            lines += [
                f"  - {{check: imprint, at: {where}, lanes: {job.lanes}, {passed}}}",
                f"  - {{check: snap, at: {where}, lanes: {job.lanes}, outcome: passed}}",
            ]
    return "\n".join(lines) + "\n"


def _die(job: Job) -> str:
    face = "paper" if not job.film else "pet" if job.stock.startswith("pet") else "pp"
    caliper = {"film23": 23, "film30": 30, "glassine62": 62}[job.stock.rsplit("-", 1)[1]]
    return (
        f"  d-{job.job}: {{kind: flexible, teeth: {job.teeth}, pitch: 1/8 in, for_face: {face}, "
        f"for_liner: {'film' if job.film else 'paper'}, for_liner_caliper: {caliper} µm, labels_around: {job.around}, "
        f"lanes: {job.lanes}, hardened: true, cut_window: 9 µm, run_out: 1 µm, wear: 1 µm, "
        "revolutions: 90000, life: 1000000, inspected: 2026-09-22}\n"
    )


def make_plant(folder: Path, mine: list[Job]) -> None:
    """Write a plant with its registers and sheets."""
    (folder / "jobs").mkdir(parents=True)
    shutil.copytree(Path(__file__).parent / "registers", folder / "registers")
    shutil.copy(DEMO / "stocks.yaml", folder / "registers")
    cylinder = "teeth: {0}, pitch: 1/8 in, inspected: 2026-09-15, run_out: 1 µm"
    teeth = sorted({job.teeth for job in mine})
    text = "dies:\n" + "".join(map(_die, mine)) + "magnetic_cylinders:\n"
    text += "".join(f"  m-{n}: {{{cylinder.format(n)}, confirmed_by_die_maker: true, damage: none}}\n" for n in teeth)
    text += "anvils:\n  a-1: {inspected: 2026-09-15, run_out: 1 µm, condition: unworn}\nprint_cylinders:\n"
    text += "".join(f"  p-{n}: {{{cylinder.format(n)}}}\n" for n in teeth)
    (folder / "registers" / "tooling.yaml").write_text(text, "utf-8")
    names = ("presses", "stocks", "tooling", "finishing", "customers")
    settings = "plant: Sound jobs\njobs: [jobs]\nregisters:\n"
    (folder / "plant.yaml").write_text(
        settings + "".join(f"  {name}: registers/{name}.yaml\n" for name in names), "utf-8"
    )
    for job in mine:
        (folder / "jobs" / f"{job.job}.yaml").write_text(sheet(job), "utf-8")


def make_plants(folder: Path) -> None:
    """Write both plants."""
    make_plant(folder / "metric", [job for job in jobs() if not job.inch])
    make_plant(folder / "inch", [job for job in jobs() if job.inch])


if __name__ == "__main__":
    make_plants(Path(sys.argv[1]))
