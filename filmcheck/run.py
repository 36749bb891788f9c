"""One run, in its five steps: read, resolve, compute, judge, report."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from filmcheck.bench import judge_sheet, make_bench
from filmcheck.finding import Finding, Report, Trouble
from filmcheck.plant.plant import read_sheet, shown
from filmcheck.plant.sheet_files import Plants, sheet_files
from filmcheck.version import VERSION


@dataclass(slots=True)
class Gathered:
    """What a run has found so far."""

    findings: list[Finding] = field(default_factory=list)
    files: list[str] = field(default_factory=list)
    troubles: list[Trouble] = field(default_factory=list)
    jobs: int = 0

    def trouble(self, path: Path, text: str) -> None:
        """Keep that nothing could be read from a path."""
        self.troubles.append(Trouble(shown(path), text))


def lint(paths: Sequence[Path], *, today: date | None = None, passes: bool = False) -> Report:
    """Lint job sheets, given as files or folders. Raises PackError or UseError; bad sheets become findings."""
    day = today or date.today()
    gathered, plants = Gathered(), Plants()
    files = [(path, plants.settings(path.parent)) for path in sheet_files(paths, plants, gathered.trouble)]
    used = dict.fromkeys([*(settings for _, settings in files), *plants.read])  # a plant without sheets counts too
    benches = {settings: make_bench(plants.plant(settings)) for settings in used}
    for bench in benches.values():
        gathered.findings += bench.plant_findings()
    for path, settings in files:
        gathered.files.append(shown(path))
        bench = benches[settings]
        if not bench.plant.owns(path):  # settings, registers and packs are read already, their faults told once
            gathered.jobs += 1
            gathered.findings += judge_sheet(read_sheet(path, "job-sheet"), bench, day, passes=passes)
    texts = {rule.id: rule.text for bench in benches.values() for rule in bench.rules}
    findings = tuple(sorted(dict.fromkeys(gathered.findings), key=_order))
    troubles = tuple(gathered.troubles)
    return Report(findings, tuple(texts.values()), tuple(gathered.files), troubles, VERSION, jobs=gathered.jobs)


def _order(finding: Finding) -> tuple[object, str, str]:
    return finding.place, finding.rule, finding.says
