"""One run over the corrections of one job sheet: find, judge, and write what was chosen."""

from __future__ import annotations

from codecs import BOM_UTF8
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from difflib import unified_diff
from pathlib import Path

from filmcheck.plant.plant import Sheet, type_text
from filmcheck.records.errors import UseError
from filmcheck.records.finding import Correction, Finding
from filmcheck.running.figure_run import sheet_and_plant
from filmcheck.running.judge_as_is import judge_as_is
from filmcheck.running.judge_sheet import judge_sheet
from filmcheck.running.plant_context import PlantContext, make_context
from filmcheck.running.safe_write import check_place, write_whole
from filmcheck.windows.form import form_edits
from filmcheck.windows.gone import better, gone_by
from filmcheck.windows.spans import applied


@dataclass(frozen=True, slots=True)
class Correcting:
    """A sheet that is being corrected: its bytes as read, and its text as it would be by now."""

    path: Path
    raw: bytes
    sheet: Sheet
    context: PlantContext
    day: date

    @property
    def old(self) -> str:
        """The text as it was read."""
        return self.raw.decode("utf-8").removeprefix("\ufeff")

    def with_text(self, text: str) -> Correcting:
        """Give the same with another text."""
        sheet = type_text(text, self.sheet.file, "job-sheet")
        return Correcting(self.path, self.raw, sheet, self.context, self.day)


def start_correcting(path: Path, day: date) -> Correcting:
    """Read a sheet. Raises UseError where it cannot be read, is a link, or lies outside of a plant's folder."""
    sheet, plant = sheet_and_plant(path)
    root = plant.root
    if root is None:
        raise UseError(f"{path} lies in no plant's folder", way_out="Put a plant.yaml into the plant's folder.")
    check_place(path, plant.own_files, below=root)
    if root.resolve() not in path.resolve().parents:
        raise UseError(f"{path} lies outside of the plant's folder", way_out="Correct it by hand.")
    raw = path.read_bytes()
    if raw.removeprefix(BOM_UTF8).decode("utf-8", "replace") != sheet.text:
        raise UseError(f"{path} has changed while it was being read", way_out="Do it again.")
    return Correcting(path, raw, sheet, make_context(plant), day)


def form_corrections(at: Correcting) -> Iterator[tuple[Correction, Correcting]]:
    """Give the corrections of form one after the other, each with the sheet as it then reads."""
    while (found := _next_form(at)) is not None:
        yield found
        at = found[1]


def _next_form(at: Correcting) -> tuple[Correction, Correcting] | None:
    before = judge_as_is(at.sheet, at.context, at.day).findings
    for edit, says in form_edits(at.sheet, at.context.plant):
        new = at.with_text(applied(at.sheet.text, [edit]))
        after = judge_as_is(new.sheet, at.context, at.day).findings
        if better(before, after):
            gone = tuple(sorted(" ".join(who) for who in gone_by(before, after) or ()))
            return Correction(f"line {edit.place.span.line}", "form", says, (edit,), gone), new
    return None


def set_point_corrections(at: Correcting) -> tuple[Correction, ...]:
    """Give the corrections of set-points, each judged by itself on the sheet as it stands."""
    findings = judge_sheet(at.sheet, at.context, at.day).findings
    names = dict.fromkeys(finding.correction for finding in findings if finding.correction and not finding.is_past)
    return tuple(_correction(name, findings) for name in names)


def _correction(name: str, findings: Sequence[Finding]) -> Correction:
    cured = [finding for finding in findings if finding.correction == name]
    cures = tuple(f"{finding.rule} {finding.address}" for finding in cured)
    return Correction(name, "set-point", f"set {name}", cured[0].edits, cures)


def with_set_point(at: Correcting, wanted: str) -> Correcting | None:
    """Give the sheet with the one set-point corrected that is named; None where it needs no correction."""
    for correction in set_point_corrections(at):
        if correction.name.partition(" = ")[0] == wanted:
            return offered(at, correction)
    return None


def offered(at: Correcting, correction: Correction) -> Correcting:
    """Give the sheet as it would read with a correction."""
    return at.with_text(applied(at.sheet.text, correction.edits))


def difference(at: Correcting) -> str:
    """Show what would change, as a unified diff; empty where nothing would."""
    old, new = (text.splitlines(keepends=True) for text in (at.old, at.sheet.text))
    file = at.sheet.file
    lines = (line.rstrip("\r\n") for line in unified_diff(old, new, file, file))
    return "".join(f"{line}\n" for line in lines)


def write_corrected(at: Correcting) -> bool:
    """Write the sheet as it would be; whether anything changed. Raises UseError where it changed meanwhile."""
    new = BOM_UTF8 * at.raw.startswith(BOM_UTF8) + at.sheet.text.encode("utf-8")
    if new == at.raw:
        return False
    write_whole(at.path, new, never=at.context.plant.own_files, instead_of=at.raw)
    return True
