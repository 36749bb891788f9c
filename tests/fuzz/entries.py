"""The entries of filmcheck, each taking one spoiled text: what it does with it must be a report or a clear refusal."""

from __future__ import annotations

import os
import random
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from pathlib import Path

from inputs import spoiled

from filmcheck.packs.arithmetic import AtHand, read_expression
from filmcheck.packs.names import NameFaultError
from filmcheck.plant.plant import load_plant, read_sheet
from filmcheck.reading.nodes import Mapping, Node, Sequence
from filmcheck.reading.table_file import read_table
from filmcheck.reading.yaml_tree import read_tree
from filmcheck.records.errors import FilmcheckError
from filmcheck.records.finding import Report
from filmcheck.records.job_view import PlantView, SheetView
from filmcheck.reports.baseline import compare, read_baseline
from filmcheck.reports.card.html import card_html
from filmcheck.reports.card.markdown import card_markdown
from filmcheck.reports.card.set_up import make_card
from filmcheck.reports.card.text import card_text
from filmcheck.reports.page.html import page_html
from filmcheck.reports.sarif import sarif_text
from filmcheck.reports.text import text_report
from filmcheck.run import Options, lint
from filmcheck.running.job_view import look_at
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.judge_sheet import judge_sheet
from filmcheck.running.plant_context import make_context
from filmcheck.running.verdict_cache import VerdictCache
from filmcheck.units.quantity import DIMENSIONS, Quantity, parse_any, parse_quantity, show

DAY = date(2026, 12, 1)
PACK = """pack: House
rules:
  - rule: too-fast-here
    title: Too fast here
    level: warning
    requires: {web.speed: {at_most: 40 m/min}}
    says: The web runs at {web.speed}
    because: It flutters.
    basis: house
    proof:
      - {case: fast, verdict: fail, at: web.speed, change: {web.speed: 50 m/min}}
      - {case: slow, change: {web.speed: 30 m/min}, verdict: pass}
"""
PERMITS = (
    "- {rule: turn-bar-on-first-film-job, reason: agreed, approved_by: quality, until: 2027-03-31, jobs: [PG-1001]}\n"
)
QUANTITIES = (
    *(
        "52 N",
        "0.8 lbf/in",
        "44 to 54 N",
        "12 µm ± 0.5 µm",
        "-40 °C",
        "5 1/4 in",
        "1,234.5 m",
        "3,5 mm",
        "58 %",
        "1e-6 1/K",
    ),
    *("120 m/min", "25.4 W·h/m²", "2 h 30 min", "0x10 mm", "60 psi", "1.3 g/cm3", "80 Shore A", "17", "0.5 N/25mm"),
)
FORMULAS = (
    "web.width × stock.caliper / 2 + [3 mm]",
    "greatest(web.speed, [40 m/min]) - least(web.speed, [30 m/min])",
    "5 % of (unwind.tension / web.width)",
    "first_of(stock.basis_weight, laminate.areal_mass) * web.width",
)
TABLE = 'No;Title;Width;Speed\n1;"Round ""A"" label";330;40\n2;=1+1;13 in;"35,5"\n3;;;\n'


