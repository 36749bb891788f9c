"""The demo plant: sound jobs are silent, every spoiled one is told what is wrong with it, and by which rule."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterable
from datetime import date
from functools import lru_cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from filmcheck.cli.main import filmcheck
from filmcheck.records.finding import Finding, Kind, Report
from filmcheck.run import Options, lint

EXAMPLES = Path(__file__).parents[1] / "examples"
SOUND = sorted((EXAMPLES / "jobs" / "sound").glob("*.yaml"))
SPOILED = sorted((EXAMPLES / "jobs" / "spoiled").glob("*.yaml"))
STAGES = ("planned", "set-up", "running", "finishing", "released")

# What must be among the faults of each spoiled sheet. Other rules may have a word to say on the same defect.
EXPECTED = {
    "qm-3201-unwind-on-brake-alone": {"unwind-tension-high"},
    "qm-3202-lamp-at-full-power": {"lamp-at-maximum", "lamp-above-need"},
    "qm-3203-print-before-static-bar": {"print-before-static-control"},
    "qm-3204-first-film-job-over-turn-bar": {"turn-bar-on-first-film-job"},
    "qm-3205-rewound-on-table-without-taper": {"no-taper-on-rewind"},
    "qm-3206-three-inch-core-on-23-micron-liner": {"small-core-thin-liner"},
    "qm-3207-line-tension-in-psi": {"tension-as-pressure"},
    "qm-3208-total-tension-as-line-tension": {"tension-as-total"},
    "qm-3209-stock-name-with-swapped-figures": {"name-unknown"},
    "qm-3210-key-misspelt": {"key-unknown", "no-taper-on-rewind"},
    "qm-3211-width-without-unit": {"unit-missing"},
    "qm-3212-speed-given-as-length": {"dimension-wrong"},
    "qm-3213-die-built-for-paper": {"die-for-other-laminate", "cut-clearance"},
    "qm-3214-label-repeat-misses-die": {"die-repeat", "print-die-repeat"},
    "qm-3215-layout-wider-than-web": {"layout-over-width"},
    "qm-3216-snap-sample-too-short": {"snap-sample-short"},
    "qm-3217-stain-check-on-film": {"stain-check-on-film", "imprint-check-missing"},
    "qm-3218-finished-three-days-later": {"finishing-late"},
    "qm-3219-core-not-the-customers": {"core-not-customers"},
    "qm-3220-count-does-not-fit-the-roll": {"count-disagrees"},
    "qm-3221-shocks-felt-ground-unchecked": {"shocks-reported", "ground-unchecked"},
    "qm-3222-taper-rises": {"taper-rises"},
    "qm-3223-hot-air-on-thin-liner": {"birch-dryer-too-hot", "lamp-above-need"},
    "qm-3224-whole-job-on-one-press-roll": {"press-roll-too-heavy"},
    "qm-3225-permit-run-out": {"permit-expired", "small-core-thin-liner"},
    "qm-3226-die-promised-to-two-presses": {"tool-booked-twice"},
    "qm-3227-slick-roll-pulled-like-paper": {"roll-slides", "unwind-tension-high"},
    "qm-3228-paper-faster-than-the-press": {"speed-over-press"},
    "qm-3229-paper-nips-checked-afterwards": {"checked-after-job"},
    "qm-3230-closed-loop-that-birch-has-not": {"control-not-on-press"},
    "qm-3231-hyperbolic-on-a-linear-rewind": {"taper-law-not-on-machine"},
    "qm-3232-result-of-a-third-roll": {"result-of-no-roll"},
    "qm-3233-released-without-number-of-rolls": {"released-unproved"},
    "qm-3234-planned-with-old-results": {"result-before-stage"},
    "qm-3235-booked-backwards": {"booking-backwards"},
    "qm-3236-result-of-fifteen-lanes": {"result-of-no-lane"},
    "qm-3237-roll-without-outcome": {"result-unplaced"},
    "qm-3238-parent-roll-smaller-than-its-core": {"roll-below-core"},
    "qm-3239-two-tensions-at-the-unwind": {"tension-said-twice"},
    "qm-3240-faster-than-the-inspector": {"speed-over-finisher"},
    "qm-3241-film-laid-on-outgrows-the-customer": {"roll-over-diameter"},
    "qm-3242-paper-slit-with-dull-knives": {"scoring-knife"},
    "qm-3243-outfeed-drawn-and-held": {"draw-against-tension"},
    "qm-3244-paper-job-longer-than-its-roll": {"parent-roll-short"},
    "qm-3245-chill-roll-wet-with-dew": {"chill-below-dew-point"},
    "qm-3246-faster-than-the-drying-was-proved": {"cure-short-at-speed"},
}

# Card rule: the sheet that breaks it, its sound twin, and a cut (pattern, from which of the two) that takes away
# the datum without which nobody can tell.
CARD = {
    "unwind-tension-high": ("qm-3201", "qm-3107", r"      tension: 45 N\n", "qm-3107"),
    "lamp-at-maximum": ("qm-3202", "qm-3105", r"setting: 56 %, ", "qm-3105"),
    "print-before-static-control": ("qm-3203", "qm-3102", r"path:\n(?:  .*\n)+", "qm-3105"),
    "turn-bar-on-first-film-job": ("qm-3204", "qm-3103", r"first_film_job: true\n", "qm-3204"),
    "no-taper-on-rewind": ("qm-3205", "qm-3107", r"  machine: slitter-1\n", "qm-3107"),
    "small-core-thin-liner": ("qm-3206", "qm-3107", r"(?m)^customer: .*\n|^  core: 3 in\n", "qm-3206"),
}


@lru_cache(maxsize=2)
def report(today: date = date(2026, 11, 25)) -> Report:
    return lint([EXAMPLES / "jobs"], Options(today=today))


def of_job(findings: Iterable[Finding], number: str) -> list[Finding]:
    return [finding for finding in findings if finding.job.lower() == number]


def number_of(path: Path) -> str:
    return path.name[: len("qm-0000")]


def faults(number: str) -> set[str]:
    return {finding.rule for finding in of_job(report().findings, number) if finding.counts}


def kinds(findings: Iterable[Finding], number: str, rule: str) -> set[Kind]:
    return {finding.kind for finding in of_job(findings, number) if finding.rule == rule}


@pytest.mark.sample(4)
@pytest.mark.parametrize("path", SOUND, ids=lambda path: path.stem)
def test_a_sound_job_has_no_fault_that_counts(path: Path) -> None:
    told = [finding for finding in of_job(report().findings, number_of(path)) if finding.counts]
    assert [(finding.rule, finding.says) for finding in told] == []


@pytest.mark.parametrize("path", SOUND, ids=lambda path: path.stem)
def test_a_sound_job_lacks_nothing_that_its_stage_owes(path: Path) -> None:
    unsure = [finding for finding in of_job(report().findings, number_of(path)) if finding.kind in ("open", "review")]
    assert [(finding.rule, finding.says, finding.missing) for finding in unsure] == []


def test_what_a_permit_allows_is_told_as_accepted_with_who_answers_for_it() -> None:
    (finding,) = [f for f in of_job(report().findings, "qm-3110") if f.kind == "fail"]
    assert finding.rule == "small-core-thin-liner"
    assert finding.permit is not None
    assert (finding.permit.approved_by, finding.permit.until) == ("head of quality", "2027-03-31")


def test_sound_jobs_cover_every_stage() -> None:
    found = {re.search(r"^stage: (\S+)$", path.read_text(), re.MULTILINE)[1] for path in SOUND}  # type: ignore[index]
    assert found == set(STAGES)


def test_registers_settings_and_house_rules_are_without_fault() -> None:
    outside = [finding for finding in report().findings if "/jobs/" not in finding.place.file]
    assert [(str(finding.place), finding.rule, finding.says) for finding in outside] == []


@pytest.mark.parametrize("path", SPOILED, ids=lambda path: path.stem)
def test_a_spoiled_job_is_told_its_defect(path: Path) -> None:
    assert faults(number_of(path)) >= EXPECTED[path.stem]


@pytest.mark.parametrize("path", SPOILED, ids=lambda path: path.stem)
def test_the_first_line_of_a_spoiled_sheet_names_the_rules(path: Path) -> None:
    first = path.read_text().splitlines()[0]
    assert first.startswith("# ")
    assert [rule for rule in EXPECTED[path.stem] if not re.search(rf"(?<![-\w]){rule}(?![-\w])", first)] == []


def test_the_table_and_the_folder_hold_the_same_sheets() -> None:
    assert set(EXPECTED) == {path.stem for path in SPOILED}


@pytest.mark.slow
def test_the_day_of_the_run_changes_nothing_since_every_sheet_has_its_date() -> None:
    assert report(date(2031, 1, 1)).findings == report().findings


@pytest.mark.parametrize("rule", CARD)
def test_a_card_rule_fires_on_its_spoiled_sheet(rule: str) -> None:
    assert "fail" in kinds(report().findings, CARD[rule][0], rule)


@pytest.mark.parametrize("rule", CARD)
def test_a_card_rule_is_silent_on_the_sound_twin(rule: str) -> None:
    assert kinds(report().findings, CARD[rule][1], rule) == set()


@pytest.mark.sample(3)
@pytest.mark.parametrize("rule", CARD)
def test_a_card_rule_cannot_tell_without_its_datum(rule: str, tmp_path: Path) -> None:
    _, _, cut, number = CARD[rule]
    plant = tmp_path / "plant"
    shutil.copytree(EXAMPLES, plant)
    (sheet,) = plant.glob(f"jobs/*/{number}-*.yaml")
    text, cuts = re.subn(cut, "", sheet.read_text())
    assert cuts >= 1
    sheet.write_text(text)
    assert kinds(lint([sheet]).findings, number, rule) == {"open"}


def test_the_limit_that_the_plant_changed_is_cited_with_its_reason() -> None:
    (finding,) = [f for f in of_job(report().findings, "qm-3201") if f.rule == "unwind-tension-high"]
    assert "0.9 lbf/in" in finding.says
    assert "our own trial of March 2026" in finding.basis


@pytest.mark.slow
def test_house_rules_are_proved() -> None:
    result = CliRunner().invoke(filmcheck, ["rules", "prove", str(EXAMPLES / "house-rules")])
    assert (result.exit_code, result.output) == (0, "2 rules, 9 cases: all proved\n")


def test_the_page_quotes_a_fault_as_it_is_told() -> None:
    (quoted,) = re.findall(r"^examples/jobs/\S+: error: .*$", (EXAMPLES / "README.md").read_text(), re.MULTILINE)
    (finding,) = [f for f in of_job(report().findings, "qm-3201") if f.rule == "unwind-tension-high"]
    place = re.sub(r"^.*(?=examples/)", "", str(finding.place))
    assert quoted == f"{place}: error: {finding.says}  [{finding.rule}]"


@pytest.mark.parametrize("path", [*SOUND, *SPOILED], ids=lambda path: path.stem)
def test_the_job_number_stands_in_the_file_name(path: Path) -> None:
    numbers = re.findall(r"^job: (\S+)$", path.read_text(), re.MULTILINE)
    assert [number.lower() for number in numbers] == [number_of(path)]
