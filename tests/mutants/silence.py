"""Why nothing notices: the reasons on record, for spoiled entries of registers, set-ups and settings, and for rules."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from field_ledger import for_people
from noticed import Spoiled
from ruamel.yaml import YAML

HERE = Path(__file__).parent


def _read(name: str) -> Any:
    return YAML(typ="safe").load(HERE / name)


ENTRIES: list[dict[str, Any]] = _read("silent_entries.yaml")
"""Field, edits, and why no sheet that uses the entry notices."""
RULES: dict[str, str] = _read("silent_rules.yaml")
"""Rules that no mutant and no recorded fault makes speak, and why."""
PEOPLE = for_people()


def explained(one: Spoiled) -> bool:
    """Whether it is on record why a spoiled entry draws no finding; what is there for people draws none at all."""
    return one.field in PEOPLE or any(line["field"] == one.field and one.edit in line["edit"] for line in ENTRIES)
