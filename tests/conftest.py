"""What all tests share: the rules, loaded and unpacked once a session; which cases are quick; what is begun first."""

from __future__ import annotations

import shutil
from collections import Counter
from collections.abc import Callable, Iterator
from functools import lru_cache
from pathlib import Path

import pytest

from filmcheck.packs.pack_files import pack_files
from filmcheck.reading.shipped import shipped_folder
from filmcheck.running import pack_store
from filmcheck.running.pack_store import rule_set

LONGEST = (
    "test_silent_entries.py",
    "test_killed_runs.py",
    "test_verdict_cache.py",
    "test_many_jobs.py",
    "test_mutated_sheets.py",
)
"""Files that take long: begun last, where several processes share the tests, they would be waited for."""


def pytest_configure(config: pytest.Config) -> None:
    """Leave the files in their order, where they are shared out: by default those with many tests go first."""
    if hasattr(config.option, "loadscopereorder"):
        config.option.loadscopereorder = False


@pytest.hookimpl(tryfirst=True)  # before cases are chosen by their marks
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with the longest files. Of a test marked ``sample(n)`` the first case and each nth after it stay quick."""
    items.sort(key=lambda item: LONGEST.index(item.path.name) if item.path.name in LONGEST else len(LONGEST))
    seen: Counter[str] = Counter()
    for item in items:
        mark = item.get_closest_marker("sample")
        if mark is not None:
            test = item.nodeid.partition("[")[0]
            if seen[test] % mark.args[0]:
                item.add_marker(pytest.mark.slow)
            seen[test] += 1


@pytest.fixture(scope="session", autouse=True)
def _unpacked_once() -> Iterator[None]:
    """Unpack the same kept rules once: they are frozen, and unpacking them takes longer than judging a poor sheet."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pack_store, "_unpacked", lru_cache(maxsize=4)(pack_store._unpacked))
        yield


@pytest.fixture(scope="session")
def lay_rules(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Path], None]:
    """Give a function that makes a cache folder which knows the shipped rules and nothing else.

    Loading them takes longer than most tests. They are kept by content and by path as seen from outside the checkout.
    """
    room = tmp_path_factory.mktemp("kept")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(room)
        patch.setenv("FILMCHECK_CACHE", str(room / "cache"))
        rule_set(pack_files([shipped_folder("rules")]))

    def lay(folder: Path) -> None:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        for kept in (room / "cache").glob("rules-*"):
            shutil.copy2(kept, folder / kept.name)

    return lay
