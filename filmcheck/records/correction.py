"""A correction (ISO 9000:2015, 3.12.3) of a job sheet that was judged before it is offered."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from filmcheck.records.finding import Edit


@dataclass(frozen=True, slots=True)
class Correction:
    """What to write, and which findings it cures, each as rule and address.

    ``form`` is the spelling of a key, a unit or a name; ``set-point`` is a value that somebody must want.
    """

    name: str
    sort: Literal["form", "set-point"]
    says: str
    edits: tuple[Edit, ...]
    cures: tuple[str, ...]
