"""How sheets are spread over processes: which process judges, in what order it comes back, how far it runs ahead."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest

import filmcheck.running.workers
from filmcheck.running.plant_context import SheetResult
from filmcheck.running.workers import Task, judged


def tasks(number: int, asked: list[int] | None = None) -> Iterator[Task]:
    for each in range(number):
        if asked is not None:
            asked.append(each)
        yield Task(f"/jobs/{each}.yaml", f"{each}.yaml", None, own=True)


def who(task: Task) -> SheetResult:
    """Judge nothing, but tell which process was asked."""
    return SheetResult((), None, os.getpid() == PARENT)


PARENT = os.getpid()


@pytest.mark.parametrize("workers", [2, 3])
@pytest.mark.parametrize("number", [17, 48, 100, 1000])
def test_many_sheets_are_judged_by_others_and_come_back_in_order(workers: int, number: int) -> None:
    done = list(judged(tasks(number), who, workers))
    assert [task for task, _ in done] == list(tasks(number))
    assert not any(result.asked_today for _, result in done), "this process judged some itself"


@pytest.mark.parametrize(("workers", "number"), [(1, 1000), (2, 16), (2, 1), (2, 0)])
def test_one_worker_and_few_sheets_need_no_other_process(workers: int, number: int) -> None:
    done = list(judged(tasks(number), who, workers))
    assert [task for task, _ in done] == list(tasks(number))
    assert all(result.asked_today for _, result in done)


@pytest.mark.parametrize("workers", [1, 2])
def test_sheets_are_not_gathered_long_before_they_are_judged(workers: int) -> None:
    """A hundred thousand sheets must not wait in memory, so no more are asked for than keep the workers busy."""
    asked: list[int] = []
    most = workers * filmcheck.running.workers.AHEAD * filmcheck.running.workers.HANDFUL
    for done, _ in enumerate(judged(tasks(1000, asked), who, workers), 1):
        assert done <= len(asked) <= done + most


def test_what_a_worker_raises_ends_the_run() -> None:
    def stumble(task: Task) -> SheetResult:
        raise LookupError(task.file)

    with pytest.raises(LookupError):
        list(judged(tasks(100), stumble, 2))
