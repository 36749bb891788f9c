"""What reports show of operating windows: the values of a set-point that hold, and what ends them."""

from __future__ import annotations

from dataclasses import dataclass

from filmcheck.records.place import Place


@dataclass(frozen=True, slots=True)
class Demand:
    """A rule that ends a window: what it asks for in a line, up to which value it holds, and where that stands."""

    rule: str
    title: str
    thing: str = ""
    holds: str = ""
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class Opening:
    """Another set-point, and a value of it with which an empty window has values that hold."""

    address: str
    value: str
    further: str = ""
    """The way in which values further on open it too: ``or less``, ``or more``; empty for a name."""
    then: str = ""
    """What holds then at the set-point of the window, the nearest to the sheet's own; empty where that does."""
    place: Place | None = None

    @property
    def wanted(self) -> str:
        """The values that open it."""
        return f"{self.value} {self.further}".rstrip()


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

    @property
    def settable(self) -> str:
        """The values to which people can set it."""
        return f"{self.set_low} to {self.set_high}" if self.set_low != self.set_high else self.set_low


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
    openings: tuple[Opening, ...] = ()
    """Of an empty window: what else could be set otherwise, so that it is not."""


@dataclass(frozen=True, slots=True)
class PairMap:
    """Two set-points tried together: ``rows`` has for each value of ``down``, the greatest first, one letter a cell.

    ``.`` holds, ``o`` is the sheet's own where it holds and ``x`` where it does not; a letter stands for all the rules
    that are bad there together, as ``legend`` tells them.
    """

    across: str
    down: str
    across_values: tuple[str, ...]
    down_values: tuple[str, ...]
    rows: tuple[str, ...]
    legend: tuple[tuple[str, tuple[Demand, ...]], ...]


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