class Ground:
    """A plant in a folder, with the sound texts that are spoiled one at a time."""

    def __init__(self, plant: Path) -> None:
        self.plant = plant
        self.sheet = plant / "jobs/a.yaml"
        self.sound = {path: path.read_text(encoding="utf-8") for path in self._files()}
        (plant / "house.yaml").write_text(PACK, encoding="utf-8")
        (plant / "permits.yaml").write_text(PERMITS, encoding="utf-8")
        settings = plant / "plant.yaml"
        settings.write_text(self.sound[settings] + "rules: [house.yaml]\npermits: permits.yaml\n", encoding="utf-8")
        self.sound |= {path: path.read_text(encoding="utf-8") for path in (*self._files(), *plant.glob("*.yaml"))}
        self.context = make_context(load_plant(settings))
        self.report = lint([plant / "jobs"], Options(today=DAY))
        self.baseline = sarif_text(self.report)
        self.verdicts = plant.parent / "kept"
        self.sound_text = text_report(self._with_kept())
        self.kept = {path: path.read_bytes() for path in self.verdicts.rglob("*") if path.is_file()}

    def _files(self) -> list[Path]:
        return [self.sheet, self.plant / "plant.yaml", *sorted((self.plant / "registers").glob("*.yaml"))]

    def _with_kept(self) -> Report:
        """Lint with all that is kept between runs: the key, the rules and the verdicts."""
        self.verdicts.mkdir(mode=0o700, exist_ok=True)
        before = os.environ["FILMCHECK_CACHE"]
        os.environ["FILMCHECK_CACHE"] = str(self.verdicts)
        try:
            return lint([self.plant / "jobs"], Options(today=DAY, cache=VerdictCache(self.verdicts)))
        finally:
            os.environ["FILMCHECK_CACHE"] = before

    def quantity(self, rng: random.Random) -> None:
        """Read a spoiled quantity; one that is taken can be shown."""
        text, dimension = spoiled(rng.choice(QUANTITIES), rng), rng.choice(list(DIMENSIONS))
        for read in (parse_any(text), parse_quantity(text, (dimension,))):
            if isinstance(read, Quantity):
                show(read.low, read.dimension)

    def formula(self, rng: random.Random) -> None:
        """Read the spoiled text of an expression of a pack."""
        with suppress(NameFaultError):
            read_expression(spoiled(rng.choice(FORMULAS), rng), AtHand({}))

    def table(self, rng: random.Random) -> None:
        """Read a spoiled table of jobs."""
        path = self.plant / "table.csv"
        path.write_text(spoiled(TABLE, rng), encoding="utf-8", errors="replace")
        read_table(path, delimiter=rng.choice(",;"))

    def cache(self, rng: random.Random) -> None:
        """Lint with kept verdicts of which some bytes are others: the report is that of a run without."""
        self.sheet.write_text(self.sound[self.sheet], encoding="utf-8")
        path = rng.choice(list(self.kept))
        kept = bytearray(self.kept[path])
        for _ in range(rng.choice((1, 1, 8, 64))):
            kept[rng.randrange(len(kept))] = rng.randrange(256)
        path.write_bytes(kept[: rng.choice((len(kept), len(kept), rng.randrange(len(kept))))])
        try:
            if text_report(self._with_kept()) != self.sound_text:
                raise ValueError("the report is another with spoiled verdicts")
        finally:
            for each, sound in self.kept.items():
                each.parent.mkdir(exist_ok=True)
                each.write_bytes(sound)

    def reader(self, rng: random.Random) -> None:
        """Read a spoiled text."""
        read_tree(spoiled(self.sound[rng.choice(list(self.sound))], rng))

    def both(self, rng: random.Random) -> None:
        """Read some lines of a spoiled text with both parsers, which must tell the same."""
        lines = self.sound[rng.choice(list(self.sound))].splitlines(keepends=True)
        at = rng.randrange(len(lines))
        text = spoiled("".join(lines[at : at + rng.randrange(1, 9)]), rng)
        (tree, faults), (pure, pure_faults) = read_tree(text), read_tree(text, force_pure=True)
        if (shown(tree), faults) != (shown(pure), pure_faults):
            raise ValueError(f"the parsers differ on {text!r}")

    def judge(self, rng: random.Random) -> None:
        """Judge a spoiled sheet."""
        self.sheet.write_text(spoiled(self.sound[self.sheet], rng), encoding="utf-8", errors="replace")
        judge_sheet(read_sheet(self.sheet, "job-sheet", fence=self.context.plant.fence), self.context, DAY, passes=True)

    def show(self, rng: random.Random) -> None:
        """Put a spoiled sheet on a card and on a page."""
        self.sheet.write_text(spoiled(self.sound[self.sheet], rng), encoding="utf-8", errors="replace")
        sheet = read_sheet(self.sheet, "job-sheet", fence=self.context.plant.fence)
        view = look_at(sheet, self.context, DAY, judge_as_is(sheet, self.context, DAY).findings)
        card = make_card(view)
        for form in (card_text, card_markdown, card_html):
            form(card)
        shown = SheetView(view.file, view.given, view.findings, sheet.text, view)
        page_html(PlantView("", (shown,), (), self.report))

    def run(self, rng: random.Random) -> None:
        """Lint with one spoiled file of the plant: settings, register, permits, pack or sheet."""
        path = rng.choice(list(self.sound))
        path.write_text(spoiled(self.sound[path], rng), encoding="utf-8", errors="replace")
        try:
            report = lint([self.plant / "jobs"], Options(today=DAY))
            text_report(report)
            sarif_text(report)
        finally:
            path.write_text(self.sound[path], encoding="utf-8")

    def old_log(self, rng: random.Random) -> None:
        """Compare with a spoiled baseline."""
        log = self.plant / "base.sarif"
        log.write_text(spoiled(self.baseline, rng), encoding="utf-8", errors="replace")
        text_report(compare(self.report, read_baseline(log)))


def shown(node: Node | None) -> object:
    """Give a tree with all its places, for comparison."""
    if isinstance(node, Mapping):
        return node.at, [(shown(entry.key), shown(entry.value)) for entry in node.entries.values()]
    if isinstance(node, Sequence):
        return node.at, [shown(item) for item in node.items]
    return node and (node.at, node.text, repr(node.value))


def try_one(entry: Callable[[random.Random], None], rng: random.Random) -> None:
    """Feed one input. A clear refusal is a right answer; anything else that is raised is a fault of our own."""
    try:
        entry(rng)
    except FilmcheckError as error:
        if not str(error):
            raise ValueError("a refusal without a word") from error
