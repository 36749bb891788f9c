"""Shares and workers: eight runs make one, result for result; any number of workers gives the same bytes."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest

import filmcheck.running.workers

SHARES = 5
TIGHT = ("tension: 46 N\n      control", "tension: 90 N\n      control")


@pytest.fixture
def plant(ground):
    """Give a plant with 21 jobs of which some are spoiled, doubled, booked twice, not to be read or accepted."""
    planned = ("stage: released", "stage: planned")
    for number in range(2, 21):
        changes = [TIGHT] * (number % 3 == 0) + [planned] * (number % 4 == 0)
        ground.job(f"PG-{7 if number == 17 else number}", *changes, name=f"sheets/{number:02}.yaml")
    ground.write("sheets/broken.yaml", "job: [\n")
    permits = "permits:\n  - {rule: unwind-tension-high, jobs: [PG-9, PG-99], reason: r, approved_by: q}\n"
    ground.change("plant.yaml", ("jobs: [sheets]", "jobs: [sheets, none]\npermits: permits.yaml"))
    ground.write("permits.yaml", permits + "  - {rule: nonsense, reason: r, approved_by: q, until: 2027-01-01}\n")
    return ground


def log_of(run: Callable, *words: str) -> dict[str, Any]:
    done = run("lint", "sheets", "--format", "sarif", "--today", "2026-11-25", *words)
    assert (done.status, done.err) in ((0, ""), (1, ""))
    (found,) = json.loads(done.out)["runs"]
    return found


def place_of(result: dict[str, Any]) -> dict[str, Any]:
    place: dict[str, Any] = result["locations"][0]["physicalLocation"]
    return place


def at_registers(run: dict[str, Any]) -> set[tuple[str, str, str]]:
    """Give what is said of register entries: every share says it whose jobs take the entry, with its own jobs' data."""
    told = (result for result in run["results"] if place_of(result)["artifactLocation"]["uri"].startswith("registers/"))
    return {(one["ruleId"], one["kind"], json.dumps(place_of(one).get("region"))) for one in told}


def parts(run: dict[str, Any]) -> Counter[str]:
    """Give every result but those at registers with what it says; numbers of rules and files are a run's own."""

    def without_numbers(thing: Any) -> Any:
        if isinstance(thing, dict):
            return {name: without_numbers(inner) for name, inner in thing.items() if name not in ("index", "ruleIndex")}
        return [without_numbers(inner) for inner in thing] if isinstance(thing, list) else thing

    own = (one for one in run["results"] if not place_of(one)["artifactLocation"]["uri"].startswith("registers/"))
    return Counter(json.dumps(without_numbers(result), sort_keys=True) for result in own)


def targets(run: dict[str, Any]) -> Counter[str]:
    return Counter(one["location"]["uri"] for one in run["artifacts"] if "analysisTarget" in one.get("roles", ()))


@pytest.mark.slow
@pytest.mark.parametrize("more", [(), ("--passes",), ("--no-cache",)])
def test_shares_make_the_whole(plant, run: Callable, more: tuple[str, ...]) -> None:
    whole = log_of(run, *more)
    ids = [f"gate/{number}-of-{SHARES}/" for number in range(1, SHARES + 1)]
    shares = [
        log_of(run, *more, "--share", f"{number}/{SHARES}", "--run-id", name) for number, name in enumerate(ids, 1)
    ]
    assert [share["automationDetails"]["id"] for share in shares] == ids
    assert sum((parts(share) for share in shares), Counter()) == parts(whole)
    assert set().union(*map(at_registers, shares)) == at_registers(whole)
    assert sum((targets(share) for share in shares), Counter()) == targets(whole)
    assert sum(bool(share["results"]) for share in shares) > SHARES / 2
    rules = [rule["id"] for rule in whole["tool"]["driver"]["rules"]]
    assert all([rule["id"] for rule in share["tool"]["driver"]["rules"]] == rules for share in shares)


