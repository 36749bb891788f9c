"""Verdicts of whole rules: units never change one, what is not known is open, and reasons are in words."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import NamedTuple

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from filmcheck.figures.figures import Figures
from filmcheck.judging.context import Context
from filmcheck.judging.house import House
from filmcheck.judging.judge import judge_job
from filmcheck.judging.verdict import Verdict
from filmcheck.packs.arithmetic import AtHand
from filmcheck.packs.condition_reader import ConditionReader
from filmcheck.packs.pack import load_packs
from filmcheck.plant.job import Job, resolve
from filmcheck.plant.plant import load_plant, read_sheet, type_text
from filmcheck.reading.nodes import Fault
from filmcheck.reading.shipped import shipped_folder
from filmcheck.reading.yaml_tree import read_tree
from filmcheck.records.finding import Finding
from filmcheck.records.value import Value, exact

Make = Callable[..., Context]
PINT = pint.UnitRegistry()
PROVING = shipped_folder("rules") / "proving"
SHEET = PROVING / "sheets" / "film-label.yaml"
TEXT = SHEET.read_text(encoding="utf-8")
DAY = date(2026, 11, 25)


def line_of(start: str, nth: int = 1) -> int:
    """Give the line of the sound sheet on which the nth station of this kind stands."""
    return [n for n, line in enumerate(TEXT.splitlines(), 1) if line.startswith(f"  - {start}")][nth - 1]


# Units. Each pair is one dimension, in the words of pint.


class Written(NamedTuple):
    """Two units of one figure, as a rule and as pint writes them."""

    figure: str
    ours: tuple[str, str]
    pints: tuple[str, str]


UNITS = [
    Written("web.line_proved_tension", ("lbf/in", "N/m"), ("lbf/inch", "N/m")),
    Written("press.tension_range", ("lbf", "N"), ("lbf", "N")),
    Written("web.speed", ("ft/min", "m/min"), ("ft/min", "m/min")),
    Written("web.width", ("in", "mm"), ("inch", "mm")),
    Written("liner.caliper", ("mil", "µm"), ("thou", "µm")),
    Written("web.hottest", ("degF", "degC"), ("degF", "degC")),
    Written("finishing.after", ("h", "min"), ("hour", "min")),
    Written("rewind.roll_mass", ("lb", "kg"), ("lb", "kg")),
    Written("liner.modulus", ("psi", "MPa"), ("psi", "MPa")),
    Written("rewind.taper", ("%", "%"), ("percent", "percent")),
]
RELATIONS = ("at_most", "at_least", "above", "below", "equals", "not")


def verdict(make_context_of: Make, figure: str, low: float, high: float, relation: str, operand: str) -> Verdict:
    """Read a condition and judge it on one value in SI units."""
    faults: list[Fault] = []
    tree, _ = read_tree(f"{figure}: {{{relation}: {operand}}}\n")
    assert tree is not None
    condition = ConditionReader(faults.append).read(tree, AtHand({}))
    assert faults == []
    assert condition is not None
    return condition.decide(make_context_of({figure: Value(low, high)}))


@pytest.mark.sample(4)
@pytest.mark.parametrize("written", UNITS, ids=lambda written: written.figure)
@given(
    limit=st.decimals(1, 900, places=2),
    share=st.sampled_from([0, 1e-6, -1e-6, 0.1, -0.1]),
    spread=st.sampled_from([0, 1e-5, 0.2]),
    relation=st.sampled_from(RELATIONS),
)
def test_the_unit_of_a_limit_changes_no_verdict(
    make_context_of: Make, written: Written, limit: float, share: float, spread: float, relation: str
) -> None:
    """The same limit in two units, the second worked out by pint; the figure lies at, just beside or far from it."""
    same = PINT.Quantity(float(limit), written.pints[0])
    si = same.to_base_units().magnitude
    low = si * (1 + share)
    high = low * (1 + spread)
    other = f"{same.to(written.pints[1]).magnitude:.15f}"
    one = verdict(make_context_of, written.figure, low, high, relation, f"{limit} {written.ours[0]}")
    assert one is verdict(make_context_of, written.figure, low, high, relation, f"{other} {written.ours[1]}")


def test_the_trade_has_one_limit_in_two_units(make_context_of: Make) -> None:
    """0.8 lbf/in are 140.10 N/m; source: NIST SP 811, appendix B.8: 1 lbf/in = 175.1268 N/m."""
    tension = 0.8 * 175.1268
    for relation, wanted in (("at_most", Verdict.HOLDS), ("below", Verdict.HOLDS), ("above", Verdict.FAILS)):
        found = verdict(make_context_of, "web.line_proved_tension", tension, tension, relation, "140.11 N/m")
        assert found is wanted
        assert (
            verdict(make_context_of, "web.line_proved_tension", tension, tension, relation, "0.80005 lbf/in") is wanted
        )


# Whole rules on the sound sheet, as it is or with one thing changed.

PACK = """\
pack: Verdicts
limits:
  fast: {{value: 40 m/min, basis: house, meaning: Fast.}}
