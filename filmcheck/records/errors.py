"""The errors filmcheck raises: one base class that says what was found, what was expected and the way out."""

from __future__ import annotations

from filmcheck.records.place import Place


class FilmcheckError(Exception):
    """A fault that ends a run. Bad job sheets never raise it: they become findings."""

    exit_status = 2

    def __init__(self, found: str, *, expected: str = "", place: Place | None = None, way_out: str = "") -> None:
        """Keep the parts, so that a report can lay them out."""
        self.found = found
        self.expected = expected
        self.place = place
        self.way_out = way_out
        super().__init__(str(self))

    def __str__(self) -> str:
        """Give the whole message in GNU form, one part a line."""
        head = f"{self.place}: {self.found}" if self.place else self.found
        rest = [f"  expected: {self.expected}"] if self.expected else []
        rest += [f"  {self.way_out}"] if self.way_out else []
        return "\n".join([head, *rest])


class UseError(FilmcheckError):
    """The command was used wrongly: a path that is not there, no plant settings above it."""


class PackError(FilmcheckError):
    """A rule pack is broken. The lint stops, for a rule must never be dropped in silence."""
