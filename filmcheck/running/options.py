"""How a run is to go about its work."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from filmcheck.running.changes import Changes
    from filmcheck.running.verdict_cache import VerdictCache


@dataclass(frozen=True, slots=True)
class Options:
    """How a run is to go about its work. None of it changes what is found, save ``since`` and ``share``."""

    today: date = field(default_factory=date.today)
    passes: bool = False
    workers: int = 1
    cache: VerdictCache | None = None
    share: tuple[int, int] = (1, 1)
    since: Changes | None = None
    progress: Callable[[int, int], None] | None = None
