"""Frozen records of what the set-up card and the page show of one job: what is written, figures, and curves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from filmcheck.records.figure_line import Amount
from filmcheck.records.finding import Finding, Report
from filmcheck.records.window import PairMap, Window


@dataclass(frozen=True, slots=True)
class Thing:
    """A station, a zone, a check or a roll. ``given`` is what is written of it, by field, as it is written.

    ``figures`` are those of the thing that are known, by their name in the catalogue. ``line`` is where it stands on
    the sheet, 0 where it stands nowhere.
    """

    kind: str
    label: str
    line: int
    given: Mapping[str, str]
    figures: Mapping[str, Amount]
    end: int = 0
    """The last line of it on the sheet."""

    def text(self, name: str, none: str = "") -> str:
        """Give a figure, else what is written, as text."""
        amount = self.figures.get(name)
        return amount.text if amount is not None else self.given.get(name, none)


@dataclass(frozen=True, slots=True)
class DiameterStep:
    """One row of a table by diameter, in metres, newtons and N/m, and as text."""

    diameter: float
    force: float
    line_tension: float
    texts: tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class RollView:
    """A roll as it runs down or is wound: tension by diameter, and the pressure between its turns (m, Pa)."""

    label: str
    steps: tuple[DiameterStep, ...] = ()
    pressure: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, slots=True)
class JobView:
    """One job. ``given`` and ``figures`` are those of the job itself and of the entries that it names."""

    job: str
    file: str
    given: Mapping[str, str]
    figures: Mapping[str, Amount]
    stations: tuple[Thing, ...] = ()
    zones: tuple[Thing, ...] = ()
    checks: tuple[Thing, ...] = ()
    rolls: Mapping[str, RollView] = field(default_factory=dict)
    limits: Mapping[str, Amount] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    windows: tuple[Window, ...] = ()
    maps: tuple[PairMap, ...] = ()

    def text(self, name: str, none: str = "") -> str:
        """Give a figure, else what is written, as text."""
        amount = self.figures.get(name)
        return amount.text if amount is not None else self.given.get(name, none)


@dataclass(frozen=True, slots=True)
class SheetView:
    """One sheet of a plant: what is written on it, what was found, and for some of them the whole view."""

    file: str
    given: Mapping[str, str]
    findings: tuple[Finding, ...]
    text: str
    view: JobView | None = None

    @property
    def job(self) -> str:
        """Its job number, as written."""
        return self.given.get("job", "")


@dataclass(frozen=True, slots=True)
class PlantView:
    """The sheets of a plant, the worst first; what was found elsewhere; and the run behind it."""

    name: str
    sheets: tuple[SheetView, ...]
    elsewhere: tuple[Finding, ...]
    report: Report
