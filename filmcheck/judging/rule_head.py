"""What is known of a rule without its conditions: enough for all of a run but the judging of a sheet."""

from __future__ import annotations

from typing import NamedTuple

from filmcheck.records.finding import Level, RuleText

STAGES = ("planned", "set-up", "running", "finishing", "released")


class Beside(NamedTuple):
    """Which other jobs a rule speaks of: what they share with one, must not share, and on which side they stand."""

    same: str
    not_same: str = ""
    """What the two must not have in common for the rule to speak; empty where that is no matter."""
    side: str = ""
    """Whether they are meant before it or after it; empty for both."""


class RuleHead(NamedTuple):
    """A rule without its conditions."""

    text: RuleText
    found_by: str = "judging"
    safety: bool = False
    limits: tuple[str, ...] = ()
    is_asked: bool = False
    """Whether it requires something of a job, and so can be departed from."""
    beside: Beside | None = None

    @property
    def id(self) -> str:
        """The rule's id."""
        return self.text.id

    @property
    def level(self) -> Level:
        """The level of its findings."""
        return self.text.level

    def owed_at(self, stage: str) -> bool:
        """Whether a sheet at this stage must have what the rule asks for."""
        return self.text.from_stage in stages_until(stage)


def stages_until(stage: str) -> tuple[str, ...]:
    """Give the stages from which rules ask something of a sheet at this stage; of an unknown one, as when planned."""
    return STAGES[: STAGES.index(stage) + 1] if stage in STAGES else STAGES[:1]
