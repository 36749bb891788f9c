"""The shipped rules, loaded once a session: what a run keeps of them is laid into the caches that tests begin with."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from filmcheck.packs.pack_files import pack_files
from filmcheck.reading.shipped import shipped_folder
from filmcheck.running.pack_store import rule_set


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
