"""Deviation permits and concessions (ISO 9000:2015, 3.12.6 and 3.12.5), on the sheet and in the plant-wide file."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

SHEET = "sheets/film-label.yaml"
TIGHT = ("tension: 46 N\n      control", "tension: 90 N\n      control")
RULE = "unwind-tension-high"
GOOD = {"rule": RULE, "reason": "trial", "approved_by": "quality", "until": "2027-03-31"}


def entry(fields: dict[str, str]) -> str:
    inner = ", ".join(f"{name}: {text}" for name, text in fields.items())
    return f"  - {{{inner}}}\n"


def on_sheet(ground, *permits: dict[str, str]) -> None:
    ground.change(SHEET, TIGHT)
    ground.write(SHEET, ground.read(SHEET) + "deviations:\n" + "".join(map(entry, permits)))


def plant_wide(ground, *permits: dict[str, str]) -> None:
    ground.change("plant.yaml", ("jobs: [sheets]", "jobs: [sheets]\npermits: permits.yaml"))
    ground.write("permits.yaml", "permits:\n" + "".join(map(entry, permits)))


def results_of(results: list[dict[str, Any]], rule: str) -> list[dict[str, Any]]:
    return [result for result in results if result["ruleId"] == rule]


def permit_faults(faults: list[tuple[str, str]]) -> list[tuple[str, str]]:
    return [fault for fault in faults if fault[0].startswith("permit-")]


def test_accepted_on_the_sheet(ground, run: Callable, log: Callable) -> None:
    on_sheet(ground, GOOD)
    (result,) = results_of(log("sheets"), RULE)
    (suppression,) = result["suppressions"]
    assert (result["kind"], result["level"]) == ("fail", "error")
    assert (suppression["kind"], suppression["status"]) == ("inSource", "accepted")
    assert suppression["justification"] == "Deviation permit by quality until 2027-03-31: trial"
    place = suppression["location"]["physicalLocation"]
    line = place["region"]["startLine"]
    assert place["artifactLocation"]["uri"] == SHEET
    assert f"rule: {RULE}" in ground.read(SHEET).splitlines()[line - 1]
    done = run("lint", SHEET)
    assert (done.status, done.err) == (0, "")
    assert "accepted    1 fault by permit\n" in done.out
    assert "permit   by quality, until 2027-03-31: trial" in done.out


def test_the_plant_wide_file_is_found_beside_the_settings_that_do_not_name_it(ground, run: Callable) -> None:
    ground.change(SHEET, TIGHT)
    ground.write("permits.yaml", "permits:\n" + entry({**GOOD, "jobs": "[PG-1001]"}))
    done = run("lint", SHEET)
    assert (done.status, done.err) == (0, "")
    assert "accepted    1 fault by permit\n" in done.out
    ground.write("permits.yaml", "permits: none\n")
    done = run("lint", SHEET)
    assert done.status == 1
    assert "permits.yaml:1:10" in done.out


def test_accepted_by_the_plant_wide_file(ground, run: Callable, log: Callable) -> None:
    ground.change(SHEET, TIGHT)
    plant_wide(ground, {**GOOD, "jobs": "[PG-1001]"})
    (result,) = results_of(log(SHEET), RULE)
    (suppression,) = result["suppressions"]
    assert suppression["kind"] == "external"
    assert suppression["location"]["physicalLocation"]["artifactLocation"]["uri"] == "permits.yaml"
    assert run("lint", SHEET).status == 0


def test_without_a_permit_it_fails(ground, run: Callable, log: Callable) -> None:
    ground.change(SHEET, TIGHT)
    assert "suppressions" not in results_of(log(SHEET), RULE)[0]
    assert run("lint", SHEET).status == 1


def test_a_permit_accepts_only_its_rule(ground, run: Callable, log: Callable) -> None:
    on_sheet(ground, GOOD)
    ground.change(SHEET, ("shocks: none", "shocks: felt"))
    assert "suppressions" not in results_of(log(SHEET), "shocks-reported")[0]
    assert run("lint", SHEET).status == 1


# --- permits that do not hold

LAST_DAY = "2026-11-24"  # the date of the sheet
WRONG = [
    ({"until": "2026-11-23"}, "permit-expired", "ended on 2026-11-23; the job's day is 2026-11-24"),
    ({"rule": "unwind-tension-hihg"}, "permit-unknown-rule", "unwind-tension-hihg, which is no known rule"),
    ({"rule": "unit-missing"}, "permit-unknown-rule", "the sheet itself cannot be read rightly"),
    ({"rule": "job-number-twice"}, "permit-unknown-rule", "it looks at all jobs together"),
    ({"rule": "permit-expired"}, "permit-unknown-rule", "it speaks of permits themselves"),
    ({"approved_by": None}, "permit-without-approver", "does not say who granted it"),
    ({"approved_by": '""'}, "permit-without-approver", "does not say who granted it"),
]


def changed(permit: dict[str, str], change: dict[str, str | None]) -> dict[str, str]:
    return {name: text for name, text in {**permit, **change}.items() if text is not None}


@pytest.mark.sample(3)
@pytest.mark.parametrize(("change", "rule", "says"), WRONG)
def test_a_permit_that_does_not_hold_accepts_nothing(ground, run, log, change: dict, rule: str, says: str) -> None:
    on_sheet(ground, changed(GOOD, change))
    results = log(SHEET)
    (told,) = results_of(results, rule)
    assert says in told["message"]["text"]
    assert told["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == SHEET
    assert "suppressions" not in results_of(results, RULE)[0]
    assert run("lint", SHEET).status == 1


def test_it_holds_on_its_last_day(ground, told: Callable, log: Callable) -> None:
    on_sheet(ground, {**GOOD, "until": LAST_DAY})
    assert permit_faults(told(SHEET)) == []
    assert results_of(log(SHEET), RULE)[0]["suppressions"]


def test_for_a_sheet_without_a_date_today_counts(ground, run: Callable) -> None:
    on_sheet(ground, {**GOOD, "until": LAST_DAY})
    ground.change(SHEET, ("date: 2026-11-24\n", ""))
    assert "[permit-expired]" not in run("lint", SHEET, "--today", LAST_DAY).out
    assert "[permit-expired]" in run("lint", SHEET, "--today", "2026-11-25").out


UNREAD = [
    ("until: 2027-03-31", "until: 31.03.2027"),
    ("until: 2027-03-31", "until: 2027-02-31"),
    ("until: 2027-03-31", "untl: 2027-03-31"),
    ("approved_by: quality", "approved_by: [quality]"),
    ("reason: trial", "reason: trial, until: 2026-01-01"),
]
"""Written wrongly: a permit of which a part was not understood may allow more than was meant."""


@pytest.mark.sample(3)
@pytest.mark.parametrize(("old", "new"), UNREAD)
def test_a_permit_that_was_half_read_accepts_nothing(ground, run, log, old: str, new: str) -> None:
    on_sheet(ground, GOOD)
    ground.change(SHEET, (old, new))
    assert "suppressions" not in results_of(log(SHEET), RULE)[0]
    assert run("lint", SHEET).status == 1


UNREAD_WIDE = [
    ("jobs: [PG-2]", "jobs: PG-2"),
    ("jobs: [PG-2]", "jbos: [PG-2]"),
    ("stock: other", "stock: [other]"),
    ("stock: other", "sotck: other"),
]


@pytest.mark.sample(4)
@pytest.mark.parametrize(("old", "new"), UNREAD_WIDE)
def test_a_scope_that_was_not_read_does_not_widen_the_permit(ground, log: Callable, old: str, new: str) -> None:
    ground.change(SHEET, TIGHT)
    name, _, text = old.partition(": ")
    plant_wide(ground, {**GOOD, name: text})
    assert "suppressions" not in results_of(log(SHEET), RULE)[0]
    ground.change("permits.yaml", (old, new))
    assert "suppressions" not in results_of(log(SHEET), RULE)[0]


def test_one_wrong_permit_does_not_spoil_its_neighbour(ground, told: Callable, log: Callable) -> None:
    ground.change(SHEET, TIGHT)
    plant_wide(ground, {"rule": RULE, "jobs": "PG-1"}, GOOD)
    assert results_of(log(SHEET), RULE)[0]["suppressions"]


# --- rules that guard people


def test_a_safety_rule_wants_a_caution(ground, run: Callable, log: Callable) -> None:
    permit = {**GOOD, "rule": "shocks-reported"}
    ground.change(SHEET, ("shocks: none", "shocks: felt"))
    ground.write(SHEET, ground.read(SHEET) + "deviations:\n" + entry(permit))
    results = log(SHEET)
    assert len(results_of(results, "permit-without-caution")) == 1
    assert "suppressions" not in results_of(results, "shocks-reported")[0]
    ground.change(SHEET, (entry(permit), entry({**permit, "caution": "bar switched off and fenced"})))
    (result,) = results_of(log(SHEET), "shocks-reported")
    assert result["suppressions"][0]["justification"].endswith("Caution: bar switched off and fenced")
    done = run("lint", SHEET)
    assert done.status == 0
    assert "caution  bar switched off and fenced" in done.out


# --- permits that hold, and what is still said of them


def test_without_end(ground, run: Callable, log: Callable) -> None:
    on_sheet(ground, changed(GOOD, {"until": None}))
    results = log(SHEET)
    assert [one["level"] for one in results_of(results, "permit-without-end")] == ["warning"]
    assert results_of(results, RULE)[0]["suppressions"]
    assert "permit   by quality, without end: trial" in run("lint", SHEET).out


@pytest.mark.parametrize(
    ("stage", "granted", "late", "says"),
    [
        ("released", "2026-11-25", True, "after the job had run on"),
        ("finishing", "2026-11-25", True, "after the job had run on"),
        ("running", "2026-11-25", True, "after the job had run on"),
        ("released", "2026-11-24", False, ""),
    ],
)
def test_granted_after_the_fact_it_is_a_concession(
    ground, run, log, stage: str, granted: str, late: bool, says: str
) -> None:
    on_sheet(ground, {**GOOD, "granted": granted})
    ground.change(SHEET, ("stage: released", f"stage: {stage}"))
    results = log(SHEET)
    told = [one["message"]["text"] for one in results_of(results, "permit-after-the-fact")]
    assert len(told) == bool(says)
    assert all(says in text for text in told)
    (suppression,) = results_of(results, RULE)[0]["suppressions"]
    assert suppression["justification"].startswith("Concession by" if late else "Deviation permit by")
    assert ("    concession by quality" in run("lint", SHEET).out) == late


@pytest.mark.parametrize("stage", ["planned", "set-up"])
def test_granted_after_a_job_that_is_still_to_run_it_does_not_hold(ground, log: Callable, stage: str) -> None:
    """A deviation permit is given before the job (ISO 9000:2015, 3.12.6)."""
    on_sheet(ground, {**GOOD, "granted": "2026-11-25"})
    ground.change(SHEET, ("stage: released", f"stage: {stage}"))
    results = log(SHEET)
    (told,) = results_of(results, "permit-dated-ahead")
    assert "the job is to run on 2026-11-24" in told["message"]["text"]
    assert not results_of(results, "permit-after-the-fact")
    assert not results_of(results, RULE)[0].get("suppressions")


def test_idle(ground, run: Callable, told: Callable) -> None:
    on_sheet(ground, GOOD)
    ground.change(SHEET, (TIGHT[1], TIGHT[0]))
    assert permit_faults(told(SHEET)) == [("permit-idle", SHEET)]
    assert run("lint", SHEET).status == 0  # a note


@pytest.mark.parametrize(
    ("rule", "changes"),
    [
        (RULE, [("      tension: 46 N\n", "")]),  # the rule cannot tell
        ("check-coverage", [("stage: released", "stage: planned")]),  # nothing is asked of a planned job yet
    ],
)
def test_not_idle_yet(ground, told: Callable, rule: str, changes: list) -> None:
    ground.change(SHEET, *changes)
    ground.write(SHEET, ground.read(SHEET) + "deviations:\n" + entry({**GOOD, "rule": rule}))
    assert permit_faults(told(SHEET)) == []


# --- the scope of a plant-wide permit

SCOPES = [
    ({}, True),
    ({"stock": "clear-pp50-film23"}, True),
    ({"stock": "paper-face-glassine60"}, False),
    ({"press": "straight-8"}, True),
    ({"press": "straight-9"}, False),
    ({"customer": "six-inch"}, True),
    ({"customer": "three-inch"}, False),
    ({"jobs": "[PG-1, PG-1001]"}, True),
    ({"jobs": "[PG-1]"}, False),
    ({"jobs": "[]"}, False),
    ({"stock": "clear-pp50-film23", "press": "straight-9"}, False),
    ({"stock": "clear-pp50-film23", "jobs": "[PG-1]"}, False),
    ({"stock": "clear-pp50-film23", "press": "straight-8", "customer": "six-inch", "jobs": "[PG-1001]"}, True),
]


@pytest.mark.sample(4)
@pytest.mark.parametrize(("scope", "covers"), SCOPES)
def test_scope(ground, run: Callable, log: Callable, scope: dict[str, str], covers: bool) -> None:
    ground.change(SHEET, TIGHT)
    plant_wide(ground, {**GOOD, **scope})
    assert ("suppressions" in results_of(log(SHEET), RULE)[0]) == covers
    assert run("lint", SHEET).status == (0 if covers else 1)


def test_what_is_wrong_with_a_plant_wide_permit_is_told_once(ground, told: Callable) -> None:
    """It may cover thousands of jobs, and each of them would say the same."""
    for number in range(2, 7):
        ground.job(f"PG-{number}", TIGHT)
    plant_wide(
        ground,
        changed(GOOD, {"approved_by": None}),
        changed(GOOD, {"until": None, "rule": "web-tension-high"}),
        {**GOOD, "rule": "shocks-reported"},
        {**GOOD, "rule": "nonsense"},
    )
    rules = ("permit-unknown-rule", "permit-without-approver", "permit-without-caution", "permit-without-end")
    assert permit_faults(told("sheets")) == [(rule, "permits.yaml") for rule in rules]


def test_an_ended_plant_wide_permit_is_told_where_it_is_missed(ground, log: Callable) -> None:
    ground.job("PG-2", TIGHT, ("date: 2026-11-24", "date: 2026-12-02"))
    ground.job("PG-3", TIGHT)
    plant_wide(ground, {**GOOD, "until": "2026-11-30"})
    results = log("sheets")
    told = results_of(results, "permit-expired")
    assert [one["locations"][0]["logicalLocations"][0]["fullyQualifiedName"][:5] for one in told] == ["PG-2/"]
    accepted = {
        one["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]: "suppressions" in one
        for one in results_of(results, RULE)
    }
    assert accepted == {"sheets/pg-2.yaml": False, "sheets/pg-3.yaml": True}


@pytest.mark.parametrize(("scope", "idle"), [({"jobs": "[PG-9]"}, True), ({"press": "none"}, True), ({}, False)])
def test_a_plant_wide_permit_that_fits_no_job(ground, told: Callable, scope: dict[str, str], idle: bool) -> None:
    plant_wide(ground, {**GOOD, **scope})
    assert (("permit-idle", "permits.yaml") in told("sheets")) == idle
    assert ("permit-idle", "permits.yaml") not in told(SHEET)  # one sheet alone cannot tell


def test_the_sheet_goes_before_the_plant_wide_file(ground, log: Callable) -> None:
    on_sheet(ground, {**GOOD, "reason": "own"})
    plant_wide(ground, {**GOOD, "reason": "wide"})
    (suppression,) = results_of(log(SHEET), RULE)[0]["suppressions"]
    assert suppression["justification"].endswith(": own")


def test_an_ended_permit_on_the_sheet_does_not_shut_out_the_plant_wide_one(ground, log: Callable) -> None:
    on_sheet(ground, {**GOOD, "until": "2026-01-01"})
    plant_wide(ground, {**GOOD, "reason": "wide"})
    assert results_of(log(SHEET), RULE)[0]["suppressions"][0]["kind"] == "external"
