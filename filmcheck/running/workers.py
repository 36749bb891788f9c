"""Spreads sheets over worker processes; what comes back is in the order of the sheets, whatever finished first."""

from __future__ import annotations

import gc
import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from itertools import chain, islice
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from filmcheck.records.errors import UseError
from filmcheck.running.plant_context import SheetResult

if TYPE_CHECKING:
    from concurrent.futures import Future

HANDFUL = 16
"""Sheets that a worker takes at once: enough that handing over costs little, few enough that none waits long."""

AHEAD = 4
"""Handfuls for each worker that are laid out before the first is done: no more, for what waits takes room."""


class Task(NamedTuple):
    """One sheet, the plant it belongs to, and whether this run is to judge it or only to sum it up."""

    path: str
    """In full."""
    file: str
    """The path as reports show it."""
    settings: Path | None
    own: bool


JudgeTask = Callable[[Task], SheetResult]
_judge: JudgeTask | None = None
"""What a forked worker finds in place: its context is the parent's, so nothing is loaded twice."""


def judged(tasks: Iterable[Task], judge: JudgeTask, workers: int) -> Iterator[tuple[Task, SheetResult]]:
    """Judge sheets, in this process or in several; a few sheets are not worth the start of another process."""
    tasks = iter(tasks)
    first = list(islice(tasks, HANDFUL + 1)) if workers > 1 else []
    ways = judged_together if len(first) > HANDFUL else judged_in_turn
    return ways(chain(first, tasks), judge, workers)


def judged_in_turn(tasks: Iterable[Task], judge: JudgeTask, workers: int) -> Iterator[tuple[Task, SheetResult]]:
    """Judge one sheet after the other in this process."""
    for task in tasks:
        yield task, judge(task)


def judged_together(tasks: Iterable[Task], judge: JudgeTask, workers: int) -> Iterator[tuple[Task, SheetResult]]:
    """Judge in several processes. Where processes cannot be forked, this one does all the work."""
    import multiprocessing  # these are slow to import, and most runs need none
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool

    global _judge
    if "fork" not in multiprocessing.get_all_start_methods():
        yield from judged_in_turn(tasks, judge, workers)
        return
    _judge = judge
    gc.freeze()  # keeps the collector from touching, and so copying, what the workers share
    waiting = iter(tasks)
    out: deque[tuple[list[Task], Future[list[SheetResult]]]] = deque()
    lifeline = os.pipe()
    fork = multiprocessing.get_context("fork")
    pool = ProcessPoolExecutor(workers, mp_context=fork, initializer=_end_with_parent, initargs=lifeline)
    try:
        while True:
            while len(out) < AHEAD * workers and (handful := list(islice(waiting, HANDFUL))):
                out.append((handful, pool.submit(_work, handful)))
            if not out:
                break
            handful, future = out.popleft()
            yield from zip(handful, future.result(), strict=True)
    except BrokenProcessPool as error:
        raise UseError(
            "a worker process was ended from outside, often for want of memory, so the run is not whole",
            way_out="Run it again, with fewer workers.",
        ) from error
    finally:
        pool.shutdown(cancel_futures=True)
        for end in lifeline:
            os.close(end)
        _judge = None
        gc.unfreeze()


def _end_with_parent(listening: int, held: int) -> None:
    """Have a worker end when its parent does, however that ends: the parent alone then holds the pipe open."""
    import signal
    import threading

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent is told too, and ends its workers
    os.close(held)

    def watch() -> None:
        os.read(listening, 1)
        os._exit(1)

    threading.Thread(target=watch, daemon=True).start()


def _work(tasks: list[Task]) -> list[SheetResult]:
    if _judge is None:
        raise RuntimeError("a worker was started without a context")
    return [_judge(task) for task in tasks]
