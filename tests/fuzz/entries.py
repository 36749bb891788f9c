"""The entries of filmcheck, each taking one spoiled text: what it does with it must be a report or a clear refusal."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import date
from pathlib import Path

from inputs import spoiled

from filmcheck.plant.plant import load_plant, read_sheet
from filmcheck.reading.yaml_tree import read_tree
from filmcheck.records.errors import FilmcheckError
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
from filmcheck.running.plant_context import judge_as_is, judge_sheet, make_context

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

    def _files(self) -> list[Path]:
        return [self.sheet, self.plant / "plant.yaml", *sorted((self.plant / "registers").glob("*.yaml"))]

    def reader(self, rng: random.Random) -> None:
        """Read a spoiled text with both parsers; they must tell the same."""
        read_tree(spoiled(self.sound[rng.choice(list(self.sound))], rng))

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


def try_one(entry: Callable[[random.Random], None], rng: random.Random) -> None:
    """Feed one input. A clear refusal is a right answer; anything else that is raised is a fault of our own."""
    try:
        entry(rng)
    except FilmcheckError as error:
        if not str(error):
            raise ValueError("a refusal without a word") from error
