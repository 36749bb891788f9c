"""What a rule is once its pack is loaded: a sentence, its conditions, and its proof."""

from __future__ import annotations

from dataclasses import dataclass

from filmcheck.judging.condition import Condition
from filmcheck.judging.expression import Expression
from filmcheck.judging.phrases import Telling
from filmcheck.judging.rule_head import Beside, RuleHead
from filmcheck.judging.template import Template
from filmcheck.reading.nodes import Mapping
from filmcheck.records.finding import Level, RuleText
from filmcheck.records.place import Place

VERDICTS = {"fail": "fail", "pass": "pass", "open": "open", "review": "review", "not applicable": "notApplicable"}
"""Words for the verdict of a proving case, and the kind of finding that each stands for."""


@dataclass(frozen=True, slots=True)
class Case:
    """One proving case: what is changed on a sound sheet, and what the rule must then say."""

    name: str
    verdict: str
    place: Place
    sheet: str
    level: str = ""
    """How grave the fault must be told, where its rule has a warning_where."""
    sheet_text: str = ""
    settings_text: str = ""
    change: Mapping | None = None
    without: tuple[str, ...] = ()
    insert: tuple[Mapping, ...] = ()
    beside: Case | None = None
    """Another job, made of the same sound sheet."""
    at: str = ""
    says: str = ""
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OtherJobs:
    """Other jobs that must not stand beside one: with the same press or tool, within a time of it."""

    same: str
    within: Expression
    not_same: str = ""
    """What the two must not have in common for the rule to speak; empty where that is no matter."""
    side: str = ""
    """Whether they are meant before it or after it; empty for both."""
    where: Condition | None = None
    """Which of them are meant; its figures are those of the other job."""

    def describe(self, telling: Telling) -> str:
        """Write which other jobs there must not be."""
        apart = f" but not the same {self.not_same}" if self.not_same else ""
        where = f", where on that job {self.where.describe(telling)}" if self.where is not None else ""
        time = f"within {self.within.describe(telling)} {self.side or 'of'} this one"
        return f"no other job with the same {self.same}{apart} is on press {time}{where}"


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. A rule that reading or resolving finds has no ``requires``: its finder says what is wrong."""

    text: RuleText
    place: Place
    says: Template
    instead: Template
    requires: Condition | None = None
    applies: Condition | None = None
    warning_where: Condition | None = None
    """Where it holds, a fault of this rule is a warning only."""
    beside: OtherJobs | None = None
    """Asked in place of ``requires``, over all jobs of a run."""
    for_each: str = ""
    at: str = ""
    found_by: str = "judging"
    safety: bool = False
    follows: tuple[str, ...] = ()
    """Rules whose faults bring about this one's where both speak on a job."""
    limits: tuple[str, ...] = ()
    cases: tuple[Case, ...] = ()

    @property
    def id(self) -> str:
        """The rule's id."""
        return self.text.id

    @property
    def conditions(self) -> tuple[Condition, ...]:
        """Where it applies, what it requires, where it only warns, as far as it has them."""
        where = self.beside.where if self.beside is not None else None
        asked = (self.applies, self.requires, self.warning_where, where)
        return tuple(condition for condition in asked if condition is not None)

    @property
    def level(self) -> Level:
        """The level of its findings."""
        return self.text.level

    @property
    def head(self) -> RuleHead:
        """What is known of it without its conditions."""
        other = self.beside
        beside = Beside(other.same, other.not_same, other.side) if other is not None else None
        return RuleHead(self.text, self.found_by, self.safety, self.limits, self.requires is not None, beside)


@dataclass(frozen=True, slots=True)
class Pack:
    """One file of rules and limits."""

    title: str
    file: str
    rules: tuple[Rule, ...]
