"""Rules on other jobs: live sheets of a plant, whichever was changed, judged afresh or known from the cache."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

RULE = """\
pack: House
limits:
  rest: {value: 2 d, basis: house, meaning: Time for the inspection of a die.}
rules:
  - rule: die-not-looked-at
    title: A die goes to another press too soon
    level: warning
    from_stage: planned
    no_other_job: {same: die, not_same: press, within: limit.rest, where: {job.first_film_job: true}}
    says: "The die is not looked at: {reason}"
    instead: Wait for {limit.rest}.
    because: A die is inspected between presses.
    proof:
      - {case: next day, change: {date: 2026-11-25}, beside: {change: {press: long-10}}, verdict: fail}
      - {case: a week, change: {date: 2026-12-01}, beside: {change: {press: long-10}}, verdict: pass}
"""
SIDED = """\
pack: House
rules:
  - rule: die-not-looked-at
    title: A die is used twice within the hour
    level: warning
    from_stage: planned
    no_other_job: {same: die, SIDE, within: 1 h}
    says: "The die is not looked at: {reason}"
    because: A die is inspected between jobs.
    basis: house
    proof:
      - case: at once
        change: {press_time: {from: "2026-12-01 06:00", to: "2026-12-01 10:00"}}
        beside: {change: {press_time: {from: "2026-12-01 06:00", to: "2026-12-01 10:00"}}}
        verdict: fail
      - case: the day after
        change: {press_time: {from: "2026-12-02 06:00", to: "2026-12-02 10:00"}}
        beside: {change: {press_time: {from: "2026-12-01 06:00", to: "2026-12-01 10:00"}}}
        verdict: pass
"""
ELSEWHERE = ("press: straight-8", "press: long-10")
"""No press of this plant: a name is enough to tell two presses apart."""
Told = Callable[..., list[tuple[str, str, str]]]


@pytest.fixture
def told(ground: Any, log: Callable[..., list[dict[str, Any]]]) -> Told:
    """Give a function that lints and tells of each finding of the house rule the file, the kind and the message."""
    ground.write("house.yaml", RULE)
    ground.change("plant.yaml", ("jobs: [sheets]", "jobs: [sheets]\nrules: [house.yaml]"))
    for name in ("film-short", "paper-label", "tension-zones"):
        (ground.folder / f"sheets/{name}.yaml").unlink(missing_ok=True)

    def found(*words: str) -> list[tuple[str, str, str]]:
        return [
            (
                one["locations"][0]["physicalLocation"]["artifactLocation"]["uri"],
                one["kind"],
                one["message"]["text"].partition("\n")[0],
            )
            for one in log(*(words or ("sheets",)))
            if one["ruleId"] == "die-not-looked-at"
        ]

    return found


def test_the_job_whose_file_comes_last_tells(ground: Any, told: Told) -> None:
    ground.job("PG-1002", ELSEWHERE, ("date: 2026-11-24", "date: 2026-11-26"))
    says = "The die is not looked at: job PG-1001 has die d-96-film23 on 2026-11-24 on press straight-8"
    assert [(file, kind) for file, kind, _ in told()] == [("sheets/pg-1002.yaml", "fail")]
    assert says in told()[0][2]


@pytest.mark.sample(2)
@pytest.mark.parametrize(
    ("day", "kinds"), [("2026-11-22", ["fail"]), ("2026-11-21", []), ("2026-11-26", ["fail"]), ("2026-11-27", [])]
)
def test_whole_days_are_counted_by_date(ground: Any, told: Told, day: str, kinds: list[str]) -> None:
    ground.job("PG-1002", ELSEWHERE, ("date: 2026-11-24", f"date: {day}"))
    assert [kind for _, kind, _ in told()] == kinds


def test_a_job_without_a_day_is_asked_for_it(ground: Any, told: Told) -> None:
    ground.job("PG-1002", ELSEWHERE, ("date: 2026-11-24\n", ""))
    assert {kind for _, kind, _ in told()} == {"open"}


def test_a_change_of_the_other_sheet_changes_the_verdict(ground: Any, told: Told) -> None:
    ground.job("PG-1002", ELSEWHERE, ("date: 2026-11-24", "date: 2026-11-26"))
    ground.start_history()
    assert len(told()) == len(told()) == 1  # the second time all is known from the cache
    ground.change("sheets/film-label.yaml", ("date: 2026-11-24", "date: 2026-11-20"))
    assert told("sheets", "--since", "HEAD") == told() == []
    ground.change("sheets/film-label.yaml", ("date: 2026-11-20", "date: 2026-11-28"))
    assert told("sheets", "--since", "HEAD") == told()
    assert len(told()) == 1
    ground.change("sheets/film-label.yaml", ("first_film_job: true", "first_film_job: false"))
    # The other job is first on film, so the rule now speaks of this one alone.
    assert [file for file, _, _ in told("sheets", "--since", "HEAD")] == ["sheets/film-label.yaml"]


@pytest.mark.slow
def test_shares_and_workers_see_the_same(ground: Any, told: Told) -> None:
    ground.job("PG-1002", ELSEWHERE)
    both = told("sheets", "--share", "1/2") + told("sheets", "--share", "2/2")
    assert both == told("sheets") != []


@pytest.mark.parametrize(
    ("side", "tells"), [("before: this", ["sheets/pg-1003.yaml"]), ("after: this", ["sheets/pg-1002.yaml"])]
)
def test_of_two_jobs_of_one_day_the_earlier_stands_before_the_later(
    ground: Any, told: Told, side: str, tells: list[str]
) -> None:
    """Half an hour lies between them, and the rule asks for one hour: only the side that it names counts."""
    ground.write("house.yaml", SIDED.replace("SIDE", side))
    for number, hours in (("PG-1002", ("06:00", "10:00")), ("PG-1003", ("10:30", "14:00"))):
        times = "press_time: {{from: 2026-12-01 {}, to: 2026-12-01 {}}}\n".format(*hours)
        ground.job(number, ("date: 2026-11-24", "date: 2026-12-01"), end=times)
    assert [file for file, kind, _ in told() if kind == "fail"] == tells
