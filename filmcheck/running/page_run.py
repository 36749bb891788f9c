"""What the page shows of a run: every sheet that was judged, the worst first, and some of them looked at closely."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from filmcheck.plant.plant import Plant, Sheet, read_sheet, shown_full
from filmcheck.plant.record import word
from filmcheck.plant.sheet_files import Plants, sheet_files
from filmcheck.reading.text_file import read_text
from filmcheck.records.finding import LEVELS, Finding, Report
from filmcheck.records.job_view import PlantView, SheetView
from filmcheck.reports.led import tally
from filmcheck.running.job_view import look_at, with_maps, written_data
from filmcheck.running.plant_context import PlantContext, make_context

DRAWN = 40
"""Jobs that are drawn where nobody says how many: drawings of more make the page slow to write and to read."""
MAPPED = 2
"""Jobs whose windows are mapped where nobody says how many: each map takes a hundred judgements."""
_OUTERMOST = re.compile(
    r"^(job|title|stage|date|press|stock|customer):[ \t]+([^\s#{\[].*?)[ \t]*(?:[ \t]#.*)?$", re.MULTILINE
)


@dataclass(slots=True)
class _Reader:
    """Reads sheets again; each plant is made ready once."""

    plants: Plants
    paths: Mapping[str, str]
    contexts: dict[Path | None, PlantContext]

    @classmethod
    def of(cls, paths: Iterable[Path]) -> _Reader:
        """Find the sheets that a run over these paths judges."""
        plants = Plants()
        found = sheet_files(list(paths), plants, lambda path, text: None)
        return cls(plants, {shown_full(path): path for path in found}, {})

    def sheet(self, file: str) -> Sheet:
        path = self.paths[file]
        return read_sheet(path, "job-sheet", file, fence=self._plant(path).fence)

    def text(self, file: str) -> str:
        path = self.paths[file]
        text = read_text(path) if self._plant(path).fence.holds(path) else ""
        return text if isinstance(text, str) else ""

    def _plant(self, path: str) -> Plant:
        return self.plants.plant(self.plants.settings(path))

    def context(self, file: str) -> PlantContext:
        settings = self.plants.settings(self.paths[file])
        if settings not in self.contexts:
            self.contexts[settings] = make_context(self.plants.plant(settings))
        return self.contexts[settings]

    @property
    def name(self) -> str:
        """The name of the plant, where there is one."""
        names = [word(self.plants.plant(settings).settings, "plant") for settings in self.plants.read]
        return " and ".join(dict.fromkeys(filter(None, names)))


def view_plant(report: Report, paths: Sequence[Path], day: date, drawn: int = DRAWN, mapped: int = MAPPED) -> PlantView:
    """Look at the sheets that a run over ``paths`` judged: the ``drawn`` worst closely, and map the ``mapped`` worst.

    Raises as the run does.
    """
    reader = _Reader.of(paths)
    found, elsewhere = _by_sheet(report, reader)
    sheets: list[SheetView] = []
    for at, (file, findings) in enumerate(sorted(found.items(), key=lambda one: (badness(one[1]), one[0]))):
        if at < drawn:
            sheets.append(_closely(reader.sheet(file), reader.context(file), day, findings, mapped=at < mapped))
        else:
            text = reader.text(file)
            sheets.append(SheetView(file, outermost(text), tuple(findings), text))
    return PlantView(reader.name, tuple(sheets), tuple(elsewhere), report)


def _closely(sheet: Sheet, context: PlantContext, day: date, findings: Sequence[Finding], *, mapped: bool) -> SheetView:
    seen = SheetView(sheet.file, dict(written_data(sheet.record)), tuple(findings), sheet.text)
    if not sheet.record.fields:
        return seen
    view = look_at(sheet, context, day, findings)
    return replace(seen, view=with_maps(view, sheet, context, day) if mapped else view)


def outermost(text: str) -> dict[str, str]:
    """Give the single data on the outermost lines of a sheet, to name it by. To parse it again would take long."""
    return {key: value.strip("\"'") for key, value in _OUTERMOST.findall(text)}


def badness(findings: Iterable[Finding]) -> tuple[int, ...]:
    """Say how bad a sheet is, to sort by: more errors first, then more warnings, and so on."""
    found = tally(findings)
    return tuple(-found[what] for what in (*LEVELS, "borderline", "open", "accepted"))


def _by_sheet(report: Report, reader: _Reader) -> tuple[dict[str, list[Finding]], list[Finding]]:
    """Share findings out among the sheets; those of a register that one job alone has go to its sheet."""
    found: dict[str, list[Finding]] = {file: [] for file in report.files if file in reader.paths}
    files_of: dict[str, set[str]] = defaultdict(set)
    for one in report.findings:
        if one.job and one.place.file in found:
            files_of[one.job].add(one.place.file)
    elsewhere: list[Finding] = []
    for one in report.findings:
        files = {one.place.file} if one.place.file in found else files_of.get(one.job, set())
        (found[next(iter(files))] if len(files) == 1 else elsewhere).append(one)
    return found, elsewhere
