"""Frozen records that judging hands to reports: findings, texts of rules, troubles, corrections, what is wanting."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

from filmcheck.records.place import Place

Level = Literal["error", "warning", "note", "none"]
"""SARIF 2.1.0 §3.27.10. ``none`` goes with every kind but ``fail``."""

Kind = Literal["pass", "fail", "open", "review", "notApplicable"]
"""SARIF 2.1.0 §3.27.9: ``open`` is "cannot tell", ``review`` is borderline (true at one end of a range only)."""

BaselineState = Literal["", "new", "unchanged", "updated", "absent"]
"""SARIF 2.1.0 §3.27.24; empty where nothing was compared."""

LEVELS: tuple[Level, ...] = ("error", "warning", "note", "none")
"""The levels, gravest first."""

_BELONGS = " (belongs at "

WRITE = "write "
"""What stands in ``Finding.to_write`` before a whole sentence, where it is more than key and example."""


def lack_text(says: str, place: Place | None) -> str:
    """Say in ``Finding.missing`` what is lacking, and where it should be written, as far as that is known."""
    return f"{says}{_BELONGS}{place})" if place is not None else says


def lack_parts(text: str) -> tuple[str, str]:
    """Give what a text of ``Finding.missing`` says is lacking, and the place as text; none where it names none."""
    says, _, place = text.partition(_BELONGS)
    return says, place.removesuffix(")")


class Related(NamedTuple):
    """Another place that the finding rests on, and what stands there."""

    place: Place
    text: str


class Edit(NamedTuple):
    """A safe correction: put ``text`` in place of what stands at ``place``."""

    place: Place
    text: str


@dataclass(frozen=True, slots=True)
class Permit:
    """A deviation permit (ISO 9000:2015, 3.12.6) that accepts the findings of one rule on one job.

    ``granted_after`` marks one granted after the fact, which ISO 9000 calls a concession (3.12.5).
    """

    rule: str
    reason: str
    approved_by: str
    until: str
    place: Place
    on_sheet: bool = True
    granted_after: bool = False
    caution: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """What one rule says of one datum of one job.

    ``address`` names the datum within the sheet (``path/uv lamp 1/setting``) and stays the same when lines move.
    """

    rule: str
    level: Level
    kind: Kind
    place: Place
    says: str
    address: str = ""
    key: str = ""
    """The key that is missing, where that is what is wrong."""
    job: str = ""
    arithmetic: tuple[str, ...] = ()
    instead: str = ""
    because: str = ""
    basis: str = ""
    caution: str = ""
    missing: tuple[str, ...] = ()
    to_write: tuple[str, ...] = ()
    """What to write for each that is missing: key and example; empty where nothing would do."""
    related: tuple[Related, ...] = ()
    edits: tuple[Edit, ...] = ()
    correction: str = ""
    """The set-point and the value that cure it, judged before they are told; findings with the same share them."""
    is_past: bool = False
    """Whether the job has run with what the correction sets: it is told for a repeat order, and not offered."""
    follows_from: str = ""
    """The name of the finding that tells the cause of this one; empty where it tells its own."""
    permit: Permit | None = None
    baseline: BaselineState = ""

    @property
    def name(self) -> str:
        """What findings that follow from it know it by: its place and its rule."""
        return f"{self.place} {self.rule}"

    @property
    def thing(self) -> str:
        """The thing of which it tells, by its label; empty where it tells of the job."""
        parts = self.address.split("/")
        return "/".join(parts[1:-1]) if parts[0] == "path" else ""

    @property
    def waits_for(self) -> tuple[str, ...]:
        """What is missing, without where it belongs; where nothing is named, the sentence itself."""
        return tuple(lack_parts(text)[0] for text in self.missing or (self.says,))

    @property
    def counts(self) -> bool:
        """Whether it is a fault that still asks for something: not accepted, and not known before."""
        return self.kind == "fail" and self.permit is None and self.baseline in ("", "new")


class RuleText(NamedTuple):
    """The words of a rule that a report needs: SARIF's reportingDescriptor in our terms."""

    id: str
    title: str
    family: str
    level: Level
    from_stage: str
    because: str
    instead: str
    basis: str
    caution: str = ""


class JobLine(NamedTuple):
    """What the table of jobs says of one job: the sheet, its number, and stage, press and day as written on it."""

    file: str
    job: str
    stage: str = ""
    press: str = ""
    day: str = ""


class Trouble(NamedTuple):
    """A file or folder that could not be read at all; the run went on without it."""

    file: str
    text: str


class Notice(NamedTuple):
    """What the reader of a report should know of how the run went about it, such as files that it passed over.

    ``id`` is one for each reason; ``files`` are those concerned, as reports show paths. ``counted`` says what one of
    them is, where they were passed over: "linked folder".
    """

    id: str
    text: str
    files: tuple[str, ...] = ()
    counted: str = ""


@dataclass(frozen=True, slots=True)
class Report:
    """One run: every verdict asked for, in a fixed order, and what could not be read."""

    findings: tuple[Finding, ...]
    rules: tuple[RuleText, ...]
    files: tuple[str, ...]
    troubles: tuple[Trouble, ...] = ()
    version: str = ""
    absent: tuple[Finding, ...] = ()
    jobs: int = 0
    whole: bool = True
    """Whether every job of the plants was judged: else nobody can tell what is no longer there."""
    also_read: tuple[str, ...] = ()
    """Settings, registers and rule packs of the plants: a report must not be written over them."""
    notices: tuple[Notice, ...] = ()
    job_lines: tuple[JobLine, ...] = ()
    """The jobs that were judged, in the order of their sheets."""


@dataclass(frozen=True, slots=True)
class Correction:
    """A correction (ISO 9000:2015, 3.12.3): what to write, judged, and which findings it cures, by rule and address.

    ``form`` is the spelling of a key, a unit or a name; ``set-point`` is a value that somebody must want.
    """

    name: str
    sort: Literal["form", "set-point"]
    says: str
    edits: tuple[Edit, ...]
    cures: tuple[str, ...]


class Want(NamedTuple):
    """A datum that is missing, or a range that is too wide, and how many checks cannot tell for want of it."""

    name: str
    state: str
    """``missing``, or the range as written."""
    where: str
    alone: int
    """Checks that wait for nothing else."""
    together: int
    """Checks that wait for other data as well."""
