"""What reports show of operating windows: the values of a set-point that hold, and what ends them."""

from __future__ import annotations

from dataclasses import dataclass

from filmcheck.records.place import Place


@dataclass(frozen=True, slots=True)
class Demand:
    """A rule that ends a window: what it asks for in one line, and the value up to which it holds."""

    rule: str
    title: str
    thing: str = ""
    holds: str = ""


@dataclass(frozen=True, slots=True)
class Reach:
    """Values that hold, from ``low`` to ``high``, and the same rounded inward to the step in which people set it.

    ``below`` and ``above`` are what is bad beyond; empty where nothing is, as far as a sheet can say.
    """

    low: str
    high: str
    set_low: str
    set_high: str
    below: tuple[Demand, ...]
    above: tuple[Demand, ...]
    margin_below: str = ""
    margin_above: str = ""


@dataclass(frozen=True, slots=True)
class Choice:
    """A word or a name that can stand there, and what is bad with it."""

    name: str
    bad: tuple[Demand, ...]


@dataclass(frozen=True, slots=True)
class Window:
    """The window of one set-point of a job, all else as on the sheet."""

    address: str
    who: str
    own: str
    step: str
    place: Place
    inside: bool
    reaches: tuple[Reach, ...]
    choices: tuple[Choice, ...]
    meeting: tuple[Demand, ...] = ()
    """Of an empty window: the demands that leave nothing between them."""


@dataclass(frozen=True, slots=True)
class PairMap:
    """Two set-points tried together: ``rows`` has for each value of ``down``, the greatest first, one letter a cell.

    ``.`` holds, ``o`` is the sheet's own where it holds and ``x`` where it does not; a letter stands for the rules in
    ``legend`` of which the first is bad there.
    """

    across: str
    down: str
    across_values: tuple[str, ...]
    down_values: tuple[str, ...]
    rows: tuple[str, ...]
    legend: tuple[tuple[str, Demand], ...]


@dataclass(frozen=True, slots=True)
class JobWindows:
    """The windows of one job."""

    job: str
    file: str
    windows: tuple[Window, ...]
    maps: tuple[PairMap, ...]
    open: tuple[Demand, ...]
    """Rules that cannot tell, so that no window knows of them."""
    standing: tuple[Demand, ...]
    """Rules that the sheet as it is breaks."""
