"""Jobs are handed to the repository as they are done, which may be in any order: what it finds must not hang on it."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from random import Random

import pytest

from filmcheck.judging.job_summary import JobSummary
from filmcheck.judging.repository import Repository
from filmcheck.plant.plant import load_plant, read_sheet
from filmcheck.records.finding import Finding
from filmcheck.running.judge_as_is import sum_sheet_up
from filmcheck.running.plant_context import PlantContext, make_context

DEMO = Path(__file__).resolve().parents[3] / "examples"
DAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def context() -> PlantContext:
    return make_context(load_plant(DEMO / "plant.yaml"))


@pytest.fixture(scope="module")
def jobs(context: PlantContext) -> list[JobSummary]:
    """Give the jobs of the demo plant three times over, so that each number is there thrice and every tool booked."""
    found = []
    for path in sorted((DEMO / "jobs").rglob("*.yaml")):
        summary = sum_sheet_up(read_sheet(path, "job-sheet"), context, DAY).summary
        assert summary is not None
        for folder in ("a", "b", "c"):
            place = summary.place._replace(file=f"{folder}/{summary.place.file}")
            found.append(summary._replace(place=place, stage="planned"))
    return found


def found_by(context: PlantContext, jobs: list[JobSummary]) -> list[Finding]:
    repository = Repository(context.plant, context.heads.values(), context.house)
    for job in jobs:
        repository.add(job)
    return sorted(repository.findings(whole=True), key=lambda finding: (finding.place, finding.rule, finding.says))


def shuffle(jobs: list[JobSummary], seed: int) -> list[JobSummary]:
    return Random(seed).sample(jobs, len(jobs))  # noqa: S311  no secret hangs on it


@pytest.mark.sample(5)
@pytest.mark.parametrize("seed", range(10))
def test_the_order_of_jobs_changes_nothing(context: PlantContext, jobs: list[JobSummary], seed: int) -> None:
    shuffled = shuffle(jobs, seed)
    assert shuffled != jobs
    assert found_by(context, shuffled) == found_by(context, jobs)


@pytest.mark.parametrize("seed", range(10))
def test_a_number_given_thrice_is_held_against_the_first_file(
    context: PlantContext, jobs: list[JobSummary], seed: int
) -> None:
    twice = [one for one in found_by(context, shuffle(jobs, seed)) if one.rule == "job-number-twice"]
    assert {one.place.file[0] for one in twice} == {"b", "c"}
    assert {one.related[0].place.file[0] for one in twice} == {"a"}
    assert len(twice) == 2 * len({job.number for job in jobs})


def test_what_nobody_uses_is_not_told_where_a_sheet_was_not_read(context: PlantContext, jobs: list[JobSummary]) -> None:
    repository = Repository(context.plant, context.heads.values(), context.house)
    repository.add(jobs[0])
    assert any(one.rule == "entry-unused" for one in repository.findings(whole=True))
    repository.add(None)
    assert not any(one.rule == "entry-unused" for one in repository.findings(whole=True))
