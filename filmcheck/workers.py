"""Spreads sheets over worker processes; what comes back is in the order of the sheets, whatever finished first."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

from filmcheck.bench import SheetResult

HANDFUL = 32
"""Sheets that a worker takes at once: enough that handing over costs little, few enough that none waits long."""


class Task(NamedTuple):
    """One sheet, the plant it belongs to, and whether this run is to judge it or only to sum it up."""

    path: Path
    settings: Path | None
    own: bool


Judge = Callable[[Task], SheetResult]
_judge: Judge | None = None
"""What a forked worker finds in place: its bench is the parent's, so nothing is loaded twice."""


def judged_in_turn(tasks: Iterable[Task], judge: Judge, workers: int) -> Iterator[tuple[Task, SheetResult]]:
    """Judge one sheet after the other in this process."""
    for task in tasks:
        yield task, judge(task)


def judged_together(tasks: list[Task], judge: Judge, workers: int) -> Iterator[tuple[Task, SheetResult]]:
    """Judge in several processes. Where processes cannot be forked, this one does all the work."""
    import multiprocessing  # both are slow to import, and most runs need neither
    from concurrent.futures import ProcessPoolExecutor

    global _judge
    if "fork" not in multiprocessing.get_all_start_methods():
        yield from judged_in_turn(tasks, judge, workers)
        return
    _judge = judge
    gc.freeze()  # keeps the collector from touching, and so copying, what the workers share
    handfuls = [tasks[start : start + HANDFUL] for start in range(0, len(tasks), HANDFUL)]
    try:
        with ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("fork")) as pool:
            for handful, results in zip(handfuls, pool.map(_work, handfuls), strict=True):
                yield from zip(handful, results, strict=True)
    finally:
        _judge = None
        gc.unfreeze()


def _work(tasks: list[Task]) -> list[SheetResult]:
    if _judge is None:
        raise RuntimeError("a worker was started without a bench")
    return [_judge(task) for task in tasks]
