"""What a plant has settled about the rules."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from filmcheck.judging.limit import Limit
from filmcheck.records.finding import Level


@dataclass(frozen=True, slots=True)
class House:
    """What a plant has settled about the rules: limits, levels, units, and rules that it does not use."""

    limits: dict[str, Limit]
    units: Mapping[str, str] = field(default_factory=dict)
    levels: dict[str, Level] = field(default_factory=dict)
    switched_off: frozenset[str] = frozenset()