rules:
  - rule: it
    title: It is wrong
    level: error
    from_stage: {stage}
    {body}
    says: "Wrong: {{reason}}"
    because: So it is.
    basis: A test.
    proof:
      - {{case: fails, verdict: fail}}
      - {{case: passes, verdict: pass}}
"""


def job_of(text: str) -> Job:
    sheet = type_text(text, SHEET.as_posix(), "job-sheet")
    job, _ = resolve(sheet.record, sheet.file, load_plant(PROVING / "plant.yaml"))
    return job


def judged(body: str, folder: Path, text: str = TEXT, stage: str = "planned") -> list[Finding]:
    pack = folder / "pack.yaml"
    pack.write_text(PACK.format(body=body, stage=stage), encoding="utf-8")
    packs = load_packs([pack])
    return judge_job(Figures(job_of(text), DAY), packs.rules, House(packs.limits), passes=True)


PRINT, LAMP, CLEANER = line_of("print"), line_of("uv lamp"), line_of("web cleaner")
SECOND_PRINT = line_of("print", 2)


@pytest.mark.parametrize(
    ("condition", "why"),
    [
        ("{some: web cleaner, after: first print}", f"no web cleaner after print 1 (line {PRINT})"),
        (
            "{some: slit, between: [first print, first uv lamp]}",
            f"no slit between print 1 (line {PRINT}) and uv lamp 1 (line {LAMP})",
        ),
        (
            "{some: nip, before: first static control, within: 1}",
            f"no nip before static control (1 of 2) (line {CLEANER - 1}) within 1 station",
        ),
        ("{no: print, after: first uv lamp}", f"print (line {SECOND_PRINT}) after uv lamp 1 (line {LAMP})"),
        ("{no: web cleaner}", f"web cleaner (line {CLEANER})"),
        ("{count: static control, at_least: 3}", "2 static controls, wanted is at least 3"),
        ("{count: print, where: {its.unit: 1}, equals: 2}", "1 print, wanted is 2"),
        ("{web.speed: {at_most: limit.fast}}", "speed of the web is 45 m/min, wanted is at most 40 m/min"),
        ("{layout.lanes: {not: 5}}", "number of lanes is 5, wanted is anything but 5"),
        ("{liner.material: paper}", "liner material is film, wanted is paper"),
        ("{face.material: [pe, pet]}", "face material is pp, of pe, pet"),
        ("{finishing.diameter: given}", "diameter of the finished roll on the sheet is not given"),
        ("{customer.core: not given}", "bore of the core that the customer takes is given"),
        (
            "{web.speed: {near: {to: 30 m/min, within: 5 m/min}}}",
            "speed of the web is 45 m/min, wanted is 30 m/min within 5 m/min",
        ),
        ("{count(print): {at_least: 3}}", "number of prints is 2, wanted is at least 3"),
        (
            "{job.day - die.inspected: {at_most: 10 d}}",
            "day of the job − day of inspection of the die is 35 d, wanted is at most 10 d",
        ),
        ("{every: uv lamp, has: {its.unit: 1}}", "unit number of uv lamp 2 is 2, wanted is 1"),
    ],
)
def test_reasons_are_in_words(condition: str, why: str, tmp_path: Path) -> None:
    (finding,) = judged(f"requires: {condition}", tmp_path)
    assert (finding.kind, finding.says) == ("fail", f"Wrong: {why}")


def test_a_sheet_without_static_control_is_told_where_it_lacks(tmp_path: Path) -> None:
    text = "\n".join(line for line in TEXT.splitlines() if not line.startswith("  - static control"))
    (finding,) = judged("requires: {some: static control, before: first print}", tmp_path, text)
    # Two lines above the print unit are gone.
    assert finding.says == f"Wrong: no static control before print 1 (line {PRINT - 2})"


FAST, SLOW, UNKNOWN = (
    "web.speed: {above: 40 m/min}",
    "web.speed: {above: 60 m/min}",
    "finishing.diameter: {above: 1 mm}",
)
HOLDS, FAILS, OPEN = "layout.lanes: 5", "layout.lanes: 4", "rewind.diameter: {above: 1 mm}"


@pytest.mark.parametrize(
    ("applies", "requires", "kind"),
    [
        (FAST, HOLDS, "pass"),
        (FAST, FAILS, "fail"),
        (FAST, OPEN, "open"),
        (SLOW, HOLDS, "notApplicable"),
        (SLOW, FAILS, "notApplicable"),
        (SLOW, OPEN, "notApplicable"),
        (UNKNOWN, HOLDS, "pass"),  # whether it applies or not, it has nothing to say
        (UNKNOWN, FAILS, "open"),
        (UNKNOWN, OPEN, "open"),
    ],
)
def test_a_rule_that_may_apply(applies: str, requires: str, kind: str, tmp_path: Path) -> None:
    findings = judged(f"applies: {{{applies}}}\n    requires: {{{requires}}}", tmp_path)
    assert [finding.kind for finding in findings] == ([] if kind == "notApplicable" else [kind])


def test_a_range_across_the_limit_is_borderline_with_both_numbers(tmp_path: Path) -> None:
    text = TEXT.replace("speed: 45 m/min", "speed: 38 to 44 m/min")
    (finding,) = judged("requires: {web.speed: {at_most: limit.fast}}", tmp_path, text)
    assert (finding.kind, finding.level) == ("review", "none")
    assert finding.says == "Wrong: speed of the web is 38 to 44 m/min, wanted is at most 40 m/min"


def test_what_is_not_known_is_open_and_names_the_datum(tmp_path: Path) -> None:
    text = TEXT.replace(", speed: 45 m/min", "")
    (finding,) = judged("requires: {web.speed: {at_most: limit.fast}}", tmp_path, text)
    assert (finding.kind, finding.says) == ("open", "cannot tell: it is wrong")
    assert finding.missing[0].startswith("web.speed")


STAGES = ("planned", "set-up", "running", "finishing", "released")


@pytest.mark.parametrize("sheet", STAGES)
@pytest.mark.parametrize("rule", STAGES)
def test_a_rule_is_owed_from_its_stage_on(sheet: str, rule: str, tmp_path: Path) -> None:
    text = TEXT.replace("stage: released", f"stage: {sheet}")
    findings = judged("requires: {layout.lanes: 4}", tmp_path, text, stage=rule)
    assert bool(findings) is (STAGES.index(sheet) >= STAGES.index(rule))


def test_a_date_is_compared_by_its_day(make_context_of: Make) -> None:
    for day, wanted in ((1, Verdict.FAILS), (2, Verdict.HOLDS), (3, Verdict.HOLDS)):
        tree, _ = read_tree("die.inspected: {at_least: 2026-03-02}\n")
        assert tree is not None
        condition = ConditionReader(lambda fault: None).read(tree, AtHand({}))
        assert condition is not None
        context = make_context_of({"die.inspected": exact(date(2026, 3, day))})
        assert condition.decide(context) is wanted


def test_the_sound_sheet_is_what_these_tests_take_it_for() -> None:
    assert read_sheet(SHEET, "job-sheet").faults == ()
