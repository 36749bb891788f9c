"""The packs of a run while they are loaded, and what is wrong with them."""

from __future__ import annotations

from collections.abc import Iterable

from filmcheck.judging.condition import Condition
from filmcheck.judging.limit import Limit
from filmcheck.judging.rule import Pack, Rule
from filmcheck.reading.nodes import MOST_FAULTS, Fault, FileFault
from filmcheck.records.errors import PackError
from filmcheck.records.place import Place


class Packs:
    """All packs of a run, with the limits that they share."""

    def __init__(self) -> None:
        self.packs: list[Pack] = []
        self.limits: dict[str, Limit] = {}
        self.faults: list[FileFault] = []
        self.condition_keys: dict[int, tuple[Condition, Place]] = {}
        """Where the key of each condition stands, by the condition's identity."""
        self.broken: set[str] = set()
        """Limits and figures that are there but broken: that they are not known need not be told as well."""

    @property
    def rules(self) -> tuple[Rule, ...]:
        """Every rule, in the order of the packs."""
        return tuple(rule for pack in self.packs for rule in pack.rules)

    def tell(self, file: str, fault: Fault) -> None:
        """Take a fault. Raises PackError where there are many: to find words for each of any number would never end."""
        self.faults.append((file, fault))
        if len(self.faults) > MOST_FAULTS:
            self.refuse("There are more faults. Mend these first.")

    def refuse(self, more: str = "") -> None:
        """Raise PackError with every fault found, if there is one."""
        faults = [(file, fault) for file, fault in self.faults if not _follows(fault, self.broken)]
        if self.faults:
            raise PackError("\n".join(filter(None, (_told(list(dict.fromkeys(faults or self.faults))), more))))


def _follows(fault: Fault, broken: Iterable[str]) -> bool:
    """Whether a fault only says again that a limit or figure is broken."""
    says = fault.says.split(": ")[-1]
    if "limit." in broken and says.startswith("limit.") and says.endswith(" is no known limit"):
        return True
    return any(says in (f"{name} is no known limit", f"{name} is no known figure") for name in broken)


def _told(faults: list[FileFault]) -> str:
    lines = []
    for file, fault in faults:
        lines.append(f"{Place(file, fault.span)}: error: {fault.says}  [{fault.id}]")
        lines += [f"    {fault.hint}"] if fault.hint else []
    return "\n".join(lines)