@pytest.mark.slow
def test_what_only_the_whole_can_see_is_told_once(plant, run: Callable) -> None:
    found = Counter[str]()
    for number in range(1, SHARES + 1):
        share = log_of(run, "--share", f"{number}/{SHARES}")
        found += Counter(one["ruleId"] for one in share["results"] if one["kind"] == "fail")
    assert found["job-number-twice"] == 1
    assert found["settings-wrong"] == 1  # a job folder that is not there
    assert found["permit-unknown-rule"] == 1
    assert found["permit-without-end"] == 1
    assert found["yaml-broken"] == 1


@pytest.mark.slow
def test_a_share_of_a_change(plant, run: Callable) -> None:
    plant.start_history()
    plant.change("registers/tooling.yaml", ("for_liner_caliper: 23 µm", "for_liner_caliper: 62 µm"))
    whole = log_of(run, "--since", "HEAD")
    shares = [log_of(run, "--since", "HEAD", "--share", f"{number}/3") for number in (1, 2, 3)]
    assert sum((parts(share) for share in shares), Counter()) == parts(whole)
    assert len(targets(whole)) == 20
    assert max(len(targets(share)) for share in shares) < 10


def test_shares_together_are_a_baseline(plant, run: Callable) -> None:
    """A log of several runs, as gathered from several machines, knows what they know together."""
    logs = []
    for number in range(1, 4):
        done = run("lint", "sheets", "--format", "sarif", "--today", "2026-11-25", "--share", f"{number}/3")
        logs.append(json.loads(done.out))
    logs[0]["runs"] += [one for log in logs[1:] for one in log["runs"]]
    plant.write("known.sarif", json.dumps(logs[0]))
    states = Counter(one.get("baselineState") for one in log_of(run, "--baseline", "known.sarif")["results"])
    assert set(states) <= {"unchanged", None}
    assert run("lint", "sheets", "--baseline", "known.sarif", "--today", "2026-11-25").status == 0


@pytest.mark.slow
@pytest.mark.parametrize("form", [("text",), ("sarif", "--passes"), ("markdown",)])
def test_any_number_of_workers_gives_the_same_bytes(
    plant, run: Callable, form: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(filmcheck.running.workers, "HANDFUL", 3)  # so that several have work
    line = ("lint", "sheets", "--today", "2026-11-25", "--no-cache", "--format", *form)
    alone = run(*line)
    assert alone.status == 1
    for workers in ("2", "4"):
        assert run(*line, "--workers", workers) == alone


def test_share_by_workers(plant, run: Callable, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(filmcheck.running.workers, "HANDFUL", 2)
    line = ("lint", "sheets", "--share", "2/2", "--no-cache", "--today", "2026-11-25")
    assert run(*line, "--workers", "2") == run(*line)


def test_more_shares_than_sheets(ground, run: Callable) -> None:
    done = run("lint", "sheets", "--share", "5/5")
    assert done.status == 0
    assert "Nothing was read, so nothing was judged." in done.out


@pytest.mark.parametrize("good", ["2/8", "2 of 8", " 2 / 8 "])
def test_ways_to_write_a_share(ground, run: Callable, good: str) -> None:
    assert run("lint", "sheets", "--share", good).status == 0


@pytest.mark.parametrize("bad", ["0/8", "9/8", "1/0", "-1/8", "1/-8", "a/b", "", "8", "1/8/2", "1.5/8", "1/99999"])
def test_what_is_no_share(ground, run: Callable, bad: str) -> None:
    done = run("lint", "sheets", f"--share={bad}")
    assert (done.status, done.out) == (2, "")
    assert "is no share; write which one and of how many, such as 2/8" in done.err


@pytest.mark.parametrize("bad", ["-1", "65", "x"])
def test_what_is_no_number_of_workers(ground, run: Callable, bad: str) -> None:
    done = run("lint", "sheets", f"--workers={bad}")
    assert (done.status, done.out) == (2, "")
