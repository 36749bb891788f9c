"""What a plant has settled about the rules."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from filmcheck.judging.limit import Limit
from filmcheck.judging.rule_head import stages_until
from filmcheck.records.finding import Level

if TYPE_CHECKING:
    from filmcheck.judging.rule import Rule


@dataclass(frozen=True, slots=True)
class House:
    """What a plant has settled about the rules: limits, levels, units, and rules that it does not use."""

    limits: dict[str, Limit]
    units: Mapping[str, str] = field(default_factory=dict)
    levels: dict[str, Level] = field(default_factory=dict)
    switched_off: frozenset[str] = frozenset()

    def owed(self, rules: Sequence[Rule], stage: str) -> list[Rule]:
        """Give the rules that a sheet at a stage must meet."""
        due = stages_until(stage)
        return [
            rule
            for rule in rules
            if rule.requires is not None and rule.text.from_stage in due and rule.text.id not in self.switched_off
        ]
